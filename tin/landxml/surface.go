package landxml

import (
	"encoding/xml"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// surface is a surface as read, before its faces are looked at.
type surface struct {
	Surface
	data       []tin.Point // of the source data
	definition *definition
	file       string // an external point file; empty: none
	fileLine   int
	left       leftOut
}

// leftOut counts breaklines of the kinds that make no breaklines here.
type leftOut struct {
	proximity, nondestructive, empty int
	walls                            tally
}

func (r *reader) surfaceOrVolumes(el xml.StartElement) error {
	if el.Name.Local == "Surface" {
		return r.surface(el)
	}
	if el.Name.Local != "Feature" {
		r.notRead[el.Name.Local]++
	}
	return r.skip()
}

func (r *reader) surface(el xml.StartElement) error {
	name := attr(el, "name")
	if r.opts.Surface != "" && name != r.opts.Surface {
		r.passed = append(r.passed, name)
		return r.skip()
	}
	s := &surface{Surface: Surface{Name: name, Description: attr(el, "desc"), State: attr(el, "state"), Line: r.line()}}
	r.surfaces = append(r.surfaces, s)
	return r.each(func(el xml.StartElement) error {
		switch el.Name.Local {
		case "SourceData":
			return r.each(func(el xml.StartElement) error { return r.sourceData(s, el) })
		case "Definition":
			return r.definition(s, el)
		}
		return r.skip()
	})
}

// sourceData reads one part of what a surface was built from.
func (r *reader) sourceData(s *surface, el xml.StartElement) error {
	switch el.Name.Local {
	case "DataPoints":
		return r.dataPoints(s, el)
	case "Breaklines":
		return r.each(func(el xml.StartElement) error { return r.breakline(s, el) })
	case "Contours":
		return r.each(func(el xml.StartElement) error { return r.contour(s, el) })
	case "Boundaries":
		return r.each(func(el xml.StartElement) error { return r.boundary(s, el) })
	case "PointFiles":
		return r.each(func(el xml.StartElement) error {
			if el.Name.Local == "PointFile" && s.file == "" {
				s.file, s.fileLine = attr(el, "fileName"), r.line()
			}
			return r.skip()
		})
	case "Feature":
	default:
		r.notRead["SourceData/"+el.Name.Local]++
	}
	return r.skip()
}

// lists reads the point lists inside an element, one after the other, and appends
// their positions.
func (r *reader) lists(points []tin.Point) ([]tin.Point, error) {
	err := r.each(func(el xml.StartElement) error {
		if el.Name.Local != "PntList2D" && el.Name.Local != "PntList3D" {
			return r.skip()
		}
		var err error
		points, err = r.list(points, el)
		return err
	})
	return points, err
}

// list reads a list of positions and appends them. The line of a position is that
// of its last number.
func (r *reader) list(points []tin.Point, el xml.StartElement) ([]tin.Point, error) {
	size := 2
	if el.Name.Local == "PntList3D" {
		size = 3
	}
	var v [3]float64
	n := 0
	err := r.fields(func(word []byte, line int) error {
		var err error
		if v[n], err = r.number(word, line); err != nil {
			return err
		}
		if n++; n < size {
			return nil
		}
		n = 0
		p := tin.Point{N: v[0], E: v[1], Level: math.NaN(), Line: int32(line)}
		if size == 3 {
			p.Level = r.level(v[2], line)
		}
		points = append(points, p)
		return r.position()
	})
	if err == nil && n > 0 {
		err = r.fail("bad_list", fmt.Sprintf("the list of positions ends with %s over; each position has %d", count(n, "number"), size), "a position was cut short, or a number is missing further up")
	}
	return points, err
}

func (r *reader) dataPoints(s *surface, el xml.StartElement) error {
	to := &s.data
	if attr(el, "DTMAttribute") == "donotinclude" {
		to = &r.file.NotGround
	}
	from := len(*to)
	var err error
	*to, err = r.lists(*to)
	all := tin.Point{Name: attr(el, "name"), Code: attr(el, "code")}
	for i := range (*to)[from:] {
		p := &(*to)[from+i]
		p.Name, p.Code = all.Name, all.Code
	}
	return err
}

// breakline reads a breakline or a retaining wall.
func (r *reader) breakline(s *surface, el xml.StartElement) error {
	line := tin.Breakline{Name: attr(el, "name")}
	at := r.line()
	var err error
	switch el.Name.Local {
	case "Breakline":
		switch kind := attr(el, "brkType"); kind {
		case "", "standard", "wall":
		case "proximity":
			s.left.proximity++
			return r.skip()
		case "nondestructive":
			s.left.nondestructive++
			return r.skip()
		default:
			return r.fail("bad_attribute", fmt.Sprintf("brkType is %q", short(kind)), "it is standard, wall, proximity or nondestructive")
		}
		line.Vertices, err = r.lists(nil)
	case "RetWall":
		s.left.walls.add(at)
		line.Vertices, err = r.wall()
	default:
		return r.skip()
	}
	if err != nil {
		return err
	}
	s.add(line)
	return nil
}

// add adds a line that is one.
func (s *surface) add(line tin.Breakline) {
	if len(line.Vertices) < 2 {
		s.left.empty++
		return
	}
	s.Breaklines = append(s.Breaklines, line)
}

// wall reads the points along a retaining wall.
func (r *reader) wall() (points []tin.Point, err error) {
	err = r.each(func(el xml.StartElement) error {
		if el.Name.Local != "RetWallPnt" {
			return r.skip()
		}
		p, err := r.place(el)
		if err != nil {
			return err
		}
		if !p.has {
			return r.badPoint(el, "no coordinates of its own")
		}
		points = append(points, p.at)
		return nil
	})
	return points, err
}

// contour reads a contour as a breakline at its level.
func (r *reader) contour(s *surface, el xml.StartElement) error {
	if el.Name.Local != "Contour" {
		return r.skip()
	}
	level, err := r.number([]byte(attr(el, "elev")), r.line())
	if err != nil {
		return err
	}
	points, err := r.lists(nil)
	if err != nil {
		return err
	}
	for i := range points {
		points[i].Level = level
	}
	s.add(tin.Breakline{Vertices: points})
	return nil
}

func (r *reader) boundary(s *surface, el xml.StartElement) error {
	if el.Name.Local != "Boundary" {
		return r.skip()
	}
	b := Boundary{Name: attr(el, "name"), Kind: BoundaryKind(attr(el, "bndType")), Line: r.line()}
	switch b.Kind {
	case Outer, Void, Island:
	default:
		return r.fail("bad_attribute", fmt.Sprintf("bndType is %q", short(string(b.Kind))), "it is outer, void or island")
	}
	switch trim := attr(el, "edgeTrim"); trim {
	case "true", "1":
		b.Trim = true
	case "false", "0", "":
	default:
		return r.fail("bad_attribute", fmt.Sprintf("edgeTrim is %q", short(trim)), "it is true or false")
	}
	points, err := r.lists(nil)
	if err != nil {
		return err
	}
	for _, p := range points {
		b.Ring = append(b.Ring, orb.Point{p.E, p.N})
	}
	s.Boundaries = append(s.Boundaries, b)
	return nil
}

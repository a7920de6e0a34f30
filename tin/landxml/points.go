package landxml

import (
	"encoding/xml"
	"fmt"
	"math"

	"barrow/tin"
)

// place is a point as read: with coordinates, or the name of the point that has
// them.
type place struct {
	at    tin.Point
	has   bool   // coordinates of its own
	ref   string // name of another point
	clash int    // line of a point of the same name at another place; 0: none
	asked bool   // while references are followed
}

// cgPoint is a COGO point.
type cgPoint struct {
	place
	notGround bool
}

// cgGroup is what a collection of points says of all of them.
type cgGroup struct{ code, state, dtm string }

// or gives the attributes of an element where it has them, else those of its group.
func (g cgGroup) or(el xml.StartElement) cgGroup {
	for _, a := range []struct {
		to   *string
		name string
	}{{&g.code, "code"}, {&g.state, "state"}, {&g.dtm, "DTMAttribute"}} {
		if v := attr(el, a.name); v != "" {
			*a.to = v
		}
	}
	return g
}

// cgPoints reads a collection of points, and those within it.
func (r *reader) cgPoints(el xml.StartElement, g cgGroup) error {
	g = g.or(el)
	return r.each(func(el xml.StartElement) error {
		switch el.Name.Local {
		case "CgPoints":
			return r.cgPoints(el, g)
		case "CgPoint":
			return r.cgPoint(el, g.or(el))
		}
		return r.skip()
	})
}

func (r *reader) cgPoint(el xml.StartElement, g cgGroup) error {
	p, err := r.place(el)
	if err != nil {
		return err
	}
	p.at.Code = g.code
	c := &cgPoint{place: p, notGround: g.dtm == "donotinclude" || g.state == "destroyed" || g.state == "abandoned"}
	r.points = append(r.points, c)
	switch g.dtm {
	case "", "ground", "spot", "donotinclude":
	default:
		r.dtm[g.dtm]++
	}
	if p.at.Name != "" {
		r.register(&c.place)
	}
	return nil
}

// register makes a point known by its name. A name at two places is an error only
// where it is asked for.
func (r *reader) register(p *place) {
	first, ok := r.named[p.at.Name]
	if !ok {
		r.named[p.at.Name] = p
		return
	}
	same := first.has && p.has && first.at.E == p.at.E && first.at.N == p.at.N &&
		(first.at.Level == p.at.Level || !first.at.HasLevel() && !p.at.HasLevel())
	if !same && first.clash == 0 {
		first.clash = int(p.at.Line)
	}
}

// place reads a point: its text is northing, easting and mostly level.
func (r *reader) place(el xml.StartElement) (place, error) {
	p := place{ref: attr(el, "pntRef"), at: tin.Point{
		Name: attr(el, "name"), Code: attr(el, "code"), Level: math.NaN(), Line: int32(r.line()),
	}}
	var v [3]float64
	n := 0
	err := r.fields(func(word []byte, line int) error {
		if n == len(v) {
			return r.badPoint(el, "more than three numbers")
		}
		var err error
		v[n], err = r.number(word, line)
		n++
		return err
	})
	switch {
	case err != nil:
		return p, err
	case n == 1:
		return p, r.badPoint(el, "one number")
	case n == 0 && p.ref == "":
		return p, r.badPoint(el, "no coordinates")
	case n > 1:
		p.has = true
		p.at.N, p.at.E = v[0], v[1]
		if n == 3 {
			p.at.Level = r.level(v[2], int(p.at.Line))
		}
	}
	return p, r.position()
}

func (r *reader) badPoint(el xml.StartElement, what string) error {
	return r.fail("bad_point", fmt.Sprintf("<%s> has %s", short(el.Name.Local), what), "a point is northing, easting and level, with blanks between them")
}

// level takes the numbers that stand for a missing level as such.
func (r *reader) level(v float64, line int) float64 {
	if v == -999 || v == -9999 {
		r.marked.add(line)
		return math.NaN()
	}
	return v
}

// position counts a position for MaxPoints.
func (r *reader) position() error {
	if r.positions++; r.opts.MaxPoints > 0 && r.positions > r.opts.MaxPoints {
		return r.fail("too_many_points", fmt.Sprintf("the file has more than %d points and vertices, the most allowed", r.opts.MaxPoints), "thin it out, or name one surface")
	}
	return nil
}

// resolve follows references until there are coordinates.
func (r *reader) resolve(p *place) error {
	var asked []*place
	defer func() {
		for _, q := range asked {
			q.asked = false
		}
	}()
	from := p
	for !from.has {
		if from.asked {
			return r.failAt(int(p.at.Line), "point_circle", fmt.Sprintf("the point %q refers to itself, by way of others", short(p.ref)), "give one of them coordinates")
		}
		from.asked = true
		asked = append(asked, from)
		to, ok := r.named[from.ref]
		if !ok {
			return r.failAt(int(from.at.Line), "unknown_point", fmt.Sprintf("there is no point %q", short(from.ref)), "correct pntRef, or give coordinates")
		}
		if to.clash != 0 {
			return r.failAt(int(from.at.Line), "ambiguous_point", fmt.Sprintf("two points are named %q, in lines %d and %d", short(from.ref), to.at.Line, to.clash), "give each its own name")
		}
		from = to
	}
	for _, q := range asked {
		q.has = true
		q.at.E, q.at.N, q.at.Level = from.at.E, from.at.N, from.at.Level
	}
	return nil
}

// finishPoints gives all COGO points their coordinates and sorts out those that
// are not ground.
func (r *reader) finishPoints() error {
	for _, p := range r.points {
		if err := r.resolve(&p.place); err != nil {
			return err
		}
		if p.notGround {
			r.file.NotGround = append(r.file.NotGround, p.at)
		} else {
			r.file.Points = append(r.file.Points, p.at)
		}
	}
	if n := len(r.file.NotGround); n > 0 {
		r.note("not_ground", fmt.Sprintf("%s marked donotinclude, destroyed or abandoned: not ground", count(n, "point")))
	}
	if t := r.marked; t.count > 0 {
		r.note("marked_level", fmt.Sprintf("levels of -999 or -9999 were taken as missing (%d, the first in line %d)", t.count, t.line))
	}
	return nil
}

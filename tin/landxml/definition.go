package landxml

import (
	"encoding/xml"
	"fmt"

	"barrow/tin"
)

// definition is a surface as built: points with their ids, and faces by ids.
type definition struct {
	points []tin.Point
	refs   []pointRef // points whose coordinates are those of another
	ids    idIndex
	faces  []face
	hidden tally
	ranges levelRange
	area   string // area2DSurf, as stated
}

// pointRef is a point of a surface that refers to a COGO point.
type pointRef struct {
	index int
	place place
}

// face is a face as read. Three corners have the fourth id 0.
type face struct {
	id   [4]int32
	line int32
}

// idIndex finds points by their ids. Most files number them 1, 2, 3 in order;
// those need no map.
type idIndex struct {
	inOrder int32 // ids 1 to inOrder are the first points
	other   map[int32]int32
}

// add gives the next point, with that index, its id, and reports whether it was free.
func (x *idIndex) add(id, index int32) bool {
	if id <= x.inOrder {
		return false
	}
	if x.other == nil && id == index+1 {
		x.inOrder = id
		return true
	}
	if x.other == nil {
		x.other = make(map[int32]int32)
	}
	if _, taken := x.other[id]; taken {
		return false
	}
	x.other[id] = index
	return true
}

func (x *idIndex) find(id int32) (index int32, ok bool) {
	if id <= x.inOrder {
		return id - 1, true
	}
	index, ok = x.other[id]
	return index, ok
}

func (r *reader) definition(s *surface, el xml.StartElement) error {
	if s.definition != nil {
		return r.fail("repeated_element", fmt.Sprintf("a second <Definition> of the surface %q", short(s.Name)), "keep one of them")
	}
	d := &definition{area: attr(el, "area2DSurf")}
	s.definition = d
	var err error
	if d.ranges, err = r.levelRange(el); err != nil {
		return err
	}
	return r.each(func(el xml.StartElement) error {
		switch el.Name.Local {
		case "Pnts":
			return r.each(func(el xml.StartElement) error { return r.surfacePoint(d, el) })
		case "Faces":
			if !r.opts.PointsOnly {
				return r.each(func(el xml.StartElement) error { return r.face(d, el) })
			}
		}
		return r.skip()
	})
}

func (r *reader) surfacePoint(d *definition, el xml.StartElement) error {
	if el.Name.Local != "P" {
		return r.skip()
	}
	id, err := r.id([]byte(attr(el, "id")), r.line())
	if err != nil {
		return err
	}
	index := len(d.points)
	if !d.ids.add(id, int32(index)) {
		return r.fail("repeated_id", fmt.Sprintf("a second point with the id %d", id), "each point of a surface has its own id")
	}
	p, err := r.place(el)
	if err != nil {
		return err
	}
	if !p.has {
		d.refs = append(d.refs, pointRef{index, p})
	}
	d.points = append(d.points, p.at)
	return nil
}

func (r *reader) face(d *definition, el xml.StartElement) error {
	if el.Name.Local != "F" {
		return r.skip()
	}
	f := face{line: int32(r.line())}
	n := 0
	err := r.fields(func(word []byte, line int) error {
		if n == len(f.id) {
			return r.fail("bad_face", "a face has more than four corners", "faces have 3 or 4")
		}
		var err error
		f.id[n], err = r.id(word, line)
		n++
		return err
	})
	if err != nil {
		return err
	}
	if n < 3 {
		return r.fail("bad_face", fmt.Sprintf("a face has %s", count(n, "corner")), "faces have 3 or 4")
	}
	if hidden := attr(el, "i"); hidden == "1" || hidden == "true" {
		d.hidden.add(int(f.line))
		return nil
	}
	d.faces = append(d.faces, f)
	return nil
}

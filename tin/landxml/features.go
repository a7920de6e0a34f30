package landxml

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"math"

	"barrow/tin"
)

// joinTolerance is how far the parts of a line may lie apart and still be joined,
// in metres: files are often rounded to the millimetre.
const joinTolerance = 0.001

// feature is a plan feature or parcel as read: the parts of one CoordGeom.
type feature struct {
	Feature
	parts []part
}

// part is one element of a CoordGeom.
type part struct {
	kind               string // Line, IrregularLine, Curve, Chain, or one that is not read
	line               int
	start, end, center *place
	list               []tin.Point
	rot                string
	chain              []place
}

func (r *reader) planFeature(el xml.StartElement) error {
	if el.Name.Local != "PlanFeature" {
		return r.skip()
	}
	return r.coordGeoms(el, PlanFeature)
}

func (r *reader) parcel(el xml.StartElement) error {
	if el.Name.Local != "Parcel" {
		return r.skip()
	}
	return r.coordGeoms(el, Parcel)
}

// coordGeoms reads the lines of a plan feature or parcel, each as a feature of its
// own.
func (r *reader) coordGeoms(el xml.StartElement, kind FeatureKind) error {
	name := attr(el, "name")
	return r.each(func(el xml.StartElement) error {
		switch el.Name.Local {
		case "CoordGeom":
			f := &feature{Feature: Feature{Kind: kind, Name: name, Line: r.line()}}
			r.features = append(r.features, f)
			return r.each(func(el xml.StartElement) error { return r.linePart(f, el) })
		case "Parcels":
			return r.each(r.parcel)
		case "Location", "VolumeGeom":
			r.notRead[string(kind)+"/"+el.Name.Local]++
		}
		return r.skip()
	})
}

// linePart reads one part of a line.
func (r *reader) linePart(f *feature, el xml.StartElement) error {
	p := part{kind: el.Name.Local, line: r.line(), rot: attr(el, "rot")}
	var err error
	switch p.kind {
	case "Line", "IrregularLine", "Curve":
		err = r.each(func(el xml.StartElement) error { return r.inPart(&p, el) })
	case "Chain":
		err = r.fields(func(word []byte, line int) error {
			p.chain = append(p.chain, place{ref: string(word), at: tin.Point{Line: int32(line)}})
			return r.position()
		})
	case "Feature":
		return r.skip()
	default:
		err = r.skip()
	}
	f.parts = append(f.parts, p)
	return err
}

func (r *reader) inPart(p *part, el xml.StartElement) error {
	switch el.Name.Local {
	case "Start":
		return r.placeTo(&p.start, el)
	case "End":
		return r.placeTo(&p.end, el)
	case "Center":
		return r.placeTo(&p.center, el)
	case "PntList2D", "PntList3D":
		var err error
		p.list, err = r.list(p.list, el)
		return err
	}
	return r.skip()
}

func (r *reader) placeTo(to **place, el xml.StartElement) error {
	at, err := r.place(el)
	*to = &at
	return err
}

// finishFeatures makes lines of the parts. One that cannot be made keeps its error;
// only too many points end it all.
func (r *reader) finishFeatures() error {
	bad := 0
	var why error // of the first
	for _, f := range r.features {
		m := lineMaker{reader: r, tolerance: joinTolerance / r.file.Unit.Metres()}
		err := m.make(f)
		if m.full != nil {
			return m.full
		}
		if err != nil {
			f.Err = err
			bad++
			why = cmp.Or(why, err)
		} else {
			f.Vertices, f.Closed = m.vertices, m.close()
		}
		r.file.Features = append(r.file.Features, f.Feature)
	}
	if bad > 0 {
		r.note("features_not_read", fmt.Sprintf("%s could not be read, the first: %v", count(bad, "feature"), why))
	}
	if r.curves.count > 0 {
		r.note("curves_chorded", fmt.Sprintf("%s (the first in line %d) taken as %s, within %g m of the arcs", count(r.curves.count, "curve"), r.curves.line, count(r.chords, "chord"), r.sagitta()))
	}
	return nil
}

// lineMaker joins the parts of a line.
type lineMaker struct {
	*reader
	tolerance float64 // in the unit of the file
	vertices  []tin.Point
	full      error // too many points
}

func (m *lineMaker) make(f *feature) error {
	for i := range f.parts {
		if err := m.part(&f.parts[i]); err != nil {
			return err
		}
	}
	if len(m.vertices) < 2 {
		return m.failAt(f.Line, "short_feature", fmt.Sprintf("%s %q has fewer than two vertices", f.Kind, short(f.Name)), "correct it, or take it out")
	}
	return nil
}

func (m *lineMaker) part(p *part) error {
	switch p.kind {
	case "Chain":
		for i := range p.chain {
			if err := m.resolve(&p.chain[i]); err != nil {
				return err
			}
			at := p.chain[i].at
			at.Name = p.chain[i].ref
			if i > 0 {
				m.vertices = append(m.vertices, at)
			} else if err := m.join(at); err != nil {
				return err
			}
		}
		return nil
	case "Line", "IrregularLine", "Curve":
	case "Spiral":
		return m.failAt(p.line, "spiral", "a spiral is not read", "export the line with arcs or chords in its place")
	default:
		return m.failAt(p.line, "unknown_line", fmt.Sprintf("<%s> is not read as part of a line", short(p.kind)), "export the line as lines and curves")
	}
	if p.start == nil || p.end == nil {
		return m.failAt(p.line, "bad_line", fmt.Sprintf("<%s> has no <Start> or no <End>", p.kind), "add it")
	}
	for _, at := range []*place{p.start, p.end} {
		if err := m.resolve(at); err != nil {
			return err
		}
	}
	if p.kind == "Curve" {
		return m.curve(p)
	}
	return m.irregular(p)
}

// irregular adds a line with the positions between its ends, if it has any. Those
// mostly hold the ends too.
func (m *lineMaker) irregular(p *part) error {
	if err := m.join(p.start.at); err != nil {
		return err
	}
	between := p.list
	if len(between) > 0 && m.near(between[0], p.start.at) {
		between = between[1:]
	}
	if n := len(between); n > 0 && m.near(between[n-1], p.end.at) {
		between = between[:n-1]
	}
	m.vertices = append(append(m.vertices, between...), p.end.at)
	return nil
}

// join takes up a line at its last vertex.
func (m *lineMaker) join(p tin.Point) error {
	if len(m.vertices) == 0 {
		m.vertices = append(m.vertices, p)
		return nil
	}
	last := &m.vertices[len(m.vertices)-1]
	if !m.near(*last, p) {
		return m.failAt(int(p.Line), "feature_gap", fmt.Sprintf("a part of a line begins at E %.3f N %.3f, and the part before ends at E %.3f N %.3f", p.E, p.N, last.E, last.N), "close the gap, or make it two lines")
	}
	if !last.HasLevel() {
		last.Level = p.Level
	}
	return nil
}

func (m *lineMaker) near(p, q tin.Point) bool {
	return math.Hypot(p.E-q.E, p.N-q.N) <= m.tolerance
}

// close ends a line that comes back to its start there, and reports whether it does.
func (m *lineMaker) close() bool {
	first, last := m.vertices[0], &m.vertices[len(m.vertices)-1]
	if len(m.vertices) < 4 || !m.near(first, *last) {
		return false
	}
	last.E, last.N = first.E, first.N
	if !last.HasLevel() {
		last.Level = first.Level
	}
	return true
}

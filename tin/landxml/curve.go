package landxml

import (
	"fmt"
	"math"

	"barrow/tin"
)

const (
	defaultSagitta = 0.001 // metres
	radiusOff      = 0.010 // metres that the distances from a centre to the ends of an arc may differ
	maxChords      = 100_000
)

func (r *reader) sagitta() float64 {
	if r.opts.Sagitta > 0 {
		return r.opts.Sagitta
	}
	return defaultSagitta
}

// curve adds an arc as chords whose ends lie on it.
func (m *lineMaker) curve(p *part) error {
	if p.center == nil {
		return m.failAt(p.line, "bad_curve", "a curve has no <Center>", "add it")
	}
	if err := m.resolve(p.center); err != nil {
		return err
	}
	if p.rot != "cw" && p.rot != "ccw" {
		return m.failAt(p.line, "bad_curve", fmt.Sprintf("rot of a curve is %q", short(p.rot)), `it is "cw" or "ccw"`)
	}
	a, err := m.arc(p)
	if err != nil {
		return err
	}
	if err := m.join(p.start.at); err != nil {
		return err
	}
	for i := 1; i < a.chords; i++ {
		if m.full = m.position(); m.full != nil {
			return m.full
		}
		v := a.at(float64(i) / float64(a.chords))
		v.Line = int32(p.line)
		m.vertices = append(m.vertices, v)
	}
	m.vertices = append(m.vertices, p.end.at)
	m.curves.add(p.line)
	m.chords += a.chords
	return nil
}

// arc is an arc from one point to another round a centre. Where the file's rounding
// makes its radii differ, it goes from one to the other.
type arc struct {
	center, start, end tin.Point
	from, to           float64 // radii
	angle, sweep       float64 // of the start, and how far it turns: radians, anticlockwise from east
	chords             int
}

func (m *lineMaker) arc(p *part) (arc, error) {
	a := arc{center: p.center.at, start: p.start.at, end: p.end.at}
	unit := m.file.Unit.Metres()
	se, sn := a.start.E-a.center.E, a.start.N-a.center.N
	ee, en := a.end.E-a.center.E, a.end.N-a.center.N
	a.from, a.to = math.Hypot(se, sn), math.Hypot(ee, en)
	if a.from == 0 || a.to == 0 || math.Abs(a.from-a.to) > radiusOff/unit {
		return a, m.failAt(p.line, "bad_curve", fmt.Sprintf("a curve begins %g and ends %g from its centre", a.from, a.to), "the two are its radius, to 10 mm")
	}
	a.angle = math.Atan2(sn, se)
	a.sweep = math.Mod(math.Atan2(en, ee)-a.angle, 2*math.Pi)
	if p.rot == "ccw" && a.sweep <= 0 {
		a.sweep += 2 * math.Pi
	} else if p.rot == "cw" && a.sweep >= 0 {
		a.sweep -= 2 * math.Pi
	}
	// A chord over the angle t lies r (1 - cos t/2) = 2 r sin^2 t/4 from its arc.
	most := 4 * math.Asin(math.Sqrt(min(m.sagitta()/unit/(2*max(a.from, a.to)), 1)))
	chords := math.Ceil(math.Abs(a.sweep) / min(most, math.Pi/4))
	if !(chords <= maxChords) {
		return a, m.failAt(p.line, "bad_curve", fmt.Sprintf("a curve of radius %g needs more than %d chords", a.from, maxChords), "allow a greater distance between arc and chords")
	}
	a.chords = max(int(chords), 1)
	return a, nil
}

// at gives the point at a share of the arc.
func (a *arc) at(share float64) tin.Point {
	r := a.from + float64(share*(a.to-a.from))
	sin, cos := math.Sincos(a.angle + float64(share*a.sweep))
	return tin.Point{
		E: a.center.E + float64(r*cos), N: a.center.N + float64(r*sin),
		Level: a.start.Level + float64(share*(a.end.Level-a.start.Level)), // NaN where one has none
	}
}

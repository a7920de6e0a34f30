package formation

import (
	"context"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/daylight"
)

// Line is a line with levels. A closed one repeats its first place.
type Line []tin.Vertex

// Length returns the length in plan, metres.
func (l Line) Length() float64 {
	var sum tin.Sum
	for i := 1; i < len(l); i++ {
		sum.Add(math.Hypot(l[i].E-l[i-1].E, l[i].N-l[i-1].N))
	}
	return sum.Value()
}

// Lines returns the rings of the outline as closed lines with the formation's levels.
func (o *Outline) Lines() (out []Line) {
	for _, ring := range o.Rings {
		var l Line
		for _, c := range ring {
			l = append(l, tin.Vertex{E: c.E, N: c.N, Level: c.Level})
		}
		out = append(out, append(l, l[0]))
	}
	return out
}

// surround finds the outline of the works, and in it where batters meet the ground.
func (d *Dig) surround(ctx context.Context) error {
	var polygons []orb.Polygon
	for i := range d.layout.Outlines {
		polygons = append(polygons, d.layout.Outlines[i].polygon())
	}
	cells, err := partition(d.ground, polygons, nil, fine*rounding(polygons))
	if err != nil {
		return fmt.Errorf("formation: the outlines cannot be joined: %w", err)
	}
	frame := d.ground.Frame()
	parts := make([][]orb.Point, 0, len(cells)+len(d.pieces))
	for _, c := range cells {
		parts = append(parts, localCell(frame, c))
	}
	for i := range d.pieces {
		parts = append(parts, plan(&d.pieces[i]))
	}
	near := snap / frame.Length()
	m, err := newMosaic(ctx, parts, make([]int32, len(parts)), near)
	if err != nil {
		return err
	}
	rings := m.rings(m.stretches, near)
	if err := m.holdsAll(parts, rings, near); err != nil {
		return err
	}
	d.Outline = m.polygons(frame, rings)
	t := lineTracer{dig: d, mosaic: m, first: len(cells)}
	for _, ring := range rings {
		if err := ctx.Err(); err != nil {
			return err
		}
		t.ring(ring)
	}
	return nil
}

// polygon returns the outline, metres, its rings open.
func (o *Outline) polygon() (out orb.Polygon) {
	for _, ring := range o.Rings {
		var r orb.Ring
		for _, c := range ring {
			r = append(r, orb.Point{c.E, c.N})
		}
		out = append(out, r)
	}
	return out
}

func localCell(frame tin.Frame, c tin.Cell) []orb.Point {
	out := make([]orb.Point, 3)
	for i, p := range c.Corner {
		out[i][0], out[i][1] = frame.Local(p)
	}
	return out
}

func plan(p *daylight.Piece) []orb.Point {
	out := make([]orb.Point, len(p.Corner))
	for i, c := range p.Corner {
		out[i] = orb.Point{c.X, c.Y}
	}
	return out
}

// holdsAll checks that rings enclose the area of the parts. Corners that were made one
// move rings by near at most.
func (m *mosaic) holdsAll(parts [][]orb.Point, rings [][]rimStretch, near float64) error {
	var area, enclosed, length tin.Sum
	for _, p := range parts {
		area.Add(ringArea2(p) / 2)
	}
	for _, r := range rings {
		enclosed.Add(ringArea2(m.corners(r)) / 2)
	}
	for _, s := range m.stretches {
		length.Add(distance(m.place[s.from], m.place[s.to]))
	}
	if off := math.Abs(area.Value() - enclosed.Value()); off > 1e-9*area.Value()+4*near*length.Value() {
		return fmt.Errorf("formation: the outline of the works does not close: it holds %g of %g square units", enclosed.Value(), area.Value())
	}
	return nil
}

// corners returns the corners of a ring, local.
func (m *mosaic) corners(ring []rimStretch) []orb.Point {
	out := make([]orb.Point, len(ring))
	for i, s := range ring {
		out[i] = m.place[s.from]
	}
	return out
}

// polygons returns rings in metres, closed: each outer one with the holes in it.
func (m *mosaic) polygons(frame tin.Frame, rings [][]rimStretch) orb.MultiPolygon {
	corners := make([][]orb.Point, len(rings))
	for i, r := range rings {
		corners[i] = m.corners(r)
	}
	return nested(corners, func(p orb.Point) orb.Point { return frame.Metres(p[0], p[1]) })
}

// nested returns rings as polygons, outer rings with the holes in them, each corner put
// in its place.
func nested(rings [][]orb.Point, place func(orb.Point) orb.Point) (out orb.MultiPolygon) {
	var outer, holes [][]orb.Point
	for _, r := range rings {
		if ringArea2(r) > 0 {
			outer = append(outer, r)
			out = append(out, orb.Polygon{closedRing(r, place)})
		} else {
			holes = append(holes, r)
		}
	}
	for _, h := range holes {
		if k := smallestRound(outer, h); k >= 0 {
			out[k] = append(out[k], closedRing(h, place))
		}
	}
	return out
}

func closedRing(ring []orb.Point, place func(orb.Point) orb.Point) orb.Ring {
	out := make(orb.Ring, 0, len(ring)+1)
	for _, p := range ring {
		out = append(out, place(p))
	}
	return append(out, out[0])
}

// smallestRound returns the smallest of the outer rings round a hole, or -1.
func smallestRound(outer [][]orb.Point, hole []orb.Point) int {
	found, least := -1, math.Inf(1)
	middle := orb.Point{hole[0][0]/2 + hole[1][0]/2, hole[0][1]/2 + hole[1][1]/2}
	for i, ring := range outer {
		if area := ringArea2(ring); area < least && ringHolds(ring, middle) {
			found, least = i, area
		}
	}
	return found
}

// ringHolds reports whether an odd number of a ring's sides lie east of a place.
func ringHolds(ring []orb.Point, p orb.Point) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a[1] > p[1]) == (b[1] > p[1]) {
			continue
		}
		if (cross(a, b, p) > 0) == (b[1] > a[1]) {
			in = !in
		}
	}
	return in
}

// lineTracer follows rings of the outline for the lines where batters meet the
// ground. first is the number of the first part that is a piece of batter.
type lineTracer struct {
	dig    *Dig
	mosaic *mosaic
	first  int
}

// kind is what a stretch of the outline is: part of a pad's crest or toe, or neither.
type kind struct {
	pad       int
	line, cut bool
}

// ring adds the lines along a ring. One that goes on over the ring's start is one.
func (t *lineTracer) ring(ring []rimStretch) {
	start := 0
	for i := range ring {
		if t.kind(ring[i]) != t.kind(ring[(i+len(ring)-1)%len(ring)]) {
			start = i
			break
		}
	}
	var line Line
	var of kind
	for i := range ring {
		s := ring[(start+i)%len(ring)]
		k := t.kind(s)
		if i > 0 && k != of {
			t.keep(of, line)
			line = nil
		}
		of = k
		if k.line {
			if from, to := t.end(s, s.from, s.t0), t.end(s, s.to, s.t1); line == nil {
				line = Line{from, to}
			} else {
				line = append(line, to)
			}
		}
	}
	if of.line && line[0].E == line[len(line)-1].E && line[0].N == line[len(line)-1].N {
		line[len(line)-1] = line[0]
	}
	t.keep(of, line)
}

func (t *lineTracer) keep(of kind, line Line) {
	switch p := &t.dig.Pads[of.pad]; {
	case !of.line:
	case of.cut:
		p.Crest = append(p.Crest, line)
	default:
		p.Toe = append(p.Toe, line)
	}
}

// kind tells a stretch where a batter meets the ground from an upright step, and from
// the ground's rim.
func (t *lineTracer) kind(s rimStretch) kind {
	if int(s.part) < t.first {
		return kind{}
	}
	p := &t.dig.pieces[int(s.part)-t.first]
	if p.Side[s.side] != daylight.Daylight {
		for _, at := range []float64{s.t0, s.t1} {
			if c := alongSide(p, int(s.side), at); math.Abs(c.Ground-c.Face) > leastOpen {
				return kind{}
			}
		}
	}
	return kind{t.dig.padOf(p.Place), true, p.Cut}
}

// end returns an end of a stretch with the level of the face there.
func (t *lineTracer) end(s rimStretch, node int32, at float64) tin.Vertex {
	p := t.mosaic.place[node]
	m := t.dig.ground.Frame().Metres(p[0], p[1])
	return tin.Vertex{E: m[0], N: m[1], Level: alongSide(&t.dig.pieces[int(s.part)-t.first], int(s.side), at).Face}
}

// alongSide returns the levels at a place on a side of a piece, 0 at its start and 1 at
// its end.
func alongSide(p *daylight.Piece, side int, at float64) tin.FaceCorner {
	a, b := p.Corner[side], p.Corner[(side+1)%len(p.Corner)]
	between := func(u, v float64) float64 {
		if at == 1 {
			return v
		}
		return u + float64(at*(v-u))
	}
	return tin.FaceCorner{X: between(a.X, b.X), Y: between(a.Y, b.Y), Ground: between(a.Ground, b.Ground), Face: between(a.Face, b.Face)}
}

// padOf returns the pad that a side of a formation outline belongs to.
func (d *Dig) padOf(at daylight.Place) int {
	return d.layout.Outlines[at.Pad].Rings[at.Ring][at.Side].Pad
}

package formation

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Thickened is a thickening laid out in its pad.
type Thickened struct {
	Length    float64 // metres in plan of its lines together, crossings in each; 0 of areas
	Footprint float64 // m2 in plan, what it covers twice counted once
	Outside   float64 // of Footprint, outside the pad's formation or where another pad rules: not dug

	// Pieces is where it rules within the pad's formation: convex, with the formation as
	// Ground and the underside as Face. Triangle is -1. Pieces of all thickenings of
	// a layout share no plan.
	Pieces []tin.FacePiece
}

// Thickenings lays out the thickenings of all pads, per pad and thickening in their
// order. Each is dug from the formation where its own pad rules, margin included. Where
// several overlap the lowest underside rules, the later of those that are level, so that
// nothing is counted twice.
//
// Warnings: [CodeThickeningOutside]. An underside that is given as a level and is not
// below formation is a *tin.InputError. If ctx ends its error is returned.
func (l *Layout) Thickenings(ctx context.Context, ground *tin.Surface, opts Options) ([][]Thickened, []tin.Problem, error) {
	out := make([][]Thickened, len(l.Pads))
	var warnings []tin.Problem
	for i := range l.Pads {
		pad := &l.Pads[i]
		if len(pad.Pad.Thickenings) == 0 {
			continue
		}
		t := newThicken(ground, pad)
		if err := t.dig(ctx, i, opts); err != nil {
			return nil, nil, indexError(err, i)
		}
		out[i] = t.out
		warnings = append(warnings, t.outside(i, opts)...)
	}
	return out, warnings, nil
}

// thicken digs the thickenings of one pad.
type thicken struct {
	ground *tin.Surface
	pad    *LaidPad
	facets []tin.Facet
	out    []Thickened
	at     []orb.Point // of each, a place outside
	inside []tin.Sum   // of each, m2 within the pad's formation
}

func newThicken(ground *tin.Surface, pad *LaidPad) *thicken {
	n := len(pad.Pad.Thickenings)
	return &thicken{
		ground: ground, pad: pad, facets: slices.Concat(pad.Facets, pad.Margin),
		out: make([]Thickened, n), at: make([]orb.Point, n), inside: make([]tin.Sum, n),
	}
}

// dig cuts the footprints by each other and by the facets of the formation.
func (t *thicken) dig(ctx context.Context, pad int, opts Options) error {
	var polygons []orb.Polygon
	var of []int // the thickening of each polygon
	for k := range t.out {
		th := &t.pad.Pad.Thickenings[k]
		t.out[k].Length = th.length()
		for _, p := range th.footprint() {
			polygons, of = append(polygons, p), append(of, k)
		}
	}
	cells, err := partition(t.ground, polygons, nil, fine*rounding(polygons))
	if err != nil {
		return padError(err, "the thickenings of "+named(t.pad.Pad, pad).label(), "thickenings")
	}
	boxes := make([]orb.Bound, len(t.facets))
	for i, f := range t.facets {
		boxes[i] = orb.MultiPoint(f.Cell.Corner[:]).Bound()
	}
	tree := newBoxTree(boxes)
	footprint := make([]tin.Sum, len(t.out))
	for _, c := range cells {
		if err := ctx.Err(); err != nil {
			return err
		}
		var claims []int
		for _, i := range c.In { // polygons are in the order of thickenings
			if n := len(claims); n == 0 || claims[n-1] != of[i] {
				claims = append(claims, of[i])
			}
		}
		for _, k := range claims {
			footprint[k].Add(c.Area)
		}
		var meeting []int
		tree.meeting(orb.MultiPoint(c.Corner[:]).Bound(), func(i int) { meeting = append(meeting, i) })
		slices.Sort(meeting)
		rest := c.Area
		for _, i := range meeting {
			area, err := t.within(&c, &t.facets[i], claims, opts)
			if err != nil {
				return err
			}
			rest -= area
		}
		for _, k := range claims {
			if rest > leastOverlap {
				t.at[k] = cellCentroid(c)
			}
		}
	}
	for k := range t.out {
		t.out[k].Footprint = footprint[k].Value()
		t.out[k].Outside = max(0, footprint[k].Value()-t.inside[k].Value())
		if t.out[k].Outside <= leastOverlap {
			t.out[k].Outside = 0
		}
	}
	return nil
}

// within digs the part of a cell in a facet, and returns its area.
func (t *thicken) within(c *tin.Cell, f *tin.Facet, claims []int, opts Options) (float64, error) {
	frame := t.ground.Frame()
	shape := cellShape(frame, c)
	side := cellShape(frame, &f.Cell)
	for i := range side {
		a, b := side[i], side[(i+1)%len(side)]
		shape = shape.keep(func(v tin.FaceCorner) float64 { return leftOf(a, b, v) })
	}
	area := shape.area2() / 2 * frame.Area()
	if !(area > 0) {
		return 0, nil
	}
	for _, k := range claims {
		t.inside[k].Add(area)
	}
	for i := range shape {
		at := frame.Metres(shape[i].X, shape[i].Y)
		shape[i].Ground = f.Plane.LevelAt(at[0], at[1])
	}
	for _, k := range claims {
		piece := shape
		for _, other := range claims {
			if other != k {
				piece = t.lower(piece, k, other)
			}
		}
		if !(piece.area2() > 0) {
			continue
		}
		for i := range piece {
			piece[i].Face = t.underside(k, piece[i])
		}
		if err := t.checkLevel(k, piece, frame, opts); err != nil {
			return 0, err
		}
		t.out[k].Pieces = append(t.out[k].Pieces, tin.FacePiece{Triangle: -1, Corner: piece})
	}
	return area, nil
}

// underside returns the level that a thickening is dug to at a corner whose Ground is
// the formation.
func (t *thicken) underside(k int, at tin.FaceCorner) float64 {
	th := t.pad.Pad.Thickenings[k]
	if th.Underside != nil {
		return t.pad.Pad.DigTo(th)
	}
	return at.Ground - t.pad.Pad.Below(th)
}

// lower returns the part of a piece where thickening k is lower than another, or is the
// later and as low.
func (t *thicken) lower(piece shape, k, other int) shape {
	over := func(c tin.FaceCorner) float64 { return t.underside(other, c) - t.underside(k, c) }
	level := true
	for _, c := range piece {
		level = level && math.Abs(over(c)) <= levelTie
	}
	switch {
	case !level:
		return piece.keep(over)
	case k > other:
		return piece
	}
	return nil
}

// checkLevel refuses an underside given as a level that is not below formation.
func (t *thicken) checkLevel(k int, piece shape, frame tin.Frame, opts Options) error {
	th := &t.pad.Pad.Thickenings[k]
	if th.Underside == nil {
		return nil
	}
	for _, c := range piece {
		if c.Ground-*th.Underside > levelTie {
			continue
		}
		at := frame.Metres(c.X, c.Y)
		e := inputError(CodeThickeningShallow, fmt.Sprintf("thickenings[%d].underside", k), "give the level of the underside of what stands in it",
			"the underside of %s, %s, is not below formation, %s, at %s", th.label(k), opts.length("%.3f", *th.Underside), opts.length("%.3f", c.Ground), opts.place(at[0], at[1]))
		e.At = &at
		return e
	}
	return nil
}

// outside warns of thickenings that lie partly outside the pad's formation.
func (t *thicken) outside(pad int, opts Options) (out []tin.Problem) {
	for k := range t.out {
		if t.out[k].Outside == 0 {
			continue
		}
		out = append(out, tin.Problem{Code: CodeThickeningOutside, At: &t.at[k], Message: fmt.Sprintf(
			"%s of %s lies outside its formation, or where another pad rules, over %s of its %s: that part is not measured",
			t.pad.Pad.Thickenings[k].label(k), named(t.pad.Pad, pad).label(), opts.area(t.out[k].Outside), opts.area(t.out[k].Footprint))})
	}
	return out
}

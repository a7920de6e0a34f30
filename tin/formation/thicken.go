package formation

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/boxtree"
)

// Thickened is a thickening laid out in its pad.
type Thickened struct {
	Length        float64 // metres in plan of its lines together, crossings in each; 0 of areas
	Footprint     float64 // m2 in plan, what it covers twice counted once
	Outside       float64 // of Footprint, outside the pad's formation or where another pad rules: not dug
	BatterOutside float64 // m2 of its batters there
	Bound         float64 // by how much the facets of round corners overstate Batter at most, m3

	// Pieces is where its underside rules within the pad's formation: convex, with the
	// formation as Ground and the underside as Face. Batter is the same under its sides.
	// Triangle is -1. Pieces of all thickenings of a layout share no plan.
	Pieces, Batter []tin.FacePiece
}

// Thickenings lays out the thickenings of all pads, per pad and thickening in their
// order. Each is dug from the formation where its own pad rules, margin included. Where
// several overlap, undersides or batters, the lowest rules, the later of those that are
// level, so that nothing is counted twice.
//
// Warnings: [CodeThickeningOutside]. An underside that is given as a level and is not
// below formation, and a batter flatter than the pad falls, are a *tin.InputError. If ctx
// ends its error is returned.
func (l *Layout) Thickenings(ctx context.Context, ground *tin.Surface, opts Options) ([][]Thickened, []tin.Problem, error) {
	out := make([][]Thickened, len(l.Pads))
	var warnings []tin.Problem
	for i := range l.Pads {
		pad := &l.Pads[i]
		if len(pad.Pad.Thickenings) == 0 {
			continue
		}
		t, err := newThicken(ctx, ground, pad, i, opts)
		if err == nil {
			err = t.dig()
		}
		if err != nil {
			return nil, nil, indexError(err, i)
		}
		out[i] = t.out
		warnings = append(warnings, t.outside()...)
	}
	return out, warnings, nil
}

// thicken digs the thickenings of one pad.
type thicken struct {
	ctx     context.Context
	ground  *tin.Surface
	surface *tin.Surface // what it works in the frame of: the ground, or with batters the formation
	pad     *LaidPad
	number  int
	opts    Options
	facets  []tin.Facet
	tree    *boxtree.Tree // of facets
	parts   []part
	out     []Thickened
	at      []orb.Point // of each, a place outside
}

// part is a convex part of a thickening in plan, under one plane.
type part struct {
	of    int
	shape shape // in the frame of the surface; Ground is the formation, once it is within a facet
	face  func(c tin.FaceCorner) float64
	cell  int // of the footprints, from 1, the same for all thickenings there; 0 under a batter
}

func newThicken(ctx context.Context, ground *tin.Surface, pad *LaidPad, number int, opts Options) (*thicken, error) {
	n := len(pad.Pad.Thickenings)
	t := &thicken{
		ctx: ctx, ground: ground, surface: ground, pad: pad, number: number, opts: opts,
		facets: slices.Concat(pad.Facets, pad.Margin), out: make([]Thickened, n), at: make([]orb.Point, n),
	}
	boxes := make([]orb.Bound, len(t.facets))
	for i, f := range t.facets {
		boxes[i] = orb.MultiPoint(f.Cell.Corner[:]).Bound()
	}
	t.tree = boxtree.New(boxes)
	if !slices.ContainsFunc(pad.Pad.Thickenings, func(th Thickening) bool { return th.Along > 0 }) {
		return t, nil
	}
	var err error
	t.surface, err = t.flat()
	return t, err
}

// label names a thickening in messages.
func (t *thicken) label(k int) string { return t.pad.Pad.Thickenings[k].label(k) }

// dig finds all parts, and of each what lies within the formation and no other is below.
func (t *thicken) dig() error {
	if err := t.footprints(); err != nil {
		return err
	}
	if err := t.batters(); err != nil {
		return err
	}
	boxes := make([]orb.Bound, len(t.parts))
	for i := range t.parts {
		boxes[i] = t.bound(t.parts[i].shape)
	}
	tree := boxtree.New(boxes)
	for i := range t.parts {
		if err := t.ctx.Err(); err != nil {
			return err
		}
		var over []int
		tree.Meeting(boxes[i], func(j int) { over = append(over, j) })
		slices.Sort(over)
		if err := t.digPart(&t.parts[i], boxes[i], over); err != nil {
			return err
		}
	}
	for k := range t.out {
		for _, area := range []*float64{&t.out[k].Outside, &t.out[k].BatterOutside} {
			if *area <= leastOverlap {
				*area = 0
			}
		}
	}
	return nil
}

// bound returns the box of a shape, metres.
func (t *thicken) bound(s shape) orb.Bound {
	var places orb.MultiPoint
	for _, c := range s {
		places = append(places, t.surface.Frame().Metres(c.X, c.Y))
	}
	return places.Bound()
}

// footprints makes the parts of the footprints, cut by each other.
func (t *thicken) footprints() error {
	var polygons []orb.Polygon
	var of []int // the thickening of each polygon
	for k := range t.out {
		th := &t.pad.Pad.Thickenings[k]
		t.out[k].Length = th.length()
		for _, p := range th.footprint() {
			polygons, of = append(polygons, p), append(of, k)
		}
	}
	cells, err := partition(t.surface, polygons, nil, fine*rounding(polygons))
	if err != nil {
		return padError(err, "the thickenings of "+named(t.pad.Pad, t.number).label(), "thickenings")
	}
	footprint := make([]tin.Sum, len(t.out))
	for n, c := range cells {
		last := -1
		for _, i := range c.In { // polygons are in the order of thickenings
			if k := of[i]; k != last {
				footprint[k].Add(c.Area)
				t.parts = append(t.parts, part{of: k, shape: cellShape(t.surface.Frame(), &c), face: t.underside(k), cell: n + 1})
				last = k
			}
		}
	}
	for k := range t.out {
		t.out[k].Footprint = footprint[k].Value()
	}
	return nil
}

// underside returns the level that a thickening is dug to at a corner whose Ground is
// the formation.
func (t *thicken) underside(k int) func(c tin.FaceCorner) float64 {
	th := t.pad.Pad.Thickenings[k]
	if th.Underside != nil {
		level := t.pad.Pad.DigTo(th)
		return func(tin.FaceCorner) float64 { return level }
	}
	below := t.pad.Pad.Below(th)
	return func(c tin.FaceCorner) float64 { return c.Ground - below }
}

// digPart digs what of a part lies within the formation and is the lowest.
func (t *thicken) digPart(p *part, box orb.Bound, over []int) error {
	var meeting []int
	t.tree.Meeting(box, func(i int) { meeting = append(meeting, i) })
	slices.Sort(meeting)
	outside := p.shape.area2()
	for _, i := range meeting {
		s := t.within(p.shape, &t.facets[i])
		if !(s.area2() > 0) {
			continue
		}
		outside -= s.area2()
		if p.cell > 0 {
			if err := t.checkLevel(p.of, s); err != nil {
				return err
			}
		}
		left := []shape{s}
		for _, j := range over {
			other := &t.parts[j]
			apart := p.cell > 0 && other.cell > 0 && p.cell != other.cell // cells share no area
			if other.of != p.of && !apart {
				left = p.above(left, other)
			}
		}
		for _, s := range left {
			t.keep(p, s)
		}
	}
	t.addOutside(p, max(0, outside/2*t.surface.Frame().Area()))
	return nil
}

func (t *thicken) addOutside(p *part, area float64) {
	out := &t.out[p.of]
	if area > leastOverlap && out.Outside+out.BatterOutside <= leastOverlap {
		t.at[p.of] = t.outermost(p.shape)
	}
	if p.cell > 0 {
		out.Outside += area
	} else {
		out.BatterOutside += area
	}
}

// outermost returns a corner of a shape outside the formation, or else the last.
func (t *thicken) outermost(s shape) (at orb.Point) {
	for _, c := range s {
		at = t.surface.Frame().Metres(c.X, c.Y)
		formed := false
		t.tree.Meeting(orb.Bound{Min: at, Max: at}, func(i int) { formed = formed || holds(t.facets[i].Cell, at) })
		if !formed {
			return at
		}
	}
	return at
}

// within returns the part of a shape in a facet, with the formation as Ground.
func (t *thicken) within(s shape, f *tin.Facet) shape {
	frame := t.surface.Frame()
	s = s.inside(cellShape(frame, &f.Cell))
	for i := range s {
		at := frame.Metres(s[i].X, s[i].Y)
		s[i].Ground = f.Plane.LevelAt(at[0], at[1])
	}
	return s
}

// above returns what of shapes of a part another part is not below: of parts that are
// level the later thickening rules.
func (p *part) above(list []shape, other *part) (left []shape) {
	for _, s := range list {
		common, rest := s, []shape(nil)
		if p.cell == 0 || other.cell == 0 {
			common = s.inside(other.shape)
			rest = s.outside(other.shape)
		}
		low, high := p.clearance(common, other)
		switch {
		case !(common.area2() > 0), low >= -levelTie && (high > levelTie || p.of > other.of):
			left = append(left, s)
		case high <= levelTie:
			left = append(left, rest...)
		default:
			lower := common.keep(func(c tin.FaceCorner) float64 { return other.face(c) - p.face(c) })
			left = append(append(left, lower), rest...)
		}
	}
	return left
}

// clearance returns the least and the greatest height of another part's plane above that
// of this one, over a shape.
func (p *part) clearance(s shape, other *part) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, c := range s {
		over := other.face(c) - p.face(c)
		low, high = min(low, over), max(high, over)
	}
	return low, high
}

// keep adds a piece to the result, in the frame of the ground.
func (t *thicken) keep(p *part, s shape) {
	if !(s.area2() > 0) {
		return
	}
	piece := tin.FacePiece{Triangle: -1, Corner: make([]tin.FaceCorner, len(s))}
	for i, c := range s {
		c.Face = p.face(c)
		if t.surface != t.ground {
			c.X, c.Y = t.ground.Frame().Local(t.surface.Frame().Metres(c.X, c.Y))
		}
		piece.Corner[i] = c
	}
	if out := &t.out[p.of]; p.cell > 0 {
		out.Pieces = append(out.Pieces, piece)
	} else {
		out.Batter = append(out.Batter, piece)
	}
}

// checkLevel refuses an underside given as a level that is not below formation.
func (t *thicken) checkLevel(k int, s shape) error {
	th := &t.pad.Pad.Thickenings[k]
	if th.Underside == nil {
		return nil
	}
	for _, c := range s {
		if c.Ground-*th.Underside > levelTie {
			continue
		}
		at := t.surface.Frame().Metres(c.X, c.Y)
		e := inputError(CodeThickeningShallow, fmt.Sprintf("thickenings[%d].underside", k), "give the level of the underside of what stands in it",
			"the underside of %s, %s, is not below formation, %s, at %s", t.label(k), t.opts.length("%.3f", *th.Underside), t.opts.length("%.3f", c.Ground), t.opts.place(at[0], at[1]))
		e.At = &at
		return e
	}
	return nil
}

// outside warns of thickenings that lie partly outside the pad's formation.
func (t *thicken) outside() (out []tin.Problem) {
	for k := range t.out {
		o := &t.out[k]
		what, of := t.label(k), fmt.Sprintf("%s of its %s", t.opts.area(o.Outside), t.opts.area(o.Footprint))
		switch {
		case o.Outside == 0 && o.BatterOutside == 0:
			continue
		case o.Outside == 0:
			what, of = "the batter of "+what, t.opts.area(o.BatterOutside)
		case o.BatterOutside > 0:
			of += ", and its batter over " + t.opts.area(o.BatterOutside)
		}
		out = append(out, tin.Problem{Code: CodeThickeningOutside, At: &t.at[k], Message: fmt.Sprintf(
			"%s of %s lies outside its formation, or where another pad rules, over %s: that part is not measured",
			what, named(t.pad.Pad, t.number).label(), of)})
	}
	return out
}

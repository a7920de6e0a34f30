package mesh

import (
	"cmp"
	"math"
	"math/big"
	"slices"
)

// Segment is a straight line between two vertices.
type Segment struct{ A, B int32 }

// Crossings returns the pairs of segments, by index, the lower first and in
// order, that cross properly: at a point inside both. Shared ends, touching and
// overlapping in line are not crossings; [Mesh.Force] finds those. It stops
// after most pairs: those found first, which depend on places only if the order
// of segments does.
//
// A sweep with the segments' boxes, along the axis on which they overlap less, in strips
// across it: near n log n plus the pairs of boxes that overlap on that axis in one strip.
func Crossings(at []XY, segments []Segment, most int) [][2]int {
	boxes := sweepBoxes(at, segments)
	active := make([][]int32, inStrips(boxes)) // boxes that a strip has open
	var found [][2]int
sweep:
	for k := range boxes {
		b := &boxes[k]
		s := segments[b.i]
		for strip := b.first; strip <= b.last; strip++ {
			kept := active[strip][:0]
			for _, j := range active[strip] {
				a := &boxes[j]
				if a.hi < b.lo {
					continue
				}
				kept = append(kept, j)
				if a.across1 < b.across0 || b.across1 < a.across0 || strip != max(a.first, b.first) {
					continue
				}
				if r := segments[a.i]; !s.shares(r) && properly(at, s, r) {
					found = append(found, [2]int{min(a.i, b.i), max(a.i, b.i)})
					if len(found) == most {
						break sweep
					}
				}
			}
			active[strip] = append(kept, int32(k))
		}
	}
	slices.SortFunc(found, func(a, b [2]int) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
	})
	return found
}

// sweepBox is the box of a segment, along a sweep and across it.
type sweepBox struct {
	lo, hi           float64 // along
	across0, across1 float64
	first, last      int // strips that it meets
	i                int // the segment
}

// sweepBoxes returns the boxes of segments in the order of a sweep along the axis on
// which they overlap less.
func sweepBoxes(at []XY, segments []Segment) []sweepBox {
	boxes := make([]sweepBox, len(segments))
	var spanX, spanY float64 // all boxes together
	lo, hi := XY{math.Inf(1), math.Inf(1)}, XY{math.Inf(-1), math.Inf(-1)}
	for _, s := range segments {
		p, q := at[s.A], at[s.B]
		spanX, spanY = spanX+math.Abs(p.X-q.X), spanY+math.Abs(p.Y-q.Y)
		lo.X, lo.Y = min(lo.X, p.X, q.X), min(lo.Y, p.Y, q.Y)
		hi.X, hi.Y = max(hi.X, p.X, q.X), max(hi.Y, p.Y, q.Y)
	}
	alongY := spanY/(hi.Y-lo.Y) < spanX/(hi.X-lo.X)
	for i, s := range segments {
		p, q := at[s.A], at[s.B]
		if alongY {
			p.X, p.Y, q.X, q.Y = p.Y, p.X, q.Y, q.X
		}
		boxes[i] = sweepBox{lo: min(p.X, q.X), hi: max(p.X, q.X), across0: min(p.Y, q.Y), across1: max(p.Y, q.Y), i: i}
	}
	slices.SortFunc(boxes, func(a, b sweepBox) int {
		return cmp.Or(cmp.Compare(a.lo, b.lo), cmp.Compare(a.i, b.i))
	})
	return boxes
}

// inStrips parts the plan into strips along a sweep and returns how many there are. They are
// half as wide as boxes are on average, or more: so a box meets three on average at most.
func inStrips(boxes []sweepBox) (strips int) {
	lo, hi, sum := math.Inf(1), math.Inf(-1), 0.0
	for _, b := range boxes {
		lo, hi, sum = min(lo, b.across0), max(hi, b.across1), sum+(b.across1-b.across0)
	}
	n := float64(len(boxes))
	wide := max(sum/2, hi-lo) / n
	if !(wide > 0) {
		return 1 // no boxes, or all in one line along the sweep
	}
	strip := func(across float64) int { return int(min((across-lo)/wide, n)) }
	for i := range boxes {
		boxes[i].first, boxes[i].last = strip(boxes[i].across0), strip(boxes[i].across1)
	}
	return strip(hi) + 1
}

// shares reports whether two segments have an end in common.
func (s Segment) shares(r Segment) bool {
	return s.A == r.A || s.A == r.B || s.B == r.A || s.B == r.B
}

func properly(at []XY, s, r Segment) bool {
	turn := func(a, b, c int32) int { return orient(false, &at[a], &at[b], &at[c]) }
	return turn(s.A, s.B, r.A)*turn(s.A, s.B, r.B) < 0 && turn(r.A, r.B, s.A)*turn(r.A, r.B, s.B) < 0
}

// Crossing is where two segments cross: the exact point rounded once, and how
// far along each segment it lies, from 0 at A to 1 at B.
type Crossing struct {
	XY
	S, R float64
}

// Cross returns the crossing of two segments that cross properly, computed in
// exact rationals. With whole set, the point is rounded to whole numbers, else
// to the nearest doubles.
func Cross(at []XY, s, r Segment, whole bool) Crossing {
	rat := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	sub := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
	mul := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
	cross := func(ax, ay, bx, by *big.Rat) *big.Rat { return sub(mul(ax, by), mul(ay, bx)) }
	px, py := rat(at[s.A].X), rat(at[s.A].Y)
	qx, qy := rat(at[r.A].X), rat(at[r.A].Y)
	ux, uy := sub(rat(at[s.B].X), px), sub(rat(at[s.B].Y), py)
	vx, vy := sub(rat(at[r.B].X), qx), sub(rat(at[r.B].Y), qy)
	wx, wy := sub(qx, px), sub(qy, py)
	den := cross(ux, uy, vx, vy)
	along := new(big.Rat).Quo(cross(wx, wy, vx, vy), den)
	across := new(big.Rat).Quo(cross(wx, wy, ux, uy), den)
	cx := new(big.Rat).Add(px, mul(along, ux))
	cy := new(big.Rat).Add(py, mul(along, uy))
	var c Crossing
	if whole {
		c.X, c.Y = nearestWhole(cx), nearestWhole(cy)
	} else {
		c.X, _ = cx.Float64()
		c.Y, _ = cy.Float64()
	}
	c.S, _ = along.Float64()
	c.R, _ = across.Float64()
	return c
}

// nearestWhole rounds to the nearest whole number, halves up.
func nearestWhole(r *big.Rat) float64 {
	r = new(big.Rat).Add(r, big.NewRat(1, 2))
	// Div is Euclidean: with a positive denominator it is the floor.
	q := new(big.Int).Div(r.Num(), r.Denom())
	f, _ := new(big.Float).SetInt(q).Float64()
	return f
}

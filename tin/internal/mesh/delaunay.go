package mesh

import (
	"errors"
	"math"
	"sync"
)

// Errors of New that its caller turns into words.
var (
	ErrTooFew    = errors.New("mesh: fewer than three points")
	ErrCollinear = errors.New("mesh: all points on one line")
	ErrTooMany   = errors.New("mesh: too many points for int32 half-edges")
)

// MaxVertices keeps 2n triangles with two bits for the side within int32.
const MaxVertices = math.MaxInt32 / 8

// New triangulates distinct, finite points. The vertices of the mesh are the
// points in an order of their own, which depends on coordinates only: vertex i
// is point order[i].
//
// Divide and conquer (Guibas and Stolfi 1985; with cuts across both x and y Dwyer
// 1987; from memory), cut where the bits of the points' keys differ (see sort), on
// triangles with ghosts: each hull edge has a triangle to the outside whose third
// corner is no vertex. A part of n points
// fills 2n-2 triangles, so every part knows its own stretch of the array and
// parts run side by side.
func New(points []XY, whole bool) (m *Mesh, order []int32, err error) {
	n := len(points)
	switch {
	case n < 3:
		return nil, nil, ErrTooFew
	case n > MaxVertices:
		return nil, nil, ErrTooMany
	}
	b := builder{whole: whole}
	b.sort(points)
	b.v, b.n = make([]int32, 3*(2*n-2)), make([]handle, 3*(2*n-2))
	b.divide(0, n, b.keyBits-1, 3)
	b.keys = nil
	m = &Mesh{P: b.at, Whole: whole, V: b.v, N: b.n}
	m.number()
	if len(m.V) == 0 {
		return nil, nil, ErrCollinear
	}
	return m, b.order, nil
}

// none is the outer corner of a ghost triangle.
const none int32 = -1

// A handle is a triangle and one of its sides, t<<2 | i: side i runs from corner i
// to the next.
type handle = int32

// slot is where the arrays hold what is said of a handle: 3*t + i.
func slot(e handle) handle { return e - e>>2 }

func lnext(e handle) handle { return e&^3 | (0b001001>>(2*(e&3)))&3 }
func lprev(e handle) handle { return e&^3 | (0b010010>>(2*(e&3)))&3 }

type builder struct {
	at      []XY    // the vertices in the order of their keys
	order   []int32 // the point that each of them is
	keys    []uint64
	keyBits int      // of a key, x and y together
	v       []int32  // the corners of each triangle under construction; one may be none
	n       []handle // across each side, the side of the other triangle
	whole   bool
}

func (b *builder) org(e handle) int32  { return b.v[slot(e)] }
func (b *builder) dest(e handle) int32 { return b.org(lnext(e)) }
func (b *builder) apex(e handle) int32 { return b.org(lprev(e)) }
func (b *builder) sym(e handle) handle { return b.n[slot(e)] }

func (b *builder) setOrg(e handle, v int32)  { b.v[slot(e)] = v }
func (b *builder) setDest(e handle, v int32) { b.setOrg(lnext(e), v) }
func (b *builder) setApex(e handle, v int32) { b.setOrg(lprev(e), v) }

func (b *builder) bond(e, f handle) {
	b.n[slot(e)] = f
	b.n[slot(f)] = e
}

func (b *builder) triangle(t int, v0, v1, v2 int32) handle {
	copy(b.v[3*t:3*t+3], []int32{v0, v1, v2})
	return handle(t << 2)
}

func (b *builder) turn(p, q, r int32) int {
	return orient(b.whole, &b.at[p], &b.at[q], &b.at[r])
}

func (b *builder) inside(p, q, r, s int32) bool {
	return inCircle(b.at, b.whole, p, q, r, s)
}

// parallelFrom is the least number of points worth a goroutine.
const parallelFrom = 1 << 14

// divide triangulates vertices lo to hi, which share the bits of their keys above
// bit. It returns the ghost handles at the ends: left.org is the first site by
// (x, y), right.dest the last; the ghosts' corners off the hull are left.dest
// and right.org.
func (b *builder) divide(lo, hi, bit, fork int) (left, right handle) {
	switch hi - lo {
	case 2:
		b.sortAlong(lo, hi, 0)
		return b.two(lo)
	case 3:
		b.sortAlong(lo, hi, 0)
		return b.three(lo)
	}
	mid, bit, axis := b.cut(lo, hi, bit)
	var innerLeft, innerRight handle
	if fork > 0 && hi-lo >= parallelFrom {
		left, innerLeft, innerRight, right = b.divideBoth(lo, mid, hi, bit-1, fork-1)
	} else {
		left, innerLeft = b.divide(lo, mid, bit-1, 0)
		innerRight, right = b.divide(mid, hi, bit-1, 0)
	}
	return b.merge(left, innerLeft, innerRight, right, axis, 2*mid-2)
}

// cut finds where to cut vertices lo to hi, at least four, across one axis so that
// both parts have at least two: at the next bit in which their keys differ.
func (b *builder) cut(lo, hi, bit int) (mid, at, axis int) {
	for ; bit >= 0; bit-- {
		if (b.keys[lo]^b.keys[hi-1])>>bit&1 != 0 {
			break
		}
	}
	if bit < 0 { // one key for all: too near each other, or few
		b.sortAlong(lo, hi, 0)
		return lo + (hi-lo)/2, -1, 0
	}
	mid = lo + 1
	for end := hi - 1; mid < end; {
		if k := int(uint(mid+end) >> 1); b.keys[k]>>bit&1 == 0 {
			mid = k + 1
		} else {
			end = k
		}
	}
	axis = 1 - bit&1 // odd bits are x, even ones y
	// A part of one vertex takes along the next one across the cut.
	switch {
	case mid-lo == 1:
		least := mid
		for k := mid + 1; k < hi; k++ {
			if b.at[k].below(b.at[least], axis) {
				least = k
			}
		}
		b.move(least, mid)
		mid++
	case hi-mid == 1:
		most := mid - 1
		for k := lo; k < mid-1; k++ {
			if b.at[most].below(b.at[k], axis) {
				most = k
			}
		}
		mid--
		b.move(most, mid)
	}
	return mid, bit, axis
}

// divideBoth triangulates two parts side by side.
func (b *builder) divideBoth(lo, mid, hi, bit, fork int) (left, innerLeft, innerRight, right handle) {
	var wg sync.WaitGroup
	wg.Go(func() { left, innerLeft = b.divide(lo, mid, bit, fork) })
	innerRight, right = b.divide(mid, hi, bit, fork)
	wg.Wait()
	return left, innerLeft, innerRight, right
}

// two makes the two ghosts of one edge.
func (b *builder) two(lo int) (left, right handle) {
	p, q := int32(lo), int32(lo+1)
	e := b.triangle(2*lo, p, q, none)
	f := b.triangle(2*lo+1, q, p, none)
	b.bond(e, f)
	b.bond(lnext(e), lprev(f))
	b.bond(lprev(e), lnext(f))
	right = lprev(f)
	return lprev(right), right
}

// three makes one triangle and its three ghosts or, of points in line, two
// edges and their four ghosts.
func (b *builder) three(lo int) (left, right handle) {
	p, q, r := int32(lo), int32(lo+1), int32(lo+2)
	t := 2 * lo
	turn := b.turn(p, q, r)
	if turn == 0 {
		up, down := b.triangle(t, p, q, none), b.triangle(t+1, q, p, none)
		down2, up2 := b.triangle(t+2, r, q, none), b.triangle(t+3, q, r, none)
		b.bond(up, down)
		b.bond(down2, up2)
		b.bond(lnext(up), lprev(up2))
		b.bond(lprev(down), lnext(down2))
		b.bond(lprev(up), lnext(down))
		b.bond(lprev(down2), lnext(up2))
		return lnext(down), lprev(down2)
	}
	if turn < 0 {
		q, r = r, q
	}
	in := b.triangle(t, p, q, r)
	g1 := b.triangle(t+1, q, p, none)
	g2 := b.triangle(t+2, r, q, none)
	g3 := b.triangle(t+3, p, r, none)
	b.bond(in, g1)
	b.bond(lnext(in), g2)
	b.bond(lprev(in), g3)
	b.bond(lprev(g1), lnext(g2))
	b.bond(lnext(g1), lprev(g3))
	b.bond(lprev(g2), lnext(g3))
	left = lnext(g1)
	if turn > 0 {
		return left, lprev(g2)
	}
	return left, lprev(g1)
}

// merge joins two triangulations divided by a cut. left and innerLeft are the
// ends of the one, innerRight and right those of the other, by (x, y); spare is
// the first of two unused triangles.
func (b *builder) merge(left, innerLeft, innerRight, right handle, axis, spare int) (handle, handle) {
	if axis == 1 {
		left, innerLeft, innerRight, right = b.toBottomTop(left, innerLeft, innerRight, right)
	}
	// The lower common tangent.
	lowLeft, lowRight := b.dest(innerLeft), b.org(innerRight)
	apexLeft, apexRight := b.apex(innerLeft), b.apex(innerRight)
	for changed := true; changed; {
		changed = false
		if b.turn(lowLeft, apexLeft, lowRight) > 0 {
			innerLeft = b.sym(lprev(innerLeft))
			lowLeft, apexLeft = apexLeft, b.apex(innerLeft)
			changed = true
		}
		if b.turn(apexRight, lowRight, lowLeft) > 0 {
			innerRight = b.sym(lnext(innerRight))
			lowRight, apexRight = apexRight, b.apex(innerRight)
			changed = true
		}
	}
	candLeft, candRight := b.sym(innerLeft), b.sym(innerRight)
	base := b.triangle(spare, lowRight, lowLeft, none)
	b.bond(lnext(base), innerLeft)
	b.bond(lprev(base), innerRight)
	if lowLeft == b.org(left) {
		left = lnext(base)
	}
	if lowRight == b.dest(right) {
		right = lprev(base)
	}
	b.zip(base, candLeft, candRight, spare+1)
	if axis == 1 {
		left, right = b.toLeftRight(left, right)
	}
	return left, right
}

// zip closes the gap above base, a ghost whose open side runs from the lower
// right to the lower left vertex, up to the upper common tangent.
func (b *builder) zip(base, candLeft, candRight handle, spare int) {
	lowRight, lowLeft := b.org(base), b.dest(base)
	upLeft, upRight := b.apex(candLeft), b.apex(candRight)
	for {
		leftDone := b.turn(upLeft, lowLeft, lowRight) <= 0
		rightDone := b.turn(upRight, lowLeft, lowRight) <= 0
		if leftDone && rightDone {
			top := b.triangle(spare, lowLeft, lowRight, none)
			b.bond(top, base)
			b.bond(lnext(top), candRight)
			b.bond(lprev(top), candLeft)
			return
		}
		if !leftDone {
			// Remove edges of the left part that the circle through the
			// candidate triangle reaches over.
			next := b.sym(lprev(candLeft))
			apex := b.apex(next)
			for apex != none && b.inside(lowLeft, lowRight, upLeft, apex) {
				next = lnext(next)
				topCasing := b.sym(next)
				next = lnext(next)
				sideCasing := b.sym(next)
				b.bond(next, topCasing)
				b.bond(candLeft, sideCasing)
				candLeft = lnext(candLeft)
				outerCasing := b.sym(candLeft)
				next = lprev(next)
				b.bond(next, outerCasing)
				b.setOrg(candLeft, lowLeft)
				b.setDest(candLeft, none)
				b.setApex(candLeft, apex)
				b.setOrg(next, none)
				b.setDest(next, upLeft)
				b.setApex(next, apex)
				upLeft = apex
				next = sideCasing
				apex = b.apex(next)
			}
		}
		if !rightDone {
			next := b.sym(lnext(candRight))
			apex := b.apex(next)
			for apex != none && b.inside(lowLeft, lowRight, upRight, apex) {
				next = lprev(next)
				topCasing := b.sym(next)
				next = lprev(next)
				sideCasing := b.sym(next)
				b.bond(next, topCasing)
				b.bond(candRight, sideCasing)
				candRight = lprev(candRight)
				outerCasing := b.sym(candRight)
				next = lnext(next)
				b.bond(next, outerCasing)
				b.setOrg(candRight, none)
				b.setDest(candRight, lowRight)
				b.setApex(candRight, apex)
				b.setOrg(next, upRight)
				b.setDest(next, none)
				b.setApex(next, apex)
				upRight = apex
				next = sideCasing
				apex = b.apex(next)
			}
		}
		if leftDone || (!rightDone && b.inside(upLeft, lowLeft, lowRight, upRight)) {
			// The next edge runs from the lower left to the upper right.
			b.bond(base, candRight)
			base = lprev(candRight)
			b.setDest(base, lowLeft)
			lowRight = upRight
			candRight = b.sym(base)
			upRight = b.apex(candRight)
		} else {
			b.bond(base, candLeft)
			base = lnext(candLeft)
			b.setOrg(base, lowRight)
			lowLeft = upLeft
			candLeft = b.sym(base)
			upLeft = b.apex(candLeft)
		}
	}
}

// toBottomTop turns the ends of two parts cut across y from the first and last
// by (x, y) to the first and last by (y, x).
func (b *builder) toBottomTop(left, innerLeft, innerRight, right handle) (_, _, _, _ handle) {
	return b.toBottom(left), b.toTop(innerLeft), b.toBottom(innerRight), b.toTop(right)
}

// below reports whether vertex p lies before vertex q in the order of (y, x).
func (b *builder) below(p, q int32) bool { return b.at[p].below(b.at[q], 1) }

// toBottom follows the hull anticlockwise while it goes down.
func (b *builder) toBottom(e handle) handle {
	for b.below(b.apex(e), b.org(e)) {
		e = b.sym(lnext(e))
	}
	return e
}

// toTop follows the hull anticlockwise while it goes up.
func (b *builder) toTop(e handle) handle {
	for {
		f := b.sym(e)
		if !b.below(b.dest(e), b.apex(f)) {
			return e
		}
		e = lnext(f)
	}
}

// toLeftRight turns the ends of a part back to the first and last by (x, y).
func (b *builder) toLeftRight(bottom, top handle) (left, right handle) {
	for {
		f := b.sym(bottom)
		if !b.at[b.apex(f)].Before(b.at[b.org(bottom)]) {
			break
		}
		bottom = lprev(f)
	}
	for b.at[b.dest(top)].Before(b.at[b.apex(top)]) {
		top = b.sym(lprev(top))
	}
	return bottom, top
}

package tin

import (
	"cmp"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin/internal/robust"
)

// track is one straight stretch of a line, from p to q in local coordinates.
//
// A place on it is rounded when it is computed, and so are its ends where
// metres are turned into another unit. What lies nearer than that counts as on
// it: a line along the rim of the ground stays on the ground.
type track struct {
	px, py, qx, qy float64
	ux, uy         float64 // q - p
	near           float64 // how near counts as on it, in lengths of the stretch
}

func (f Frame) track(from, to orb.Point) track {
	t := track{}
	t.px, t.py = f.Local(from)
	t.qx, t.qy = f.Local(to)
	t.ux, t.uy = t.qx-t.px, t.qy-t.py
	size := max(math.Abs(t.px), math.Abs(t.py), math.Abs(t.qx), math.Abs(t.qy))
	if f.unit != 1 {
		size += float64(f.per * max(math.Abs(f.e0), math.Abs(f.n0)))
	}
	t.near = 0x1p-49 * size / max(math.Hypot(t.ux, t.uy), leastCoordinate)
	return t
}

// at returns the place at t, from 0 at p to 1 at q.
func (tr *track) at(t float64) (x, y float64) {
	if t == 1 {
		return tr.qx, tr.qy
	}
	return tr.px + float64(t*tr.ux), tr.py + float64(t*tr.uy)
}

// side returns 1 for a place on the left, -1 on the right, 0 on the line.
func (tr *track) side(x, y float64) int {
	square := float64(tr.ux*tr.ux) + float64(tr.uy*tr.uy)
	if math.Abs(cross(tr.ux, tr.uy, x-tr.px, y-tr.py)) <= tr.near*square {
		return 0
	}
	return robust.Orient(tr.px, tr.py, tr.qx, tr.qy, x, y)
}

// project returns how far along a place lies.
func (tr *track) project(x, y float64) float64 {
	return (float64(tr.ux*(x-tr.px)) + float64(tr.uy*(y-tr.py))) / (float64(tr.ux*tr.ux) + float64(tr.uy*tr.uy))
}

// mayMeet reports whether an edge from a to b may cross or touch the stretch.
func (tr *track) mayMeet(ax, ay, bx, by float64) bool {
	dx, dy := float64(tr.near*math.Abs(tr.uy)), float64(tr.near*math.Abs(tr.ux))
	if max(ax, bx) < min(tr.px, tr.qx)-dx || min(ax, bx) > max(tr.px, tr.qx)+dx ||
		max(ay, by) < min(tr.py, tr.qy)-dy || min(ay, by) > max(tr.py, tr.qy)+dy {
		return false
	}
	return tr.side(ax, ay)*tr.side(bx, by) <= 0
}

// meet calls add with the places along the stretch where it crosses or touches
// the edge from a to b; a crossing is computed from the edge's lesser end.
func (tr *track) meet(ax, ay, bx, by float64, add func(t float64)) {
	sa, sb := tr.side(ax, ay), tr.side(bx, by)
	if sa == 0 {
		add(tr.project(ax, ay))
	}
	if sb == 0 {
		add(tr.project(bx, by))
	}
	if sa*sb >= 0 {
		return
	}
	if cmp.Or(cmp.Compare(ax, bx), cmp.Compare(ay, by)) > 0 {
		ax, ay, bx, by = bx, by, ax, ay
	}
	da, db := cross(tr.ux, tr.uy, ax-tr.px, ay-tr.py), cross(tr.ux, tr.uy, bx-tr.px, by-tr.py)
	if da == db {
		return
	}
	t := da / (da - db)
	add(tr.project(ax+float64(t*(bx-ax)), ay+float64(t*(by-ay))))
}

package robust

import (
	"math/rand/v2"
	"testing"
)

func FuzzOrient(f *testing.F) {
	r := rand.New(rand.NewPCG(15, 16))
	for _, fam := range families() {
		q := fam.make(r)
		f.Add(q[0], q[1], q[2], q[3], q[4], q[5])
	}
	f.Add(0.0, 0.0, 12.0, 12.0, 24.0, nudge(24, 1))
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, cx, cy float64) {
		q := four{ax, ay, bx, by, cx, cy}
		for _, x := range q {
			if !InRange(x) {
				sink += Orient(ax, ay, bx, by, cx, cy) // no panic
				return
			}
		}
		checkOrient(t, q)
	})
}

func FuzzInCircle(f *testing.F) {
	r := rand.New(rand.NewPCG(17, 18))
	for _, fam := range families() {
		q := fam.make(r)
		f.Add(q[0], q[1], q[2], q[3], q[4], q[5], q[6], q[7])
	}
	f.Add(1.0, 0.0, 0.0, 1.0, -1.0, 0.0, 0.0, nudge(-1, 1))
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, cx, cy, dx, dy float64) {
		q := four{ax, ay, bx, by, cx, cy, dx, dy}
		for _, x := range q {
			if !InRange(x) {
				sink += inCircleOf(q) // no panic
				return
			}
		}
		checkInCircle(t, q)
	})
}

func FuzzWhole(f *testing.F) {
	f.Add(uint32(0), uint32(0), uint32(5), uint32(0), uint32(5), uint32(5), uint32(0), uint32(5))
	f.Add(uint32(0), uint32(0), uint32(WholeLimit-4), uint32(0), uint32(WholeLimit-3), uint32(WholeLimit-4), uint32(0), uint32(WholeLimit-3))
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, cx, cy, dx, dy uint32) {
		var q four
		for i, v := range []uint32{ax, ay, bx, by, cx, cy, dx, dy} {
			q[i] = float64(v % WholeLimit)
		}
		checkWhole(t, q)
	})
}

package robust

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Benchmarks: run with `go test -bench . ./tin/internal/robust`. One operation is
// one call, over 1024 sets of points made beforehand, so that signs cannot be
// learnt by the processor.

type four [8]float64

func benchSets(make4 func(r *rand.Rand) four) []four {
	r := rand.New(rand.NewPCG(1, 2))
	sets := make([]four, 1024)
	for i := range sets {
		sets[i] = make4(r)
	}
	return sets
}

func randomFour(r *rand.Rand) (q four) {
	for i := range q {
		q[i] = 1000 * r.Float64()
	}
	return q
}

func wholeFour(r *rand.Rand) (q four) {
	for i := range q {
		q[i] = float64(r.IntN(1 << 25))
	}
	return q
}

// gridFour gives a cell of a square grid, two opposite corners first or last at
// random, with a given offset and step.
func gridFour(e, n, step float64) func(*rand.Rand) four {
	return func(r *rand.Rand) four {
		i, j := r.IntN(200), r.IntN(200)
		x0, x1 := e+float64(i)*step, e+float64(i+1)*step
		y0, y1 := n+float64(j)*step, n+float64(j+1)*step
		if r.IntN(2) == 0 {
			return four{x0, y0, x1, y0, x1, y1, x0, y1}
		}
		return four{x0, y0, x1, y1, x0, y1, x1, y0}
	}
}

// lineFour gives three points in line on a diagonal of such a grid.
func lineFour(e, n, step float64) func(*rand.Rand) four {
	return func(r *rand.Rand) (q four) {
		for k := range 4 {
			i := float64(r.IntN(200))
			q[2*k], q[2*k+1] = e+i*step, n+i*step
		}
		return q
	}
}

// circleFour gives four points rounded to doubles from one circle.
func circleFour(e, n, radius float64) func(*rand.Rand) four {
	return func(r *rand.Rand) (q four) {
		for k := range 4 {
			s, c := math.Sincos(2 * math.Pi * r.Float64())
			q[2*k], q[2*k+1] = e+radius*c, n+radius*s
		}
		return q
	}
}

// nearLine gives points rounded to doubles from one line.
func nearLine(r *rand.Rand) (q four) {
	for k := range 4 {
		t := r.Float64()
		q[2*k], q[2*k+1] = 0.1+t*700.3, 0.2+t*431.7
	}
	return q
}

var sink int

func benchOrient(b *testing.B, sets []four, f func(ax, ay, bx, by, cx, cy float64) int) {
	b.ReportAllocs()
	total, i := 0, 0
	for b.Loop() {
		q := &sets[i&1023]
		total += f(q[0], q[1], q[2], q[3], q[4], q[5])
		i++
	}
	sink += total
}

func benchInCircle(b *testing.B, sets []four, f func(ax, ay, bx, by, cx, cy, dx, dy float64) int) {
	b.ReportAllocs()
	total, i := 0, 0
	for b.Loop() {
		q := &sets[i&1023]
		total += f(q[0], q[1], q[2], q[3], q[4], q[5], q[6], q[7])
		i++
	}
	sink += total
}

func BenchmarkOrient(b *testing.B) {
	for _, c := range []struct {
		name string
		set  func(*rand.Rand) four
	}{
		{"random", randomFour},
		{"tie-whole", lineFour(0, 0, 5)},
		{"tie-map-decimals", lineFour(6e6, 6e6, 0.1)},
		{"near-tie", nearLine},
	} {
		b.Run(c.name, func(b *testing.B) { benchOrient(b, benchSets(c.set), Orient) })
	}
}

func BenchmarkOrientWhole(b *testing.B) {
	b.Run("random", func(b *testing.B) { benchOrient(b, benchSets(wholeFour), OrientWhole) })
	b.Run("tie", func(b *testing.B) { benchOrient(b, benchSets(lineFour(0, 0, 5)), OrientWhole) })
}

func BenchmarkInCircle(b *testing.B) {
	for _, c := range []struct {
		name string
		set  func(*rand.Rand) four
	}{
		{"random", randomFour},
		{"tie-whole", gridFour(0, 0, 5)},
		{"tie-map-decimals", gridFour(456789.1, 5678901.3, 0.1)},
		{"tie-local-decimals", gridFour(0.1, 0.3, 0.1)},
		{"near-tie-map", circleFour(456789.1, 5678901.3, 10)},
		{"near-tie-local", circleFour(0.1, 0.2, 10)},
	} {
		b.Run(c.name, func(b *testing.B) { benchInCircle(b, benchSets(c.set), InCircle) })
	}
}

func BenchmarkInCircleWhole(b *testing.B) {
	b.Run("random", func(b *testing.B) { benchInCircle(b, benchSets(wholeFour), InCircleWhole) })
	b.Run("tie", func(b *testing.B) { benchInCircle(b, benchSets(gridFour(0, 0, 5)), InCircleWhole) })
}

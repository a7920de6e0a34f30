package las_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"barrow/tin/las"
)

// scan is a file of n points on lines 0.5 m apart, a point every 0.25 m, as a
// scanner leaves them; one in four is of another class than ground.
func scan(format, n int) []byte {
	rng := rand.New(rand.NewPCG(1, 2))
	points := make([]raw, n)
	for i := range points {
		class := uint8(2)
		if rng.IntN(4) == 0 {
			class = 1
		}
		points[i] = raw{
			x: int32(250*(i%4000) + rng.IntN(100)), y: int32(500*(i/4000) + rng.IntN(100)), z: int32(60000 + rng.IntN(5000)),
			class: class,
		}
	}
	return site(format, points...).bytes()
}

func BenchmarkRead(b *testing.B) {
	const n = 1e6
	for _, format := range []int{0, 1, 3, 6} {
		data := scan(format, n)
		for _, c := range []struct {
			name string
			opts las.Options
		}{
			{"all", las.Options{Classes: []uint8{1, 2}}},
			{"ground", las.Options{}},
			{"lowest-1m", las.Options{Thin: &las.Thinning{Cell: 1, Keep: las.KeepLowest}}},
			{"nearest-1m", las.Options{Thin: &las.Thinning{Cell: 1, Keep: las.KeepNearest}}},
		} {
			b.Run(fmt.Sprintf("format=%d/%s", format, c.name), func(b *testing.B) {
				b.SetBytes(int64(len(data)))
				b.ReportAllocs()
				for b.Loop() {
					f, err := las.Read(context.Background(), bytes.NewReader(data), "b.las", c.opts)
					if err != nil || f.Header.Points != n {
						b.Fatal(err)
					}
				}
				b.ReportMetric(n*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mpoints/s")
			})
		}
	}
}

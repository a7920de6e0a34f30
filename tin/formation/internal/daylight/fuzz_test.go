package daylight

import (
	"context"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// fuzzInput reads a small job of whole numbers: ground of five by five spots two apart,
// and one or two pads on a grid of ones, so that sides run along edges of the ground
// and over its spots. ok is false where it is not a job that callers may give.
func fuzzInput(t testing.TB, data []byte) (in Input, ok bool) {
	next := func() int {
		if len(data) == 0 {
			return 0
		}
		b := data[0]
		data = data[1:]
		return int(b)
	}
	var points []tin.Point
	for i := range 25 {
		points = append(points, tin.Point{E: float64(2 * (i % 5)), N: float64(2 * (i / 5)), Level: float64(next()%6) / 2})
	}
	opts := tin.Options{}
	if next()%4 == 0 {
		e, n := float64(next()%7), float64(next()%7)
		opts.Voids = orb.MultiPolygon{{{{e, n}, {e + 1, n}, {e + 1, n + 1}, {e, n + 1}, {e, n}}}}
	}
	s, err := tin.Build(context.Background(), []tin.Source{{Points: points}}, opts)
	if err != nil {
		return in, false
	}
	in = Input{Ground: s, Bound: 1e-3, Topsoil: float64(next()%3) / 4}
	for range 1 + next()%2 {
		n := 3 + next()%5
		var ring []orb.Point
		for range n {
			ring = append(ring, orb.Point{float64(next()%12 - 2), float64(next()%12 - 2)})
		}
		if ring, ok = simpleRing(ring); !ok {
			return in, false
		}
		batters := []Profile{{Along: 1}, {Along: 2}, {Along: 0.5}, {}, {Along: 1, Every: 0.5, Berm: 0.5}}
		p := pad(s, [][]orb.Point{ring}, flat(1), batters[next()%len(batters)], batters[next()%len(batters)])
		free := next()
		for i := range p.Rings[0] {
			if free%3 > 0 {
				p.Rings[0][i].Level = float64(next()%5) / 2
			}
			if free%5 == 0 {
				p.Cut[0][i], p.Fill[0][i] = batters[next()%4], batters[next()%4]
			}
		}
		in.Pads = append(in.Pads, p)
	}
	return in, true
}

// simpleRing turns a ring anticlockwise; ok is false if it crosses or touches itself.
func simpleRing(ring []orb.Point) (out []orb.Point, ok bool) {
	ring = slices.Compact(ring)
	if ring[0] == ring[len(ring)-1] {
		ring = ring[1:]
	}
	if len(ring) < 3 {
		return nil, false
	}
	closed := append(append(orb.Ring{}, ring...), ring[0])
	if tin.CheckOutline(orb.Polygon{closed}) != nil {
		return nil, false
	}
	if closed.Orientation() == orb.CW {
		closed.Reverse()
	}
	return closed[:len(closed)-1], true
}

func FuzzFind(f *testing.F) {
	f.Add([]byte("level ground, a square pad"))
	f.Add([]byte{5, 5, 5, 5, 5, 0, 0, 0, 0, 0, 5, 5, 5, 5, 5, 0, 0, 0, 0, 0, 5, 5, 5, 5, 5, 1, 0, 0, 1, 2, 2, 6, 2, 6, 6, 2, 6, 0, 0, 1})
	f.Fuzz(func(t *testing.T, data []byte) {
		in, ok := fuzzInput(t, data)
		if !ok {
			t.Skip()
		}
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
		defer cancel()
		w, err := Find(ctx, in)
		if err != nil {
			t.Fatal(err)
		}
		checkPieces(t, in, w)
		cut, fill := volumes(in.Ground, w)
		if !(cut >= 0 && fill >= 0) || math.IsInf(cut+fill, 0) {
			t.Fatalf("cut %v, fill %v", cut, fill)
		}
		compareCoarsely(t, in, cut, fill)
	})
}

// compareCoarsely fails where works are found that a raster has not, or the other way
// round. Ties are dense here, and a raster joins what touches at a point or hangs on a
// joint narrower than its cells, so that only what rasters of two steps say, with
// contacts of any depth and with deep ones, counts.
func compareCoarsely(t *testing.T, in Input, cut, fill float64) {
	for _, p := range in.Pads {
		for _, f := range append(p.Cut[0], p.Fill[0]...) {
			if f.Every > 0 {
				return
			}
		}
	}
	o := newOracle(in)
	for _, step := range []float64{0.09, 0.06, 0.03, 0.015} {
		r := o.raster(step)
		c, f, _ := r.volumes()
		r.sure = 0.6
		d, g, _ := r.volumes()
		if bracketed(cut, d, c, step) && bracketed(fill, g, f, step) {
			return
		}
	}
	c, f, _ := o.raster(0.02).volumes()
	t.Errorf("cut %.3f, raster %.3f; fill %.3f, raster %.3f", cut, c, fill, f)
}

// bracketed reports whether a volume lies between two, within what a raster is off.
func bracketed(v, low, high, step float64) bool {
	slack := 0.01*high + step
	return v > low-slack && v < high+slack
}

package daylight

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// ground is spots about every step metres over a square, their levels by a function.
func ground(t testing.TB, half, step float64, jitter float64, level func(e, n float64) float64, opts tin.Options) *tin.Surface {
	t.Helper()
	rng := rand.New(rand.NewPCG(1, 2))
	var points []tin.Point
	for e := -half; e <= half; e += step {
		for n := -half; n <= half; n += step {
			x, y := e+jitter*rng.Float64(), n+jitter*rng.Float64()
			x, y = math.Round(x*1000)/1000, math.Round(y*1000)/1000
			points = append(points, tin.Point{E: x, N: y, Level: level(x, y)})
		}
	}
	s, err := tin.Build(context.Background(), []tin.Source{{Points: points}}, opts)
	require.NoError(t, err)
	return s
}

// pad makes rings of a polygon, levels by a function, one batter all round.
func pad(s *tin.Surface, rings [][]orb.Point, level func(e, n float64) float64, cut, fill Profile) Pad {
	var p Pad
	for _, ring := range rings {
		var r []Vertex
		var c, f []Profile
		for _, v := range ring {
			x, y := s.Frame().Local(v)
			r = append(r, Vertex{x, y, level(v[0], v[1])})
			c, f = append(c, cut), append(f, fill)
		}
		p.Rings, p.Cut, p.Fill = append(p.Rings, r), append(p.Cut, c), append(p.Fill, f)
	}
	return p
}

func flat(level float64) func(e, n float64) float64 {
	return func(e, n float64) float64 { return level }
}

func volumes(s *tin.Surface, w *Works) (cut, fill float64) {
	for i := range w.Pieces {
		if v := w.Pieces[i].volume(s.Frame().Area()); w.Pieces[i].Cut {
			cut += v
		} else {
			fill += v
		}
	}
	return cut, fill
}

var square = [][]orb.Point{{{-5, -5}, {5, -5}, {5, 5}, {-5, 5}}}

func TestPitsOnLevelGround(t *testing.T) {
	s := ground(t, 40, 4, 1.5, flat(12), tin.Options{})
	ell := [][]orb.Point{{{-5, -5}, {5, -5}, {5, 0}, {0, 0}, {0, 5}, {-5, 5}}}
	ring := [][]orb.Point{{{-10, -10}, {10, -10}, {10, 10}, {-10, 10}}, {{-6, -6}, {-6, 6}, {6, 6}, {6, -6}}}
	for _, c := range []struct {
		name      string
		rings     [][]orb.Point
		perimeter float64
		out, in   float64
		d, n      float64
	}{
		{"square", square, 40, 4, 0, 2, 1.5},
		{"ell", ell, 40, 5, 1, 1, 1},
		{"ring", ring, 80 + 48, 4, 4, 1.5, 1},
	} {
		for _, sign := range []float64{1, -1} {
			p := pad(s, c.rings, flat(12-sign*c.d), Profile{Along: c.n}, Profile{Along: c.n})
			w, err := Find(context.Background(), Input{Ground: s, Pads: []Pad{p}, Bound: 1e-6})
			require.NoError(t, err)
			want := c.perimeter*c.n*c.d*c.d/2 + (c.out*math.Pi/4-c.in)*c.n*c.n*c.d*c.d*c.d/3
			cut, fill := volumes(s, w)
			if sign < 0 {
				cut, fill = fill, cut
			}
			t.Log(c.name, sign, len(w.Pieces), cut-want, w.Bound, w.Angle, want)
			require.Zero(t, fill)
			require.GreaterOrEqual(t, cut, want*(1-1e-12))
			require.LessOrEqual(t, cut, want+w.Bound)
			require.LessOrEqual(t, w.Bound, 1e-6*want)
			require.Empty(t, w.Joints)
			require.Empty(t, w.Clash)
		}
	}
}

package section_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/section"
	"barrow/tin"
)

func TestDefault(t *testing.T) {
	turned := func(p orb.Polygon, degrees float64) (out []orb.Point) {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		for _, q := range p[0] {
			out = append(out, orb.Point{1000 + q[0]*cos - q[1]*sin, 2000 + q[0]*sin + q[1]*cos})
		}
		return out
	}
	for _, tt := range []struct {
		name     string
		works    []orb.Point
		from, to orb.Point
	}{
		{"long to the east", box(0, 0, 30, 10)[0], orb.Point{0, 5}, orb.Point{30, 5}},
		{"long to the north", box(0, 0, 10, 30)[0], orb.Point{5, 0}, orb.Point{5, 30}},
		{"square", box(0, 0, 20, 20)[0], orb.Point{0, 10}, orb.Point{20, 10}},
		{"falling to the east", turned(box(-15, -5, 15, 5), -30), orb.Point{1000 - 15*math.Sqrt(3)/2, 2007.5}, orb.Point{1000 + 15*math.Sqrt(3)/2, 1992.5}},
		{"rising to the east", turned(box(-15, -5, 15, 5), 210), orb.Point{1000 - 15*math.Sqrt(3)/2, 1992.5}, orb.Point{1000 + 15*math.Sqrt(3)/2, 2007.5}},
		{"a square on its corner", []orb.Point{{0, -10}, {10, 0}, {0, 10}, {-10, 0}}, orb.Point{-5, -5}, orb.Point{5, 5}},
		{"in line", []orb.Point{{0, 3}, {3, 0}, {1, 2}}, orb.Point{0, 3}, orb.Point{3, 0}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(3, 3))
			first, err := section.Default(tt.works)
			require.NoError(t, err)
			require.InDelta(t, 0, first.Start(), 0)
			for range 10 {
				a, err := section.Default(tt.works)
				require.NoError(t, err)
				require.Equal(t, first, a, "the order of the places is of no account")
				line := a.Line()
				require.InDeltaSlice(t, tt.from[:], line[0][:], 1e-9)
				require.InDeltaSlice(t, tt.to[:], line[1][:], 1e-9)
				r.Shuffle(len(tt.works), func(i, j int) { tt.works[i], tt.works[j] = tt.works[j], tt.works[i] })
			}
		})
	}
}

// The rectangle found has no more area than any of a thousand others.
func TestDefaultIsSmallest(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	for range 50 {
		ring := star(r, orb.Point{100, 200}, 4+r.IntN(8), 5, 40)
		a, err := section.Default(ring)
		require.NoError(t, err)
		line := a.Line()
		area := func(bearing float64) float64 {
			sin, cos := math.Sincos(bearing)
			var u, v [2]float64
			u[0], v[0], u[1], v[1] = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
			for _, p := range ring {
				s, q := p[0]*cos+p[1]*sin, p[1]*cos-p[0]*sin
				u, v = [2]float64{min(u[0], s), max(u[1], s)}, [2]float64{min(v[0], q), max(v[1], q)}
			}
			return (u[1] - u[0]) * (v[1] - v[0])
		}
		best := area(math.Atan2(line[1][1]-line[0][1], line[1][0]-line[0][0]))
		for k := range 1000 {
			require.LessOrEqual(t, best, area(math.Pi*float64(k)/1000)*(1+1e-9))
		}
		for _, p := range ring {
			_, _, beyond := a.Locate(p)
			require.LessOrEqual(t, beyond, 1e-9)
		}
	}
}

func TestInterval(t *testing.T) {
	for _, tt := range []struct{ length, want float64 }{
		{19, 1}, {18.9, 0.5}, {30, 1}, {38, 2}, {94.9, 2}, {95, 5}, {190, 10}, {1000, 50}, {1.9, 0.1}, {0.0019, 0.0001}, {0, 0}, {-3, 0},
	} {
		require.InDelta(t, tt.want, section.Interval(tt.length, tin.Metre), 1e-12, "%v m", tt.length)
	}
	require.InDelta(t, 10*0.3048, section.Interval(200*0.3048, tin.Foot), 1e-12)
	for k := range 300 {
		length := math.Pow(10, float64(k)/50-2)
		interval := section.Interval(length, tin.Metre)
		require.GreaterOrEqual(t, math.Floor(length/interval*(1+1e-9))+1, 20.0, "%v", length)
		require.Less(t, length/interval, 50.0)
	}
	require.Zero(t, section.Interval(math.NaN(), tin.Metre))
	require.Zero(t, section.Interval(math.Inf(1), tin.Metre))
}

func TestLocate(t *testing.T) {
	a := align(t, orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{10, 10}) // turns left
	for _, tt := range []struct {
		p                        orb.Point
		chainage, offset, beyond float64
	}{
		{orb.Point{4, -3}, 4, 3, 0},
		{orb.Point{4, 2}, 4, -2, 0},
		{orb.Point{12, 4}, 14, 2, 0},
		{orb.Point{13, -4}, 10, 5, 0}, // outside the bend
		{orb.Point{8, 2}, 8, -2, 0},   // as near to both legs
		{orb.Point{-6, 1}, 0, -1, 6},
		{orb.Point{9, 15}, 20, -1, 5},
		{orb.Point{4, 0}, 4, 0, 0},
	} {
		chainage, offset, beyond := a.Locate(tt.p)
		require.InDelta(t, tt.chainage, chainage, 1e-12, "%v", tt.p)
		require.InDelta(t, tt.offset, offset, 1e-12, "%v", tt.p)
		require.InDelta(t, tt.beyond, beyond, 1e-12, "%v", tt.p)
	}
	require.Equal(t, []float64{10}, a.Bends())
	require.Equal(t, orb.Point{10, 3}, a.At(13))
	require.Equal(t, orb.Point{10, 10}, a.At(99))
	require.Equal(t, orb.Point{0, 0}, a.At(-1))
	require.Equal(t, orb.LineString{{10, 10}, {10, 0}, {0, 0}}, a.Reversed().Line())
	require.InDelta(t, 20, a.Length(), 0)
}

// wander is a line of legs from 1 to 10 m that turns by up to 100 degrees and crosses
// itself, all on whole metres.
func wander(r *rand.Rand, legs int) orb.LineString {
	line := orb.LineString{{0, 0}}
	heading := 0.0
	for len(line) <= legs {
		turned := heading + (2*r.Float64()-1)*math.Pi/2
		sin, cos := math.Sincos(turned)
		length, last := 2+8*r.Float64(), line[len(line)-1]
		next := orb.Point{math.Round(last[0] + length*cos), math.Round(last[1] + length*sin)}
		if next != last {
			line, heading = append(line, next), math.Atan2(next[1]-last[1], next[0]-last[0])
		}
	}
	return line
}

// Of the legs of a long line the nearest is found, and of several as near the first.
func TestLocateNearest(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 2))
	line := wander(r, 400)
	a := align(t, line...)
	for range 2000 {
		p := orb.Point{math.Round(120*r.Float64() - 60), math.Round(120*r.Float64() - 60)}
		best, want, chainage := math.Inf(1), 0.0, 0.0
		for i := range len(line) - 1 {
			u, v := orb.Point{line[i+1][0] - line[i][0], line[i+1][1] - line[i][1]}, orb.Point{p[0] - line[i][0], p[1] - line[i][1]}
			length := math.Hypot(u[0], u[1])
			share := min(max((u[0]*v[0]+u[1]*v[1])/length/length, 0), 1)
			if d := math.Hypot(v[0]-share*u[0], v[1]-share*u[1]); d < best-1e-9 {
				best, want = d, chainage+share*length
			}
			chainage += length
		}
		got, offset, beyond := a.Locate(p)
		require.InDelta(t, best, math.Hypot(offset, beyond), 1e-9)
		require.InDelta(t, want, got, 1e-9, "%v", p)
	}
}

func TestMarks(t *testing.T) {
	a, err := section.NewAlignment(orb.LineString{{0, 0}, {25, 0}, {25, 20}}, 3)
	require.NoError(t, err)
	show := func(p section.Plan) string {
		marks, err := a.Marks(p)
		require.NoError(t, err)
		text := ""
		for _, m := range marks {
			text += fmt.Sprintf("%.6g", m.Chainage)
			if m.Corner {
				text += "!"
			}
			text += " "
		}
		return text
	}
	require.Equal(t, "3! 28! 48! ", show(section.Plan{}))
	require.Equal(t, "3! 10 20 28! 30 40 48! ", show(section.Plan{Interval: 10}))
	require.Equal(t, "3! 9.5 28! 48! ", show(section.Plan{At: []float64{9.5, 3, 48, 28, 9.5}}))
	require.Equal(t, "3! 10! 20 28! 30 40 48! ", show(section.Plan{Interval: 10, Corners: []orb.Point{{7, 2}, {7.0000004, -6}, {-9, 0}}}))
	require.Equal(t, "8! 10 20 28! 30 33! ", show(section.Plan{Interval: 10, Works: []orb.Point{{5, 2}, {27, 5}}}))
}

// A section at a bend lies on the bisector, its offsets measured along it, and its
// area square to the leg.
func TestBisector(t *testing.T) {
	ground := planeGround(t, orb.Point{0, 0}, 90, tin.LevelPlane(2))
	f := pad(t, ground, box(-50, -50, 50, 50), tin.LevelPlane(0), 0)
	a := align(t, orb.Point{-20, 0}, orb.Point{0, 0}, orb.Point{0, -20}) // turns right
	marks, err := a.Marks(section.Plan{})
	require.NoError(t, err)
	s, err := section.Cut(t.Context(), ground, f, a, marks, section.Options{Reach: 5, Middles: true})
	require.NoError(t, err)
	bend := s.Sections[1]
	require.InDeltaSlice(t, []float64{-math.Sqrt2 / 2, -math.Sqrt2 / 2}, bend.Right[:], 1e-15)
	require.InDelta(t, 1, bend.Skew, 1e-15)
	require.InDelta(t, 10*math.Sqrt2, bend.To-bend.From, 1e-9)
	require.InDelta(t, 20*math.Sqrt2, bend.Cut.Area, 1e-9)
	require.InDelta(t, 20, bend.End().Cut.Area, 1e-9)
	require.InDelta(t, -0.5, s.Middle[0].Skew, 1e-15, "the right end of the middle lies behind")
	require.InDelta(t, 0.5, s.Middle[1].Skew, 1e-15)
	// The mitred road is 40 m of centre line, 10 m wide, 2 m deep.
	require.InDelta(t, 800, prismoidal(t, s).Cut, 1e-9)
	require.InDelta(t, 800, section.AverageEndArea(s.Spans(), section.Averaged).Cut, 1e-9)
}

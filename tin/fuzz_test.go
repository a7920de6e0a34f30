package tin_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

// job is what a fuzzed input stands for.
type job struct {
	source tin.Source
	opts   tin.Options
}

// The values of a fuzzed coordinate: mostly near each other, some odd.
var odd = [...]float64{
	0, minus, 1, 0.1, 0.3, 1.0 / 3, 1e-9, 1e-60, 5e-324, -0.1, 6.2e6, 6200000.123, 1e8, -9e8, 1e9, 1e10,
	math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64,
}

// decodeJob reads a header of four bytes (step, options, limits, origin), then
// points of three bytes (easting, northing, level) behind one that says what
// the point is.
func decodeJob(data []byte) (job, bool) {
	if len(data) < 4 {
		return job{}, false
	}
	step := [...]float64{1, 0.1, 0.001, 0.0001, 0.00001, 1.0 / 3, 1e-9, 1e6}[data[0]%8]
	origin := [...]float64{0, 6.2e6, -0.7, 1e-3}[data[3]%4]
	j := job{opts: tin.Options{
		Unit:              []tin.Unit{0, tin.Foot, tin.SurveyFoot}[int(data[1])%3],
		Duplicates:        tin.Duplicates(data[1] >> 2 % 4),
		CrossingTolerance: []float64{0, 1e6, 0.5, 1e-6}[data[1]>>4%4],
	}}
	value := func(b byte) float64 {
		if b >= 0xf0 && data[1]>>6 == 3 {
			return odd[int(b)%len(odd)]
		}
		return origin + step*float64(b%32)
	}
	if k := data[2] % 16; k > 0 {
		j.opts.MaxEdge = step * float64(k)
	}
	limit := func(b byte) orb.MultiPolygon {
		a, c := origin+step*float64(b%8), origin+step*float64(8+b)
		return orb.MultiPolygon{box(a, origin, c, c)}
	}
	if data[2]>>4&1 == 1 {
		j.opts.Boundary = limit(data[0])
	}
	if data[2]>>5&1 == 1 {
		j.opts.Voids = limit(data[3])
	}
	for rest := data[4:]; len(rest) >= 4 && len(j.source.Points) < 300; rest = rest[4:] {
		p := tin.Point{E: value(rest[1]), N: value(rest[2]), Level: float64(rest[3]) / 16, Line: int32(len(data) - len(rest))}
		if rest[3] == 255 {
			p.Level = math.NaN()
		}
		lines := &j.source.Breaklines
		switch k := rest[0] % 8; {
		case k < 4:
			j.source.Points = append(j.source.Points, p)
		case k == 4 || len(*lines) == 0:
			*lines = append(*lines, tin.Breakline{Vertices: []tin.Point{p}})
		default:
			l := &(*lines)[len(*lines)-1]
			l.Vertices = append(l.Vertices, p)
		}
	}
	return j, true
}

// encodeJob writes points as decodeJob reads them, on steps of one.
func encodeJob(header [4]byte, points []tin.Point, lines ...[]tin.Point) []byte {
	data := header[:]
	add := func(kind byte, p tin.Point) {
		data = append(data, kind, byte(int(p.E)&31), byte(int(p.N)&31), byte(p.Level))
	}
	for _, p := range points {
		add(0, p)
	}
	for _, l := range lines {
		for i, p := range l {
			add(byte(4+min(i, 1)), p)
		}
	}
	return data
}

// FuzzBuild builds surveys of few places, with lines through everything. What
// comes out is proved, or is an InputError; it does not depend on the order.
func FuzzBuild(f *testing.F) {
	for _, set := range tintest.Sets() {
		points := set.Points[:min(len(set.Points), 60)]
		for k := range byte(8) {
			f.Add(encodeJob([4]byte{k, k << 4, 0, k}, points, points[:min(len(points), 5)], []tin.Point{points[0], points[len(points)-1]}))
		}
	}
	f.Add(encodeJob([4]byte{0, 0, 3, 0}, gulf(), spots(0, 0, 1, 9, 9, 1), spots(0, 9, 1, 9, 0, 1)))
	f.Add(encodeJob([4]byte{1, 0x10, 0x30, 1}, tintest.Grid(6, 6, 5).Points, spots(0, 0, 1, 25, 20, 1), spots(0, 25, 1, 25, 0, 1)))
	f.Add([]byte("\a\n\x00\n%\n\x00\n\x05\x00^\xd3Z\xd4\xce\n\n\x05\n\n\n\x04\x00\x00")) // a profile from a corner of the hull, in feet
	f.Add(append([]byte{5, 0xd0, 0, 0}, 0, 0xf0, 0xf1, 1, 0, 0xf7, 0xf6, 2, 4, 1, 2, 3, 5, 0xf5, 4, 255, 0, 9, 9, 9))
	f.Fuzz(func(t *testing.T, data []byte) {
		j, ok := decodeJob(data)
		if !ok {
			return
		}
		s, err := tin.Build(t.Context(), []tin.Source{j.source}, j.opts)
		if err != nil {
			require.Nil(t, s)
			require.NotEmpty(t, asInputError(t, err).Error())
			return
		}
		var given []tin.Point
		for _, p := range j.source.Points {
			p.E, p.N = p.E*j.opts.Unit.Metres(), p.N*j.opts.Unit.Metres()
			given = append(given, p)
		}
		require.NoError(t, tintest.Check(s, given...))
		st := s.Stats()
		for _, v := range []float64{st.Area, s.SlopeArea(), st.LevelMin, st.LevelMax, st.LevelMean, st.EdgeMedian, st.EdgeMax} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", st)
		}
		for _, tri := range s.Triangles() {
			c := tri.Corner
			e, n := (c[0].E+c[1].E+c[2].E)/3, (c[0].N+c[1].N+c[2].N)/3
			if z, ok := s.LevelAt(e, n); ok {
				require.True(t, st.LevelMin-1e-9 <= z && z <= st.LevelMax+1e-9, "level %v at %v, %v: %+v", z, e, n, st)
			}
		}
		b := s.Bound()
		line := orb.LineString{b.Min, b.Max, {b.Min[0], b.Max[1]}, {b.Max[0], b.Min[1]}}
		stations, err := s.Profile(line)
		require.NoError(t, err)
		for i, p := range stations {
			require.True(t, i == 0 || p.Chainage >= stations[i-1].Chainage)
			require.False(t, p.Ground && math.IsNaN(p.Level))
		}
		if all := b.ToPolygon(); data[0]%8 != 6 && tin.CheckOutline(all) == nil { // not of nanometres
			cells, err := s.Partition([]orb.Polygon{all}, nil)
			require.NoError(t, err)
			var area tin.Sum
			for i, p := range s.Pieces(cells) {
				require.GreaterOrEqual(t, len(p.Corner), 3)
				for _, c := range p.Corner {
					require.True(t, st.LevelMin-1e-9 <= c.Level && c.Level <= st.LevelMax+1e-9, "%v", p)
				}
				if p.Ground && cells[i].Ground {
					area.Add(pieceArea(s, p))
				}
			}
			require.InDelta(t, st.Area, area.Value(), 1e-6*planar.Area(all), "of %v", planar.Area(all))
		}
		if j.opts.Duplicates == tin.DuplicatesFirst || j.opts.Duplicates == tin.DuplicatesLast {
			return
		}
		turned := tin.Source{Points: reversed(j.source.Points)}
		for _, l := range reversed(j.source.Breaklines) {
			turned.Breaklines = append(turned.Breaklines, tin.Breakline{Vertices: reversed(l.Vertices)})
		}
		again, err := tin.Build(t.Context(), []tin.Source{turned}, j.opts)
		require.NoError(t, err)
		require.True(t, slices.Equal(bits(s), bits(again)), "the same bits in another order")
	})
}

// decodeRings reads up to six rings on a grid of 16 x 16: 0xff begins a ring,
// 0xfe a polygon.
func decodeRings(data []byte) []orb.Polygon {
	polygons := []orb.Polygon{{{}}}
	corners := 0
	for _, b := range data {
		last := &polygons[len(polygons)-1]
		switch {
		case b == 0xfe && len(polygons) < 3:
			polygons = append(polygons, orb.Polygon{{}})
		case b == 0xff && len(*last) < 3:
			*last = append(*last, orb.Ring{})
		case corners < 60:
			r := &(*last)[len(*last)-1]
			*r = append(*r, orb.Point{float64(b >> 4), float64(b & 15)})
			corners++
		}
	}
	return polygons
}

// FuzzOutlines holds CheckOutline against a direct test of all pairs in whole
// numbers, and adds up what Partition makes of sound outlines.
func FuzzOutlines(f *testing.F) {
	for _, seed := range [][]byte{
		{0x00, 0xa0, 0xaa, 0x0a},
		{0x00, 0xa0, 0xaa, 0x0a, 0x00},
		{0x00, 0xaa, 0xa0, 0x0a},
		{0x00, 0xa0, 0x50, 0x55},
		{0x00, 0x50, 0xa0, 0xaa, 0x0a},
		{0x00, 0xa0, 0xaa, 0x50, 0x0a},
		{0x00, 0xa0, 0xaa, 0x0a, 0xff, 0x22, 0x42, 0x44, 0x24},
		{0x00, 0xa0, 0xaa, 0x0a, 0xff, 0x22, 0x24, 0x44, 0xff, 0x66, 0x86, 0x88},
		{0x00, 0xa0, 0xaa, 0x0a, 0xff, 0x22, 0x82, 0x88, 0x28, 0xff, 0x44, 0x45, 0x55},
		{0x00, 0xa0, 0xaa, 0x0a, 0xfe, 0x55, 0xd5, 0xdd, 0x5d, 0xfe, 0x30, 0x93, 0x37},
		{0x00, 0xa0, 0xaa, 0x0a, 0xfe, 0xa0, 0xc0, 0xaa, 0xfe, 0x00, 0xa0, 0xaa, 0x0a},
		{0x00, 0xe1, 0x02, 0xe3, 0x04, 0xe5, 0x0e, 0xfe, 0x00, 0x1e, 0x20, 0x3e, 0x40, 0x5e, 0xe0},
		{0x31, 0x61, 0x39, 0x42, 0xfe, 0x30, 0x43, 0x42, 0xfe, 0x30, 0x31, 0x78}, // a corner on a crossed side
		{0x9a, 0x41, 0x38, 0x42, 0xfe, 0x30, 0x31, 0x78},                         // a cell whose area rounds to nothing
		{0x11, 0x11, 0x71, 0x71, 0x77, 0x11, 0x11},
	} {
		f.Add(seed)
	}
	ground := tintest.Grid(5, 4, 3)
	for i := range ground.Points {
		ground.Points[i].Level = planeLevel(ground.Points[i].E, ground.Points[i].N)
	}
	s, err := tin.FromPoints(ground.Points)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var sound []orb.Polygon
		for _, p := range decodeRings(data) {
			err := tin.CheckOutline(p)
			want := fault(p)
			require.Equal(t, want == "", err == nil, "%v: %v, want %q", p, err, want)
			if err != nil {
				var e *tin.InputError
				require.True(t, errors.As(err, &e))
				continue
			}
			sound = append(sound, p)
		}
		cells := partition(t, s, sound...)
		in, _ := areas(cells)
		require.Len(t, in, len(sound))
		for k, p := range sound {
			area := 0
			for i, ring := range p {
				if a := area2(cleaned(ring)); (a > 0) == (i == 0) {
					area += a
				} else {
					area -= a
				}
			}
			require.InDelta(t, float64(area)/2, in[k], 1e-9)
		}
		checkPieces(t, s, cells, planeLevel)
		lines, err := s.Partition(sound, []orb.LineString{{{0, 3}, {15, 3}}, {{1, 0}, {14, 15}, {0, 15}}})
		require.NoError(t, err)
		inToo, _ := areas(lines)
		for k := range sound {
			require.InDelta(t, in[k], inToo[k], 1e-9)
		}
	})
}

type corner [2]int

// cleaned returns the corners of a ring, those repeated at once taken out.
func cleaned(ring orb.Ring) []corner {
	var out []corner
	for _, p := range ring {
		if c := (corner{int(p[0]), int(p[1])}); len(out) == 0 || out[len(out)-1] != c {
			out = append(out, c)
		}
	}
	for len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

func area2(ring []corner) int {
	sum := 0
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		sum += a[0]*b[1] - a[1]*b[0]
	}
	return sum
}

func turn(a, b, c corner) int {
	d := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
	return max(-1, min(1, d))
}

func onSide(a, b, p corner) bool {
	return turn(a, b, p) == 0 && min(a[0], b[0]) <= p[0] && p[0] <= max(a[0], b[0]) && min(a[1], b[1]) <= p[1] && p[1] <= max(a[1], b[1])
}

// fault says what is wrong with a polygon, by looking at everything.
func fault(p orb.Polygon) string {
	var rings [][]corner
	var sides [][2]corner
	taken := make(map[corner]bool)
	for _, r := range p {
		ring := cleaned(r)
		if len(ring) < 3 {
			return "short"
		}
		for i, c := range ring {
			if taken[c] {
				return "corner on corner"
			}
			taken[c] = true
			sides = append(sides, [2]corner{c, ring[(i+1)%len(ring)]})
		}
		rings = append(rings, ring)
	}
	for i, s := range sides {
		for c := range taken {
			if c != s[0] && c != s[1] && onSide(s[0], s[1], c) {
				return "corner on side"
			}
		}
		for _, r := range sides[:i] {
			if turn(s[0], s[1], r[0])*turn(s[0], s[1], r[1]) < 0 && turn(r[0], r[1], s[0])*turn(r[0], r[1], s[1]) < 0 {
				return "sides cross"
			}
		}
	}
	for i, hole := range rings[1:] {
		if !inside(rings[0], hole[0]) {
			return "hole outside"
		}
		for k, other := range rings[1:] {
			if i != k && inside(other, hole[0]) {
				return "hole in hole"
			}
		}
	}
	return ""
}

// inside counts the sides that a ray to the right of a place, on none of them,
// crosses.
func inside(ring []corner, p corner) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if a[1] > b[1] {
			a, b = b, a
		}
		if a[1] <= p[1] && p[1] < b[1] && turn(a, b, p) > 0 {
			in = !in
		}
	}
	return in
}

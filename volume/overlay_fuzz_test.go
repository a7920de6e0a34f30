package volume_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
	"barrow/volume"
)

// decodeDuo reads a header of four bytes (step and origin, limits and greatest
// edges, how the second survey is moved, outline or none), then two spots in
// three bytes or a corner of the outline in two, each behind a byte that says
// which. All are on a grid of 16 x 16.
func decodeDuo(data []byte) (d duo, ok bool) {
	if len(data) < 4 {
		return d, false
	}
	step := [...]float64{1, 0.1, 1.0 / 3, 0.001}[data[0]%4]
	origin := [...]float64{0, 500000, 6.2e6, -0.7}[data[0]>>2%4]
	nudge := [...]float64{0, 0, 0, 0.5, 1e-9, 1.0 / 3, 1e-12, 1e-4}[data[2]%8]
	value := func(b byte) float64 { return origin + step*float64(b%16) }
	limits := func(bits, at byte, o *tin.Options) {
		rect := func(from, to byte) orb.MultiPolygon {
			a, b := value(from%8), value(8+to%8)
			return orb.MultiPolygon{box(a, a, b, value(15))}
		}
		if bits&1 != 0 {
			o.Boundary = rect(at, at>>3)
		}
		if bits&2 != 0 {
			o.Voids = rect(at>>1, at>>4)
		}
		if bits&12 != 0 {
			o.MaxEdge = step * float64(bits&12)
		}
	}
	limits(data[1]&15, data[3], &d.a.options)
	limits(data[1]>>4, data[2], &d.b.options)
	var ring orb.Ring
	seen := [2]map[orb.Point]bool{{}, {}}
	add := func(k int, s *survey, p tin.Point) {
		if at := (orb.Point{p.E, p.N}); !seen[k][at] && len(s.points) < 20 {
			seen[k][at] = true
			s.points = append(s.points, p)
		}
	}
	for rest := data[4:]; len(rest) >= 3; {
		p := tin.Point{E: value(rest[1]), N: value(rest[2])}
		if rest[0]%4 == 3 {
			if len(ring) < 8 {
				ring = append(ring, orb.Point{p.E, p.N})
			}
			rest = rest[3:]
			continue
		}
		if len(rest) < 4 {
			break
		}
		p.Level = float64(rest[3]%16) / 4
		if k := rest[0] % 4; k != 1 { // 0: both, 1: the second, 2: the first
			add(0, &d.a, p)
		}
		if rest[0]%4 != 2 {
			p.Level += float64(rest[3]>>4) / 4
			p.E += nudge * step
			add(1, &d.b, p)
		}
		rest = rest[4:]
	}
	if data[3]&1 == 1 {
		d.outline = orb.Polygon{ring}
	}
	return d, true
}

// encodeDuo writes spots as decodeDuo reads them: every other one in both.
func encodeDuo(header [4]byte, points []tin.Point, ring ...byte) []byte {
	data := header[:]
	for i, p := range points {
		data = append(data, byte(i*5%3), byte(int(p.E)&15), byte(int(p.N)&15), byte(i*37))
	}
	for i := 0; i+1 < len(ring); i += 2 {
		data = append(data, 3, ring[i], ring[i+1])
	}
	return data
}

// FuzzOverlay measures between surveys of a few places that have most of them in
// common. All areas add up, cut is fill the other way round, and everything
// agrees with rationals.
func FuzzOverlay(f *testing.F) {
	for i, set := range tintest.Sets() {
		points := set.Points[:min(len(set.Points), 30)]
		f.Add(encodeDuo([4]byte{byte(i), 0, 0, 0}, points))
		f.Add(encodeDuo([4]byte{byte(i), 0, byte(i), 1}, points, 1, 1, 13, 2, 12, 14, 6, 7))
		f.Add(encodeDuo([4]byte{byte(i), byte(37 * i), byte(i), 1}, points, 0, 0, 15, 0, 15, 15, 0, 15))
	}
	f.Add([]byte("1A710.00000000000000000007700000000078C0000000000000$800C700000000000000000000000000000000000000000000000007C\r7&7"))                                    // a piece whose area is rounded to less than nothing
	f.Add([]byte("10XXXXXXXXXXXZ7000,0"))                                                                                                                                  // uncovered area that is rounded to less than nothing
	f.Add([]byte("1A710.00000000\x0e\x0e\x0e\x0e\x0e\x0e\x0e\x0e000080000007700000000078C0000000000000$800C700000000000000000000000000000000000000000000000000007C\r7&7")) // an outline thinner than rounding
	f.Fuzz(func(t *testing.T, data []byte) {
		d, ok := decodeDuo(data)
		if !ok {
			return
		}
		a, err := d.a.build(t)
		if err != nil {
			return
		}
		b, err := d.b.build(t)
		if err != nil {
			return
		}
		got, err := volume.Between(t.Context(), a, b, d.outline)
		if err != nil {
			var e *tin.InputError
			require.ErrorAs(t, err, &e, "%s", d)
			require.Error(t, tin.CheckOutline(d.outline), "%s", d)
			return
		}
		if d.outline != nil {
			require.NoError(t, tin.CheckOutline(d.outline))
		}
		// A site whose width is a few steps of its coordinates is no more exact
		// than those.
		far := max(math.Abs(a.Bound().Max[0]), math.Abs(a.Bound().Max[1]))
		wide := a.Bound().Max[0] - a.Bound().Min[0] + a.Bound().Max[1] - a.Bound().Min[1]
		loose := 1e-11 + 100*0x1p-52*far/wide
		for _, v := range []float64{got.Cut, got.Fill, got.CutArea, got.FillArea, got.LevelArea, got.UncoveredArea, got.MaxCut.Depth, got.MaxFill.Depth} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", got)
			require.GreaterOrEqual(t, v, -1e-14*wide*wide, "%+v", got)
		}
		area := got.CutArea + got.FillArea + got.LevelArea + got.UncoveredArea
		want := a.Stats().Area
		if d.outline != nil {
			want = math.Abs(planarArea(d.outline[0]))
		}
		require.InDelta(t, want, area, loose*(want+wide*wide), "%s", d)

		back, err := volume.Between(t.Context(), b, a, d.outline)
		require.NoError(t, err)
		// The area of an outline that is thinner than rounding is rounding, and so
		// is what lies over it.
		slack := loose*(got.Cut+got.Fill+area*4) + 0x1p-52*wide*wide*4
		require.InDelta(t, got.Cut, back.Fill, slack, "%s", d)
		require.InDelta(t, got.Fill, back.Cut, slack, "%s", d)
		require.InDelta(t, got.CutLessFill, -back.CutLessFill, slack, "%s", d)
		self, err := volume.Between(t.Context(), a, a, d.outline)
		require.NoError(t, err)
		require.Equal(t, volume.CutFill{LevelArea: self.LevelArea, UncoveredArea: self.UncoveredArea}, self)

		exact := d.exactly(t, a, b)
		if exact.turned {
			return
		}
		d.hold(got, exact, func(what string, got, want, relative float64) {
			if relative > 100*loose {
				t.Errorf("%s %v, want %v (%.1e relative) %+v: %s", what, got, want, relative, exact, d)
			}
		})
	})
}

// planarArea is a ring's area from differences.
func planarArea(r orb.Ring) float64 {
	sum := 0.0
	for i := range r {
		p, q := r[i], r[(i+1)%len(r)]
		sum += (p[0]-r[0][0])*(q[1]-r[0][1]) - (p[1]-r[0][1])*(q[0]-r[0][0])
	}
	return sum / 2
}

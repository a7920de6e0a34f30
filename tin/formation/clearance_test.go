package formation_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

// levelGround is level at 65, from -100 to 100.
func levelGround(t testing.TB) *tin.Surface {
	t.Helper()
	s, err := tin.FromPoints([]tin.Point{
		{E: -100, N: -100, Level: 65}, {E: 100, N: -100, Level: 65}, {E: 103, N: 101, Level: 65}, {E: -97, N: 99, Level: 65},
	})
	require.NoError(t, err)
	return s
}

// cleared lays a pad out over level ground, digs it, and holds it against clearances.
func cleared(t testing.TB, pads []formation.Pad, list ...formation.Clearance) []formation.Cleared {
	t.Helper()
	ground := levelGround(t)
	l, err := formation.Lay(t.Context(), ground, pads, formation.Options{})
	require.NoError(t, err)
	dig, err := l.Dig(t.Context(), ground, formation.Options{})
	require.NoError(t, err)
	got, err := l.Clearances(t.Context(), ground, dig, list)
	require.NoError(t, err)
	require.Len(t, got, len(list))
	return got
}

func box(e0, n0, e1, n1 float64) orb.Polygon {
	return orb.Polygon{{{e0, n0}, {e1, n0}, {e1, n1}, {e0, n1}}}
}

func one(list ...orb.Polygon) orb.MultiPolygon { return list }

// upright is a pad of 10 by 10 m with upright faces; battered is 2 m deep with a
// batter of 1V:1H, so that its works reach 2 m farther.
func upright() []formation.Pad { return []formation.Pad{{Outline: square(10), Finished: 63}} }

func battered() []formation.Pad {
	p := upright()
	p[0].Cut = formation.Batter{Along: 1}
	return p
}

func TestClearancesClosedForms(t *testing.T) {
	// A square of 2 m from the place of a round corner: how much a circle of 2 m
	// about its corner holds of it.
	quarter := math.Pi * 4 / 4
	for _, tt := range []struct {
		name                 string
		pads                 []formation.Pad
		clearance            formation.Clearance
		least, overlap, area float64
		at                   []orb.Point // one of them; nil: anywhere
		off                  bool
	}{
		{"1 m over the line", upright(), formation.Clearance{Inside: true, Area: one(box(-50, -50, 9, 50))}, -1, 1, 10, []orb.Point{{10, 0}}, false},
		{"and 0.5 m before it", upright(), formation.Clearance{Inside: true, Area: one(box(-50, -50, 9, 50)), Distance: 0.5}, -1, 1.5, 15, []orb.Point{{10, 0}}, false},
		{"on the line", upright(), formation.Clearance{Inside: true, Area: one(box(-50, -50, 10, 50))}, 0, 0, 0, nil, false},
		{"within the distance of it", upright(), formation.Clearance{Inside: true, Area: one(box(-50, -50, 10, 50)), Distance: 2}, 0, 2, 20, nil, false},
		{"clear of the line", upright(), formation.Clearance{Inside: true, Area: one(box(-50, -50, 11.24, 50)), Distance: 0.5}, 1.24, 0, 0, []orb.Point{{10, 0}}, false},
		{"over a corner of the lot", upright(), formation.Clearance{Inside: true, Area: one(box(-50, -50, 9, 8))}, -math.Sqrt(5), math.Sqrt(5), 28, []orb.Point{{10, 10}}, false},
		{"wholly off the lot", upright(), formation.Clearance{Inside: true, Area: one(box(20, 0, 30, 10)), Distance: 1}, -20, 21, 100, []orb.Point{{0, 0}}, true},
		{"two lots side by side", upright(), formation.Clearance{Inside: true, Area: one(box(-50, -50, 5, 50), box(5, -50, 50, 50)), Distance: 1}, 40, 0, 0, nil, false},
		{"two lots that overlap", upright(), formation.Clearance{Inside: true, Area: one(box(-50, -50, 7, 50), box(5, -40, 50, 60)), Distance: 1}, 40, 0, 0, nil, false},
		{"a hole in the lot", upright(), formation.Clearance{Inside: true, Area: one(append(box(-50, -50, 50, 50), orb.Ring{{4, 4}, {4, 6}, {6, 6}, {6, 4}}))}, -1, 1, 4, []orb.Point{{5, 5}}, false},

		{"a neighbour's footing", upright(), formation.Clearance{Area: one(box(9, 2, 12, 4)), Distance: 0}, -1, 1, 2, nil, false},
		{"a long slab under it", upright(), formation.Clearance{Area: one(box(-20, 4, 30, 8)), Distance: 0}, -2, 2, 40, nil, false},
		{"a slab beside it", upright(), formation.Clearance{Area: one(box(11, -20, 13, 30)), Distance: 3}, 1, 2, 20, nil, true},
		{"the batter reaches a slab", battered(), formation.Clearance{Area: one(box(11, 0, 13, 10)), Distance: 0}, -1, 1, 10, nil, false},

		{"a service along a side", upright(), formation.Clearance{Lines: orb.MultiLineString{{{-20, -1}, {30, -1}}}, Distance: 3}, 1, 2, 20, nil, true},
		{"a service across", upright(), formation.Clearance{Lines: orb.MultiLineString{{{-20, 5}, {4, 5}, {4, 5}, {30, 5}}}, Distance: 1}, 0, 1, 20, nil, false},
		{"a service under a corner", upright(), formation.Clearance{Lines: orb.MultiLineString{{{-1, 1}, {1, -1}}}, Distance: math.Sqrt2}, 0, math.Sqrt2, 2, nil, false},
		{"a service that ends 1 m off", upright(), formation.Clearance{Lines: orb.MultiLineString{{{11, 5}, {30, 5}}}, Distance: 1}, 1, 0, 0, []orb.Point{{10, 5}}, true},
		{"a tree inside", upright(), formation.Clearance{Points: orb.MultiPoint{{5, 5}}, Distance: 2}, 0, 2, 4 * math.Pi, []orb.Point{{5, 5}}, false},
		{"a tree on a corner", upright(), formation.Clearance{Points: orb.MultiPoint{{0, 0}}, Distance: 2}, 0, 2, quarter, []orb.Point{{0, 0}}, false},
		{"a tree in a batter", battered(), formation.Clearance{Points: orb.MultiPoint{{11, 5}}, Distance: 1}, 0, 1, math.Pi, []orb.Point{{11, 5}}, false},
		{"a tree off the works", battered(), formation.Clearance{Points: orb.MultiPoint{{14, 5}}, Distance: 1}, 2, 0, 0, []orb.Point{{12, 5}}, true},
		{"two trees", upright(), formation.Clearance{Points: orb.MultiPoint{{0, 0}, {10, 10}}, Distance: 2}, 0, 2, 2 * quarter, nil, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := cleared(t, tt.pads, tt.clearance)[0]
			assert.InDelta(t, tt.least, got.Least, 2e-9)
			assert.InDelta(t, tt.overlap, got.Overlap, 2e-9)
			assert.Equal(t, tt.overlap == 0, got.Kept)
			assert.Equal(t, tt.off, got.Off)
			round := 1e-9 // a round corner may be 1 mm too wide, on a length of arc
			if len(tt.clearance.Lines)+len(tt.clearance.Points) > 0 {
				round = 1e-3 * 4 * math.Pi
			}
			assert.InDelta(t, tt.area, got.Area, round)
			assert.GreaterOrEqual(t, got.Area, tt.area-1e-9)
			if tt.overlap == 0 {
				assert.Zero(t, got.Area)
				assert.Empty(t, got.Pads)
			} else {
				assert.Equal(t, []int{0}, got.Pads)
			}
			if tt.at != nil {
				near := slices.ContainsFunc(tt.at, func(p orb.Point) bool { return math.Hypot(p[0]-got.At[0], p[1]-got.At[1]) < 1e-6 })
				assert.True(t, near, "%v", got.At)
			}
		})
	}
}

// Only the pads that break a clearance are named, and only their works count.
func TestClearancesByPad(t *testing.T) {
	pads := append(upright(), formation.Pad{Outline: box(20, 0, 30, 10), Finished: 63}, formation.Pad{Outline: box(40, 0, 50, 10), Finished: 64})
	got := cleared(t, pads, formation.Clearance{Inside: true, Area: one(box(-50, -50, 29, 50)), Distance: 1})[0]
	assert.Equal(t, []int{1, 2}, got.Pads)
	assert.InDelta(t, 20+100, got.Area, 1e-9)
	assert.InDelta(t, 22, got.Overlap, 1e-9)

	// Of places equally near the one first by easting counts, whichever pad it is of.
	pads[0], pads[2] = pads[2], pads[0]
	got = cleared(t, pads, formation.Clearance{Lines: orb.MultiLineString{{{-20, -1}, {60, -1}}}, Distance: 2})[0]
	assert.Equal(t, []int{0, 1, 2}, got.Pads)
	assert.Equal(t, orb.Point{0, 0}, got.At)
}

// Works with nothing in them break nothing.
func TestClearancesWithoutWorks(t *testing.T) {
	got := cleared(t, nil, formation.Clearance{Points: orb.MultiPoint{{1, 1}}, Distance: 1})[0]
	assert.True(t, got.Kept)
	assert.True(t, math.IsInf(got.Least, 1))
	assert.False(t, got.Off)
}

func TestClearanceErrors(t *testing.T) {
	crossed := orb.Polygon{{{0, 0}, {5, 5}, {5, 0}, {0, 5}}}
	for name, tt := range map[string]struct {
		c         formation.Clearance
		code, key string
	}{
		"nothing":            {formation.Clearance{}, formation.CodeClearanceShape, "shape"},
		"below 0":            {formation.Clearance{Area: one(square(1)), Distance: -1}, formation.CodeBadDistance, "distance"},
		"no number":          {formation.Clearance{Area: one(square(1)), Distance: math.NaN()}, formation.CodeBadDistance, "distance"},
		"endless":            {formation.Clearance{Area: one(square(1)), Distance: math.Inf(1)}, formation.CodeBadDistance, "distance"},
		"inside a line":      {formation.Clearance{Inside: true, Lines: orb.MultiLineString{{{0, 0}, {1, 1}}}, Distance: 1}, formation.CodeClearanceShape, "shape"},
		"line, no distance":  {formation.Clearance{Lines: orb.MultiLineString{{{0, 0}, {1, 1}}}}, formation.CodeClearanceShape, "distance"},
		"point, no distance": {formation.Clearance{Points: orb.MultiPoint{{0, 0}}}, formation.CodeClearanceShape, "distance"},
		"short line":         {formation.Clearance{Lines: orb.MultiLineString{{{0, 0}}}, Distance: 1}, formation.CodeClearanceShape, "shape"},
		"no place":           {formation.Clearance{Points: orb.MultiPoint{{0, math.NaN()}}, Distance: 1}, formation.CodeBadPoint, "shape"},
		"crossed":            {formation.Clearance{Area: one(square(1), crossed)}, "outline_crosses", "shape"},
		"empty polygon":      {formation.Clearance{Area: one(orb.Polygon{})}, "outline_empty", "shape"},
	} {
		t.Run(name, func(t *testing.T) {
			e, ok := errors.AsType[*tin.InputError](tt.c.Check())
			require.True(t, ok)
			assert.Equal(t, tt.code, e.Code)
			assert.Equal(t, tt.key, e.Key)
			ground := levelGround(t)
			l, err := formation.Lay(t.Context(), ground, upright(), formation.Options{})
			require.NoError(t, err)
			_, err = l.Clearances(t.Context(), ground, nil, []formation.Clearance{{Area: one(square(1))}, tt.c})
			e, ok = errors.AsType[*tin.InputError](err)
			require.True(t, ok)
			assert.Equal(t, "clearance[1]."+tt.key, e.Key)
		})
	}
}

func TestClearancesEndWithTheContext(t *testing.T) {
	ground := levelGround(t)
	l, err := formation.Lay(t.Context(), ground, roundPads(2000), formation.Options{})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = l.Clearances(ctx, ground, nil, []formation.Clearance{{Area: one(square(1))}})
	assert.ErrorIs(t, err, context.Canceled)
	_, err = l.Clearances(ctx, nil, nil, nil)
	assert.Error(t, err)
}

// roundPads is a pad of n corners.
func roundPads(n int) []formation.Pad {
	var ring orb.Ring
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		ring = append(ring, orb.Point{40 * cos, 40 * sin})
	}
	return []formation.Pad{{Outline: orb.Polygon{ring}, Finished: 63}}
}

// star is a random simple outline about a place, with inward corners.
func star(r *rand.Rand, at orb.Point, radius float64, n int) orb.Polygon {
	var ring orb.Ring
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n))
		d := radius * (0.3 + 0.7*r.Float64())
		ring = append(ring, orb.Point{at[0] + d*cos, at[1] + d*sin})
	}
	return orb.Polygon{ring}
}

// signed is the distance of a place from a shape, below 0 inside its polygon: by all
// sides, one after the other.
func signed(c *formation.Clearance, p orb.Point) float64 {
	least := math.Inf(1)
	to := func(a, b orb.Point) { least = min(least, planar.DistanceFromSegment(a, b, p)) }
	in := false
	for _, poly := range c.Area {
		for _, ring := range poly {
			for i, a := range ring {
				to(a, ring[(i+1)%len(ring)])
			}
		}
		in = in || planar.PolygonContains(orb.Polygon{append(slices.Clone(poly[0]), poly[0][0])}, p)
	}
	for _, l := range c.Lines {
		for i := 1; i < len(l); i++ {
			to(l[i-1], l[i])
		}
	}
	for _, q := range c.Points {
		to(q, q)
	}
	if in {
		return -least
	}
	return least
}

// Random works and shapes against a raster of the definition: the works are those of
// the outline with batters of 2 m on level ground, which is all within 2 m of it.
func TestClearancesAgainstRaster(t *testing.T) {
	jobs := 60
	if testing.Short() {
		jobs = 10
	}
	for job := range jobs {
		r := rand.New(rand.NewPCG(uint64(job), 77))
		outline := star(r, orb.Point{}, 10, 3+r.IntN(8))
		pads := []formation.Pad{{Outline: outline, Finished: 63, Cut: formation.Batter{Along: 1}}}
		c := formation.Clearance{Distance: 4 * r.Float64()}
		at := orb.Point{16*r.Float64() - 8, 16*r.Float64() - 8}
		switch job % 4 {
		case 0:
			c.Inside, c.Area = true, one(star(r, at, 14, 3+r.IntN(9)))
		case 1:
			c.Area = one(star(r, at, 9, 3+r.IntN(9)))
		case 2:
			c.Lines = orb.MultiLineString{orb.LineString(star(r, at, 12, 3+r.IntN(9))[0])}
		case 3:
			c.Points = orb.MultiPoint(star(r, at, 12, 3)[0])
		}
		got := cleared(t, pads, c)[0]

		works := formation.Clearance{Area: one(outline)}
		const cell = 0.1
		least, area, edge := math.Inf(1), 0.0, 0
		for e := -13.0; e < 13; e += cell {
			for n := -13.0; n < 13; n += cell {
				p := orb.Point{e, n}
				s, out := signed(&c, p), signed(&works, p)-2
				if c.Inside {
					s = -s
				}
				if math.Abs(out) < cell || out < cell && math.Abs(s-c.Distance) < cell {
					edge++ // a cell that a rim may cut
				}
				if out > 0 {
					continue
				}
				least = min(least, s)
				if s < c.Distance {
					area += cell * cell
				}
			}
		}
		assert.InDelta(t, least, got.Least, cell, "job %d", job)
		assert.LessOrEqual(t, got.Least, least+2e-4, "job %d: no place of the works is nearer", job)
		assert.InDelta(t, max(0, c.Distance-got.Least), got.Overlap, 1e-9, "job %d", job)
		assert.InDelta(t, area, got.Area, cell*cell*float64(edge)/4+0.05, "job %d", job)
	}
}

// Where a shape starts, which way it runs and in what order its parts stand changes
// no bit; nor does the start of the pad's outline.
func TestClearancesDependOnCoordinatesOnly(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 20 {
		a, b := star(r, orb.Point{3, 2}, 9, 9), star(r, orb.Point{40, 2}, 5, 5)
		pads := []formation.Pad{{Outline: star(r, orb.Point{}, 10, 7), Finished: 63, Margin: 0.5, Cut: formation.Batter{Along: 1.5}}}
		turned := func(ring orb.Ring) orb.Ring {
			k := 1 + r.IntN(len(ring)-1)
			out := slices.Concat(ring[k:], ring[:k])
			slices.Reverse(out)
			return out
		}
		list := func(a, b orb.Ring) []formation.Clearance {
			line, back := orb.LineString(slices.Clone(a)), orb.LineString(b)
			slices.SortFunc(line, func(p, q orb.Point) int { return int(math.Copysign(1, p[0]-q[0])) })
			return []formation.Clearance{
				{Inside: true, Area: one(orb.Polygon{a}, orb.Polygon{b}), Distance: 0.5},
				{Area: one(orb.Polygon{a}, orb.Polygon{b}), Distance: 0.5},
				{Lines: orb.MultiLineString{line}, Distance: 1},
				{Points: orb.MultiPoint{back[0]}, Distance: 1},
			}
		}
		want := cleared(t, pads, list(a[0], b[0])...)
		again := list(turned(a[0]), b[0])
		slices.Reverse(again[0].Area)
		slices.Reverse(again[1].Area)
		slices.Reverse(again[2].Lines[0])
		pads[0].Outline = orb.Polygon{turned(pads[0].Outline[0])}
		assert.Equal(t, want, cleared(t, pads, again...))
	}
}

// A round pad of 1e5 corners, so of as many facets, against a service of n sides that
// winds through it, a lot of n sides and a tree.
func BenchmarkClearances(b *testing.B) {
	ground := levelGround(b)
	l, err := formation.Lay(b.Context(), ground, roundPads(1e5), formation.Options{})
	require.NoError(b, err)
	for _, n := range []int{10, 1000, 10000} {
		var line orb.LineString
		for i := range n + 1 {
			x := 200*float64(i)/float64(n) - 100
			line = append(line, orb.Point{x, 39 + 3*math.Sin(x)})
		}
		lot := roundPads(n)[0].Outline
		for name, c := range map[string]formation.Clearance{
			"service": {Lines: orb.MultiLineString{line}, Distance: 1},
			"kept":    {Lines: orb.MultiLineString{append(slices.Clone(line), orb.Point{500, 500})}, Distance: 1e-9},
			"lot":     {Inside: true, Area: one(lot), Distance: 1},
			"pond":    {Area: one(lot), Distance: 1},
			"tree":    {Points: orb.MultiPoint{{39, 1}}, Distance: 1},
		} {
			b.Run(fmt.Sprintf("%s/n=%d", name, n), func(b *testing.B) {
				for b.Loop() {
					_, err := l.Clearances(b.Context(), ground, nil, []formation.Clearance{c})
					require.NoError(b, err)
				}
			})
		}
	}
}

// Shapes and pads with corners on a grid of whole metres, so that sides lie in line,
// touch, and end on each other: still no place of the works is nearer than the least,
// and the area is that of the definition.
func TestClearancesOnAGrid(t *testing.T) {
	jobs := 60
	if testing.Short() {
		jobs = 20
	}
	for job := range jobs {
		r := rand.New(rand.NewPCG(uint64(job), 78))
		whole := func(p orb.Polygon) orb.Polygon {
			for i := range p[0] {
				p[0][i] = orb.Point{math.Round(p[0][i][0]), math.Round(p[0][i][1])}
			}
			if tin.CheckOutline(p) != nil {
				return box(-3, -3, 4, 2)
			}
			return p
		}
		outline := whole(star(r, orb.Point{}, 6, 3+r.IntN(6)))
		other := whole(star(r, orb.Point{float64(r.IntN(9)), 0}, 6, 3+r.IntN(6)))
		shape := whole(star(r, orb.Point{float64(r.IntN(5)), 0}, 7, 3+r.IntN(6)))
		c := formation.Clearance{Distance: float64(r.IntN(3))}
		switch job % 3 {
		case 0:
			c.Inside, c.Area = true, one(shape)
		case 1:
			c.Area = one(shape)
		default:
			c.Distance++
			c.Lines, c.Points = orb.MultiLineString{orb.LineString(shape[0])}, orb.MultiPoint{{0, 0}, shape[0][0]}
		}
		got := cleared(t, []formation.Pad{{Outline: outline, Finished: 63}, {Outline: other, Finished: 62}}, c)[0]
		works := formation.Clearance{Area: one(outline, other)}
		const cell = 0.125
		least, area, edge := math.Inf(1), 0.0, 0
		for e := -14 + cell/2; e < 16; e += cell {
			for n := -14 + cell/2; n < 14; n += cell {
				p := orb.Point{e, n}
				out, s := signed(&works, p), signed(&c, p)
				if c.Inside {
					s = -s
				}
				if math.Abs(out) < cell || out < 0 && math.Abs(s-c.Distance) < cell {
					edge++
				}
				if out > 0 {
					continue
				}
				least = min(least, s)
				if s < c.Distance {
					area += cell * cell
				}
			}
		}
		assert.LessOrEqual(t, got.Least, least+2e-4, "job %d", job)
		assert.InDelta(t, least, got.Least, 5*cell, "job %d: but for needle corners, where no middle of a cell lies", job)
		assert.Equal(t, got.Kept, got.Overlap == 0, "job %d", job)
		if !got.Kept {
			assert.InDelta(t, area, got.Area, cell*cell*float64(edge)/3+0.05, "job %d", job)
		}
	}
}

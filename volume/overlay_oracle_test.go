package volume_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// overlaid is what lies between two surfaces, exactly, in metres. Near is the
// area where the depth is nearer to 0 than levels are rounded: which of cut,
// fill and level it counts as is undecided.
type overlaid struct {
	cut, fill, cutArea, fillArea, levelArea, uncovered, near float64
	ground                                                   float64 // area with both surfaces
	highest, lowest                                          float64 // levels
	// How wide the frame is, and how long the rims of all pieces together.
	wide, rims float64
	noise      float64 // volume that rounding of levels may make
	turned     bool    // a triangle that the common frame turns over
}

// levelRounding bounds what rounding does to a depth, relative to the levels:
// each of the two is interpolated in a few operations. In a thin triangle it is
// as many times more as the square of its length is greater than its area.
const levelRounding = 16 * 0x1p-53

// isWide reports whether the frame is a hundred times as wide as the works.
func (e overlaid) isWide() bool { return e.wide > 100*math.Sqrt(e.ground) }

// exactly measures by pairs: every triangle of a against every triangle of b,
// within the outline. It knows nothing of the overlay but its frame.
func (d duo) exactly(t testing.TB, a, b *tin.Surface) overlaid {
	t.Helper()
	o, err := tin.NewOverlay(a, b, d.outline)
	require.NoError(t, err)
	fa, fb := newExactFrame(a.Frame(), d.a.options.Unit), newExactFrame(b.Frame(), d.b.options.Unit)
	common := fa
	if o.Frame() == fb.of {
		common = fb
	}
	require.Equal(t, o.Frame(), common.of)

	// All that is given, as rational numbers, then as whole ones.
	xy, z := newScale(), newScale()
	take := func(p ratPoint) ratPoint {
		xy.take(p.x, p.y)
		return p
	}
	polygon := func(f exactFrame, p []orb.Polygon) (out []ratPoint) {
		if len(p) == 0 {
			return nil
		}
		ring := p[0][0]
		for i, c := range ring {
			if i == 0 || i < len(ring)-1 || c != ring[0] {
				out = append(out, take(common.take(f, c)))
			}
		}
		if area2, _ := integral(out, linear{new(big.Rat), new(big.Rat), new(big.Rat)}); area2.Sign() < 0 {
			slices.Reverse(out)
		}
		return out
	}
	var outline []ratPoint
	if d.outline != nil {
		outline = polygon(common, []orb.Polygon{d.outline})
	}
	type side struct {
		boundary, void []ratPoint
		corner         []ratPoint
		level          []*big.Rat
		around         []ratPoint // the bound of all vertices, max_edge or not
	}
	var sides [2]side
	e := overlaid{highest: math.Inf(-1), lowest: math.Inf(1)}
	for i, s := range []*tin.Surface{a, b} {
		f, options := [2]exactFrame{fa, fb}[i], [2]tin.Options{d.a.options, d.b.options}[i]
		metres := func(p orb.MultiPolygon) []orb.Polygon {
			p = p.Clone()
			for _, poly := range p {
				for k, c := range poly[0] {
					poly[0][k] = orb.Point{c[0] * options.Unit.Metres(), c[1] * options.Unit.Metres()}
				}
			}
			return p
		}
		sides[i].boundary, sides[i].void = polygon(f, metres(options.Boundary)), polygon(f, metres(options.Voids))
		around := s.Bound()
		sides[i].around = []ratPoint{take(common.take(f, around.Min)), take(common.take(f, around.Max))}
		for _, tri := range s.Triangles() {
			for _, c := range tri.Corner {
				sides[i].corner = append(sides[i].corner, take(common.take(f, orb.Point{c.E, c.N})))
				level := rat(c.Level)
				z.take(level)
				sides[i].level = append(sides[i].level, level)
				e.highest, e.lowest = max(e.highest, c.Level), min(e.lowest, c.Level)
			}
		}
	}
	// Room for what is near 0.
	z.per, xy.per = times(z.per, new(big.Int).Lsh(big.NewInt(1), 64)), times(xy.per, new(big.Int).Lsh(big.NewInt(1), 40))
	one := big.NewInt(1)
	whole := func(points []ratPoint) []place {
		out := make([]place, len(points))
		for i, p := range points {
			out[i] = place{xy.whole(p.x), xy.whole(p.y), one}
		}
		return out
	}
	facets := func(s side) []facet {
		var out []facet
		corner := whole(s.corner)
		for i := 0; i < len(corner); i += 3 {
			f := newFacet([3]place(corner[i:i+3]), [3]*big.Int{z.whole(s.level[i]), z.whole(s.level[i+1]), z.whole(s.level[i+2])})
			switch f.size.Sign() {
			case 1:
				out = append(out, f)
			case -1:
				e.turned = true
			}
		}
		return out
	}
	limited := func(parts []signed, s side) []signed {
		if s.boundary != nil {
			boundary := areaOf(whole(s.boundary))
			for i := range parts {
				parts[i].area = parts[i].within(&boundary)
			}
		}
		if s.void != nil {
			void := areaOf(whole(s.void))
			for _, p := range slices.Clone(parts) {
				parts = append(parts, signed{p.within(&void), -p.sign})
			}
		}
		return parts
	}
	all := areaOf(whole(outline))
	if d.outline == nil {
		all = areaOf(whole(boxRound(sides[0].corner)))
	}
	wide := new(big.Rat)
	for _, c := range slices.Concat(sides[0].around, sides[1].around, outline) {
		for _, v := range []*big.Rat{c.x, c.y} {
			if v = new(big.Rat).Abs(v); v.Cmp(wide) > 0 {
				wide = v
			}
		}
	}
	ga, gb := facets(sides[0]), facets(sides[1])
	onA := limited([]signed{{all, 1}}, sides[0])
	m := overlayMeter{level: z.per, noise: float(), sum: newSums()}
	m.near, _ = new(big.Float).SetMode(big.AwayFromZero).Mul(new(big.Float).SetInt(z.per), big.NewFloat(levelRounding*e.highest)).Int(nil)
	m.wide = new(big.Int).Rsh(xy.whole(wide), 49)
	if d.outline != nil {
		area2, _ := all.twice(nil)
		m.sum.uncovered.Add(m.sum.uncovered, area2)
		m.rims = 4 * roundBox(all.box())
	} else {
		for i := range ga {
			for _, p := range onA {
				part := p.within(&ga[i].area)
				if len(part.corner) < 3 {
					continue
				}
				m.rims += roundBox(part.box())
				area2, _ := part.twice(nil)
				m.sum.uncovered.Add(m.sum.uncovered, p.signed(area2))
			}
		}
	}
	onBoth := limited(onA, sides[1])
	for _, p := range onBoth {
		if len(p.corner) < 3 {
			continue
		}
		box := p.box()
		m.rims += roundBox(box)
		for i := range ga {
			if !ga[i].near.Intersects(box) {
				continue
			}
			part := p.within(&ga[i].area)
			if len(part.corner) < 3 {
				continue
			}
			box := part.box()
			m.rims += roundBox(box)
			for k := range gb {
				if gb[k].near.Intersects(box) {
					m.add(signed{part.within(&gb[k].area), p.sign}, &ga[i], &gb[k])
				}
			}
		}
	}
	metres := quo(common.squareMetres, new(big.Rat).SetInt(times(xy.per, xy.per)))
	of := func(f *big.Float, share int64) float64 {
		v, _ := float().Mul(f, float().SetRat(mul(metres, big.NewRat(1, share)))).Float64()
		if math.Abs(v) < 1e-40 {
			return 0 // a sum of nothing
		}
		return v
	}
	e.cutArea, e.fillArea, e.levelArea = of(m.sum.cutArea, 2), of(m.sum.fillArea, 2), of(m.sum.levelArea, 2)
	e.uncovered, e.near, e.ground = of(m.sum.uncovered, 2), of(m.sum.near, 2), of(m.sum.ground, 2)
	e.cut, e.fill = of(m.sum.cut, 6), of(m.sum.fill, 6)
	e.noise = levelRounding * e.highest * of(m.noise, 2)
	length, _ := common.squareMetres.Float64()
	length = math.Sqrt(length)
	e.wide, _ = wide.Float64()
	e.wide *= length
	per, _ := new(big.Float).SetInt(xy.per).Float64()
	e.rims = m.rims * length / per
	return e
}

func roundBox(b orb.Bound) float64 { return 2 * (b.Max[0] - b.Min[0] + b.Max[1] - b.Min[1]) }

// boxRound is a box with room round all places.
func boxRound(points []ratPoint) []ratPoint {
	lo, hi := points[0], points[0]
	least := func(a, b *big.Rat) *big.Rat {
		if a.Cmp(b) < 0 {
			return a
		}
		return b
	}
	greatest := func(a, b *big.Rat) *big.Rat {
		if a.Cmp(b) > 0 {
			return a
		}
		return b
	}
	for _, p := range points {
		lo = ratPoint{least(lo.x, p.x), least(lo.y, p.y)}
		hi = ratPoint{greatest(hi.x, p.x), greatest(hi.y, p.y)}
	}
	one := big.NewRat(1, 1)
	lo, hi = ratPoint{sub(lo.x, one), sub(lo.y, one)}, ratPoint{add(hi.x, one), add(hi.y, one)}
	return []ratPoint{lo, {hi.x, lo.y}, hi, {lo.x, hi.y}}
}

// signed is an area counted once, or taken away.
type signed struct {
	area
	sign int
}

func (s signed) signed(v *big.Float) *big.Float {
	if s.sign < 0 {
		v.Neg(v)
	}
	return v
}

// overlayMeter adds up pieces: twice the areas, six times the volumes.
type overlayMeter struct {
	level *big.Int // whole units of level in a metre
	near  *big.Int // the depth that is near 0, in those units
	wide  *big.Int // how much places are rounded
	sum   sums
	rims  float64
	noise *big.Float
}

type sums struct{ cut, fill, cutArea, fillArea, levelArea, uncovered, near, ground *big.Float }

func newSums() sums {
	return sums{float(), float(), float(), float(), float(), float(), float(), float()}
}

func (m *overlayMeter) add(p signed, a, b *facet) {
	if len(p.corner) < 3 {
		return
	}
	m.rims += roundBox(p.box())
	depth, size := a.less(b)
	unit := times(size, m.level)
	thin := max(a.thin, b.thin)
	near := times(times(size, m.near), big.NewInt(thin))
	near.Add(near, times(m.wide, plus(times(a.steep(), b.size), times(b.steep(), a.size))))
	cut, fill, close, far := false, false, false, false
	for i := range p.corner {
		d := depth.at(&p.corner[i])
		cut, fill = cut || d.Sign() > 0, fill || d.Sign() < 0
		if d.CmpAbs(times(near, p.corner[i].w)) <= 0 {
			close = true
		} else {
			far = true
		}
	}
	area2, volume6 := p.twice(&depth)
	m.noise.Add(m.noise, p.signed(float().Mul(area2, float().SetInt64(thin))))
	metres := func(v *big.Float) *big.Float { return v.Quo(v, float().SetInt(unit)) }
	m.sum.uncovered.Sub(m.sum.uncovered, p.signed(float().Set(area2)))
	m.sum.ground.Add(m.sum.ground, p.signed(float().Set(area2)))
	switch {
	case close && far, cut && fill: // a slice may be near, within
		up, down := depth, depth.negative()
		up.c, down.c = plus(up.c, near), plus(down.c, near)
		slice := p.clip(&up)
		slice = slice.clip(&down)
		area2, _ := slice.twice(nil)
		m.sum.near.Add(m.sum.near, p.signed(area2))
	case close:
		m.sum.near.Add(m.sum.near, p.signed(float().Set(area2)))
	}
	switch {
	case cut && fill:
		down := depth.negative()
		above, below := p.clip(&depth), p.clip(&down)
		a, v := above.twice(&depth)
		m.sum.cutArea.Add(m.sum.cutArea, p.signed(a))
		m.sum.cut.Add(m.sum.cut, p.signed(metres(v)))
		a, v = below.twice(&down)
		m.sum.fillArea.Add(m.sum.fillArea, p.signed(a))
		m.sum.fill.Add(m.sum.fill, p.signed(metres(v)))
	case cut:
		m.sum.cutArea.Add(m.sum.cutArea, p.signed(area2))
		m.sum.cut.Add(m.sum.cut, p.signed(metres(volume6)))
	case fill:
		m.sum.fillArea.Add(m.sum.fillArea, p.signed(area2))
		m.sum.fill.Sub(m.sum.fill, p.signed(metres(volume6)))
	default:
		m.sum.levelArea.Add(m.sum.levelArea, p.signed(area2))
	}
}

func (f *form) negative() form {
	return form{new(big.Int).Neg(f.a), new(big.Int).Neg(f.b), new(big.Int).Neg(f.c)}
}

// duoTally counts what the jobs had in them.
type duoTally struct {
	jobs, mixed, near, uncovered, limited, outlined, wide, turned int
	kinds                                                         map[string]int
	worst                                                         float64
}

func (y *duoTally) add(o duoTally) {
	y.jobs, y.mixed, y.near, y.uncovered = y.jobs+o.jobs, y.mixed+o.mixed, y.near+o.near, y.uncovered+o.uncovered
	y.limited, y.outlined = y.limited+o.limited, y.outlined+o.outlined
	y.wide, y.turned = y.wide+o.wide, y.turned+o.turned
	y.worst = max(y.worst, o.worst)
	for k, n := range o.kinds {
		y.count(k, n)
	}
}

func (y *duoTally) count(kind string, n int) {
	if y.kinds == nil {
		y.kinds = make(map[string]int)
	}
	y.kinds[kind] += n
}

// holdOverlay measures n random jobs both ways.
func holdOverlay(t *testing.T, seed uint64, n int) (y duoTally) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 13))
	for y.jobs < n {
		d := randomDuo(t, rng)
		a, err := d.a.build(t)
		if err != nil {
			continue // all in line, or nothing left by max_edge
		}
		b, err := d.b.build(t)
		if err != nil {
			continue
		}
		y.jobs++
		got, err := volume.Between(t.Context(), a, b, d.outline)
		require.NoError(t, err, "seed %d, job %d: %s", seed, y.jobs, d)
		want := d.exactly(t, a, b)
		worst := d.hold(got, want, func(what string, got, v, relative float64) {
			t.Errorf("seed %d, job %d: %s %v, want %v (%.1e relative) %+v: %s", seed, y.jobs, what, got, v, relative, want, d)
		})
		y.worst = max(y.worst, worst)
		count := func(to *int, yes bool) {
			if yes {
				*to++
			}
		}
		count(&y.mixed, want.cut > 0 && want.fill > 0)
		count(&y.near, want.near > 1e-6*want.ground)
		count(&y.uncovered, want.uncovered > 1e-12*want.ground)
		o := [2]tin.Options{d.a.options, d.b.options}
		count(&y.limited, o[0].Boundary != nil || o[0].Voids != nil || o[1].Boundary != nil || o[1].Voids != nil)
		count(&y.outlined, d.outline != nil)
		count(&y.wide, want.isWide())
		count(&y.turned, want.turned)
		y.count(d.kind, 1)
	}
	return y
}

// hold holds a measurement to the exact one and returns the greatest relative
// difference.
func (d duo) hold(got volume.CutFill, want overlaid, fault func(what string, got, want, relative float64)) (worst float64) {
	moved := want.cut + want.fill
	if moved == 0 {
		moved = 1
	}
	area := want.ground + want.uncovered
	// Where surfaces nearly coincide, the rounding of levels is all there is.
	levels := want.noise
	// Corners of pieces are rounded to the steps of doubles at their distance from
	// the local origin. It shows where that is far in relation to the works: on a
	// site of a few millimetres, or of some metres between spots 10 km away.
	areas := 0.0
	if want.isWide() {
		areas = 0x1p-50 * want.wide * want.rims
		levels += areas * (want.highest - want.lowest)
	}
	for _, v := range []struct {
		what                    string
		got, want               float64
		whole, own, slack, more float64
	}{
		{"cut", got.Cut, want.cut, moved, want.cut, levels, 1},
		{"fill", got.Fill, want.fill, moved, want.fill, levels, 1},
		{"cut less fill", got.CutLessFill, want.cut - want.fill, moved, moved, levels, 1},
		{"cut area", got.CutArea, want.cutArea, area, want.cutArea, want.near + areas, 1},
		{"fill area", got.FillArea, want.fillArea, area, want.fillArea, want.near + areas, 1},
		{"area at level", got.LevelArea, want.levelArea, area, want.levelArea, want.near + areas, 1},
		{"area of cut, fill and level", got.CutArea + got.FillArea + got.LevelArea, want.ground, area, want.ground, areas, 1},
		// What a hull a hair too small leaves uncovered is a difference of areas:
		// some ten of their last digits.
		{"uncovered area", got.UncoveredArea, want.uncovered, area, want.uncovered, areas, 10},
	} {
		scale := max(v.own, v.more*oracleFloor*v.whole)
		difference := max(0, math.Abs(v.got-v.want)-v.slack*(1+1e-9))
		if difference == 0 {
			continue
		}
		worst = max(worst, difference/scale)
		if !(difference <= oracleTolerance*scale) {
			fault(v.what, v.got, v.want, difference/scale)
		}
	}
	return worst
}

func (y duoTally) require(t *testing.T) {
	t.Helper()
	t.Logf("%d jobs: %d with cut and fill, %d with area near level, %d with uncovered area, %d with boundary or voids, %d in an outline, %d in a wide frame, %d with a triangle turned over; greatest difference %.1e; %v",
		y.jobs, y.mixed, y.near, y.uncovered, y.limited, y.outlined, y.wide, y.turned, y.worst, y.kinds)
	require.Greater(t, y.mixed, y.jobs/3)
	require.Greater(t, y.near, y.jobs/20)
	require.Greater(t, y.uncovered, y.jobs/4)
	require.Greater(t, y.limited, y.jobs/4)
	require.Greater(t, y.outlined, y.jobs/3)
	require.Greater(t, y.worst, 0.0, "a difference of nothing at all would be suspicious")
}

// Held to exact rational arithmetic on all pairs of triangles.
func TestBetweenAgainstRationals(t *testing.T) {
	holdOverlay(t, 31, 200).require(t)
}

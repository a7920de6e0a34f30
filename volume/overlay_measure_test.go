package volume_test

import (
	"math"
	"math/big"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
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
	frames := [2]exactFrame{newExactFrame(a.Frame(), d.a.options.Unit), newExactFrame(b.Frame(), d.b.options.Unit)}
	p := pairwise{common: frames[0], xy: newScale(), z: newScale()}
	if o.Frame() == frames[1].of {
		p.common = frames[1]
	}
	require.Equal(t, o.Frame(), p.common.of)
	p.sum.highest, p.sum.lowest = math.Inf(-1), math.Inf(1)
	if d.outline != nil {
		p.outline = p.polygon(p.common, d.outline[0], 1)
	}
	p.take(0, frames[0], a, d.a.options)
	p.take(1, frames[1], b, d.b.options)
	return p.measure()
}

// pairwise holds what is measured: as rational local coordinates of the common
// frame, which become whole numbers when all have been seen.
type pairwise struct {
	common  exactFrame
	xy, z   scale
	outline []ratPoint // nil: all ground of the first
	given   [2]given
	sum     overlaid
}

// given is one of two surfaces.
type given struct {
	boundary, void []ratPoint // convex, or nil
	corner         []ratPoint // three for each triangle
	level          []*big.Rat
	around         [2]ratPoint // the bound of all vertices, max_edge or not
}

// place is a place of a survey in frame f.
func (p *pairwise) place(f exactFrame, at orb.Point) ratPoint {
	q := p.common.take(f, at)
	p.xy.take(q.x, q.y)
	return q
}

// polygon is a ring in a unit of so many metres, anticlockwise.
func (p *pairwise) polygon(f exactFrame, ring orb.Ring, unit float64) (out []ratPoint) {
	for i, c := range ring {
		if i == 0 || i < len(ring)-1 || c != ring[0] {
			out = append(out, p.place(f, orb.Point{c[0] * unit, c[1] * unit}))
		}
	}
	if area2, _ := integral(out, linear{new(big.Rat), new(big.Rat), new(big.Rat)}); area2.Sign() < 0 {
		slices.Reverse(out)
	}
	return out
}

func (p *pairwise) take(i int, f exactFrame, s *tin.Surface, o tin.Options) {
	g := &p.given[i]
	if o.Boundary != nil {
		g.boundary = p.polygon(f, o.Boundary[0][0], o.Unit.Metres())
	}
	if o.Voids != nil {
		g.void = p.polygon(f, o.Voids[0][0], o.Unit.Metres())
	}
	g.around = [2]ratPoint{p.place(f, s.Bound().Min), p.place(f, s.Bound().Max)}
	for _, tri := range s.Triangles() {
		for _, c := range tri.Corner {
			level := rat(c.Level)
			p.z.take(level)
			g.corner, g.level = append(g.corner, p.place(f, orb.Point{c.E, c.N})), append(g.level, level)
			p.sum.highest, p.sum.lowest = max(p.sum.highest, c.Level), min(p.sum.lowest, c.Level)
		}
	}
}

// area is the polygon of rational corners.
func (p *pairwise) area(points []ratPoint) area {
	corners := make([]place, len(points))
	for i, q := range points {
		corners[i] = place{p.xy.whole(q.x), p.xy.whole(q.y), big.NewInt(1)}
	}
	return areaOf(corners)
}

// facets are a surface's triangles. The common frame may make one flat, or turn
// it over.
func (p *pairwise) facets(g *given) (out []facet) {
	for i := 0; i < len(g.corner); i += 3 {
		var level [3]*big.Int
		for k := range level {
			level[k] = p.z.whole(g.level[i+k])
		}
		f := newFacet([3]place(p.area(g.corner[i:i+3]).corner), level)
		switch f.size.Sign() {
		case 1:
			out = append(out, f)
		case -1:
			p.sum.turned = true
		}
	}
	return out
}

// limited cuts parts to a boundary and takes a void out.
func (p *pairwise) limited(parts []signed, g *given) []signed {
	parts = slices.Clone(parts)
	if g.boundary != nil {
		boundary := p.area(g.boundary)
		for i := range parts {
			parts[i].area = parts[i].within(&boundary)
		}
	}
	if g.void != nil {
		void := p.area(g.void)
		for _, part := range slices.Clone(parts) {
			parts = append(parts, signed{part.within(&void), -part.sign})
		}
	}
	return slices.DeleteFunc(parts, func(s signed) bool { return len(s.corner) < 3 })
}

// wide is the greatest coordinate.
func (p *pairwise) wide() *big.Rat {
	wide := new(big.Rat)
	for _, c := range slices.Concat(p.given[0].around[:], p.given[1].around[:], p.outline) {
		for _, v := range []*big.Rat{c.x, c.y} {
			if v = new(big.Rat).Abs(v); v.Cmp(wide) > 0 {
				wide = v
			}
		}
	}
	return wide
}

func (p *pairwise) measure() overlaid {
	// Room for what is near 0.
	p.z.per, p.xy.per = new(big.Int).Lsh(p.z.per, 64), new(big.Int).Lsh(p.xy.per, 40)
	first, second := p.facets(&p.given[0]), p.facets(&p.given[1])
	wide := p.wide()
	m := overlayMeter{level: p.z.per, noise: float(), sum: newSums()}
	m.near, _ = float().Mul(float().SetInt(p.z.per), big.NewFloat(levelRounding*p.sum.highest)).Int(nil)
	m.wide = new(big.Int).Rsh(p.xy.whole(wide), 49)

	all := p.outline
	if all == nil {
		all = boxRound(p.given[0].corner)
	}
	whole := signed{p.area(all), 1}
	onFirst := p.limited([]signed{whole}, &p.given[0])
	if p.outline != nil {
		m.base(whole)
	} else {
		m.onFacets(onFirst, first, func(part signed, _ *facet) { m.base(part) })
	}
	m.onFacets(p.limited(onFirst, &p.given[1]), first, func(part signed, f *facet) {
		m.onFacets([]signed{part}, second, func(piece signed, g *facet) { m.add(piece, f, g) })
	})
	m.into(&p.sum, p.common, p.xy)
	p.sum.wide, _ = wide.Float64()
	p.sum.wide *= p.common.length()
	return p.sum
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

// times is v with the sign, in place.
func (s signed) times(v *big.Float) *big.Float {
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

// onFacets cuts parts by facets.
func (m *overlayMeter) onFacets(parts []signed, facets []facet, each func(signed, *facet)) {
	for _, part := range parts {
		box := part.box()
		for i := range facets {
			if f := &facets[i]; f.near.Intersects(box) {
				if piece := part.within(&f.area); len(piece.corner) > 2 {
					m.rims += roundBox(piece.box())
					each(signed{piece, part.sign}, f)
				}
			}
		}
	}
}

// base adds an area that is uncovered until pieces are taken off.
func (m *overlayMeter) base(p signed) {
	m.rims += 4 * roundBox(p.box())
	area2, _ := p.twice(nil)
	m.sum.uncovered.Add(m.sum.uncovered, p.times(area2))
}

// into turns the sums into metres.
func (m *overlayMeter) into(e *overlaid, f exactFrame, xy scale) {
	metres := quo(f.squareMetres, new(big.Rat).SetInt(times(xy.per, xy.per)))
	of := func(v *big.Float, share int64) float64 {
		out, _ := float().Mul(v, float().SetRat(mul(metres, big.NewRat(1, share)))).Float64()
		if math.Abs(out) < 1e-40 {
			return 0 // a sum of nothing
		}
		return out
	}
	e.cutArea, e.fillArea, e.levelArea = of(m.sum.cutArea, 2), of(m.sum.fillArea, 2), of(m.sum.levelArea, 2)
	e.uncovered, e.near, e.ground = of(m.sum.uncovered, 2), of(m.sum.near, 2), of(m.sum.ground, 2)
	e.cut, e.fill = of(m.sum.cut, 6), of(m.sum.fill, 6)
	e.noise = levelRounding * e.highest * of(m.noise, 2)
	per, _ := new(big.Float).SetInt(xy.per).Float64()
	e.rims = m.rims * f.length() / per
}

type sums struct{ cut, fill, cutArea, fillArea, levelArea, uncovered, near, ground *big.Float }

func newSums() sums {
	return sums{float(), float(), float(), float(), float(), float(), float(), float()}
}

// add adds a piece of two facets.
func (m *overlayMeter) add(p signed, a, b *facet) {
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
	m.noise.Add(m.noise, p.times(float().Mul(area2, float().SetInt64(thin))))
	metres := func(v *big.Float) *big.Float { return v.Quo(v, float().SetInt(unit)) }
	m.sum.uncovered.Sub(m.sum.uncovered, p.times(float().Set(area2)))
	m.sum.ground.Add(m.sum.ground, p.times(float().Set(area2)))
	switch {
	case close && far, cut && fill: // a slice may be near, within
		up, down := depth, depth.negative()
		up.c, down.c = plus(up.c, near), plus(down.c, near)
		slice := p.clip(&up)
		slice = slice.clip(&down)
		area2, _ := slice.twice(nil)
		m.sum.near.Add(m.sum.near, p.times(area2))
	case close:
		m.sum.near.Add(m.sum.near, p.times(float().Set(area2)))
	}
	switch {
	case cut && fill:
		down := depth.negative()
		above, below := p.clip(&depth), p.clip(&down)
		a, v := above.twice(&depth)
		m.sum.cutArea.Add(m.sum.cutArea, p.times(a))
		m.sum.cut.Add(m.sum.cut, p.times(metres(v)))
		a, v = below.twice(&down)
		m.sum.fillArea.Add(m.sum.fillArea, p.times(a))
		m.sum.fill.Add(m.sum.fill, p.times(metres(v)))
	case cut:
		m.sum.cutArea.Add(m.sum.cutArea, p.times(area2))
		m.sum.cut.Add(m.sum.cut, p.times(metres(volume6)))
	case fill:
		m.sum.fillArea.Add(m.sum.fillArea, p.times(area2))
		m.sum.fill.Sub(m.sum.fill, p.times(metres(volume6)))
	default:
		m.sum.levelArea.Add(m.sum.levelArea, p.times(area2))
	}
}

func (f *form) negative() form {
	return form{new(big.Int).Neg(f.a), new(big.Int).Neg(f.b), new(big.Int).Neg(f.c)}
}

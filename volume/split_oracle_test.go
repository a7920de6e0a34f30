package volume_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// splitJob is a dig within a convex outline and what it is split by, full of
// coincidences; areas of parts are convex.
type splitJob struct {
	ground, rock survey
	topsoil      float64
	plane        tin.Plane
	outline      orb.Polygon
	split        volume.Split
	tiny         bool
}

func (j splitJob) String() string {
	return fmt.Sprintf("ground %v\nrock %v\ntopsoil %v, plane %v, outline %v, split %+v", j.ground, j.rock, j.topsoil, j.plane, j.outline, j.split)
}

func randomSplitJob(rng *rand.Rand) splitJob {
	c := newCoarse(rng)
	c.unit = 1
	j := splitJob{plane: c.plane(), outline: c.convex(), tiny: c.step < 0.01}
	j.plane.Level -= 1
	j.ground.points, j.rock.points = c.spots(c.places()), c.spots(c.places())
	if rng.IntN(4) == 0 {
		j.rock.points = slices.Clone(j.ground.points) // the same triangles, lower
		for i := range j.rock.points {
			j.rock.points[i].Level -= 0.5 * float64(rng.IntN(3))
		}
	}
	if rng.IntN(2) == 0 {
		j.topsoil = 0.25
	}
	if !j.tiny && rng.IntN(3) == 0 {
		j.rock.options.Boundary = orb.MultiPolygon{c.convex()}
	}
	if !j.tiny && rng.IntN(3) == 0 {
		j.rock.options.Voids = orb.MultiPolygon{c.convex()}
	}
	for range 1 + rng.IntN(4) {
		p := volume.Part{By: volume.DepthBy(rng.IntN(2))}
		if rng.IntN(2) == 0 {
			p.From = 0.25 * float64(rng.IntN(5))
		}
		if rng.IntN(2) == 0 {
			p.To = p.From + 0.25*float64(1+rng.IntN(5))
		}
		if rng.IntN(3) == 0 {
			p.Within = orb.MultiPolygon{c.convex()}
		}
		level := volume.Horizon{Level: 9 + 0.25*float64(rng.IntN(9))}
		for _, to := range []*[]volume.Horizon{&p.Below, &p.Above} {
			if rng.IntN(4) == 0 {
				*to = append(*to, volume.Horizon{}) // the rock, once built
			}
			if rng.IntN(4) == 0 {
				*to = append(*to, level)
			}
		}
		j.split.Parts = append(j.split.Parts, p)
	}
	j.split.Depths = volume.DepthsFrom(rng.IntN(2))
	j.split.CellSize = 1e9 // one cell, but where coordinates are less than 0
	return j
}

// withRock puts the rock into the parts.
func (j *splitJob) withRock(rock *tin.Surface) {
	for i := range j.split.Parts {
		for _, list := range [][]volume.Horizon{j.split.Parts[i].Below, j.split.Parts[i].Above} {
			for k := range list {
				if list[k] == (volume.Horizon{}) {
					list[k].Surface = rock
				}
			}
		}
	}
}

// splitPlace is a polygon of the plan in which nothing changes but linearly, and what holds
// there.
type splitPlace struct {
	polygon []ratPoint
	in      []bool // the area of each part
	rock    *linear
}

// apart returns what of p lies in a convex polygon, and the rest in pieces.
func apart(p, convex []ratPoint) (in []ratPoint, out [][]ratPoint) {
	for i, q := range convex {
		s := side(q, convex[(i+1)%len(convex)])
		if rest := clip(p, s.negative()); hasArea(rest) {
			out = append(out, rest)
		}
		if p = clip(p, s); !hasArea(p) {
			return nil, out
		}
	}
	return p, out
}

func hasArea(p []ratPoint) bool {
	zero := new(big.Rat)
	area, _ := integral(p, linear{zero, zero, zero})
	return area.Sign() != 0
}

// exactSplit measures by an arrangement: the plan is cut until no two of all the levels
// change places within a piece, and each layer between two of them is asked what it is by
// the middle of its middle.
type exactSplit struct {
	j     *splitJob
	r     rational
	rock  *tin.Surface
	parts []*big.Rat // then rest, then undetermined
	x, y  *big.Rat   // moments of all cut
}

func (j *splitJob) exactly(ground, rock *tin.Surface) *exactSplit {
	e := &exactSplit{j: j, r: rational{ground.Frame()}, rock: rock, x: new(big.Rat), y: new(big.Rat)}
	for range len(j.split.Parts) + 2 {
		e.parts = append(e.parts, new(big.Rat))
	}
	plane := e.r.formation(j.plane)
	for _, t := range ground.Triangles() {
		var corner [3]ratPoint
		var z [3]*big.Rat
		for i, c := range t.Corner {
			corner[i], z[i] = e.r.local(orb.Point{c.E, c.N}), sub(rat(c.Level), rat(j.topsoil))
		}
		g := through(corner, z)
		p := clip(within(e.r.ring(j.outline[0]), corner[:]), g.less(plane))
		if !hasArea(p) {
			continue
		}
		e.moments(p, g.less(plane))
		for _, at := range e.places(p) {
			e.place(at, g, plane)
		}
	}
	unit := rat(e.r.frame.Area())
	for _, v := range append(e.parts, e.x, e.y) {
		v.Mul(v, unit)
	}
	return e
}

// moments adds up thickness times place, which is of second degree: over a triangle its
// integral is the area times the mean at the middles of the sides.
func (e *exactSplit) moments(p []ratPoint, thickness linear) {
	middle := func(a, b ratPoint) ratPoint {
		half := big.NewRat(1, 2)
		return ratPoint{mul(half, add(a.x, b.x)), mul(half, add(a.y, b.y))}
	}
	for i := 2; i < len(p); i++ {
		third := mul(side(p[0], p[i-1]).at(p[i]), big.NewRat(1, 6))
		for _, m := range []ratPoint{middle(p[0], p[i-1]), middle(p[i-1], p[i]), middle(p[i], p[0])} {
			v := mul(third, thickness.at(m))
			e.x.Add(e.x, mul(v, m.x))
			e.y.Add(e.y, mul(v, m.y))
		}
	}
}

// centre is the centre of gravity of all cut, metres.
func (e *exactSplit) centre() orb.Point {
	cut := new(big.Rat)
	for _, v := range e.parts {
		cut.Add(cut, v)
	}
	x, _ := quo(e.x, cut).Float64()
	y, _ := quo(e.y, cut).Float64()
	return e.r.frame.Metres(x, y)
}

// places cuts a polygon by the areas of the parts and by the rock.
func (e *exactSplit) places(p []ratPoint) []splitPlace {
	list := []splitPlace{{polygon: p, in: make([]bool, len(e.j.split.Parts))}}
	for i, part := range e.j.split.Parts {
		if len(part.Within) == 0 {
			for k := range list {
				list[k].in[i] = true
			}
			continue
		}
		var next []splitPlace
		for _, at := range list {
			in, out := apart(at.polygon, e.r.ring(part.Within[0][0]))
			for _, q := range out {
				next = append(next, splitPlace{q, slices.Clone(at.in), nil})
			}
			if in != nil {
				held := slices.Clone(at.in)
				held[i] = true
				next = append(next, splitPlace{in, held, nil})
			}
		}
		list = next
	}
	return e.onRock(list)
}

func (e *exactSplit) onRock(list []splitPlace) (out []splitPlace) {
	var bare []splitPlace // without rock for sure
	if b := e.j.rock.options.Boundary; b != nil {
		var inside []splitPlace
		for _, at := range list {
			in, rest := apart(at.polygon, e.r.ring(b[0][0]))
			if in != nil {
				inside = append(inside, splitPlace{in, at.in, nil})
			}
			for _, q := range rest {
				bare = append(bare, splitPlace{q, at.in, nil})
			}
		}
		list = inside
	}
	if v := e.j.rock.options.Voids; v != nil {
		var outside []splitPlace
		for _, at := range list {
			in, rest := apart(at.polygon, e.r.ring(v[0][0]))
			if in != nil {
				bare = append(bare, splitPlace{in, at.in, nil})
			}
			for _, q := range rest {
				outside = append(outside, splitPlace{q, at.in, nil})
			}
		}
		list = outside
	}
	for _, t := range e.rock.Triangles() {
		var corner [3]ratPoint
		var z [3]*big.Rat
		for i, c := range t.Corner {
			corner[i], z[i] = e.r.local(orb.Point{c.E, c.N}), rat(c.Level)
		}
		level := through(corner, z)
		var next []splitPlace
		for _, at := range list {
			in, rest := apart(at.polygon, corner[:])
			if in != nil {
				out = append(out, splitPlace{in, at.in, &level})
			}
			for _, q := range rest {
				next = append(next, splitPlace{q, at.in, nil})
			}
		}
		list = next
	}
	return append(append(out, list...), bare...)
}

// place adds up a place, given ground and formation.
func (e *exactSplit) place(at splitPlace, ground, plane linear) {
	zero := new(big.Rat)
	flat := func(v *big.Rat) linear { return linear{zero, zero, v} }
	soil := zero
	if e.j.split.Depths == volume.FromOriginal {
		soil = rat(e.j.topsoil)
	}
	levels := []linear{ground, plane}
	var totals []linear // limits of total depth
	if at.rock != nil {
		levels = append(levels, *at.rock)
	}
	for _, p := range e.j.split.Parts {
		for _, d := range []float64{p.From, p.To} {
			below := flat(sub(rat(d), soil)) // the ground that is measured
			if p.By == volume.Slices {
				levels = append(levels, ground.less(below))
			} else {
				totals = append(totals, ground.less(plane).less(below))
			}
		}
		for _, list := range [][]volume.Horizon{p.Below, p.Above} {
			for _, h := range list {
				if h.Surface == nil {
					levels = append(levels, flat(rat(h.Level)))
				}
			}
		}
	}
	levels = distinct(levels)
	var lines []linear
	for i, a := range levels {
		for _, b := range levels[:i] {
			if d := a.less(b); !d.isZero() {
				lines = append(lines, d)
			}
		}
	}
	pieces := [][]ratPoint{at.polygon}
	for _, l := range append(lines, distinct(totals)...) {
		var next [][]ratPoint
		for _, p := range pieces {
			for _, keep := range []linear{l, l.negative()} {
				if l.isZero() {
					next = append(next, p)
					break
				}
				if q := clip(p, keep); hasArea(q) {
					next = append(next, q)
				}
			}
		}
		pieces = next
	}
	for _, p := range pieces {
		middle := ratPoint{new(big.Rat), new(big.Rat)}
		n := big.NewRat(1, int64(len(p)))
		for _, q := range p {
			middle.x.Add(middle.x, mul(n, q.x))
			middle.y.Add(middle.y, mul(n, q.y))
		}
		sorted := slices.Clone(levels)
		slices.SortStableFunc(sorted, func(a, b linear) int { return b.at(middle).Cmp(a.at(middle)) })
		top, bottom := ground.at(middle), plane.at(middle)
		for i := 1; i < len(sorted); i++ {
			upper, lower := sorted[i-1], sorted[i]
			if upper.at(middle).Cmp(top) > 0 || lower.at(middle).Cmp(bottom) < 0 || upper.at(middle).Cmp(lower.at(middle)) == 0 {
				continue
			}
			level := mul(big.NewRat(1, 2), add(upper.at(middle), lower.at(middle)))
			k := e.part(at, middle, add(sub(top, level), soil), add(sub(top, bottom), soil), level)
			_, v := integral(p, upper.less(lower))
			e.parts[k].Add(e.parts[k], v)
		}
	}
}

// distinct returns each of several values once.
func distinct(list []linear) (out []linear) {
	for _, l := range list {
		if !slices.ContainsFunc(out, func(m linear) bool { return l.less(m).isZero() }) {
			out = append(out, l)
		}
	}
	return out
}

// part returns the part of a place at a depth and a level.
func (e *exactSplit) part(at splitPlace, middle ratPoint, depth, total, level *big.Rat) int {
	for i, p := range e.j.split.Parts {
		d := depth
		if p.By == volume.TotalDepth {
			d = total
		}
		if !at.in[i] || d.Cmp(rat(p.From)) < 0 || p.To != 0 && d.Cmp(rat(p.To)) >= 0 {
			continue
		}
		holds, known := true, true
		for k, list := range [][]volume.Horizon{p.Below, p.Above} {
			for _, h := range list {
				l := rat(h.Level)
				if h.Surface != nil {
					if at.rock == nil {
						known = false
						continue
					}
					l = at.rock.at(middle)
				}
				holds = holds && (level.Cmp(l) < 0) == (k == 0)
			}
		}
		switch {
		case holds && known:
			return i
		case holds:
			return len(e.j.split.Parts) + 1
		}
	}
	return len(e.j.split.Parts)
}

// parts are the volumes of a result as exactly has them.
func splitParts(r volume.SplitResult) (out []float64) {
	for _, p := range r.Parts {
		out = append(out, p.Cut)
	}
	return append(out, r.Rest.Cut, r.Undetermined.Cut)
}

// measureSplit measures the job with the package under test.
func (j *splitJob) measure(t testing.TB, ground *tin.Surface) volume.SplitResult {
	w := worksOn(t, ground, j.plane, j.outline)
	for i := range w.Facets {
		w.Facets[i].Topsoil = j.topsoil
	}
	r := split(t, w, j.split)
	whole, err := volume.AgainstFacets(t.Context(), ground, w.Facets)
	require.NoError(t, err)
	require.InDelta(t, whole.Cut, r.Cut, 1e-13*(whole.Cut+whole.Fill)+1e-300)
	require.InDelta(t, whole.Fill, r.Fill, 1e-13*(whole.Cut+whole.Fill)+1e-300)
	return r
}

// Held to exact rational arithmetic by another road, an arrangement: each part to 1e-12 of
// all cut. (Not of its own: where the limit of a part is a place at which two nearly
// parallel surfaces meet, the last digit of a level moves it far.) On ground that is so
// much wider than the dig that four last digits of a coordinate are more than 1e-12 of the dig's
// width, to those.
func TestSplitAgainstRationals(t *testing.T) {
	jobs := 80
	if testing.Short() {
		jobs = 20
	}
	holdSplit(t, 31, jobs)
}

func holdSplit(t *testing.T, seed uint64, n int) {
	rng := rand.New(rand.NewPCG(seed, 17))
	worst, undetermined, several := 0.0, 0, 0
	for jobs := 0; jobs < n; {
		j := randomSplitJob(rng)
		ground, err := j.ground.build(t)
		if err != nil {
			continue
		}
		rock, err := j.rock.build(t)
		if err != nil {
			continue
		}
		j.withRock(rock)
		got := j.measure(t, ground)
		if got.Cut == 0 {
			continue
		}
		jobs++
		parts := 0
		exact := j.exactly(ground, rock)
		tolerance := max(oracleTolerance, 0x1p-50*width(ground.Bound())/width(j.outline.Bound()))
		for i, v := range exact.centre() {
			b, off := ground.Bound(), 0.0
			for _, c := range got.Cells {
				for _, cut := range c.Cut {
					off += cut / got.Cut * (c.CutAt[i] - v)
				}
			}
			require.InDelta(t, 0, off, 1e-12*(b.Max[i]-b.Min[i])+0x1p-50*abs(v), "centre of gravity, job %d: %s", jobs, j)
		}
		for i, want := range exact.parts {
			v := splitParts(got)[i]
			w, _ := want.Float64()
			if w > 0 {
				parts++
			}
			off, _ := sub(rat(v), want).Float64()
			scale := got.Cut
			worst = max(worst, abs(off)/scale)
			if abs(off) > tolerance*scale {
				t.Errorf("seed %d, job %d: part %d has %v, want %v (%.1e relative): %s", seed, jobs, i, v, w, abs(off)/scale, j)
			}
		}
		if got.Undetermined.Cut > 0 {
			undetermined++
		}
		if parts > 1 {
			several++
		}
	}
	t.Logf("%d jobs: %d in several parts, %d with undetermined cut; greatest difference %.1e", n, several, undetermined, worst)
	require.Greater(t, several, n/3)
	require.Greater(t, undetermined, n/20)
	require.Greater(t, worst, 0.0)
}

func width(b orb.Bound) float64 { return max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) }

func abs(v float64) float64 { return max(v, -v) }

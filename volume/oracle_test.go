package volume_test

import (
	"fmt"
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

// oracleTolerance bounds the error of each quantity, relative to its own exact
// value but to no less than oracleFloor of all that is moved (of the outline's
// area, for areas).
//
// On a tiny site, a few millimetres wide, the tolerance is relative to all that
// is moved: the local origin is a whole number, so that there local coordinates
// which are no decimals have three digits less than elsewhere.
const (
	oracleTolerance = 1e-12
	oracleFloor     = 1e-3
)

// job is a small ground and what is dug in it, full of coincidences: spots on a
// coarse grid of places and levels, corners on spots and edges, planes through
// levels of spots.
type job struct {
	points  []tin.Point
	options tin.Options
	outline orb.Polygon // metres
	plane   tin.Plane
	tiny    bool
	// pads are convex, a later one rules over an earlier; nil with an outline.
	pads   []orb.Polygon
	planes []tin.Plane
}

// coarse makes places of a job.
type coarse struct {
	rng          *rand.Rand
	step, offset float64
	side         int
	ragged       bool
	unit         float64
}

func newCoarse(rng *rand.Rand) coarse {
	c := coarse{
		rng: rng, step: []float64{1, 0.001, 0.25, 10}[rng.IntN(4)], offset: []float64{0, 0, 500000, 6e6}[rng.IntN(4)],
		side: 4 + rng.IntN(5), ragged: rng.IntN(3) == 0, unit: 1,
	}
	if !c.ragged && rng.IntN(3) == 0 {
		c.unit = []float64{tin.Foot.Metres(), tin.SurveyFoot.Metres()}[rng.IntN(2)]
	}
	return c
}

// at is a place of the grid in the unit of the survey.
func (c coarse) at(e, n float64) orb.Point {
	decimal := func(v float64) float64 { return math.Round((c.offset+c.step*v)*1e4) / 1e4 }
	return orb.Point{decimal(e), decimal(n)}
}

// place is a random place in the unit of the survey.
func (c coarse) place() orb.Point {
	p := c.at(float64(c.rng.IntN(c.side)), float64(c.rng.IntN(c.side)))
	if c.ragged { // full mantissas
		p[0] += c.step * c.rng.Float64()
		p[1] += c.step * c.rng.Float64()
	}
	return p
}

func (c coarse) metres(p orb.Point) orb.Point { return orb.Point{p[0] * c.unit, p[1] * c.unit} }

// ring is a star round a place, some corners on the grid; simple, if accepted.
func (c coarse) ring(at orb.Point) orb.Ring {
	var ring orb.Ring
	n := 3 + c.rng.IntN(5)
	for i := range n {
		s, co := math.Sincos(2 * math.Pi * (float64(i) + 0.3*c.rng.Float64()) / float64(n))
		r := c.step * (1 + 2*c.rng.Float64())
		p := orb.Point{at[0] + r*co, at[1] + r*s}
		if c.rng.IntN(2) == 0 {
			p = c.at(math.Round((p[0]-c.offset)/c.step), math.Round((p[1]-c.offset)/c.step))
		}
		ring = append(ring, c.metres(p))
	}
	return append(ring, ring[0])
}

// convex is a convex polygon in metres: the hull of a few places and shifted
// places.
func (c coarse) convex() orb.Polygon {
	for {
		var points []orb.Point
		for range 4 + c.rng.IntN(4) {
			p := c.place()
			if c.rng.IntN(3) == 0 {
				p[0] += c.step * (c.rng.Float64() - 0.5)
				p[1] += c.step * (c.rng.Float64() - 0.5)
			}
			points = append(points, c.metres(p))
		}
		p := orb.Polygon{hullOf(points)}
		if len(p[0]) > 3 && tin.CheckOutline(p) == nil {
			return p
		}
	}
}

// hullOf is the convex hull of points, closed, by exact turns.
func hullOf(points []orb.Point) orb.Ring {
	slices.SortFunc(points, func(p, q orb.Point) int {
		if p[0] != q[0] {
			return int(math.Copysign(1, p[0]-q[0]))
		}
		return int(math.Copysign(1, p[1]-q[1]))
	})
	points = slices.Compact(points)
	left := func(a, b, c orb.Point) bool {
		r := func(p orb.Point) ratPoint { return ratPoint{rat(p[0]), rat(p[1])} }
		return side(r(a), r(b)).at(r(c)).Sign() > 0
	}
	half := func(points []orb.Point) (out orb.Ring) {
		for _, p := range points {
			for len(out) > 1 && !left(out[len(out)-2], out[len(out)-1], p) {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		return out[:len(out)-1]
	}
	if len(points) < 3 {
		return nil
	}
	lower := half(points)
	slices.Reverse(points)
	ring := append(lower, half(points)...)
	return append(ring, ring[0])
}

func (c coarse) plane() tin.Plane {
	level := (10 + 0.25*float64(c.rng.IntN(9))) * c.unit
	if c.rng.IntN(2) == 0 {
		return tin.LevelPlane(level)
	}
	return tin.FallingPlane(c.metres(c.place()), level, 0.02*float64(c.rng.IntN(10)), []float64{0, 90, 45, 211.7}[c.rng.IntN(4)])
}

func randomJob(rng *rand.Rand, pads int) job {
	c := newCoarse(rng)
	j := job{options: tin.Options{Unit: tin.Unit(c.unit)}, plane: c.plane(), tiny: c.step < 0.01}
	var places []orb.Point
	for range 6 + rng.IntN(20) {
		places = append(places, c.place())
	}
	if rng.IntN(2) == 0 { // ground under everything
		far := 2 * float64(c.side)
		places = append(places, c.at(-far, -far), c.at(far, -far), c.at(far, far), c.at(-far, far))
	}
	seen := make(map[orb.Point]bool)
	for _, p := range places {
		if !seen[p] {
			seen[p] = true
			j.points = append(j.points, tin.Point{E: p[0], N: p[1], Level: 10 + 0.5*float64(rng.IntN(5))})
		}
	}
	inUnit := func(p orb.Polygon) orb.MultiPolygon {
		q := orb.Polygon{slices.Clone(p[0])}
		for i := range q[0] {
			q[0][i] = orb.Point{p[0][i][0] / c.unit, p[0][i][1] / c.unit}
		}
		return orb.MultiPolygon{q}
	}
	// In feet the limits would not be the oracle's to the last bit, and on a tiny
	// site they would leave next to nothing.
	if c.unit == 1 && !j.tiny {
		if rng.IntN(3) == 0 {
			j.options.Boundary = inUnit(c.convex())
		}
		if rng.IntN(3) == 0 {
			j.options.Voids = inUnit(c.convex())
		}
	}
	for range pads {
		j.pads = append(j.pads, c.convex())
		j.planes = append(j.planes, c.plane())
	}
	for pads == 0 {
		j.outline = orb.Polygon{c.ring(c.place())}
		if tin.CheckOutline(j.outline) == nil {
			break
		}
	}
	return j
}

// measure measures the job with the package under test.
func (j job) measure(t *testing.T, ground *tin.Surface) volume.CutFill {
	t.Helper()
	if j.pads == nil {
		return against(t, ground, j.plane, j.outline)
	}
	cells, err := ground.Partition(j.pads, nil)
	require.NoError(t, err)
	facets := make([]tin.Facet, len(cells))
	for i, c := range cells {
		facets[i] = tin.Facet{Cell: c, Plane: j.planes[c.In[len(c.In)-1]]}
	}
	got, err := volume.AgainstFacets(t.Context(), ground, facets)
	require.NoError(t, err)
	return got
}

// exactly measures the job with the oracle. Where pads overlap, each is counted
// without what the later ones take: A less A and B less A and C and again A, B
// and C together.
func (j job) exactly(ground *tin.Surface) exact {
	r := rational{ground.Frame()}
	var parts []part
	if j.pads == nil {
		for i, ring := range j.outline {
			sign := int64(1)
			if i > 0 {
				sign = -1
			}
			parts = append(parts, part{r.ring(ring), sign, r.formation(j.plane)})
		}
	}
	for i := range j.pads {
		plane := r.formation(j.planes[i])
		var without func(p []ratPoint, from int, sign int64)
		without = func(p []ratPoint, from int, sign int64) {
			parts = append(parts, part{p, sign, plane})
			for k := from; k < len(j.pads); k++ {
				if q := within(p, r.ring(j.pads[k][0])); len(q) > 2 {
					without(q, k+1, -sign)
				}
			}
		}
		without(r.ring(j.pads[i][0]), i+1, 1)
	}
	limit := func(p orb.MultiPolygon) []ratPoint {
		if len(p) == 0 {
			return nil
		}
		return r.ring(p[0][0])
	}
	return r.measure(ground, limit(j.options.Boundary), limit(j.options.Voids), parts)
}

// tally counts what the jobs had in them.
type tally struct {
	jobs, mixed, level, uncovered int
	worst                         float64
}

func (y *tally) add(o tally) {
	y.jobs, y.mixed, y.level, y.uncovered = y.jobs+o.jobs, y.mixed+o.mixed, y.level+o.level, y.uncovered+o.uncovered
	y.worst = max(y.worst, o.worst)
}

// holdToOracle measures n random jobs both ways.
func holdToOracle(t *testing.T, seed uint64, n, pads int) (y tally) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 12))
	for y.jobs < n {
		j := randomJob(rng, pads)
		ground, err := tin.Build(t.Context(), []tin.Source{{Points: j.points}}, j.options)
		if err != nil {
			continue // all in line
		}
		y.jobs++
		got, want := j.measure(t, ground), j.exactly(ground)
		float := func(r *big.Rat) float64 { f, _ := r.Float64(); return f }
		moved := float(add(want.cut, want.fill))
		if moved == 0 {
			moved = 1 // nothing is moved: ours is nothing but rounding
		}
		area := float(add(add(want.cutArea, want.fillArea), add(want.levelArea, want.uncovered)))
		for _, v := range []struct {
			what       string
			got        float64
			want       *big.Rat
			whole, own float64
		}{
			{"cut", got.Cut, want.cut, moved, float(want.cut)},
			{"fill", got.Fill, want.fill, moved, float(want.fill)},
			{"cut less fill", got.CutLessFill, sub(want.cut, want.fill), moved, moved},
			{"cut area", got.CutArea, want.cutArea, area, float(want.cutArea)},
			{"fill area", got.FillArea, want.fillArea, area, float(want.fillArea)},
			{"area at level", got.LevelArea, want.levelArea, area, float(want.levelArea)},
			{"uncovered area", got.UncoveredArea, want.uncovered, area, float(want.uncovered)},
		} {
			difference := math.Abs(float(sub(rat(v.got), v.want)))
			scale := max(v.own, oracleFloor*v.whole)
			if j.tiny {
				scale = v.whole
			}
			y.worst = max(y.worst, difference/scale)
			if !(difference <= oracleTolerance*scale) {
				t.Errorf("seed %d, job %d: %s %v, want %v (%.1e relative): %s", seed, y.jobs, v.what, v.got, v.own, difference/scale, j)
			}
		}
		count := func(to *int, yes bool) {
			if yes {
				*to++
			}
		}
		count(&y.mixed, want.cut.Sign() > 0 && want.fill.Sign() > 0)
		count(&y.level, want.levelArea.Sign() > 0)
		count(&y.uncovered, want.uncovered.Sign() > 0)
	}
	return y
}

func (j job) String() string {
	return fmt.Sprintf("points %v, unit %v, boundary %v, voids %v, outline %v, plane %v, pads %v, planes %v",
		j.points, j.options.Unit, j.options.Boundary, j.options.Voids, j.outline, j.plane, j.pads, j.planes)
}

func (y tally) require(t *testing.T) {
	t.Helper()
	t.Logf("%d jobs: %d with cut and fill, %d with ground at level, %d with uncovered area; greatest difference %.1e",
		y.jobs, y.mixed, y.level, y.uncovered, y.worst)
	require.Greater(t, y.mixed, y.jobs/3)
	require.Greater(t, y.level, 0)
	require.Greater(t, y.uncovered, y.jobs/4)
	require.Greater(t, y.worst, 0.0, "a difference of nothing at all would be suspicious")
}

// Held to exact rational arithmetic on the same triangles.
func TestAgainstRationals(t *testing.T) {
	holdToOracle(t, 11, 200, 0).require(t)
}

// The same with two and three pads, each with a plane of its own.
func TestFacetsAgainstRationals(t *testing.T) {
	y := holdToOracle(t, 21, 30, 2)
	y.add(holdToOracle(t, 22, 20, 3))
	y.require(t)
}

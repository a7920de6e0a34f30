package daylight

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// job is a random job of one of the kinds below; a seed makes the same job again.
type job struct {
	*rand.Rand
	t      testing.TB
	half   float64 // of the ground's side, metres
	step   float64
	jitter float64
	rough  float64
	tilt   [2]float64
	hills  [][4]float64 // easting, northing, height, width
	opts   tin.Options
	pads   []jobPad
	in     Input // topsoil and areas in metres
}

type jobPad struct {
	rings     [][]orb.Point
	level     func(e, n float64) float64
	cut, fill Profile
	edit      func(p *Pad)
}

var kinds = []struct {
	name string
	make func(j *job)
}{
	{"falling", func(j *job) { j.add(j.star(6, 4, 9)) }},
	{"ground ends in the batter", func(j *job) { j.half = 11; j.add(j.star(5, 5, 8)) }},
	{"boundary and voids", (*job).limits},
	{"hills beyond", (*job).moat},
	{"inward corners", func(j *job) { j.add(j.star(14, 2, 11)) }},
	{"hole", func(j *job) {
		outer := j.star(7, 8, 11)
		inner := j.star(5, 3, 5)
		slices.Reverse(inner[0])
		j.add([][]orb.Point{outer[0], inner[0]})
	}},
	{"short edges", func(j *job) { j.add(j.star(60, 6, 6.3)) }},
	{"kinks", (*job).kinks},
	{"needle", (*job).needle},
	{"steep fall", func(j *job) { j.add(j.star(6, 4, 9)); j.steepen() }},
	{"batters by side", func(j *job) { j.add(j.star(6, 4, 9)); j.differ(0) }},
	{"upright sides", func(j *job) { j.add(j.star(6, 4, 9)); j.differ(0.4) }},
	{"several pads", (*job).several},
	{"high beyond low", (*job).highBeyondLow},
	{"topsoil", (*job).strip},
	{"on the grid", (*job).onGrid},
	{"pad over all ground", func(j *job) {
		j.half = 8
		j.add([][]orb.Point{{{-7, -20}, {20, -20}, {20, 20}, {2, 20}, {-3, 3}}})
	}},
	{"many sides in one triangle", func(j *job) {
		j.step, j.half, j.jitter = 36, 18, 0
		j.add(circle(300, 4, 0.05))
	}},
	{"berms", func(j *job) {
		j.add(j.star(7, 3, 8))
		j.levelPad()
		j.pads[0].cut.Every, j.pads[0].cut.Berm = 0.7, 0.5
		j.pads[0].fill.Every, j.pads[0].fill.Berm = 0.5, 0.8
	}},
	{"levels at corners", func(j *job) { j.add(j.star(9, 4, 9)); j.free(0.9) }},
}

// newJob makes a job of kind seed modulo their number.
func newJob(t testing.TB, seed int) (in Input, name string) {
	j := &job{Rand: rand.New(rand.NewPCG(uint64(seed), 77)), t: t, half: 30, step: 2 + 2*rand.New(rand.NewPCG(uint64(seed), 3)).Float64(), rough: 0.5}
	j.jitter = j.step * 0.6
	j.tilt = [2]float64{j.NormFloat64() * 0.06, j.NormFloat64() * 0.06}
	for range 6 {
		j.hills = append(j.hills, [4]float64{40*j.Float64() - 20, 40*j.Float64() - 20, 2.5 * j.NormFloat64(), 2 + 4*j.Float64()})
	}
	kind := kinds[seed%len(kinds)]
	kind.make(j)
	return j.input(), kind.name
}

func (j *job) input() Input {
	rough := rand.New(rand.NewPCG(j.Uint64(), 5))
	s := ground(j.t, j.half, j.step, j.jitter, func(e, n float64) float64 {
		z := 10 + j.tilt[0]*e + j.tilt[1]*n + j.rough*rough.NormFloat64()
		for _, h := range j.hills {
			z += h[2] * math.Exp(-((e-h[0])*(e-h[0])+(n-h[1])*(n-h[1]))/(2*h[3]*h[3]))
		}
		return math.Round(z*1000) / 1000
	}, j.opts)
	in := j.in
	in.Ground, in.Bound, in.Areas = s, 1e-6, nil
	for _, a := range j.in.Areas {
		var ring orb.Ring
		for _, p := range a.Outline[0] {
			x, y := s.Frame().Local(p)
			ring = append(ring, orb.Point{x, y})
		}
		in.Areas = append(in.Areas, Area{orb.Polygon{ring}, a.Depth})
	}
	for _, p := range j.pads {
		q := pad(s, p.rings, p.level, p.cut, p.fill)
		if p.edit != nil {
			p.edit(&q)
		}
		in.Pads = append(in.Pads, q)
	}
	return in
}

// star is a random outline round the origin, in whole centimetres.
func (j *job) star(n int, least, most float64) [][]orb.Point {
	var ring []orb.Point
	turn := j.Float64()
	for i := range n {
		a := 2 * math.Pi * (float64(i) + turn + 0.5*j.Float64()) / float64(n)
		r := least + (most-least)*j.Float64()
		ring = append(ring, centi(r*math.Cos(a), r*math.Sin(a)))
	}
	return [][]orb.Point{ring}
}

func centi(e, n float64) orb.Point {
	return orb.Point{math.Round(e*100) / 100, math.Round(n*100) / 100}
}

// add adds a pad, falling a little, its batters between 0.5 and 2.5 along.
func (j *job) add(rings [][]orb.Point) {
	n := 0.5 + 2*j.Float64()
	fall, bearing := 0.15*j.Float64(), 2*math.Pi*j.Float64()
	z := 10 + j.NormFloat64()
	j.pads = append(j.pads, jobPad{rings: rings, cut: Profile{Along: n}, fill: Profile{Along: 0.5 + 2*j.Float64()},
		level: func(e, n float64) float64 { return z + fall*(e*math.Cos(bearing)+n*math.Sin(bearing)) }})
}

func (j *job) levelPad() { j.pads[0].level = flat(9 + 2*j.Float64()) }

// free gives the corners levels of their own.
func (j *job) free(by float64) {
	rng := rand.New(rand.NewPCG(j.Uint64(), 9))
	j.pads[0].level = func(e, n float64) float64 { return 10 + by*rng.NormFloat64() }
}

func (j *job) steepen() {
	z, fall := 10+j.NormFloat64(), 0.5+0.5*j.Float64()
	j.pads[0].level = func(e, n float64) float64 { return z + fall*e }
}

// differ gives each side batters of its own, a share of them upright.
func (j *job) differ(upright float64) {
	rng := rand.New(rand.NewPCG(j.Uint64(), 9))
	one := func() Profile {
		if rng.Float64() < upright {
			return Profile{}
		}
		return Profile{Along: 0.5 + 2*rng.Float64()}
	}
	j.pads[0].edit = func(p *Pad) {
		for r := range p.Cut {
			for i := range p.Cut[r] {
				p.Cut[r][i], p.Fill[r][i] = one(), one()
			}
		}
	}
}

func (j *job) limits() {
	j.add(j.star(6, 4, 9))
	ring := orb.Ring(j.star(9, 11, 16)[0])
	j.opts.Boundary = orb.MultiPolygon{{append(ring, ring[0])}}
	for range 3 {
		e, n := 24*j.Float64()-12, 24*j.Float64()-12
		v := orb.Ring{centi(e, n), centi(e+1+2*j.Float64(), n), centi(e+1, n+1+2*j.Float64())}
		j.opts.Voids = append(j.opts.Voids, orb.Polygon{append(v, v[0])})
	}
}

// moat has a pit with hills all round that stand apart beyond the daylight line.
func (j *job) moat() {
	j.hills, j.rough = nil, 0.1
	for i := range 8 {
		a := float64(i) * math.Pi / 4
		j.hills = append(j.hills, [4]float64{15 * math.Cos(a), 15 * math.Sin(a), 5 + 4*j.Float64(), 1.5})
	}
	j.add(j.star(5, 3, 5))
}

// kinks are levels that change between corners of a straight side.
func (j *job) kinks() {
	ring := []orb.Point{{-6, -6}, {-3, -6}, {0, -6}, {2, -6}, {6, -6}, {6, 0}, {6, 6}, {0, 6}, {-6, 6}, {-6, 2}}
	j.add([][]orb.Point{ring})
	j.free(0.35)
	j.pads[0].cut.Along, j.pads[0].fill.Along = 1, 1.2
}

// needle is a sharp corner whose sides fall towards it or from it.
func (j *job) needle() {
	j.add([][]orb.Point{{{-8, -2}, {0, -3}, {10, 0}, {0, 1 + 2*j.Float64()}, {-8, 2}}})
	s := 0.25
	if j.IntN(2) == 0 {
		s = -s
	}
	z := 10 + 0.5*j.NormFloat64()
	j.pads[0].level = func(e, n float64) float64 { return z + s*e }
	j.pads[0].cut.Along, j.pads[0].fill.Along = 1.5+2*j.Float64(), 1.5+2*j.Float64()
}

func (j *job) several() {
	for i := range 3 {
		rings := j.star(5, 2, 5)
		for k := range rings[0] {
			rings[0][k][0] += float64(i)*11 - 11
			rings[0][k] = centi(rings[0][k][0], rings[0][k][1]+3*float64(i%2))
		}
		j.add(rings)
	}
}

func (j *job) highBeyondLow() {
	j.several()
	j.pads = j.pads[:2]
	j.pads[0].level, j.pads[1].level = flat(7.5+0.5*j.NormFloat64()), flat(12+0.5*j.NormFloat64())
}

func (j *job) strip() {
	j.add(j.star(6, 4, 9))
	j.in.Topsoil = 0.2
	for k := range 3 {
		ring := orb.Ring(j.star(5, 3, 6)[0])
		for i := range ring {
			ring[i] = centi(ring[i][0]+8*float64(k-1), ring[i][1]+5)
		}
		j.in.Areas = append(j.in.Areas, Area{orb.Polygon{append(ring, ring[0])}, 0.15 * float64(k)})
	}
}

// onGrid has sides along the ground's own edges and corners on its spots.
func (j *job) onGrid() {
	j.step, j.jitter = 2, 0
	j.add([][]orb.Point{{{-6, -6}, {6, -6}, {6, 0}, {0, 6}, {0, 8}, {-6, 8}}})
	if j.IntN(2) == 0 {
		j.levelPad()
	}
	j.pads[0].cut.Along = 1
}

// difference is what Find and the raster say of one job.
type difference struct{ cut, fill, rasterCut, rasterFill, step, own float64 }

// compareWithRaster fails unless Find agrees with the raster within its own error,
// which is what it changes by from one step to a finer one.
func compareWithRaster(t *testing.T, in Input, name string, seed int) difference {
	w, err := Find(context.Background(), in)
	require.NoError(t, err)
	checkPieces(t, in, w)
	cut, fill := volumes(in.Ground, w)
	o := newOracle(in)
	step := math.Sqrt(math.Abs(in.Ground.Bound().Max[0]-in.Ground.Bound().Min[0])) / 30
	lastCut, lastFill, _ := o.raster(step * 1.7).volumes()
	var d difference
	for range 4 {
		c, f, _ := o.raster(step).volumes()
		own := math.Abs(c-lastCut) + math.Abs(f-lastFill)
		d = difference{cut, fill, c, f, step, own}
		allowed := func(v float64) float64 { return 0.0005*v + min(own, 0.003*v) + 0.02 }
		if math.Abs(cut-c) <= allowed(c) && math.Abs(fill-f) <= allowed(f) {
			return d
		}
		lastCut, lastFill = c, f
		step /= 2
	}
	t.Errorf("seed %d, %s: %+v", seed, name, d)
	return d
}

// checkPieces proves what must hold of every piece: a place in its triangle, outside
// outlines, ground on the right side of the face.
func checkPieces(t testing.TB, in Input, w *Works) {
	o := newOracle(in)
	l := in.Ground.Frame().Length()
	for i := range w.Pieces {
		p := &w.Pieces[i]
		require.Len(t, p.Side, len(p.Corner))
		require.Len(t, p.Rim, len(p.Corner))
		x, y := 0.0, 0.0
		sign := -1.0
		if p.Cut {
			sign = 1
		}
		for _, c := range p.Corner {
			x, y = x+c.X, y+c.Y
			require.GreaterOrEqual(t, sign*(c.Ground-c.Face), -1e-9, "piece %d", i)
			require.False(t, math.IsNaN(c.Face) || math.IsInf(c.Face, 0))
		}
		x, y = x/float64(len(p.Corner)), y/float64(len(p.Corner))
		if v := p.volume(in.Ground.Frame().Area()); v < 1e-6 {
			continue
		}
		require.False(t, o.insideAny(x*l, y*l), "piece %d lies inside an outline", i)
		_, ok := o.level(x*l, y*l)
		require.True(t, ok, "piece %d lies where there is no ground", i)
	}
}

func compareJobs(t *testing.T, from, to int) {
	worst := make(map[string]float64)
	for seed := from; seed < to; seed++ {
		in, name := newJob(t, seed)
		d := compareWithRaster(t, in, name, seed)
		off := math.Max(math.Abs(d.cut-d.rasterCut), math.Abs(d.fill-d.rasterFill)) / (1 + d.rasterCut + d.rasterFill)
		worst[name] = max(worst[name], off)
		if testing.Verbose() {
			t.Logf("%d %s: cut %.3f (%.3f) fill %.3f (%.3f), off %.1e, step %.3f", seed, name, d.cut, d.rasterCut, d.fill, d.rasterFill, off, d.step)
		}
	}
	for _, k := range kinds {
		t.Logf("%s: worst %.1e", k.name, worst[k.name])
	}
}

func TestFindAgreesWithARaster(t *testing.T) { compareJobs(t, 0, len(kinds)) }

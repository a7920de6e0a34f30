package uncertainty

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume"
)

// Survey is what is known of the errors of a survey's levels: standard deviations,
// metres; 0 where it is not known.
type Survey struct {
	Spot   float64 // of each level by itself
	Common float64 // of all levels together: the benchmark
}

// Other is an input with an error of its own that the works hang on: a depth of
// topsoil, the thickness of a layer.
type Other struct {
	Name      string
	Gradient  [2]float64 // by how much cut and fill change with it, m3 per metre
	Deviation float64    // standard deviation, metres
}

// Input is works, and what is known of the errors behind them.
type Input struct {
	Ground      *tin.Surface
	Sensitivity volume.Sensitivity
	Surveys     []Survey
	SurveyOf    []int // index into Surveys, one for each source of the ground
	Others      []Other
	OffGround   bool // part of the works has no ground, so that the volumes are "at least"
}

// Kind is where an error comes from.
type Kind string

// The kinds of errors. The first two are those of a survey as it stands.
const (
	Levels       Kind = "levels"        // of each spot by itself
	BetweenSpots Kind = "between_spots" // the ground that nobody measured
	Benchmark    Kind = "benchmark"     // common to a survey
	OtherInput   Kind = "other"         // an Other
	Bias         Kind = "bias"          // of second order, see Uncertainty.LevelsBias
)

// Part is what one kind of error adds. Parts are independent: their covariances add up.
type Part struct {
	Kind       Kind
	Name       string // of an Other
	Covariance Covariance
}

// Reason is why there is no figure for the ground between spots.
type Reason string

// The reasons.
const (
	FewSpots  Reason = "few_spots"  // fewer than 15 spots about the works could be left out in turn
	OffGround Reason = "off_ground" // part of the works has no ground
)

// Uncertainty is how sure cut and fill are. Lengths are metres, volumes m3.
type Uncertainty struct {
	Parts      []Part
	Covariance Covariance // of all parts
	NotStated  Reason     // empty: the ground between spots is among Parts

	// Each of Spot and Benchmark counts the surveys that matter and say so, and all
	// that matter.
	SpotKnown, CommonKnown, Surveys int

	// By how much cut, and fill, read too high on average: errors of levels make both
	// larger along the zero and daylight lines, while the mesh, smoother than the
	// ground, makes both smaller. In second order of the errors.
	LevelsBias, BetweenBias [2]float64

	// Per metre that all levels of the survey rise, topsoil gets deeper, or formation
	// rises: the change of cut and of fill.
	PerLevel, PerTopsoil, PerFormation [2]float64

	FitSpots int     // spots left out in turn
	FitOff   float64 // root mean square of what they differ from the mesh of their neighbours
	Shots    []Shot  // the places that would tell most, one after the other
}

// Known reports whether there is a part of a kind.
func (u *Uncertainty) Known(k Kind) bool {
	return slices.ContainsFunc(u.Parts, func(p Part) bool { return p.Kind == k })
}

// add adds a part.
func (u *Uncertainty) add(kind Kind, name string, c Covariance) {
	u.Parts = append(u.Parts, Part{kind, name, c})
	u.Covariance = u.Covariance.Plus(c)
}

// Estimate says how sure the cut and the fill of works are. If ctx ends its error is
// returned.
func Estimate(ctx context.Context, in Input) (Uncertainty, error) {
	s := &in.Sensitivity
	u := Uncertainty{
		PerLevel:     [2]float64{s.CutArea, -s.FillArea},
		PerTopsoil:   [2]float64{-s.StrippedCut, s.StrippedFill},
		PerFormation: [2]float64{-s.CutArea, s.FillArea},
	}
	in.levels(&u)
	if err := in.between(ctx, &u); err != nil {
		return Uncertainty{}, err
	}
	for _, o := range in.Others {
		if o.Deviation > 0 {
			u.add(OtherInput, o.Name, Common(o.Gradient, o.Deviation))
		}
	}
	for _, p := range u.Parts {
		if p.Kind == BetweenSpots {
			continue // of which shots know what is left
		}
		for i := range u.Shots {
			u.Shots[i].After = u.Shots[i].After.Plus(p.Covariance)
		}
	}
	return u, nil
}

// own is a vertex with what cut and fill change with its level, what goes through
// crossings among it.
type own struct {
	vertex    int
	cut, fill float64
}

// owned brings the weights of crossings to the vertices their levels come from.
func (in *Input) owned() []own {
	list := make([]own, 0, len(in.Sensitivity.Weights))
	for _, w := range in.Sensitivity.Weights {
		shares := in.Ground.Crossing(w.Vertex)
		if len(shares) == 0 {
			list = append(list, own{w.Vertex, w.Cut, w.Fill})
		}
		for _, c := range shares {
			list = append(list, own{c.Vertex, float64(c.Share * w.Cut), float64(c.Share * w.Fill)})
		}
	}
	slices.SortStableFunc(list, func(a, b own) int { return cmp.Compare(a.vertex, b.vertex) })
	out := list[:0]
	for _, o := range list {
		if n := len(out); n > 0 && out[n-1].vertex == o.vertex {
			out[n-1].cut += o.cut
			out[n-1].fill += o.fill
		} else {
			out = append(out, o)
		}
	}
	return out
}

// variance is that of a vertex's level by the random errors of its spots, m2; that of a
// crossing is left to the vertices it comes from.
func (in *Input) variance(v int) float64 {
	var room [4]tin.Given
	return in.varianceOf(in.Ground.AppendGiven(room[:0], v))
}

func (in *Input) varianceOf(given []tin.Given) (sum float64) {
	for _, g := range given {
		s := in.Surveys[in.SurveyOf[g.Source]].Spot
		sum += float64(g.Share*g.Share*s*s) / float64(g.Spots)
	}
	return sum
}

// levels adds the errors of levels: those of the spots by themselves, and those that
// all of a survey share.
func (in *Input) levels(u *Uncertainty) {
	var random Covariance
	sum := make([][2]float64, len(in.Surveys)) // of the weights of each survey
	touched := make([]bool, len(in.Surveys))
	var given []tin.Given
	for _, o := range in.owned() {
		given = in.Ground.AppendGiven(given[:0], o.vertex)
		random.add([2]float64{o.cut, o.fill}, [2]float64{o.cut, o.fill}, in.varianceOf(given))
		for _, g := range given {
			k := in.SurveyOf[g.Source]
			touched[k] = true
			sum[k][0] += float64(g.Share * o.cut)
			sum[k][1] += float64(g.Share * o.fill)
		}
	}
	var common Covariance
	for k, s := range in.Surveys {
		if touched[k] {
			u.Surveys++
			u.SpotKnown += count(s.Spot > 0)
			u.CommonKnown += count(s.Common > 0)
			common = common.Plus(Common(sum[k], s.Common))
		}
	}
	if u.SpotKnown > 0 {
		u.add(Levels, "", random)
	}
	if u.CommonKnown > 0 {
		u.add(Benchmark, "", common)
	}
}

func count(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// between adds the ground between spots.
func (in *Input) between(ctx context.Context, u *Uncertainty) error {
	if in.OffGround {
		u.NotStated = OffGround
		return nil
	}
	list := in.contrasts()
	u.FitSpots = len(list)
	if len(list) < leastSpots {
		u.NotStated = FewSpots
		return nil
	}
	noise := make([]float64, len(list))
	square := 0.0
	for i, c := range list {
		for k, v := range c.vertex {
			noise[i] += float64(c.weight[k] * c.weight[k] * in.variance(v))
		}
		square += float64(c.off * c.off)
	}
	u.FitOff = math.Sqrt(square / float64(len(list)))
	b := unmeasured{in: in, u: u}
	for _, step := range []func(){
		func() { b.fit(list, noise) }, b.sample, b.weigh, b.extend, b.bias, b.shots,
	} {
		if err := ctx.Err(); err != nil {
			return err
		}
		step()
	}
	return nil
}

// unmeasured is the ground between spots on its way into an uncertainty, step by step.
type unmeasured struct {
	in *Input
	u  *Uncertainty

	kernel *kernel
	of     *pointErrors
	works  *sampled
	sum    Covariance
}

func (g *unmeasured) fit(list []contrast, noise []float64) {
	box := g.in.Ground.Bound()
	g.kernel = newKernel(fit(list, noise), squared(box.Min, box.Max))
	g.of = g.in.errorsOf(g.kernel)
}

func (g *unmeasured) sample() { g.works = newSampled(g.in.Ground, g.in.Sensitivity.Patches) }

func (g *unmeasured) weigh() {
	for i := range g.works.elements {
		g.works.elements[i].weigh(g.in.Ground, func(e *element, p *point) float64 { return g.of.between(e, p) + g.of.levels(e, p) })
	}
}

func (g *unmeasured) extend() {
	g.sum = g.kernel.extension(g.works)
	wander := g.of.higherOrders(g.works)
	for i := range g.sum {
		for j := range g.sum[i] {
			g.sum[i][j] += wander
		}
	}
	g.u.add(BetweenSpots, "", g.sum)
}

func (g *unmeasured) bias() {
	g.of.bias(g.u, g.works)
	g.u.add(Bias, "", Common([2]float64{g.u.LevelsBias[0] + g.u.BetweenBias[0], g.u.LevelsBias[1] + g.u.BetweenBias[1]}, 1))
}

func (g *unmeasured) shots() {
	if g.u.Covariance[0][0]+g.u.Covariance[1][1] > 0 {
		g.u.Shots = g.kernel.shots(g.in.Ground, g.works, g.in.usualVariance(), g.sum)
	}
}

// usualVariance is the mean variance of a level of the vertices that matter, m2.
func (in *Input) usualVariance() (mean float64) {
	for _, w := range in.Sensitivity.Weights {
		mean += in.variance(w.Vertex) / float64(len(in.Sensitivity.Weights))
	}
	return mean
}

func squared(p, q orb.Point) float64 {
	dx, dy := p[0]-q[0], p[1]-q[1]
	return float64(dx*dx) + float64(dy*dy)
}

// mostContrasts is how many spots are left out in turn.
const mostContrasts = 400

// contrasts leaves out spots about the works, the nearest to the box round them; of
// those inside it some, drawn by their places.
func (in *Input) contrasts() (list []contrast) {
	length := in.Ground.Frame().Length()
	var box orb.Bound
	for i, p := range in.Sensitivity.Patches {
		for k, c := range p.Corner {
			at := orb.Point{c.X * length, c.Y * length}
			if i == 0 && k == 0 {
				box = orb.Bound{Min: at, Max: at}
			}
			box = box.Extend(at)
		}
	}
	at := func(v int) (orb.Point, float64) {
		x, y, level := in.Ground.LocalVertex(v)
		return orb.Point{x * length, y * length}, level
	}
	rank := in.nearest(box, at)
	for v, ring := range in.Ground.Rings(func(v int) bool { _, near := rank[v]; return near }) {
		if c, ok := newContrast(v, ring, at); ok {
			list = append(list, c)
		}
	}
	slices.SortFunc(list, func(a, b contrast) int { return rank[a.vertex[0]] - rank[b.vertex[0]] })
	return list[:min(mostContrasts, len(list))]
}

// nearest ranks the vertices nearest to a box and, of those in it, by a number drawn
// from their places: more than are left out, since some lie on breaklines or the rim.
func (in *Input) nearest(box orb.Bound, at func(int) (orb.Point, float64)) map[int]int {
	type place struct {
		vertex   int
		distance float64
		lot      uint64
	}
	const most = 4 * mostContrasts
	var places []place
	prune := func() {
		slices.SortFunc(places, func(a, b place) int {
			return cmp.Or(cmp.Compare(a.distance, b.distance), cmp.Compare(a.lot, b.lot), cmp.Compare(a.vertex, b.vertex))
		})
		places = places[:min(most, len(places))]
	}
	for v := range in.Ground.Size() {
		p, _ := at(v)
		dx := max(box.Min[0]-p[0], p[0]-box.Max[0], 0)
		dy := max(box.Min[1]-p[1], p[1]-box.Max[1], 0)
		next := place{v, float64(dx*dx) + float64(dy*dy), lot(p)}
		if n := len(places); n >= most && next.distance > places[most-1].distance {
			continue // after the first prune places begin in order
		}
		if places = append(places, next); len(places) == 4*most {
			prune()
		}
	}
	prune()
	rank := make(map[int]int, len(places))
	for i, p := range places {
		rank[p.vertex] = i
	}
	return rank
}

// lot draws a number for a place: the mixer of splitmix64 (Steele, Lea and Flood 2014,
// from memory).
func lot(p orb.Point) uint64 {
	z := uint64(0)
	for _, c := range p {
		z += math.Float64bits(c) + 0x9e3779b97f4a7c15
		z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
		z = (z ^ z>>27) * 0x94d049bb133111eb
		z ^= z >> 31
	}
	return z
}

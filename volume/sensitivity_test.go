package volume_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume"
)

// surveyedWorks is a ground of two surveys, with breaklines that cross and places
// surveyed twice, and pads on it.
type surveyedWorks struct {
	sources []tin.Source
	pads    []formation.Pad
	topsoil float64
}

func surveyed(j worksJob, rng *rand.Rand) surveyedWorks {
	s := surveyedWorks{sources: make([]tin.Source, 2), pads: j.pads, topsoil: j.topsoil}
	point := func(e, n float64) tin.Point {
		return tin.Point{E: math.Round(e*1000) / 1000, N: math.Round(n*1000) / 1000, Level: j.level(e, n)}
	}
	for e := -40.0; e <= 40; e += 2.5 {
		for n := -40.0; n <= 40; n += 2.5 {
			p := point(e+rng.Float64(), n+rng.Float64())
			s.sources[0].Points = append(s.sources[0].Points, p)
			if rng.IntN(8) == 0 {
				p.Level += rng.Float64() / 100
				s.sources[1].Points = append(s.sources[1].Points, p)
			}
		}
	}
	line := func(a, b orb.Point) tin.Breakline {
		return tin.Breakline{Vertices: []tin.Point{point(a[0], a[1]), point(b[0], b[1])}}
	}
	s.sources[0].Breaklines = []tin.Breakline{line(orb.Point{-7.3, -4.1}, orb.Point{3.2, 2.7})}
	s.sources[1].Breaklines = []tin.Breakline{line(orb.Point{-6.1, 2.2}, orb.Point{0.4, -5.3}), line(orb.Point{-8.2, -0.3}, orb.Point{2.9, -2.1})}
	return s
}

// worksOver is the works on a ground.
func (s surveyedWorks) worksOver(t *testing.T, ground *tin.Surface) (*formation.Layout, *formation.Dig) {
	opts := formation.Options{Topsoil: formation.Topsoil{Depth: s.topsoil}}
	layout, err := formation.Lay(t.Context(), ground, s.pads, opts)
	require.NoError(t, err)
	dig, err := layout.Dig(t.Context(), ground, opts)
	require.NoError(t, err)
	return layout, dig
}

func (s surveyedWorks) ground(t *testing.T) *tin.Surface {
	ground, err := tin.Build(t.Context(), s.sources, tin.Options{Duplicates: tin.DuplicatesMean, CrossingTolerance: 5})
	require.NoError(t, err)
	return ground
}

// measured returns the volumes, and what tells whether works were joined or parted,
// or facets chosen anew.
func (s surveyedWorks) measured(t *testing.T) (cut, fill float64, shape [2]float64) {
	ground := s.ground(t)
	layout, dig := s.worksOver(t, ground)
	shape[0] = float64(len(dig.Notes))
	for i, p := range layout.Pads {
		for _, facets := range [][]tin.Facet{p.Facets, p.Margin} {
			c, err := volume.AgainstFacets(t.Context(), ground, facets)
			require.NoError(t, err)
			cut, fill = cut+c.Cut, fill+c.Fill
		}
		shape[1] += float64(len(dig.Pads[i].Faces))
		c := volume.Faces(ground.Frame(), dig.Pads[i].Faces)
		cut, fill = cut+c.Cut, fill+c.Fill
	}
	return cut, fill, shape
}

func sensitivity(t *testing.T, ground *tin.Surface, layout *formation.Layout, dig *formation.Dig) volume.Sensitivity {
	sensor := volume.NewSensor(ground)
	for i, p := range layout.Pads {
		require.NoError(t, sensor.Facets(t.Context(), p.Facets))
		require.NoError(t, sensor.Facets(t.Context(), p.Margin))
		sensor.Faces(dig.Pads[i].Faces)
	}
	return sensor.Result()
}

// onPlaces brings the weights of a ground's vertices to the places of the spots and
// breakline vertices given: what of it belongs to a crossing, to the ends of the lines.
func onPlaces(ground *tin.Surface, weights []volume.Weight) map[orb.Point][2]float64 {
	out := make(map[orb.Point][2]float64)
	add := func(v int, share float64, w volume.Weight) {
		at := ground.Vertex(v)
		p := orb.Point{at.E, at.N}
		out[p] = [2]float64{out[p][0] + share*w.Cut, out[p][1] + share*w.Fill}
	}
	for _, w := range weights {
		crossing := ground.Crossing(w.Vertex)
		if len(crossing) == 0 {
			add(w.Vertex, 1, w)
		}
		for _, c := range crossing {
			add(c.Vertex, c.Share, w)
		}
	}
	return out
}

// Raising every spot in turn: central differences of the volumes, the ground built and
// the works found anew each time, against the weights.
func TestSensitivitiesAgainstDifferences(t *testing.T) {
	require.Greater(t, againstDifferences(t, 24), 25)
}

// againstDifferences compares one spot in so many, and returns how many.
func againstDifferences(t *testing.T, oneIn int) (compared int) {
	rng := rand.New(rand.NewPCG(31, 7))
	const step = 5e-5
	for _, j := range worksJobs() {
		s := surveyed(j, rng)
		ground := s.ground(t)
		layout, dig := s.worksOver(t, ground)
		got := sensitivity(t, ground, layout, dig)
		weights := onPlaces(ground, got.Weights)
		area := got.CutArea + got.FillArea
		for k := range s.sources {
			for _, list := range append([][]tin.Point{s.sources[k].Points}, vertexLists(s.sources[k])...) {
				for i := range list {
					p := &list[i]
					want, touches := weights[orb.Point{p.E, p.N}]
					if !touches || rng.IntN(oneIn) > 0 {
						continue
					}
					level := p.Level
					at := func(z float64) (float64, float64, [2]float64) { p.Level = z; return s.measured(t) }
					cut0, fill0, shape0 := at(level - step)
					cut1, fill1, shape1 := at(level + step)
					p.Level = level
					if shape0 != shape1 {
						continue
					}
					share := shareOf(ground, k, *p)
					require.InDelta(t, (cut1-cut0)/(2*step), share*want[0], 1e-7*area, "%s: cut, spot at %v %v", j.name, p.E, p.N)
					require.InDelta(t, (fill1-fill0)/(2*step), share*want[1], 1e-7*area, "%s: fill, spot at %v %v", j.name, p.E, p.N)
					compared++
				}
			}
		}
	}
	return compared
}

func vertexLists(s tin.Source) (out [][]tin.Point) {
	for _, b := range s.Breaklines {
		out = append(out, b.Vertices)
	}
	return out
}

// shareOf is the share of a source in the level at a spot's place.
func shareOf(ground *tin.Surface, source int, p tin.Point) float64 {
	for v, at := range ground.Vertices() {
		if at.E != p.E || at.N != p.N {
			continue
		}
		for _, g := range ground.AppendGiven(nil, v) {
			if g.Source == source {
				return g.Share
			}
		}
	}
	return 0
}

// A rise of all the ground by a little adds the cut area times it to the cut, and
// takes the fill area times it off the fill: batters and margins included.
func TestSensitivitiesSumToAreas(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 4))
	for _, j := range worksJobs() {
		s := surveyed(j, rng)
		ground := s.ground(t)
		layout, dig := s.worksOver(t, ground)
		got := sensitivity(t, ground, layout, dig)
		var cut, fill tin.Sum
		for _, w := range got.Weights {
			require.GreaterOrEqual(t, w.Cut, 0.0)
			require.LessOrEqual(t, w.Fill, 0.0)
			cut.Add(w.Cut)
			fill.Add(w.Fill)
		}
		var cutArea, fillArea float64
		for i, p := range layout.Pads {
			for _, facets := range [][]tin.Facet{p.Facets, p.Margin} {
				c, err := volume.AgainstFacets(t.Context(), ground, facets)
				require.NoError(t, err)
				cutArea, fillArea = cutArea+c.CutArea, fillArea+c.FillArea
			}
			c := volume.Faces(ground.Frame(), dig.Pads[i].Faces)
			cutArea, fillArea = cutArea+c.CutArea, fillArea+c.FillArea
		}
		require.InEpsilon(t, cutArea, cut.Value(), 1e-11, j.name)
		require.InEpsilon(t, cutArea, got.CutArea, 1e-11, j.name)
		if fillArea > 0 {
			require.InEpsilon(t, -fillArea, fill.Value(), 1e-11, j.name)
		}
		require.InDelta(t, fillArea, got.FillArea, 1e-11*cutArea, j.name)
		stripped := [2]float64{}
		if j.topsoil > 0 {
			stripped = [2]float64{got.CutArea, got.FillArea}
		}
		require.Equal(t, stripped, [2]float64{got.StrippedCut, got.StrippedFill}, j.name)
	}
}

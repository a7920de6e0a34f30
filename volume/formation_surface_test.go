package volume_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume"
)

// worksJob is ground and pads, placed about a map coordinate.
type worksJob struct {
	name    string
	level   func(e, n float64) float64
	topsoil float64
	pads    []formation.Pad // about (0, 0)
	parts   int             // surfaces that its formation makes
}

func boxRing(w, s, e, n float64) orb.Ring { return orb.Ring{{w, s}, {e, s}, {e, n}, {w, n}} }

func battered(finished, cut, fill float64, rings ...orb.Ring) formation.Pad {
	return formation.Pad{Outline: orb.Polygon(rings), Finished: finished, Cut: formation.Batter{Along: cut}, Fill: formation.Batter{Along: fill}}
}

func worksJobs() []worksJob {
	rolling := func(e, n float64) float64 { return 10 + 0.08*e - 0.03*n + 0.8*math.Sin(e/5) + 0.7*math.Cos(n/4) }
	slope := func(e, n float64) float64 { return 10 + 0.15*e }
	ell := orb.Ring{{-8, -7}, {6, -6}, {5, -1}, {0, 0}, {-1, 6}, {-9, 5}}
	falling := battered(9.5, 1, 2, ell)
	falling.Fall = &formation.Fall{Slope: 0.04, Bearing: 70}
	margin := battered(8.8, 1, 1.5, boxRing(-6, -5, 5, 4))
	margin.Margin = 0.75
	own := battered(math.NaN(), 1.5, 1.5, boxRing(-6, -5, 5, 4))
	own.Levels = &formation.Levels{Outline: [][]float64{{9, 9.2, 9.6, 9.3}}, Spots: []tin.Point{{E: 0, N: 0, Level: 9.8}}}
	return []worksJob{
		{"convex on rolling ground", rolling, 0, []formation.Pad{battered(8.5, 1, 2, boxRing(-6, -5, 5, 4))}, 1},
		{"with inward corners", rolling, 0.2, []formation.Pad{battered(9.2, 0.75, 1.5, ell)}, 1},
		{"with a hole", rolling, 0, []formation.Pad{battered(9.5, 1, 1, boxRing(-9, -9, 9, 9), boxRing(-4, -4, 4, 5))}, 1},
		{"falling", rolling, 0, []formation.Pad{falling}, 1},
		{"with a margin", rolling, 0.25, []formation.Pad{margin}, 1},
		{"own levels", rolling, 0, []formation.Pad{own}, 1},
		{"cut and fill on a slope", slope, 0, []formation.Pad{battered(10, 1, 2, boxRing(-8, -8, 8, 8))}, 1},
		{"upright", rolling, 0, []formation.Pad{battered(9, 0, 0, ell)}, 1},
		{"batters that meet", slope, 0.15, []formation.Pad{battered(8, 1, 2, boxRing(-8, -6, 0, 6)), battered(8.5, 1, 2, boxRing(2, -5, 9, 7))}, 1},
		{"a step between pads that touch", slope, 0, []formation.Pad{battered(8, 1, 2, boxRing(-8, -6, 0, 6)), battered(9, 1, 2, boxRing(0, -5, 9, 7))}, 2},
	}
}

// secondRoad returns the volumes of a job as the takeoff has them, and as they are
// between the stripped ground and the surfaces of the formation.
func secondRoad(t *testing.T, j worksJob, at orb.Point) (first, second volume.CutFill, parts int) {
	t.Helper()
	rng := rand.New(rand.NewPCG(5, 6))
	var points, low []tin.Point
	for e := -40.0; e <= 40; e += 2.5 {
		for n := -40.0; n <= 40; n += 2.5 {
			x, y := math.Round((e+rng.Float64())*1000)/1000, math.Round((n+rng.Float64())*1000)/1000
			p := tin.Point{E: at[0] + x, N: at[1] + y, Level: math.Round(j.level(x, y)*1000) / 1000}
			points = append(points, p)
			p.Level -= j.topsoil
			low = append(low, p)
		}
	}
	ground, err := tin.FromPoints(points)
	require.NoError(t, err)
	stripped, err := tin.FromPoints(low)
	require.NoError(t, err)
	opts := formation.Options{Topsoil: formation.Topsoil{Depth: j.topsoil}}
	layout, err := formation.Lay(t.Context(), ground, placed(j.pads, at), opts)
	require.NoError(t, err)
	dig, err := layout.Dig(t.Context(), ground, opts)
	require.NoError(t, err)
	var cut, fill, area [2]tin.Sum
	add := func(i int, c volume.CutFill) {
		cut[i].Add(c.Cut)
		fill[i].Add(c.Fill)
		area[i].Add(c.CutArea + c.FillArea)
	}
	for i, p := range layout.Pads {
		for _, facets := range [][]tin.Facet{p.Facets, p.Margin} {
			c, err := volume.AgainstFacets(t.Context(), ground, facets)
			require.NoError(t, err)
			add(0, c)
		}
		add(0, volume.Faces(ground.Frame(), dig.Pads[i].Faces))
	}
	surfaces, err := dig.Surfaces(t.Context())
	require.NoError(t, err)
	for _, s := range surfaces {
		c, err := volume.Between(t.Context(), stripped, s, nil)
		require.NoError(t, err)
		add(1, c)
	}
	total := func(i int) volume.CutFill {
		return volume.CutFill{Cut: cut[i].Value(), Fill: fill[i].Value(), CutArea: area[i].Value()}
	}
	return total(0), total(1), len(surfaces)
}

// placed returns pads at a place on the map.
func placed(pads []formation.Pad, at orb.Point) (out []formation.Pad) {
	for _, p := range pads {
		p.Outline = p.Outline.Clone()
		for _, r := range p.Outline {
			for i := range r {
				r[i] = orb.Point{r[i][0] + at[0], r[i][1] + at[1]}
			}
		}
		if p.Fall != nil {
			f := *p.Fall
			f.At = orb.Point{f.At[0] + at[0], f.At[1] + at[1]}
			p.Fall = &f
		}
		if p.Levels != nil {
			l := *p.Levels
			l.Spots = nil
			for _, s := range p.Levels.Spots {
				s.E, s.N = s.E+at[0], s.N+at[1]
				l.Spots = append(l.Spots, s)
			}
			p.Levels = &l
		}
		out = append(out, p)
	}
	return out
}

// The formation as a surface, overlaid with the stripped ground, holds the volumes of the
// takeoff: another road from the pieces on.
func TestFormationSurfaceHoldsTheSameVolumes(t *testing.T) {
	places := []orb.Point{{312540, 5812300}, {}, {-2.5e6, 7.1e6}}
	if testing.Short() {
		places = places[:1]
	}
	for _, at := range places {
		for _, j := range worksJobs() {
			t.Run(fmt.Sprint(j.name, at), func(t *testing.T) {
				first, second, parts := secondRoad(t, j, at)
				t.Logf("cut %.3g fill %.3g area %.3g", (second.Cut-first.Cut)/first.Cut, (second.Fill-first.Fill)/first.Fill, (second.CutArea-first.CutArea)/first.CutArea)
				scale := 1e-9 * (first.Cut + first.Fill)
				require.InDelta(t, first.Cut, second.Cut, scale)
				require.InDelta(t, first.Fill, second.Fill, scale)
				require.InEpsilon(t, first.CutArea, second.CutArea, 1e-9)
				require.Equal(t, j.parts, parts)
			})
		}
	}
}

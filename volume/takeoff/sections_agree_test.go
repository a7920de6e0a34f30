package takeoff_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/section"
	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume"
)

// A pad with margin and batters on stripped, rolling ground, half cut and half fill,
// by prisms and by sections: the two share the ground and the works, and no code that
// measures. The difference falls with the interval to a hundred thousandth.
func TestSectionsAgreeWithPrisms(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	var points []tin.Point
	for i := range 80 {
		for k := range 80 {
			x, y := float64(2*i)+r.Float64(), float64(2*k)+r.Float64()
			level := 60.2 + 2*math.Sin(x/20)*math.Cos(y/17) + 0.2*r.Float64()
			points = append(points, tin.Point{E: 312540 + x, N: 5812300 + y, Level: level})
		}
	}
	ground, err := tin.FromPoints(points)
	require.NoError(t, err)
	outline := orb.Ring{{312592, 5812371}, {312635, 5812366}, {312641, 5812388}, {312618, 5812386}, {312612, 5812404}, {312595, 5812401}}
	pads := []formation.Pad{{
		Name: "store", Outline: orb.Polygon{outline}, Finished: 60, Margin: 0.75,
		Cut: formation.Batter{Along: 1}, Fill: formation.Batter{Along: 2},
	}}
	opts := formation.Options{Topsoil: formation.Topsoil{Depth: 0.2}}
	layout, err := formation.Lay(t.Context(), ground, pads, opts)
	require.NoError(t, err)
	dig, err := layout.Dig(t.Context(), ground, opts)
	require.NoError(t, err)

	facets := slices.Concat(layout.Pads[0].Facets, layout.Pads[0].Margin)
	pieces := dig.Pads[0].Faces
	within, err := volume.AgainstFacets(t.Context(), ground, facets)
	require.NoError(t, err)
	batters := volume.Faces(ground.Frame(), pieces)
	cut, fill := within.Cut+batters.Cut, within.Fill+batters.Fill

	var faces []section.Face
	for _, f := range facets {
		faces = append(faces, section.FacetFace(f))
	}
	for _, p := range pieces {
		faces = append(faces, section.PieceFace(ground.Frame(), p))
	}
	var works []orb.Point
	for _, f := range faces {
		for _, c := range f.Corner {
			works = append(works, orb.Point{c.E, c.N})
		}
	}
	dug, err := section.NewFaces(t.Context(), faces)
	require.NoError(t, err)
	a, err := section.Default(works)
	require.NoError(t, err)
	for _, tt := range []struct{ interval, within float64 }{{section.Interval(a.Length(), tin.Metre), 3e-3}, {0.25, 2e-5}} {
		marks, err := a.Marks(section.Plan{Interval: tt.interval, Corners: outline, Works: works})
		require.NoError(t, err)
		s, err := section.Cut(t.Context(), ground, dug, a, marks, section.Options{Middles: true})
		require.NoError(t, err)
		require.GreaterOrEqual(t, len(s.Sections), 20)
		require.Empty(t, s.Notes)
		v, err := section.Prismoidal(s.Spans())
		require.NoError(t, err)
		t.Logf("interval %v: cut %+.1e, fill %+.1e of %.1f and %.1f m3", tt.interval, v.Cut/cut-1, v.Fill/fill-1, cut, fill)
		require.InEpsilon(t, cut, v.Cut, tt.within)
		require.InEpsilon(t, fill, v.Fill, tt.within)
	}
}

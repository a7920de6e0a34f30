package volume_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// rockOf is a surface some way below a site's ground, with other triangles; its ground
// goes on beyond the site's.
func rockOf(t testing.TB, rng *rand.Rand) *tin.Surface {
	t.Helper()
	var points []tin.Point
	for range 30 {
		points = append(points, tin.Point{E: milli(-200 + 500*rng.Float64()), N: milli(-200 + 500*rng.Float64()), Level: milli(8 + 3*rng.Float64())})
	}
	for _, c := range []orb.Point{{-300, -300}, {400, -300}, {400, 400}, {-300, 400}} {
		points = append(points, tin.Point{E: c[0], N: c[1], Level: 9})
	}
	s, err := tin.FromPoints(points)
	require.NoError(t, err)
	return s
}

// partsFor are parts of every kind.
func partsFor(rng *rand.Rand, rock *tin.Surface) []volume.Part {
	area := func() orb.MultiPolygon {
		return orb.MultiPolygon{{star(rng, orb.Point{30, 30}, 5, 25)}, {star(rng, orb.Point{75, 75}, 5, 25)}}
	}
	return []volume.Part{
		{Within: area(), To: 0.5}, {Within: area(), Above: []volume.Horizon{{Surface: rock}}, Below: []volume.Horizon{{Level: 10}}},
		{Below: []volume.Horizon{{Surface: rock}}, From: 0.25, To: 1, By: volume.TotalDepth}, {From: 0.3, To: 0.8}, {Below: []volume.Horizon{{Level: 9.7}}},
	}
}

func closeTo(t *testing.T, want, got, scale float64, what string) {
	t.Helper()
	if !(math.Abs(want-got) <= 1e-12*scale) {
		t.Errorf("%s %.17g, want %.17g: %.1e relative", what, got, want, math.Abs(got-want)/scale)
	}
}

// The parts make up the cut of the whole, none is less than nothing, and so do those of the
// cells; cells half as wide make up the wider ones, moments too.
func TestPartsMakeUpTheCut(t *testing.T) {
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		s = s.limited(rng)
		ground := s.surface(t)
		w := worksOn(t, ground, s.plane, s.outline)
		whole := s.measure(t)
		scale := whole.Cut + whole.Fill + 1e-9
		parts := partsFor(rng, rockOf(t, rng))
		r := split(t, w, volume.Split{Parts: parts, CellSize: 8})
		closeTo(t, whole.Cut, r.Cut, scale, "cut")
		closeTo(t, whole.Fill, r.Fill, scale, "fill")
		var sum tin.Sum
		for _, v := range splitParts(r) {
			assert.GreaterOrEqual(t, v, 0.0)
			sum.Add(v)
		}
		closeTo(t, r.Cut, sum.Value(), scale, "parts")

		fine := split(t, w, volume.Split{Parts: parts, CellSize: 4})
		cells := map[orb.Point]*[6]float64{} // cut, its moments, and those of fill
		add := func(list []volume.Cell, sign float64) {
			for _, c := range list {
				at := orb.Point{8 * math.Floor(c.At[0]/8), 8 * math.Floor(c.At[1]/8)}
				if cells[at] == nil {
					cells[at] = new([6]float64)
				}
				cut := 0.0
				for _, v := range c.Cut {
					cut += v
				}
				for i, v := range []float64{cut, cut * (c.CutAt[0] - at[0]), cut * (c.CutAt[1] - at[1]), c.Fill, c.Fill * (c.FillAt[0] - at[0]), c.Fill * (c.FillAt[1] - at[1])} {
					cells[at][i] += sign * v
				}
			}
		}
		add(r.Cells, 1)
		cut, fill := 0.0, 0.0
		for at, v := range cells {
			cut, fill = cut+v[0], fill+v[3]
			if v[0] > 0 {
				assert.True(t, v[1] >= 0 && v[1] <= 8*v[0] && v[2] >= 0 && v[2] <= 8*v[0], "centre of gravity in its cell %v: %v", at, v)
			}
		}
		closeTo(t, r.Cut, cut, scale, "cut of the cells")
		closeTo(t, r.Fill, fill, scale, "fill of the cells")
		add(fine.Cells, -1)
		for _, v := range cells {
			for _, off := range v {
				closeTo(t, 0, off, 100*scale, "finer cells")
			}
		}
	})
}

// Parts are differences of takeoffs: above a depth, of one with so much more topsoil;
// above a level, of one to that level; within an area, of one over what both hold.
func TestPartsAreDifferences(t *testing.T) {
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		s = s.limited(rng)
		s.plane = tin.LevelPlane(s.plane.Level)
		ground := s.surface(t)
		w := worksOn(t, ground, s.plane, s.outline)
		whole := s.measure(t)
		scale := whole.Cut + whole.Fill + 1e-9

		r := split(t, w, volume.Split{Parts: []volume.Part{{To: 0.4}}})
		lower := worksOn(t, ground, s.plane, s.outline)
		for i := range lower.Facets {
			lower.Facets[i].Topsoil = 0.4
		}
		below, err := volume.AgainstFacets(t.Context(), ground, lower.Facets)
		require.NoError(t, err)
		closeTo(t, below.Cut, r.Rest.Cut, scale, "below 0.4 m")

		level := s.plane.Level + 0.3
		r = split(t, w, volume.Split{Parts: []volume.Part{{Above: []volume.Horizon{{Level: level}}}}})
		closeTo(t, against(t, ground, tin.LevelPlane(level), s.outline).Cut, r.Parts[0].Cut, scale, "above a level")

		area := orb.Polygon{star(rng, orb.Point{50, 50}, 10, 40)}
		r = split(t, w, volume.Split{Parts: []volume.Part{{Within: orb.MultiPolygon{area}}}})
		cells, err := ground.Partition([]orb.Polygon{s.outline, area}, nil)
		require.NoError(t, err)
		var facets []tin.Facet
		for _, c := range cells {
			if len(c.In) == 2 {
				facets = append(facets, tin.Facet{Cell: c, Plane: s.plane})
			}
		}
		both, err := volume.AgainstFacets(t.Context(), ground, facets)
		require.NoError(t, err)
		closeTo(t, both.Cut, r.Parts[0].Cut, scale, "within an area")
	})
}

// Rock that lies nowhere above the ground is a ground of its own: cut below it is the cut
// of a takeoff from it.
func TestRockIsAGroundOfItsOwn(t *testing.T) {
	onSites(t, 40, func(t *testing.T, rng *rand.Rand, s site) {
		s.plane = tin.LevelPlane(7)
		rock := s
		rock.points = slices.Clone(s.points)
		for i := range rock.points {
			rock.points[i].Level -= milli(2 * rng.Float64())
		}
		w := worksOn(t, s.surface(t), s.plane, s.outline)
		r := split(t, w, volume.Split{Parts: []volume.Part{{Below: []volume.Horizon{{Surface: rock.surface(t)}}}}})
		closeTo(t, rock.measure(t).Cut, r.Parts[0].Cut, r.Cut, "below rock")
		assert.LessOrEqual(t, r.Undetermined.Cut, 1e-12*r.Cut)
	})
}

// What is moved or turned as a whole has the same parts.
func TestSplitMoved(t *testing.T) {
	onSites(t, 20, func(t *testing.T, rng *rand.Rand, s site) {
		base := s.surface(t)
		rock := s
		rock.points = slices.Clone(s.points)
		for i := range rock.points {
			rock.points[i].Level -= milli(2 * rng.Float64())
		}
		measure := func(to func(orb.Point) orb.Point) volume.SplitResult {
			g, r := s.moved(to), rock.moved(to)
			area := orb.Polygon{slices.Clone(s.outline[0])}
			for i, p := range area[0] {
				area[0][i] = to(orb.Point{milli(p[0]/2 + 20), milli(p[1]/2 + 20)})
			}
			return split(t, worksOn(t, g.surface(t), tin.LevelPlane(9), g.outline), volume.Split{Parts: []volume.Part{
				{Within: orb.MultiPolygon{area}, To: 0.7}, {Below: []volume.Horizon{{Surface: r.surface(t)}}, From: 0.5, By: volume.TotalDepth},
			}})
		}
		want := measure(func(p orb.Point) orb.Point { return p })
		for what, to := range map[string]func(orb.Point) orb.Point{
			"shifted": func(p orb.Point) orb.Point { return orb.Point{milli(p[0] + 300000), milli(p[1] + 5800000)} },
			"turned":  func(p orb.Point) orb.Point { return orb.Point{-p[1], p[0]} },
		} {
			if what == "turned" && len(base.Ties()) > 0 {
				continue // a quarter turn may change ground with ties
			}
			got := splitParts(measure(to))
			for i, v := range splitParts(want) {
				closeTo(t, v, got[i], want.Cut+want.Fill+1e-9, what)
			}
		}
	})
}

// The same bits in whatever order facets, faces and polygons of a part come.
func TestSplitSameBits(t *testing.T) {
	onSites(t, 20, func(t *testing.T, rng *rand.Rand, s site) {
		w := worksOn(t, s.surface(t), s.plane, s.outline)
		frame := w.Ground.Frame()
		for range 10 {
			var f tin.FacePiece
			x, y := frame.Local(orb.Point{milli(100 * rng.Float64()), milli(100 * rng.Float64())})
			for _, c := range [][2]float64{{0, 0}, {3, 1}, {1, 4}} {
				f.Corner = append(f.Corner, tin.FaceCorner{X: x + c[0]/frame.Length(), Y: y + c[1]/frame.Length(), Ground: 10 + rng.Float64(), Face: 9 + rng.Float64()})
			}
			w.Faces = append(w.Faces, f)
		}
		sp := volume.Split{Parts: partsFor(rng, rockOf(t, rng)), CellSize: 7}
		want := split(t, w, sp)
		for range 3 {
			w.Facets, w.Faces = slices.Clone(w.Facets), slices.Clone(w.Faces)
			rng.Shuffle(len(w.Facets), func(i, j int) { w.Facets[i], w.Facets[j] = w.Facets[j], w.Facets[i] })
			rng.Shuffle(len(w.Faces), func(i, j int) { w.Faces[i], w.Faces[j] = w.Faces[j], w.Faces[i] })
			for i := range sp.Parts {
				slices.Reverse(sp.Parts[i].Within)
			}
			require.Equal(t, want, split(t, w, sp))
		}
	})
}

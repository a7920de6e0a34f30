package takeoff

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

func TestPlaceTreeFindsTheNearest(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for _, n := range []int{1, 2, 8, 9, 17, 100, 1000} {
		for _, coarse := range []bool{false, true} { // with many equal coordinates
			places := make([]orb.Point, n)
			for i := range places {
				places[i] = orb.Point{r.Float64(), r.Float64()}
				if coarse {
					places[i] = orb.Point{float64(r.IntN(4)), float64(r.IntN(4))}
				}
			}
			tree := newPlaceTree(append([]orb.Point{}, places...))
			for range 50 {
				p := orb.Point{4*r.Float64() - 1, 4*r.Float64() - 1}
				want := math.Inf(1)
				for _, q := range places {
					want = min(want, math.Sqrt(squared(p, q)))
				}
				require.Equal(t, want, tree.distance(p))
			}
		}
	}
}

// The greatest gap is found to a hundredth: held against a fine raster, which
// can only be less.
func TestMaxGap(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for range 20 {
		points := []tin.Point{{E: 0, N: 0}, {E: 10, N: 0}, {E: 10, N: 10}, {E: 0, N: 10}}
		for range r.IntN(30) {
			points = append(points, tin.Point{E: 10 * r.Float64(), N: 10 * r.Float64()})
		}
		ground, err := tin.FromPoints(points)
		require.NoError(t, err)
		cells, err := ground.Partition([]orb.Polygon{{{{2, 2}, {7, 3}, {6, 9}, {1, 6}}}}, nil)
		require.NoError(t, err)
		w := &works{box: orb.Bound{Min: orb.Point{1, 2}, Max: orb.Point{7, 9}}}
		for _, c := range cells {
			w.facets = append(w.facets, tin.Facet{Cell: c})
		}
		raster := 0.0
		for i := range 141 {
			for j := range 121 {
				p := orb.Point{1 + float64(j)*0.05, 2 + float64(i)*0.05}
				in := false
				for _, c := range cells {
					in = in || holds(c.Corner, p)
				}
				if !in {
					continue
				}
				nearest := math.Inf(1)
				for _, q := range points {
					nearest = min(nearest, math.Hypot(q.E-p[0], q.N-p[1]))
				}
				raster = max(raster, nearest)
			}
		}
		got := w.maxGap(t.Context(), ground)
		assert.GreaterOrEqual(t, got, 0.99*raster)
		assert.LessOrEqual(t, got, raster+0.05) // no place is farther than that from the raster
	}
}

func TestNearestWord(t *testing.T) {
	words := []string{"margin", "outline", "finished", "points"}
	for word, want := range map[string]string{
		"mragin": "margin", "margn": "margin", "marginn": "margin", "outlines": "outline", "finish": "finished",
		"point": "points", "batter": "", "x": "", "": "",
	} {
		assert.Equal(t, want, nearestWord(word, words), word)
	}
}

func TestEditDistance(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"abc", "", 3}, {"abc", "abc", 0}, {"abc", "acb", 1}, {"kitten", "sitting", 3}, {"ca", "abc", 3}} {
		assert.Equal(t, tt.want, editDistance(tt.a, tt.b), "%s %s", tt.a, tt.b)
		assert.Equal(t, tt.want, editDistance(tt.b, tt.a), "%s %s", tt.b, tt.a)
	}
}

// holds reports whether an anticlockwise triangle holds a place.
func holds(t [3]orb.Point, p orb.Point) bool {
	for i := range t {
		a, b := t[i], t[(i+1)%3]
		if (b[0]-a[0])*(p[1]-a[1])-(b[1]-a[1])*(p[0]-a[0]) < 0 {
			return false
		}
	}
	return true
}

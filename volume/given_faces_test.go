package volume_test

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// facesOf returns the points of random ground and the triangles of their surface as
// faces, share of whose inner edges were turned: no longer Delaunay.
func facesOf(t testing.TB, n int, kind string, share float64) tin.Source {
	t.Helper()
	ground, err := tin.Build(t.Context(), []tin.Source{{Points: groundOf(n, kind)}}, tin.Options{Duplicates: tin.DuplicatesFirst})
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(uint64(n), 2))
	order := rng.Perm(ground.Size())
	source := tin.Source{Name: "built.xml", Points: make([]tin.Point, len(order))}
	for i, v := range ground.Vertices() {
		source.Points[order[i]] = tin.Point{E: v.E, N: v.N, Level: v.Level}
	}
	for _, tri := range ground.Triangles() {
		v := tri.Vertex
		source.Faces = append(source.Faces, [3]int32{int32(order[v[0]]), int32(order[v[1]]), int32(order[v[2]])})
	}
	touched := make(map[int]bool)
	for i := range source.Faces {
		k := rng.IntN(3)
		j, side, ok := ground.Across(i, k)
		if !ok || rng.Float64() >= 2*share || touched[i] || touched[j] {
			continue
		}
		f, g := source.Faces[i], source.Faces[j]
		a, b, c, d := f[k], f[(k+1)%3], f[(k+2)%3], g[(side+2)%3]
		if convex(source.Points[a], source.Points[d], source.Points[b], source.Points[c]) {
			source.Faces[i], source.Faces[j] = [3]int32{a, d, c}, [3]int32{d, b, c}
			touched[i], touched[j] = true, true
		}
	}
	rng.Shuffle(len(source.Faces), func(i, j int) { source.Faces[i], source.Faces[j] = source.Faces[j], source.Faces[i] })
	return source
}

// convex reports whether four corners turn left by more than rounding hides.
func convex(p ...tin.Point) bool {
	for i, a := range p {
		b, c := p[(i+1)%len(p)], p[(i+2)%len(p)]
		if (b.E-a.E)*(c.N-b.N)-(b.N-a.N)*(c.E-b.E) < 1e-5 {
			return false
		}
	}
	return true
}

// Cut less fill under faces given is the sum of their prisms, in rationals.
func TestFacesGivenAgainstRationals(t *testing.T) {
	for trial, kind := range []string{"uniform", "clusters", "grid"} {
		source := facesOf(t, 300, kind, 0.3)
		holed := source
		holed.Faces = append(source.Faces[:100:100], source.Faces[140:]...)
		for _, source := range []tin.Source{source, holed} {
			ground, err := tin.Build(t.Context(), []tin.Source{source}, tin.Options{})
			require.NoError(t, err)
			require.Equal(t, len(source.Faces), ground.Stats().Triangles)
			b, level := ground.Bound().Pad(1), ground.Stats().LevelMean
			got, err := volume.AgainstPlane(t.Context(), ground, tin.LevelPlane(level), orb.Polygon{b.ToRing()})
			require.NoError(t, err)

			want := new(big.Rat)
			for _, f := range source.Faces {
				want.Add(want, prismOf(source.Points[f[0]], source.Points[f[1]], source.Points[f[2]], level))
			}
			exact, _ := want.Float64()
			assert.InDelta(t, exact, got.Cut-got.Fill, 1e-10*(got.Cut+got.Fill), "%d %s", trial, kind)
			assert.Positive(t, got.Cut)
			assert.Positive(t, got.Fill)
		}
	}
}

// prismOf is the volume of a prism from a level up to a triangle, coordinates taken as
// the millimetres they are.
func prismOf(a, b, c tin.Point, level float64) *big.Rat {
	milli := func(v float64) *big.Rat { return big.NewRat(int64(math.Round(v*1000)), 1000) }
	ux, uy := sub(milli(b.E), milli(a.E)), sub(milli(b.N), milli(a.N))
	vx, vy := sub(milli(c.E), milli(a.E)), sub(milli(c.N), milli(a.N))
	height := sub(add(add(rat(a.Level), rat(b.Level)), rat(c.Level)), mul(big.NewRat(3, 1), rat(level)))
	return quo(mul(sub(mul(ux, vy), mul(uy, vx)), height), big.NewRat(6, 1))
}

// BenchmarkBuildFaces builds about two faces a point, none and a third of whose edges
// were turned; compare BenchmarkBuild, which finds the triangles itself.
func BenchmarkBuildFaces(b *testing.B) {
	for _, share := range []float64{0, 0.3} {
		for _, n := range benchSizes() {
			source := facesOf(b, n, "uniform", share)
			b.Run(fmt.Sprintf("turned=%v/n=%d", share, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					_, err := tin.Build(b.Context(), []tin.Source{source}, tin.Options{})
					require.NoError(b, err)
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/point")
			})
		}
	}
}

package mesh

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/fogleman/delaunay"
)

// benchSets are uniform points, a survey-like grid of millimetres and an exact
// grid, n points each.
func benchSets(n int) []set {
	rng := rand.New(rand.NewPCG(uint64(n), 9))
	side := 1
	for side*side < n {
		side++
	}
	u := set{name: "uniform"}
	l := set{name: "lidar", whole: true}
	g := set{name: "grid", whole: true}
	for i := range n {
		x, y := float64(i%side), float64(i/side)
		u.add(rng.Float64()*1000, rng.Float64()*1000)
		l.add(x*1000+float64(rng.IntN(800)), y*1000+float64(rng.IntN(800)))
		g.add(x*1000, y*1000)
	}
	return []set{u, l, g}
}

func BenchmarkNew(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		for _, s := range benchSets(n) {
			b.Run(fmt.Sprintf("%s/n=%d", s.name, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, _, err := New(s.at, s.whole); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// BenchmarkDraft times the general-purpose library on the same points.
func BenchmarkDraft(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		for _, s := range benchSets(n) {
			points := make([]delaunay.Point, n)
			for i := range points {
				points[i] = delaunay.Point{X: s.at[i].X, Y: s.at[i].Y}
			}
			b.Run(fmt.Sprintf("%s/n=%d", s.name, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := delaunay.Triangulate(points); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

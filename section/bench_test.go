package section_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"barrow/section"
	"barrow/tin"
)

// A thousand sections of a bent ditch 60 m wide over ground with a spot every square
// metre. The ground grows, the works do not: a section costs the same over all.
func BenchmarkCut(b *testing.B) {
	for _, side := range []int{200, 330, 1000} {
		b.Run(fmt.Sprintf("n=%d", side*side), func(b *testing.B) {
			r := rand.New(rand.NewPCG(1, 1))
			points := make([]tin.Point, side*side)
			for i := range points {
				points[i] = tin.Point{E: float64(side) * r.Float64(), N: float64(side) * r.Float64(), Level: r.Float64()}
			}
			ground := surface(b, points)
			m := float64(side) / 2
			outline := box(m-80, m-30, m+80, m+30)
			f := pad(b, ground, outline, tin.LevelPlane(0.5), 0)
			a := align(b, orb.Point{m - 80, m - 4}, orb.Point{m, m + 4}, orb.Point{m + 80, m})
			marks, err := a.Marks(section.Plan{Interval: a.Length() / 998})
			if err != nil {
				b.Fatal(err)
			}
			ground.LevelAt(m, m) // the first walk makes the grid that walks start from
			b.ReportAllocs()
			for b.Loop() {
				s, err := section.Cut(b.Context(), ground, f, a, marks, section.Options{})
				if err != nil {
					b.Fatal(err)
				}
				if len(s.Sections) < 1000 {
					b.Fatal(len(s.Sections))
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(len(marks)), "us/section")
		})
	}
}

// A formation of very many faces costs a section what it meets of them.
func BenchmarkFaces(b *testing.B) {
	for _, side := range []int{30, 100, 330} {
		b.Run(fmt.Sprintf("faces=%d", side*side), func(b *testing.B) {
			var faces []section.Face
			for i := range side {
				for k := range side {
					x, y := float64(i), float64(k)
					faces = append(faces, section.Face{Corner: []section.Corner{{E: x, N: y}, {E: x + 1, N: y}, {E: x + 1, N: y + 1}, {E: x, N: y + 1}}})
				}
			}
			f := facesOf(b, faces...)
			m := float64(side) / 2
			b.ReportAllocs()
			for b.Loop() {
				st, err := f.Profile(orb.Point{m - 10, m - 7}, orb.Point{m + 10, m + 6}, section.Ahead)
				if err != nil || len(st) < 20 {
					b.Fatal(len(st), err)
				}
			}
		})
	}
}

// A place beside a line of many legs costs what lies near it.
func BenchmarkLocate(b *testing.B) {
	for _, legs := range []int{1, 100, 10_000} {
		b.Run(fmt.Sprintf("legs=%d", legs), func(b *testing.B) {
			r := rand.New(rand.NewPCG(1, 1))
			var line orb.LineString
			for i := range legs + 1 {
				line = append(line, orb.Point{10 * float64(i), 5 * r.Float64()})
			}
			a := align(b, line...)
			b.ReportAllocs()
			for b.Loop() {
				a.Locate(orb.Point{10 * float64(legs) * r.Float64(), 40 * r.Float64()})
			}
		})
	}
}

package landxml_test

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/landxml"
)

// The order of points, ids, faces and of the corners of a face do not show in the
// triangles, those of faces with four corners among them.
func TestReadAnyOrder(t *testing.T) {
	g := grid(6, 5).Surfaces[0]
	quads := [][]int32{}
	for i := 0; i < len(g.Faces); i += 2 {
		a, b := g.Faces[i], g.Faces[i+1]
		quads = append(quads, []int32{a[0], a[1], b[1], a[2]})
	}
	threes := [][]int32{}
	for _, f := range g.Faces {
		threes = append(threes, f[:])
	}
	for name, faces := range map[string][][]int32{"three": threes, "four": quads} {
		var want []string
		for seed := range uint64(20) {
			r := rand.New(rand.NewPCG(seed, 1))
			if seed == 0 {
				r = nil // as it stands
			}
			f, err := read(shuffled(r, g.Points, faces), landxml.Options{})
			require.NoError(t, err)
			got := triangles(f.Surfaces[0])
			if want == nil {
				want = got
			}
			assert.Len(t, got, len(g.Faces), name)
			assert.Equal(t, want, got, name)
		}
	}
}

// shuffled writes a surface in another order, with other ids.
func shuffled(r *rand.Rand, points []tin.Point, faces [][]int32) string {
	order := make([]int, len(points))
	for i := range order {
		order[i] = i
	}
	id := make([]int, len(points))
	faces = slices.Clone(faces)
	for i := range faces {
		faces[i] = slices.Clone(faces[i])
	}
	if r != nil {
		r.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		r.Shuffle(len(faces), func(i, j int) { faces[i], faces[j] = faces[j], faces[i] })
	}
	next := 1
	var ps, fs strings.Builder
	for _, v := range order {
		id[v] = next
		fmt.Fprintf(&ps, "<P id=\"%d\">%v %v %v</P>\n", id[v], points[v].N, points[v].E, points[v].Level)
		next++
		if r != nil {
			next += r.IntN(3)
		}
	}
	for _, f := range faces {
		if r != nil {
			turn := r.IntN(len(f))
			f = append(slices.Clone(f[turn:]), f[:turn]...)
			if r.IntN(2) == 0 {
				slices.Reverse(f)
			}
		}
		fs.WriteString("<F>")
		for _, v := range f {
			fmt.Fprintf(&fs, "%d ", id[v])
		}
		fs.WriteString("</F>\n")
	}
	return surface(ps.String(), fs.String())
}

// triangles lists the triangles of a surface by their coordinates, each from its
// least corner on, in order.
func triangles(s landxml.Surface) (list []string) {
	for _, f := range s.Faces {
		corner := []tin.Point{s.Points[f[0]], s.Points[f[1]], s.Points[f[2]]}
		least := slices.Index(corner, slices.MinFunc(corner, func(p, q tin.Point) int { return cmp.Or(cmp.Compare(p.E, q.E), cmp.Compare(p.N, q.N)) }))
		var text strings.Builder
		for k := range corner {
			p := corner[(least+k)%3]
			fmt.Fprintf(&text, "%v %v %v ", p.E, p.N, p.Level)
		}
		list = append(list, text.String())
	}
	slices.Sort(list)
	return list
}

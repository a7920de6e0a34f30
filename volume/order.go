package volume

import (
	"cmp"
	"iter"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// order puts two surfaces into an order that depends on them only: by their
// vertices, then their triangles, then boundary and voids. What it calls equal
// (0) has the same level everywhere.
func order(a, b *tin.Surface) int {
	if c := compareAll(a.Vertices(), b.Vertices(), func(v, w tin.Vertex) int {
		return cmp.Or(cmp.Compare(v.E, w.E), cmp.Compare(v.N, w.N), cmp.Compare(v.Level, w.Level))
	}); c != 0 {
		return c
	}
	if c := compareAll(a.Triangles(), b.Triangles(), func(t, u tin.Triangle) int {
		return slices.Compare(t.Vertex[:], u.Vertex[:])
	}); c != 0 {
		return c
	}
	boundary, voids := a.LocalLimits()
	boundary2, voids2 := b.LocalLimits()
	return cmp.Or(compareAreas(boundary, boundary2), compareAreas(voids, voids2))
}

// compareAll compares two sequences item by item, each with its number first; of
// two that begin alike the shorter is less.
func compareAll[T any](a, b iter.Seq2[int, T], compare func(x, y T) int) int {
	next, stop := iter.Pull2(b)
	defer stop()
	for i, x := range a {
		j, y, ok := next()
		if !ok {
			return 1
		}
		if c := cmp.Or(cmp.Compare(i, j), compare(x, y)); c != 0 {
			return c
		}
	}
	if _, _, more := next(); more {
		return -1
	}
	return 0
}

func compareAreas(a, b orb.MultiPolygon) int {
	return slices.CompareFunc(inOrder(a), inOrder(b), func(p, q orb.Polygon) int {
		return slices.CompareFunc(p, q, func(r, s orb.Ring) int { return slices.CompareFunc(r, s, comparePoints) })
	})
}

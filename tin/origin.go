package tin

import (
	"iter"
	"maps"
	"slices"

	"barrow/tin/internal/mesh"
)

// Given is the share that one source has in the level of a vertex.
type Given struct {
	Source int     // index into the sources given to [Build]
	Share  float64 // above 0; those of a vertex sum to 1
	Spots  int     // how many measured levels the share is the mean of
}

// LevelShare is the share that the level of a vertex has in another level.
type LevelShare struct {
	Vertex int
	Share  float64 // above 0
}

// AppendGiven adds to a list which sources a vertex's level comes from, by their index:
// one, but where several have a spot at its place; none for a crossing of breaklines.
//
// Equal levels at one place count as one measurement of each source, and so do the
// vertices of breaklines that share a place.
func (s *Surface) AppendGiven(list []Given, v int) []Given {
	if g, shared := s.given[int32(v)]; shared {
		return append(list, g...)
	}
	if s.crossed[int32(v)] != nil {
		return list
	}
	source := 0
	if s.source != nil {
		source = int(s.source[v])
	}
	return append(list, Given{Source: source, Share: 1, Spots: 1})
}

// Crossing returns the vertices whose levels a crossing's level is made of, in
// ascending order: the ends, as given, of the breaklines that cross. It is empty for
// any other vertex.
func (s *Surface) Crossing(v int) []LevelShare { return slices.Clone(s.crossed[int32(v)]) }

// Rings returns the vertices asked for that lie inside the domain's triangles and on
// no breakline, each with its neighbours anticlockwise from one that depends on
// coordinates only. The neighbours are valid until the next vertex.
func (s *Surface) Rings(of func(v int) bool) iter.Seq2[int, []int] {
	return func(yield func(int, []int) bool) {
		seen := make([]bool, len(s.level))
		var ring []int
		for e, v := range s.mesh.V {
			if seen[v] {
				continue
			}
			seen[v] = true
			if !of(int(v)) {
				continue
			}
			inner := false
			if ring, inner = s.ring(int32(e), ring[:0]); inner && !yield(int(v), ring) {
				return
			}
		}
	}
}

// ring adds the neighbours of the vertex that half-edge e leaves. It reports false
// if the vertex lies on the rim or on a breakline.
func (s *Surface) ring(e int32, ring []int) (out []int, inner bool) {
	for f := range s.mesh.Around(e) {
		if s.mesh.N[f] < 0 || s.mesh.N[mesh.Prev(f)] < 0 || s.mesh.Kind(f)&mesh.LineEdge != 0 || s.isPeeled(f/3) {
			return ring, false
		}
		ring = append(ring, int(s.mesh.V[mesh.Next(f)]))
	}
	return ring, true
}

// LocalTriangle returns the numbers of a triangle's vertices, the least first, and its
// corners in local units.
func (s *Surface) LocalTriangle(t int) (vertex [3]int, corner [3]PieceCorner) {
	for i, v := range s.mesh.V[3*t : 3*t+3] {
		vertex[i] = int(v)
	}
	return vertex, cornersOf(s.mesh, s.level, int32(t))
}

// givenAt says which sources the level of inputs at one place comes from; they are in
// the order given, as for levelOf.
func (b *builder) givenAt(group []int32) []Given {
	var spots, vertices []int32
	for _, i := range group {
		switch p, bl := b.input(i); {
		case !p.HasLevel():
		case bl.line < 0:
			spots = append(spots, i)
		default:
			vertices = append(vertices, i)
		}
	}
	of := spots
	if len(of) == 0 {
		of = vertices
	}
	levels := b.sortedLevels(of)
	differ := len(spots) > 0 && levels[0] != levels[len(levels)-1]
	switch {
	case differ && b.opts.Duplicates == DuplicatesFirst:
		of = of[:1]
	case differ && b.opts.Duplicates == DuplicatesLast:
		of = of[len(of)-1:]
	}
	count := make(map[int]int)
	for _, i := range of {
		_, bl := b.input(i)
		count[bl.source]++
	}
	var out []Given
	for _, source := range slices.Sorted(maps.Keys(count)) {
		g := Given{Source: source, Share: 1 / float64(len(count)), Spots: 1}
		if differ {
			g.Share, g.Spots = float64(count[source])/float64(len(of)), count[source]
		}
		out = append(out, g)
	}
	return out
}

// sharesOf returns the places whose levels make up that of a crossing, with their
// shares, by place.
func (b *builder) sharesOf(p mesh.XY, lines map[chain]float64) []LevelShare {
	share := make(map[int32]float64)
	ends := slices.SortedFunc(maps.Keys(lines), func(c, d chain) int {
		return slices.Compare([]int32{c.from, c.to}, []int32{d.from, d.to})
	})
	for _, c := range ends {
		t := b.alongChain(c, p.X, p.Y)
		share[c.from] += (1 - t) / float64(len(lines))
		share[c.to] += t / float64(len(lines))
	}
	var out []LevelShare
	for _, place := range slices.Sorted(maps.Keys(share)) {
		if w := share[place]; w > 0 {
			out = append(out, LevelShare{int(place), w})
		}
	}
	return out
}

// origins takes over where levels came from, once places have become vertices:
// order holds the place of each vertex, vertex the vertex of each place.
func (b *builder) origins(order, vertex []int32) {
	if len(b.sources) > 1 {
		b.source = make([]int32, len(order))
		for v, p := range order {
			if first := b.first[p]; first >= 0 {
				_, bl := b.input(first)
				b.source[v] = int32(bl.source)
			}
		}
	}
	given, crossed := b.given, b.crossed
	b.given, b.crossed = make(map[int32][]Given, len(given)), make(map[int32][]LevelShare, len(crossed))
	for p, g := range given {
		b.given[vertex[p]] = g
	}
	for p, shares := range crossed {
		for i := range shares {
			shares[i].Vertex = int(vertex[shares[i].Vertex])
		}
		slices.SortFunc(shares, func(x, y LevelShare) int { return x.Vertex - y.Vertex })
		b.crossed[vertex[p]] = shares
	}
}

// LocalVertex returns the place of a vertex in local units, and its level in metres.
func (s *Surface) LocalVertex(v int) (x, y, level float64) {
	p := s.mesh.P[v]
	return p.X, p.Y, s.level[v]
}

package tin

import (
	"iter"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// Sheet is a triangulation in plan that convex pieces of works are cut by: that of a
// surface, or that of polygons. Coordinates are in the local units of one frame, that of the
// pieces. It never changes and is safe for concurrent readers.
type Sheet struct {
	mesh   *mesh.Mesh
	boxes  *boxes
	rim    []SheetEdge
	level  []float64 // of the vertices; nil: a sheet of polygons
	peeled []bool
	labels [][]int32
	ground []limitRange // of a sheet of limits
}

// SheetEdge is an edge of a sheet's hull, which is convex and lies on its left; local
// units.
type SheetEdge struct{ From, To [2]float64 }

// SheetTriangle is a triangle of a sheet.
type SheetTriangle struct {
	Corner [3]PieceCorner // anticlockwise, local units; levels in metres, 0 in a sheet of polygons
	Known  bool           // false where MaxEdge, the boundary or a void took the surface away
	In     []int32        // the polygons that hold it, by index, ascending; not to be changed
	plane  trianglePlane  // once asked for a level
	planed bool
}

// LevelAt returns the level at a place in the triangle, local units: never outside the
// range of its corners' levels.
func (t *SheetTriangle) LevelAt(x, y float64) float64 {
	if !t.planed {
		t.plane.set(&t.Corner[0], &t.Corner[1], &t.Corner[2])
		t.planed = true
	}
	return t.plane.at(x, y)
}

// Sheets returns the sheets to cut a piece by one after the other: where all know it, the
// last has the surface's levels. The first of two is that of boundary and voids. Outside
// the hull of a sheet nothing is known, but for a first one where [Surface.LocalLimits] has
// no boundary. In a frame that is not the surface's own a place is that of its easting and
// northing as read; of triangles thinner than the rounding of these, some may overlap by it.
func (s *Surface) Sheets(f Frame) ([]*Sheet, error) {
	own := &Sheet{mesh: s.mesh, level: s.level, peeled: s.peeled}
	if f == s.frame {
		own.boxes = s.boxes()
	} else {
		own.mesh = s.meshIn(f)
		own.boxes = newBoxes(own.mesh)
	}
	own.findRim(s.hull)
	if !s.limits.any() {
		return []*Sheet{own}, nil
	}
	p := newPartition(f)
	p.limit(s.limits.in(f, s.frame))
	limits, err := p.sheet()
	if err != nil {
		return nil, err
	}
	limits.ground = p.limits
	return []*Sheet{limits, own}, nil
}

// PolygonSheet returns the sheet of polygons in metres, which may overlap. One that is no
// simple outline is an error of [CheckOutline].
func PolygonSheet(f Frame, polygons []orb.Polygon) (*Sheet, error) {
	p := newPartition(f)
	for i, poly := range polygons {
		if err := CheckOutline(poly); err != nil {
			return nil, inPolygon(err, i, len(polygons))
		}
		p.polygon(f.polygon(poly, f.Local))
	}
	return p.sheet()
}

// sheet makes a sheet of what was gathered.
func (p *partition) sheet() (*Sheet, error) {
	m, labels, err := p.triangulate()
	if err != nil {
		return nil, err
	}
	s := &Sheet{mesh: m, boxes: newBoxes(m), labels: labels}
	s.findRim(m.Border())
	return s, nil
}

func (s *Sheet) findRim(hull []int32) {
	at := func(v int32) [2]float64 { return [2]float64{s.mesh.P[v].X, s.mesh.P[v].Y} }
	for _, e := range hull {
		s.rim = append(s.rim, SheetEdge{at(s.mesh.V[e]), at(s.mesh.V[mesh.Next(e)])})
	}
}

// Rim returns the edges of the hull.
func (s *Sheet) Rim() []SheetEdge { return s.rim }

// KnownBeyond reports whether what lies outside the hull is known: only in the sheet of
// voids without a boundary, and in one of polygons.
func (s *Sheet) KnownBeyond() bool {
	switch {
	case s.level != nil:
		return false
	case s.ground != nil:
		return s.ground[0].ground(nil)
	}
	return true
}

// Triangles returns all triangles, in an order that depends on coordinates only.
func (s *Sheet) Triangles() iter.Seq[*SheetTriangle] {
	return func(yield func(*SheetTriangle) bool) {
		var t SheetTriangle
		for i := range s.mesh.Triangles() {
			s.set(&t, i)
			if !yield(&t) {
				return
			}
		}
	}
}

// Reach calls visit with the triangles that may share an area with a box, local units, in
// an order that depends on coordinates only; each is valid until visit returns, false to
// stop.
func (s *Sheet) Reach(b orb.Bound, visit func(*SheetTriangle) (more bool)) {
	around := box{b.Min[0], b.Min[1], b.Max[0], b.Max[1]}
	var t SheetTriangle
	s.boxes.reach(&around, len(s.boxes.level)-1, 0, len(s.boxes.level[len(s.boxes.level)-1]), func(i int) bool {
		v := s.mesh.V[3*i : 3*i+3 : 3*i+3]
		own := boxOf(s.mesh.P[v[0]], s.mesh.P[v[1]], s.mesh.P[v[2]])
		if own.apart(&around) {
			return true
		}
		s.set(&t, i)
		return visit(&t)
	})
}

// reach calls visit with the triangles of the boxes of a level that share an area with
// another box.
func (b *boxes) reach(around *box, level, from, to int, visit func(i int) bool) bool {
	for i := from; i < to; i++ {
		if b.level[level][i].apart(around) {
			continue
		}
		if level > 0 {
			if !b.reach(around, level-1, i*boxFan, min((i+1)*boxFan, len(b.level[level-1])), visit) {
				return false
			}
			continue
		}
		for t := i * boxFan; t < min((i+1)*boxFan, b.triangles); t++ {
			if !visit(t) {
				return false
			}
		}
	}
	return true
}

// set makes t a triangle of the sheet.
func (s *Sheet) set(t *SheetTriangle, i int) {
	t.Known, t.In = s.peeled == nil || !s.peeled[i], nil
	if s.labels != nil {
		t.In = s.labels[i]
	}
	if s.ground != nil {
		t.Known = s.ground[0].ground(t.In)
	}
	for k, v := range s.mesh.V[3*i : 3*i+3 : 3*i+3] {
		t.Corner[k] = PieceCorner{X: s.mesh.P[v].X, Y: s.mesh.P[v].Y}
		if s.level != nil {
			t.Corner[k].Level = s.level[v]
		}
	}
	t.planed = false
}

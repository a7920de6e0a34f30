package section

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Corner is a corner of a face: easting, northing and level, metres.
type Corner struct{ E, N, Level float64 }

// Face is a plane part of a formation: a convex polygon, anticlockwise.
type Face struct {
	Corner  []Corner
	Topsoil float64 // metres taken off the ground there before it is measured
}

// FacetFace returns the face that a facet of a formation is.
func FacetFace(f tin.Facet) Face {
	face := Face{Topsoil: f.Topsoil}
	for _, c := range f.Cell.Corner {
		face.Corner = append(face.Corner, Corner{c[0], c[1], f.Plane.LevelAt(c[0], c[1])})
	}
	return face
}

// PieceFace returns the face of a part of the works; frame is that of its ground.
func PieceFace(frame tin.Frame, p tin.FacePiece) Face {
	face := Face{Topsoil: p.Topsoil}
	for _, c := range p.Corner {
		m := frame.Metres(c.X, c.Y)
		face.Corner = append(face.Corner, Corner{m[0], m[1], c.Face})
	}
	return face
}

// Faces is a formation of plane faces that do not overlap in plan. Between them
// there may be gaps, where nothing is dug, and upright steps.
type Faces struct {
	faces []Face
	tree  []node
}

// NewFaces returns the formation of faces. A face with fewer than three corners, or
// with a value that is none, is an error. If ctx ends its error is returned.
func NewFaces(ctx context.Context, faces []Face) (*Faces, error) {
	f := &Faces{faces: slices.Clone(faces)}
	boxes := make([]orb.Bound, len(faces))
	for i, face := range faces {
		if len(face.Corner) < 3 || !isLength(face.Topsoil) || face.Topsoil < 0 {
			return nil, fail("bad_face", "give a convex polygon and a depth of at least 0", "face %d has %d corners and %v m of topsoil", i+1, len(face.Corner), face.Topsoil)
		}
		boxes[i] = orb.Bound{Min: orb.Point{face.Corner[0].E, face.Corner[0].N}, Max: orb.Point{face.Corner[0].E, face.Corner[0].N}}
		for _, c := range face.Corner {
			if !isLength(c.E, c.N, c.Level) {
				return nil, fail("bad_coordinate", "give finite numbers", "face %d has a corner at %v, %v, level %v", i+1, c.E, c.N, c.Level)
			}
			boxes[i] = boxes[i].Extend(orb.Point{c.E, c.N})
		}
	}
	var err error
	f.tree, err = grow(ctx, boxes)
	return f, err
}

// Bound returns a box round the faces, metres.
func (f *Faces) Bound() orb.Bound {
	if len(f.tree) == 0 {
		return orb.Bound{Min: orb.Point{0, 0}, Max: orb.Point{-1, -1}}
	}
	return f.tree[0].box
}

// Profile returns what the line between two places meets. Faces that overlap on it
// by over 0.01 mm are an error, unless one of them ends beside the line: where a side
// runs along it, rounding decides how far each face reaches across.
func (f *Faces) Profile(from, to orb.Point, side Side) ([]Stretch, error) {
	l := newSight(from, to, side)
	var met []faceStretch
	visit(f.tree, l, func(face int) {
		if st, ok := l.cut(f.faces[face]); ok {
			met = append(met, faceStretch{st, face})
		}
	})
	slices.SortFunc(met, func(a, b faceStretch) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To), cmp.Compare(a.Level, b.Level))
	})
	out := make([]Stretch, len(met))
	for i, s := range met {
		out[i] = s.Stretch
		if i == 0 {
			continue
		}
		before := met[i-1]
		over := min(before.To, s.To) - s.From
		if over <= 10*together {
			continue
		}
		middle := l.at(s.From + over/2)
		if f.faces[before.face].within(middle) > aside && f.faces[s.face].within(middle) > aside {
			p := l.at(s.From)
			return nil, fail("faces_overlap", "give faces that do not overlap in plan", "two faces of the formation overlap by %.5f m at %v, %v", over, p[0], p[1])
		}
	}
	return out, nil
}

// faceStretch is a stretch and the face it was cut from.
type faceStretch struct {
	Stretch
	face int
}

// within returns how far inside a face a place is, metres: the least distance from a
// side, below 0 outside.
func (f *Face) within(p orb.Point) float64 {
	least := math.Inf(1)
	last := f.Corner[len(f.Corner)-1]
	for _, c := range f.Corner {
		u, v := orb.Point{c.E - last.E, c.N - last.N}, orb.Point{p[0] - last.E, p[1] - last.N}
		if length := math.Hypot(u[0], u[1]); length > 0 {
			least = min(least, cross(u, v)/length)
		}
		last = c
	}
	return least
}

// sight is a line of sight along a section.
type sight struct {
	from   orb.Point
	u      orb.Point // unit vector
	length float64
	side   float64 // 1 ahead, -1 behind
	near   float64 // metres within which a corner is on the line
}

func newSight(from, to orb.Point, side Side) sight {
	v := sub(to, from)
	l := sight{from: from, length: math.Hypot(v[0], v[1]), side: 1}
	l.u = orb.Point{v[0] / l.length, v[1] / l.length}
	if side == Behind {
		l.side = -1
	}
	size := max(math.Abs(from[0]), math.Abs(from[1]), math.Abs(to[0]), math.Abs(to[1]))
	l.near = max(1e-9, size*0x1p-49)
	return l
}

func (l sight) at(offset float64) orb.Point {
	return orb.Point{l.from[0] + float64(offset*l.u[0]), l.from[1] + float64(offset*l.u[1])}
}

// seen returns how far along and how far to the side a corner lies; what is on the
// line has 0.
func (l sight) seen(c Corner) (along, off float64) {
	v := orb.Point{c.E - l.from[0], c.N - l.from[1]}
	if off = cross(l.u, v) * l.side; math.Abs(off) <= l.near {
		off = 0
	}
	return dot(v, l.u), off
}

// cut returns the stretch of a face on the line. A face with corners on both sides
// is cut; one that touches counts if it lies on the side looked for.
func (l sight) cut(face Face) (Stretch, bool) {
	from, to := math.Inf(1), math.Inf(-1)
	var level, levelTo float64
	meet := func(along, z float64) {
		if along < from {
			from, level = along, z
		}
		if along > to {
			to, levelTo = along, z
		}
	}
	beyond := false
	last := face.Corner[len(face.Corner)-1]
	s, off := l.seen(last)
	for _, c := range face.Corner {
		t, offTo := l.seen(c)
		if off*offTo < 0 {
			along, z := crossing(s, off, last.Level, t, offTo, c.Level)
			meet(along, z)
		}
		if offTo == 0 {
			meet(t, c.Level)
		}
		beyond = beyond || offTo > 0
		last, s, off = c, t, offTo
	}
	if !beyond || !(to > from) || to <= 0 || from >= l.length {
		return Stretch{}, false
	}
	st := between(from, level, to, levelTo)
	st.Topsoil = face.Topsoil
	if from < 0 {
		st.From, st.Level = 0, st.LevelAt(0)
	}
	st.To = min(to, l.length)
	return st, true
}

// crossing returns where a side crosses the line and its level there, computed from
// the end beyond the line, so that both faces beside it get the same.
func crossing(s, off, level, t, offTo, levelTo float64) (along, z float64) {
	if off < 0 {
		s, off, level, t, offTo, levelTo = t, offTo, levelTo, s, off, level
	}
	f := off / (off - offTo)
	return s + float64(f*(t-s)), level + float64(f*(levelTo-level))
}

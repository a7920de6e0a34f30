package volume

import (
	"context"

	"barrow/tin"
)

// Void is what is filled up again of the space between dug faces and the ground over
// them.
type Void struct {
	Volume float64 // m3, the space to be filled: compacted measure
	Area   float64 // m2 in plan
}

// Top is how far up a void is filled. The stripped ground is never passed, except by
// ToGround.
type Top struct {
	UpTo  UpTo
	Plane tin.Plane // of ToPlane
}

// UpTo is what a void is filled up to.
type UpTo int

// The tops of a void.
const (
	ToStripped UpTo = iota // the stripped ground
	ToGround               // the ground as it was before the topsoil was stripped
	ToPlane                // a plane, or the stripped ground where that is lower
)

// VoidUnderFaces measures the void between faces and the ground. Where the ground does
// not lie above a face there is none. Pieces are added in the order given.
func VoidUnderFaces(frame tin.Frame, pieces []tin.FacePiece, top Top) Void {
	m := newVoidMeter(frame, top)
	for i := range pieces {
		m.add(pieces[i].Corner, pieces[i].Topsoil)
	}
	return m.result()
}

// VoidOverFacets measures the void between facets of a formation and the ground. The
// facets are as in [AgainstFacets].
func VoidOverFacets(ctx context.Context, ground *tin.Surface, facets []tin.Facet, top Top) (Void, error) {
	frame := ground.Frame()
	m := newVoidMeter(frame, top)
	var cells []tin.Cell
	var planes []localPlane
	for _, f := range facets {
		if f.Cell.Ground {
			cells, planes = append(cells, f.Cell), append(planes, newLocalPlane(frame, f.Plane, f.Topsoil))
		}
	}
	var corners []tin.FaceCorner
	n := 0
	for i, p := range ground.Pieces(cells) {
		if n++; n%4096 == 0 && ctx.Err() != nil {
			return Void{}, ctx.Err()
		}
		if !p.Ground {
			continue
		}
		corners = corners[:0]
		for _, c := range p.Corner {
			stripped := c.Level - planes[i].topsoil
			corners = append(corners, tin.FaceCorner{X: c.X, Y: c.Y, Ground: stripped, Face: stripped - planes[i].depth(c)})
		}
		m.add(corners, planes[i].topsoil)
	}
	return m.result(), ctx.Err()
}

// voidMeter adds up voids: twice the area and six times the volume, in local units.
type voidMeter struct {
	frame        tin.Frame
	upTo         UpTo
	top          localPlane
	area, volume tin.Sum
}

func newVoidMeter(frame tin.Frame, top Top) voidMeter {
	return voidMeter{frame: frame, upTo: top.UpTo, top: newLocalPlane(frame, top.Plane, 0)}
}

// overTop returns the ground's level less that of the top.
func (m *voidMeter) overTop(c tin.FaceCorner) float64 {
	return m.top.depth(tin.PieceCorner{X: c.X, Y: c.Y, Level: c.Ground})
}

func dug(c tin.FaceCorner) float64 { return c.Ground - c.Face }

// add adds a convex piece, split where the ground comes out of the face, and where it
// comes out of the top.
func (m *voidMeter) add(corners []tin.FaceCorner, topsoil float64) {
	void := tin.WhereFace(corners, dug)
	switch m.upTo {
	case ToStripped:
		m.fill(void, dug)
	case ToGround:
		m.fill(void, func(c tin.FaceCorner) float64 { return dug(c) + topsoil })
	case ToPlane:
		m.fill(tin.WhereFace(void, func(c tin.FaceCorner) float64 { return -m.overTop(c) }), dug)
		toTop := func(c tin.FaceCorner) float64 { return dug(c) - m.overTop(c) }
		m.fill(tin.WhereFace(tin.WhereFace(void, m.overTop), toTop), toTop)
	}
}

// fill adds a convex piece filled to a height that is linear over it.
func (m *voidMeter) fill(p []tin.FaceCorner, height func(tin.FaceCorner) float64) {
	list := make([]corner, len(p))
	deep := false
	for i, c := range p {
		list[i] = corner{c.X, c.Y, max(0, height(c))}
		deep = deep || list[i].depth > 0
	}
	if area, six := integrate(list); deep && area > 0 {
		m.area.Add(area)
		m.volume.Add(six)
	}
}

func (m *voidMeter) result() Void {
	unit := m.frame.Area()
	return Void{Volume: m.volume.Value() / 6 * unit, Area: m.area.Value() / 2 * unit}
}

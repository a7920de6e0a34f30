package tin

// Facet is a piece of a formation: a [Cell] and the plane that rules in it.
type Facet struct {
	Cell    Cell
	Plane   Plane
	Topsoil float64 // metres taken off the ground there before it is measured
}

// FaceCorner is a corner of a part of the works in local units (see
// [Surface.Frame]): the levels of the ground that is measured and of the face over or
// under it, metres.
type FaceCorner struct{ X, Y, Ground, Face float64 }

// FacePiece is a part of the works in one triangle of the ground and under (in fill,
// over) one plane face: a convex polygon, anticlockwise. All of it is cut, or all
// fill.
type FacePiece struct {
	Triangle int
	Corner   []FaceCorner
	Topsoil  float64 // metres that were taken off the ground
}

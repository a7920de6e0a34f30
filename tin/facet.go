package tin

// Facet is a piece of a formation: a [Cell] and the plane that rules in it.
type Facet struct {
	Cell  Cell
	Plane Plane
}

// FaceCorner is a corner of a part of the works in local units (see
// [Surface.Frame]): the levels of the ground that is measured and of the face over or
// under it, metres.
type FaceCorner struct{ X, Y, Ground, Face float64 }

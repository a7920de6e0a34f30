package tin

// Facet is a piece of a formation: a [Cell] and the plane that rules in it.
type Facet struct {
	Cell  Cell
	Plane Plane
}

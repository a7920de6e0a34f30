package volume

import (
	"context"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Works are the parts of a ground that are dug or filled: what facets of a formation and
// faces of batters have over them or under them. The facets come out of one
// [tin.Surface.Partition] of Ground, and nothing overlaps.
type Works struct {
	Ground *tin.Surface
	Facets []tin.Facet
	Faces  []tin.FacePiece
}

// Split says how the cut of works is split. All lengths are metres.
type Split struct {
	// Parts are taken in order: a place in the cut belongs to the first that holds it.
	Parts  []Part
	Depths DepthsFrom // what From, To and the total depth of a part count from

	// CellSize is the side of the square cells of [SplitResult].Cells; 0: no cells. Cells
	// lie where easting and northing are whole multiples of it, whatever the works.
	CellSize float64
	MaxCells int // more is an error; 0: 100,000
}

// Part is a part of the cut: where all that it says holds. The zero Part holds all.
type Part struct {
	// Within is where it is in plan; empty: everywhere. Its polygons do not overlap;
	// those of different parts may.
	Within orb.MultiPolygon

	// From and To are depths below ground; To 0 has no end. By says whether the part
	// lies between them (slices) or is all cut that stands where the total depth is
	// From or more and less than To.
	From, To float64
	By       DepthBy

	// It lies under all of Below and over all of Above.
	Below, Above []Horizon
}

// Horizon is a surface in the ground, such as rock level or water level, or a level
// where Surface is nil. Where it lies above the ground, all cut is below it.
type Horizon struct {
	Surface *tin.Surface
	Level   float64 // metres; without Surface
}

// DepthBy is how depths split cut.
type DepthBy int

// Ways to split by depth.
const (
	Slices     DepthBy = iota // by how deep below ground a place in the cut lies
	TotalDepth                // by how deep the cut is there as a whole
)

// DepthsFrom is the ground that depths count from.
type DepthsFrom int

// Grounds that depths count from.
const (
	FromStripped DepthsFrom = iota // the ground that is measured, without topsoil
	FromOriginal                   // the ground as it was, the topsoil that has gone on it
)

// SplitResult is cut split into parts, m3 and m2. Nothing is lost: Parts, Rest and
// Undetermined make up Cut, but for rounding.
type SplitResult struct {
	Parts        []PartVolume // one for each part
	Rest         PartVolume   // in no part
	Undetermined PartVolume   // in none of these: of the parts that may hold it, the first has a horizon without data there
	Cut, Fill    float64      // as [AgainstFacets] and [Faces] have them
	Cells        []Cell       // those with cut or fill, by northing, then easting
}

// PartVolume is how much cut a part has.
type PartVolume struct {
	Cut float64 // m3, bank measure
	// Area is in plan, m2. Of a part that lies over and under another at one place
	// it counts both.
	Area float64
}

// Cell is the cut and the fill within one cell of a grid.
type Cell struct {
	At     orb.Point // its south-west corner, metres
	Cut    []float64 // m3 of each part, then of the rest, then undetermined; nil without cut
	CutAt  orb.Point // easting and northing of the centre of gravity of all its cut, metres
	Fill   float64   // m3, space to be filled
	FillAt orb.Point // as CutAt, of its fill
}

// Codes of errors of [SplitWorks].
const (
	CodeSplitDepths  = "split_depths"   // depths of a part that are none
	CodeSplitHorizon = "split_horizon"  // a horizon without a level
	CodeAreasOverlap = "areas_overlap"  // polygons of a part overlap
	CodeSplitCells   = "split_cells"    // a size or number of cells that is none
	CodeTooManyCells = "too_many_cells" // more cells than allowed
)

// SplitWorks splits the cut of works into parts, and adds up cut and fill by cells. The
// result repeats to the last bit in whatever order facets, faces and the polygons of a part
// come; the order of the parts has a meaning.
//
// Depth bands come in two ways that give different volumes: as [Slices], a part between 1
// and 2 m has what lies between 1 and 2 m below ground, of a cut 3 m deep as well; by
// [TotalDepth] it has all cut, from the ground down, that stands where the cut is 1 to 2 m
// deep.
//
// Bad input is a [*tin.InputError] with a key such as "part[1].to". If ctx ends its error is
// returned.
func SplitWorks(ctx context.Context, works Works, split Split) (SplitResult, error) {
	s, err := newSplitter(ctx, works, split)
	if err != nil {
		return SplitResult{}, err
	}
	if err := s.all(works); err != nil {
		return SplitResult{}, err
	}
	return s.result(), nil
}

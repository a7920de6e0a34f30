package volume

import "github.com/paulmach/orb"

// CutFill is what lies between ground and formation.
type CutFill struct {
	Cut, Fill         float64 // cubic metres, neither negative
	CutArea, FillArea float64 // square metres in plan
	LevelArea         float64 // ground exactly at formation, square metres
	UncoveredArea     float64 // no ground (hull, boundary, void, MaxEdge): counted in no other area or volume
	MaxCut, MaxFill   Depth
	MakeupFill        float64             // of Fill, what makes up for topsoil stripped below formation: between the stripped ground and formation where that lies below the ground as it was
	MakeupArea        float64             // in plan, square metres
	ZeroLine          orb.MultiLineString // where cut turns to fill, metres; a closed line repeats its first point

	// CutLessFill is cut less fill, from the depths before they are split on
	// the zero line.
	CutLessFill float64
}

// Depth is a greatest depth, in metres, and its place.
type Depth struct {
	Depth float64   // positive; 0 where there is none
	At    orb.Point // easting and northing, metres
}

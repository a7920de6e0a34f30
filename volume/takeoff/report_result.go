package takeoff

// ReportResult is everything a report of a job shows: one takeoff, and what follows
// from the same ground and works. Parts are nil where the job does not ask for them or
// they could not be made; Left says why.
type ReportResult struct {
	Date       string  // of the report, as the caller writes it; empty: none
	Takeoff    *Result // with its Plan
	Crosscheck *CrosscheckResult
	Sections   *SectionsResult
	Price      *PricedResult // nil: the job has no rates
	SetOut     *SetOutResult
	Depths     *DepthGrid // nil: there are no works
	Left       []Omission // parts that could not be made, and why

	// Those of all parts, each once.
	Notes       []Remark
	Warnings    []Remark // a person must read these
	NotMeasured []Omission
}

// DepthGrid is depths on a square grid of places, for reading them off a plan: stripped
// ground less formation, cut where positive, as the volumes count them. That is from the
// ground as surveyed where no topsoil is stripped, and down to formation: what thickenings
// dig below it, and backfill above it, is not in them. In works outside an outline the
// formation is that of the margin, or the batter.
//
// Places are grid coordinates in the job's unit, whole multiples of Step. Where works have
// an upright face at a place, the depth is the greater one.
type DepthGrid struct {
	Origin        Place     // of the first, in the south-west
	Step          float64   // between neighbours, on the grid
	Columns, Rows int       // towards east, towards north
	Depths        []float64 // row by row from the south; NaN outside the works, and where they have no ground
}

package setout

import "barrow/tin"

// LeftOut counts the rows that [Reduction.Points] makes no point of.
type LeftOut struct {
	Unplaced int // without easting and northing
	Inverted int // an inverted staff stood against something above: it is not ground
	Again    int // the point of an earlier row: same name, easting and northing
}

// Points returns the reduced points that have an easting and a northing, with the
// levels of the rows, in the unit of the book: spot heights of a survey.
func (r *Reduction) Points() (points []tin.Point, left LeftOut) {
	type place struct {
		name string
		e, n float64
	}
	seen := map[place]bool{}
	for i := range r.Book.Rows {
		row := &r.Book.Rows[i]
		at := place{row.Point, row.E, row.N}
		switch {
		case !row.Placed:
			left.Unplaced++
		case r.inverted(i):
			left.Inverted++
		case seen[at]:
			left.Again++
		default:
			seen[at] = true
			points = append(points, tin.Point{E: row.E, N: row.N, Level: r.Rows[i].Level.Float(), Name: row.Point, Code: row.Code, Line: int32(row.Line)})
		}
	}
	return points, left
}

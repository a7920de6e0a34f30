package report

import (
	"io"

	"barrow/tin"
	"barrow/tin/pointfile"
)

// PointsCSV writes points as [pointfile.Write] does, for people who open the file in a
// spreadsheet too: a name or code that would be taken for a formula there has an apostrophe
// before it, control characters are blanks, and of one beyond 190 characters the middle is
// left out. Numbers are exact. Read back, names and codes are as they are written:
// which apostrophes were a name's own nobody can tell.
func PointsCSV(w io.Writer, points []tin.Point) error {
	tame := make([]tin.Point, len(points))
	for i, p := range points {
		for _, text := range []*string{&p.Name, &p.Code} {
			*text = harmless(written(*text))
		}
		tame[i] = p
	}
	return pointfile.Write(w, tame)
}

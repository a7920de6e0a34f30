package takeoff

import (
	"cmp"
	"io"

	"barrow/tin"
	"barrow/tin/las"
)

// lasSurvey reads the points of a LAS file. The side of the cells that it is thinned by
// is in the job's unit, and the file may state another only after its points: then it is
// read again.
func (l *loader) lasSurvey(f dataFile) (s surveyed) {
	left, inputs := l.budget.left, len(l.job.Inputs)
	unit := cmp.Or(f.stated, l.job.Units)
	if other := l.readLAS(&f, unit, &s); other != 0 && l.err == nil {
		l.budget.left, l.job.Inputs = left, l.job.Inputs[:inputs]
		l.readLAS(&f, other, &s)
	}
	return s
}

// readLAS reads the points with cells in a unit. If the file states another it returns
// that, and nothing is taken.
func (l *loader) readLAS(f *dataFile, unit tin.Unit, s *surveyed) (other tin.Unit) {
	opts := las.Options{Classes: f.survey.classes, Overlap: f.survey.overlap, MaxPoints: l.mostPoints()}
	if t := f.survey.thin; t != nil {
		opts.Thin = &las.Thinning{Cell: newConverter(l.job.Units, unit).of(t.cell), Keep: t.keep}
	}
	l.read(f.at, f.name, func(r io.Reader) (Input, error) {
		file, err := las.Read(l.ctx, r, f.name, opts)
		if err != nil {
			return Input{}, l.wholePoints(f, err)
		}
		if opts.Thin != nil && f.stated == 0 && file.Unit != 0 && !sameUnit(file.Unit, unit) {
			other = file.Unit
			return Input{}, nil
		}
		s.points = file.Points
		l.fileNotes(f, file.Notes)
		l.assumed(f, file.Unit, file.VerticalUnit)
		err = l.take(f, file.Unit, file.VerticalUnit, s)
		return s.in, err
	})
	return other
}

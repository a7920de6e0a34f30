package takeoff

import (
	"fmt"
	"io"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/asciigrid"
	"barrow/tin/geojson"
	"barrow/tin/geotiff"
	"barrow/tin/las"
	"barrow/tin/raster"
	"barrow/volume/takeoff/internal/tomltree"
)

// surveyKeys are what a job says of a file of points beside its name.
type surveyKeys struct {
	as      string  // "faces" or "points" of LandXML; empty: not said
	classes []uint8 // of LAS; nil: ground
	overlap bool
	thin    *thinning // nil: none
}

// thinning keeps one point of a cell.
type thinning struct {
	cell float64 // in the job's unit
	keep las.Keep
}

// surveyed is what a file holds of a survey, in the job's unit.
type surveyed struct {
	points []tin.Point
	faces  [][3]int32      // nil: the points are to be triangulated
	lines  []tin.Breakline // of a surface without faces
	limits limits
	in     Input
	units  fileUnits
}

// survey is all of it as a survey of the name.
func (s *surveyed) survey(name string) Survey {
	return Survey{Name: name, Points: s.points, Faces: s.faces, Breaklines: s.lines, Written: s.units.written}
}

// limits are the boundaries of a surface that is a survey: where there is ground, and the
// voids in it.
type limits struct {
	file         string
	outer, voids orb.MultiPolygon
}

func (l *limits) some() bool { return len(l.outer)+len(l.voids) > 0 }

// surveyKeys reads the keys that go with files of points.
func (l *loader) surveyKeys(n *tomltree.Node, f *dataFile) {
	f.survey.as = l.word(n.Get("as"), asFaces, asPoints)
	f.survey.classes = l.classes(n.Get("classes"))
	if o := n.Get("overlap"); o != nil && l.want(o, tomltree.Bool, "overlap = true") {
		f.survey.overlap = o.Bool
	}
	f.survey.thin = l.thin(n.Get("thin"))
}

// How the surface of a LandXML file is taken.
const (
	asFaces  = "faces"  // its triangles as built
	asPoints = "points" // its points and breaklines, triangulated anew
)

func (l *loader) classes(n *tomltree.Node) (classes []uint8) {
	const example = "classes = [2, 8]"
	if n == nil || !l.want(n, tomltree.Array, example) {
		return nil
	}
	for _, item := range n.Items {
		c := l.number(item, example)
		if l.err == nil && (c != math.Trunc(c) || c < 0 || c > 255) {
			l.fail(item, codeBadValue, item.Text+" is no class of points", "classes are whole numbers from 0 to 255: 2 is ground")
		}
		if l.err != nil {
			return nil
		}
		classes = append(classes, uint8(c))
	}
	if len(classes) == 0 {
		l.fail(n, codeBadValue, "the list of classes is empty", "name at least one, or leave it out for ground")
	}
	return classes
}

func (l *loader) thin(n *tomltree.Node) *thinning {
	const example = `thin = { cell = 0.5, keep = "lowest" }`
	if n == nil || !l.want(n, tomltree.Table, example) {
		return nil
	}
	t := &thinning{}
	if cell := l.need(n, "cell", example); cell != nil {
		t.cell = l.above0(cell, "cell = 0.5")
	}
	if l.word(l.need(n, "keep", `keep = "lowest" or "nearest", to the middle of its cell`), "lowest", "nearest") == "nearest" {
		t.keep = las.KeepNearest
	}
	return t
}

// surveyPoints reads what a file holds of a survey. alone says that it is all there is of
// the ground, so that its triangles may be.
func (l *loader) surveyPoints(f dataFile, alone bool) (s surveyed) {
	l.unpacked(&f)
	if f.kind == lasPoints {
		return l.lasSurvey(f)
	}
	l.read(f.at, f.name, func(r io.Reader) (_ Input, err error) {
		switch f.kind {
		case geoJSON:
			err = l.geoPoints(r, &f, &s)
		case landXML:
			err = l.xmlSurvey(r, &f, alone, &s)
		case geoTIFF, asciiGrid:
			err = l.gridPoints(r, &f, &s)
		default:
			err = l.tablePoints(r, &f, &s)
		}
		return s.in, err
	})
	return s
}

// take counts points and vertices of lines against the limit, and converts all that was
// read from the units that the file states, 0 for none.
func (l *loader) take(f *dataFile, plan, level tin.Unit, s *surveyed) (err error) {
	vertices := 0
	for _, b := range s.lines {
		vertices += len(b.Vertices)
	}
	s.in.Points = len(s.points)
	if err = l.budget.points(f.name, len(s.points)+vertices); err != nil {
		return err
	}
	if s.units, err = l.unitsOf(f, plan, level); err != nil {
		return err
	}
	s.units.into(&s.in)
	s.units.lines(s.lines)
	s.units.polygons(s.limits.outer...)
	s.units.polygons(s.limits.voids...)
	return s.units.longPoints(l.ctx, s.points)
}

// mostPoints is what is left of the limit, for a reader's own.
func (l *loader) mostPoints() int { return max(l.budget.left.Points, 1) }

// wholePoints has an error about the points that were left speak of the limit.
func (l *loader) wholePoints(f *dataFile, err error) error {
	return whole(err, codeTooManyPoints, func() error { return l.budget.points(f.name, l.budget.left.Points+1) })
}

// fileNotes keeps what a reader noticed, but for units that the job states where the file
// does not.
func (l *loader) fileNotes(f *dataFile, notes []tin.Problem) {
	for _, n := range notes {
		if f.stated == 0 || n.Code != "unit_not_stated" && n.Code != "level_unit_not_stated" {
			n.Message = fmt.Sprintf("%s: %s", f.name, n.Message)
			l.job.Notes = append(l.job.Notes, n)
		}
	}
}

// assumed notes what is made of a file that could state its units, of its plan and of its
// levels, and does not (0).
func (l *loader) assumed(f *dataFile, plan, level tin.Unit) {
	switch {
	case f.stated != 0:
	case plan == 0 && level == 0:
		l.note(NoteUnitAssumed, "%s: the file states no unit; its numbers are taken in %s, as the job's", f.name, l.job.Units)
	case plan == 0:
		l.note(NoteUnitAssumed, "%s: the file states no unit of its plan coordinates; they are taken in %s, as the job's", f.name, l.job.Units)
	case level == 0:
		l.note(NoteUnitAssumed, "%s: the file states no unit of its levels; they are taken in %s, as its plan coordinates", f.name, plan)
	}
}

// tablePoints reads a point file.
func (l *loader) tablePoints(r io.Reader, f *dataFile, s *surveyed) error {
	points, header, err := l.pointFile(r, f, true)
	if err != nil {
		return err
	}
	s.points = points
	return l.take(f, header, header, s)
}

// geoPoints reads the points of a GeoJSON file.
func (l *loader) geoPoints(r io.Reader, f *dataFile, s *surveyed) (err error) {
	var own tin.Unit
	opts := l.geoOptions(f.name, &own)
	opts.MaxVertices = l.mostPoints()
	if s.points, err = geojson.ReadPoints(r, f.name, opts); err != nil {
		return whole(err, codeTooManyVertices, func() error { return l.budget.points(f.name, l.budget.left.Points+1) })
	}
	return l.take(f, own, own, s)
}

// gridPoints reads the samples of a raster.
func (l *loader) gridPoints(r io.Reader, f *dataFile, s *surveyed) error {
	read := geotiff.Read
	if f.kind == asciiGrid {
		read = asciigrid.Read
	}
	g, err := read(l.ctx, r, f.name, raster.Options{MaxPoints: l.mostPoints(), SiteGrid: f.stated != 0})
	if err != nil {
		return l.wholePoints(f, notAGrid(f, err))
	}
	s.points = g.Points()
	l.fileNotes(f, g.Notes)
	if f.kind == geoTIFF {
		l.assumed(f, g.Unit, g.VerticalUnit)
	}
	return l.take(f, g.Unit, g.VerticalUnit, s)
}

// notAGrid has the error about a file that is no ASCII grid say what else it may be.
func notAGrid(f *dataFile, err error) error {
	e := asInputError(err)
	if e == nil || f.kind != asciiGrid || e.Code != "bad_header" {
		return err
	}
	told := *e
	told.Hint += "; a file whose name ends in .asc is read as an ASCII grid: name a point file .csv or .txt"
	return &told
}

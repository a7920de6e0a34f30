package takeoff

import (
	"context"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"barrow/tin"
	"barrow/volume/takeoff/internal/tomltree"
)

// ComparisonFiles names the files of a comparison.
type ComparisonFiles struct {
	A, B  DataFile // each a file of a survey, of any kind, or a job file, whose name ends in .toml
	Units string   // "m", "ft" or "ftUS"; empty: that of the job files

	// Of files of a survey; a job file has its own. Empty: as if left out of one.
	MaxEdge    string // a length: the longest edge at the rim
	Duplicates string // "error", "mean", "first" or "last"

	// Within and Stable are outlines: one in a point file, any number in a GeoJSON or
	// LandXML file. Without a name there is none.
	Within, Stable DataFile

	Progress func(stage string, done, total int) // as in [LoadOptions]
}

// DataFile is a file in a file system.
type DataFile struct {
	FS      fs.FS
	Name    string
	Columns string // order of the columns of a point file without a header
	Units   string // "m", "ft" or "ftUS" of a file that is not in the unit of what it is read for; empty: it is

	// State, if set, words how a user states such an order.
	State func(columns string) string
}

func (f *DataFile) isJob() bool { return strings.EqualFold(path.Ext(f.Name), ".toml") }

// named is the file as if a job file named it.
func (f *DataFile) named(l *loader) dataFile {
	key := func(name, text string) *tomltree.Node {
		if text == "" {
			return nil
		}
		return &tomltree.Node{Kind: tomltree.String, Key: name, Text: text}
	}
	d := dataFile{at: &tomltree.Node{}, name: f.Name, kind: kindOf(f.Name), columns: key("columns", f.Columns), units: key("units", f.Units), state: f.State}
	d.stated = l.unitWord(d.units)
	if d.columns != nil && d.kind != pointTable {
		l.fail(d.columns, codeUnknownKey, "columns do not go with "+d.kind.String(), "take them out")
	}
	return d
}

// LoadComparison reads the files of a comparison. Of a job file it takes units,
// scale, surveys and ground; pads are not looked at, nor refused for what they
// ask. The limits hold for all files together.
//
// Errors are as those of [Load]. Their keys begin with "a", "b", "within" or
// "stable" where they are about that file, or are "units", "max_edge" or
// "duplicates".
func LoadComparison(ctx context.Context, files ComparisonFiles, limits Limits) (*Comparison, error) {
	l := comparisonLoader{ctx: ctx, budget: newBudget(limits), c: &Comparison{}, progress: files.Progress}
	l.units(files.Units)
	l.jobs(&files)
	l.surveyFiles(&files)
	l.area(&l.c.Within, &files.Within, "within")
	l.area(&l.c.Stable, &files.Stable, "stable")
	if l.err != nil {
		return nil, l.err
	}
	return l.c, nil
}

// comparisonLoader reads one file after another. err is the first error; once it
// is set the readers do nothing.
type comparisonLoader struct {
	ctx    context.Context
	budget *budget
	c      *Comparison
	unit   tin.Unit // 0: not known yet
	scale  float64  // of the job files
	err    error

	progress func(stage string, done, total int)
}

// fail keeps the first error.
func (l *comparisonLoader) fail(err error) {
	if l.err == nil {
		l.err = err
	}
}

// loader reads one file, whose errors it names.
func (l *comparisonLoader) loader(f *DataFile) *loader {
	one := newLoader(l.ctx, f.FS, f.Name, l.budget)
	one.job.Units, one.job.Scale, one.progress = l.unit, l.scale, l.progress
	return one
}

func (l *comparisonLoader) units(name string) {
	if name == "" {
		return
	}
	unit, err := tin.ParseUnit(name)
	if err != nil {
		l.fail(badJob(codeBadValue, "units", fmt.Sprintf("unknown unit %q", name), "use m, ft (0.3048 m) or ftUS (1200/3937 m)"))
	}
	l.unit = unit
}

// jobs reads the sides that are job files. Others are in their units.
func (l *comparisonLoader) jobs(files *ComparisonFiles) {
	l.scale = 1
	for _, s := range l.sides(files) {
		if l.err != nil || !s.file.isJob() {
			continue
		}
		one := l.loader(s.file)
		root := one.jobFile()
		if one.err == nil {
			one.head(root)
			one.surveys(root)
			one.ground(root.Get("ground"))
		}
		switch {
		case one.err != nil:
			l.fail(under(s.key, one.err))
		case s.file.Columns != "":
			l.fail(&tin.InputError{Code: codeBadValue, File: s.file.Name, Key: s.key + ".columns",
				Message: "columns do not go with a job file", Hint: "state them in its [[survey]]"})
		case s.file.Units != "":
			l.fail(&tin.InputError{Code: codeBadValue, File: s.file.Name, Key: s.key + ".units",
				Message: "the unit of a file does not go with a job file", Hint: "a job file has its units"})
		case l.unit != 0 && l.unit.Metres() != one.job.Units.Metres():
			l.fail(unitsDiffer(s.file.Name, s.key, one.job.Units, l.unit))
		}
		l.unit, l.scale, *s.job = one.job.Units, one.job.Scale, one.job
	}
}

// comparedSide is a side with its place in the comparison.
type comparedSide struct {
	key  string
	file *DataFile
	job  **Job
}

func (l *comparisonLoader) sides(files *ComparisonFiles) [2]comparedSide {
	return [2]comparedSide{{"a", &files.A, &l.c.A}, {"b", &files.B, &l.c.B}}
}

// surveyFiles reads the sides that are files of a survey.
func (l *comparisonLoader) surveyFiles(files *ComparisonFiles) {
	if l.err == nil && l.unit == 0 {
		l.fail(badJob(codeMissingKey, "units", "the unit of the files is missing", "state m, ft (0.3048 m) or ftUS (1200/3937 m): there is no default"))
	}
	ground := l.ground(files)
	for _, s := range l.sides(files) {
		if l.err != nil || s.file.isJob() {
			continue
		}
		one := l.loader(s.file)
		read := one.surveyPoints(s.file.named(one), true)
		if one.err != nil {
			l.fail(under(s.key, one.err))
		}
		one.job.Surveys, one.job.Ground = []Survey{read.survey(s.file.Name)}, ground
		one.limits = []limits{read.limits}
		one.limitGround()
		*s.job = one.job
	}
}

// ground reads how the ground of files of a survey is made.
func (l *comparisonLoader) ground(files *ComparisonFiles) (g Ground) {
	one := loader{job: &Job{Units: l.unit}, err: l.err}
	for _, s := range []struct {
		key, text string
		read      func(n *tomltree.Node)
	}{
		{"max_edge", files.MaxEdge, func(n *tomltree.Node) { g.MaxEdge = one.maxEdge(n, `40 or "40 m"`) }},
		{"duplicates", files.Duplicates, func(n *tomltree.Node) { g.Duplicates = one.duplicates(n) }},
	} {
		switch n := (&tomltree.Node{Kind: tomltree.String, Key: s.key, Text: s.text}); {
		case s.text == "":
		case files.A.isJob() && files.B.isJob():
			one.fail(n, codeBadValue, "this does not go with two job files", "set "+s.key+" in their [ground]")
		default:
			s.read(n)
		}
	}
	l.fail(one.err)
	return g
}

// area reads a file of outlines.
func (l *comparisonLoader) area(a *Area, f *DataFile, key string) {
	if l.err != nil || f.Name == "" {
		return
	}
	one := l.loader(f)
	file := f.named(one)
	for _, s := range one.readShapes(&file) {
		one.failWith(file.at, one.job.checkOutline(s.polygon))
		a.Polygons = append(a.Polygons, s.polygon)
	}
	if one.err != nil {
		l.fail(under(key, one.err))
	}
	a.Inputs, a.Notes, a.Warnings = one.job.Inputs, one.job.Notes, one.job.Warnings
}

// under puts an error's key below that of the part of a comparison it is about.
func under(key string, err error) error {
	e := asInputError(err)
	if e == nil {
		return err
	}
	placed := *e
	placed.Key = (&tomltree.Node{Key: key}).Child(e.Key)
	if e.Key == "" {
		placed.Key = key
	}
	return &placed
}

func unitsDiffer(file, key string, is, other tin.Unit) error {
	return &tin.InputError{Code: codeUnitsDiffer, File: file, Key: key + ".units",
		Message: fmt.Sprintf("the job is in %s, and the unit stated, or that of the other job, is %s", is, other),
		Hint:    "a comparison has one unit: convert one of them"}
}

package takeoff

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"path"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume/takeoff/internal/tomltree"
)

// Load reads a job file (TOML) and the files it names. name is the job file's
// path in fsys; the paths in it are relative to its folder, and nothing outside
// fsys is opened: absolute paths and ".." are refused.
//
// It is strict: an unknown key is an error that suggests the nearest known one,
// and so is a value of the wrong kind. Errors in the job file carry its line,
// column and key; those in a data file carry that file's. They are
// [*tin.InputError]; what went wrong otherwise (ctx ended) is not.
func Load(ctx context.Context, fsys fs.FS, name string, limits Limits) (*Job, error) {
	return LoadWith(ctx, fsys, name, LoadOptions{Limits: limits})
}

// LoadOptions tell [LoadWith] how to go about it. The zero value is good.
type LoadOptions struct {
	Limits Limits

	// Progress, if set, is told now and then which file is read, as the stage, and how
	// many thousand bytes of it are, of how many.
	Progress func(stage string, done, total int)
}

// LoadWith is [Load] with more to say.
func LoadWith(ctx context.Context, fsys fs.FS, name string, opts LoadOptions) (*Job, error) {
	l := newLoader(ctx, fsys, name, newBudget(opts.Limits))
	l.progress = opts.Progress
	root := l.jobFile()
	if l.err == nil {
		l.load(root)
	}
	if l.err != nil {
		return nil, l.err
	}
	return l.job, nil
}

// loader carries what the readers of a job's parts share. err is the first
// error; once it is set they do nothing.
type loader struct {
	ctx    context.Context
	fsys   fs.FS
	name   string // of the job file
	dir    string // its folder
	budget *budget
	job    *Job
	err    error

	progress func(stage string, done, total int) // nil: nobody is told

	plan  *formation.PlanToSite // of the whole job; nil: none
	spots spotIndex             // by name, made when first needed

	limits []limits // of each survey

	voids   bool // of the boundaries of a surface those round voids are wanted
	drawing bool // what is read now is in a drawing's own coordinates
}

func newLoader(ctx context.Context, fsys fs.FS, name string, b *budget) *loader {
	return &loader{ctx: ctx, fsys: fsys, name: name, dir: path.Dir(name), budget: b, job: &Job{}}
}

// jobFile reads a job's file.
func (l *loader) jobFile() *tomltree.Node {
	return l.tomlFile("the job file", "put long lists of coordinates into files of their own")
}

// tomlFile reads a file of keys; what names it, and long tells how to make it shorter.
func (l *loader) tomlFile(what, long string) *tomltree.Node {
	var root *tomltree.Node
	top := &tomltree.Node{Line: 0}
	if !fs.ValidPath(l.name) {
		l.err = &tin.InputError{Code: codePathOutside, File: l.name,
			Message: "this is not a path in the file system given", Hint: "name " + what + " from the top of it, with /, and without .."}
		return nil
	}
	l.read(top, l.name, func(r io.Reader) (Input, error) {
		most := l.budget.limits.JobBytes
		data, err := io.ReadAll(io.LimitReader(r, most+1))
		if err != nil {
			return Input{}, err
		}
		if int64(len(data)) > most {
			return Input{}, &tin.InputError{Code: codeTooManyBytes, File: l.name,
				Message: fmt.Sprintf("%s is longer than the limit of %d bytes", what, most),
				Hint:    long}
		}
		root, err = tomltree.Parse(l.name, data)
		return Input{}, err
	})
	return root
}

func (l *loader) load(root *tomltree.Node) {
	l.head(root)
	l.surveys(root)
	l.plan = l.planToSite(root.Get("plan_to_site"))
	l.ground(root.Get("ground"))
	l.job.Respread = l.topsoilAreas(root.Get("respread"), `respread = [ { area = "garden.geojson", depth = 0.15 } ]`)
	for _, n := range l.needTables(root, "pad", "a table [[pad]] with name, outline and finished") {
		l.pad(n)
	}
	for _, n := range l.tables(root.Get("clearance"), "[[clearance]]") {
		l.clearance(n)
	}
	for _, n := range l.tables(root.Get("alignment"), "[[alignment]]") {
		l.alignment(n)
	}
	l.materials(root)
	if n := root.Get("rates"); n != nil {
		l.job.Rates = l.rates(n, l.path(n, `rates = "rates.csv"`))
	}
}

// head reads what holds for the whole job.
func (l *loader) head(root *tomltree.Node) {
	l.checkKeys(root, "job")
	l.notePlaces(root)
	l.job.Name = l.text(root.Get("name"), `name = "Tannery Field store"`)
	l.units(root)
	l.scale(root)
}

func (l *loader) surveys(root *tomltree.Node) {
	surveys := l.needTables(root, "survey", `a table [[survey]] with points = "ground.csv"`)
	for _, n := range surveys {
		l.survey(n, len(surveys) == 1)
	}
	l.replaces(surveys)
}

func (l *loader) needTables(root *tomltree.Node, key, example string) []*tomltree.Node {
	n := l.need(root, key, example)
	if n != nil && n.Kind == tomltree.Table {
		l.fail(n, codeWrongType, fmt.Sprintf("[%s] is one table, and a job may have several", key), fmt.Sprintf("write [[%s]]", key))
	}
	tables := l.tables(n, fmt.Sprintf("[[%s]]", key))
	if l.err == nil && len(tables) == 0 {
		l.fail(n, codeMissingKey, fmt.Sprintf("the list %q is empty", key), "add "+example)
	}
	return tables
}

func (l *loader) units(root *tomltree.Node) {
	n := l.need(root, "units", `units = "m", "ft" (0.3048 m) or "ftUS" (1200/3937 m): there is no default`)
	l.job.Units = l.unitWord(n)
}

func (l *loader) scale(root *tomltree.Node) {
	l.job.Scale = 1
	n := root.Get("scale")
	if n == nil || l.err != nil {
		return
	}
	scale := l.number(n, "scale = 0.9996")
	if l.err == nil && !(scale >= leastScale && scale <= greatestScale) {
		l.fail(n, codeBadValue, fmt.Sprintf("a scale of %s", formatNumber(scale)),
			"scale is grid distance / ground distance, close to 1: a drawing's 1:500 has no place here")
	}
	l.job.Scale = scale
}

// Between these every scale factor of a map projection in use, and of a height
// above the sea, finds room.
const leastScale, greatestScale = 0.9, 1.1

// ground reads how the ground is made of the surveys, which are read by now.
func (l *loader) ground(n *tomltree.Node) {
	if n != nil && l.want(n, tomltree.Table, "[ground]") {
		l.statedGround(n)
	}
	l.limitGround()
}

func (l *loader) statedGround(n *tomltree.Node) {
	g := &l.job.Ground
	g.Boundary = l.area(n.Get("boundary"))
	l.voids = true
	g.Voids = l.area(n.Get("voids"))
	l.voids = false
	g.Topsoil = l.topsoil(n.Get("topsoil"))
	if e := n.Get("max_edge"); e != nil {
		g.MaxEdge = l.maxEdge(e, "max_edge = 40.0")
	}
	g.Duplicates = l.duplicates(n.Get("duplicates"))
	if t := n.Get("crossing_tolerance"); t != nil {
		g.CrossingTolerance = l.tolerance(t, `crossing_tolerance = "20 mm"`)
	}
	g.Soil = l.soil(n.Get("soil"))
}

func (l *loader) maxEdge(n *tomltree.Node, example string) float64 {
	longest := l.distance(n, example, nil)
	if l.err == nil && longest == 0 {
		l.fail(n, codeBadValue, "a longest edge of 0 would leave no ground", "give it a length, or leave it out")
	}
	return longest
}

func (l *loader) duplicates(n *tomltree.Node) tin.Duplicates {
	switch l.word(n, "error", "mean", "first", "last") {
	case "mean":
		return tin.DuplicatesMean
	case "first":
		return tin.DuplicatesFirst
	case "last":
		return tin.DuplicatesLast
	}
	return tin.DuplicatesError
}

// tolerance reads a length above 0, since 0 stands for the default.
func (l *loader) tolerance(n *tomltree.Node, example string) float64 {
	t := l.distance(n, example, nil)
	if l.err == nil && t == 0 {
		l.fail(n, codeBadValue, "a tolerance of 0", "give it a length, or leave it out for the default")
	}
	return t
}

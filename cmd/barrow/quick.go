package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"barrow/tin"
	"barrow/tin/pointfile"
	"barrow/volume/takeoff"
)

// quickJob is a job of one survey and one pad, made of flags. It becomes the
// text of a job file and goes the same way as any other.
type quickJob struct {
	ground, outline, finished, units, benchmark string
	columns, groundUnits, outlineColumns        string
	layers                                      layerFlags
	margin, topsoil, batterCut, batterFill      string

	files                   argFiles
	groundName, outlineName string // in files
}

// quickName is the name of the job file that was never on a disk.
const quickName = "flags.toml"

func (q *quickJob) flags(set *flag.FlagSet) {
	set.StringVar(&q.ground, "ground", "", "")
	set.StringVar(&q.outline, "outline", "", "")
	set.StringVar(&q.finished, "finished", "", "")
	set.StringVar(&q.units, "units", "", "")
	set.StringVar(&q.columns, "columns", "", "")
	set.StringVar(&q.groundUnits, "ground-units", "", "")
	set.StringVar(&q.outlineColumns, "outline-columns", "", "")
	set.StringVar(&q.benchmark, "benchmark", "", "")
	set.Var(&q.layers, "layer", "")
	set.StringVar(&q.margin, "margin", "", "")
	set.StringVar(&q.topsoil, "topsoil", "", "")
	set.StringVar(&q.batterCut, "batter-cut", "", "")
	set.StringVar(&q.batterFill, "batter-fill", "", "")
}

// given returns the first flag given that makes a job, "" if none was.
func (q *quickJob) given(set *flag.FlagSet) (name string) {
	set.Visit(func(f *flag.Flag) {
		if name == "" && f.Name != "json" && f.Name != "out" && f.Name != "triangles" {
			name = f.Name
		}
	})
	return name
}

type layer struct {
	Name      string `toml:"name"`
	Thickness string `toml:"thickness"`
}

// layerFlags gathers --layer NAME=THICKNESS, from the top down.
type layerFlags []layer

func (l *layerFlags) String() string { return fmt.Sprint([]layer(*l)) }

func (l *layerFlags) Set(text string) error {
	i := strings.LastIndex(text, "=")
	if i <= 0 || i == len(text)-1 {
		return errors.New("write it like slab=175mm")
	}
	*l = append(*l, layer{strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:])})
	return nil
}

// load reads the job the flags describe. inputs are its files.
func (q *quickJob) load(ctx context.Context, c *console) (job *takeoff.Job, inputs []string, err error) {
	for _, need := range []struct{ value, flag string }{
		{q.ground, "ground FILE"}, {q.outline, "outline FILE"}, {q.finished, "finished LEVEL"}, {q.units, "units m|ft|ftUS"},
	} {
		if need.value == "" {
			return nil, nil, usageError("a job made of flags needs --"+need.flag, "run \"barrow help takeoff\" for its flags")
		}
	}
	for _, named := range []struct{ path, flag, what string }{{q.ground, "--ground", "a file of points"}, {q.outline, "--outline", "a file of corners"}} {
		if err := checkFile(named.path, named.what); err != nil {
			err.Key = named.flag
			return nil, nil, err
		}
	}
	text, err := q.text()
	if err != nil {
		return nil, nil, err
	}
	q.files[quickName] = argFile{data: text}
	show, wipe := c.progress()
	job, err = takeoff.LoadWith(ctx, q.files, quickName, takeoff.LoadOptions{Progress: show})
	wipe()
	if err != nil {
		return nil, nil, q.translate(q.stateByFlag(ctx, err))
	}
	kept := job.Inputs[:0]
	for _, in := range job.Inputs {
		if path := q.files[in.Path].path; path != "" {
			in.Path = path
			kept = append(kept, in)
			inputs = append(inputs, path)
		}
	}
	job.Inputs = kept
	return job, inputs, nil
}

// text writes the job file, and names its files.
func (q *quickJob) text() ([]byte, error) {
	q.files = argFiles{}
	type mark struct {
		Plan     string `toml:"plan"`
		Measured string `toml:"measured"`
	}
	type shape struct {
		File    string `toml:"file"`
		Columns string `toml:"columns,omitempty"`
		Units   string `toml:"units,omitempty"`
	}
	type survey struct {
		Points    shape `toml:"points"`
		Benchmark *mark `toml:"benchmark,omitempty"`
	}
	type batter struct {
		Cut  string `toml:"cut,omitempty"`
		Fill string `toml:"fill,omitempty"`
	}
	type pad struct {
		Name     string  `toml:"name"`
		Outline  shape   `toml:"outline"`
		Finished string  `toml:"finished"`
		Layers   []layer `toml:"layers,omitempty"`
		Margin   string  `toml:"margin,omitempty"`
		Batter   *batter `toml:"batter,omitempty"`
	}
	type ground struct {
		Topsoil string `toml:"topsoil"`
	}
	file := struct {
		Name   string   `toml:"name"`
		Units  string   `toml:"units"`
		Survey []survey `toml:"survey"`
		Ground *ground  `toml:"ground,omitempty"`
		Pad    []pad    `toml:"pad"`
	}{Name: "quick look", Units: q.units}
	q.groundName, q.outlineName = q.files.add(q.ground), q.files.add(q.outline)
	s := survey{Points: shape{q.groundName, q.columns, q.groundUnits}}
	if q.benchmark != "" {
		plan, measured, ok := strings.Cut(q.benchmark, "=")
		if !ok {
			return nil, usageError("--benchmark "+quote(q.benchmark)+" is not PLAN=MEASURED", "write it like --benchmark 62.500=10.134")
		}
		s.Benchmark = &mark{plan, measured}
	}
	p := pad{Name: "pad", Outline: shape{File: q.outlineName, Columns: q.outlineColumns}, Finished: q.finished, Layers: q.layers, Margin: q.margin}
	if q.batterCut != "" || q.batterFill != "" {
		p.Batter = &batter{q.batterCut, q.batterFill}
	}
	if q.topsoil != "" {
		file.Ground = &ground{q.topsoil}
	}
	file.Survey, file.Pad = []survey{s}, []pad{p}
	text, err := toml.Marshal(file)
	if err != nil {
		return nil, fmt.Errorf("writing the job: %w", err)
	}
	return text, nil
}

// stateByFlag has the hint of an error about columns that are not known name the
// flag to state them with: the file is read again for it.
func (q *quickJob) stateByFlag(ctx context.Context, err error) error {
	e, ok := errors.AsType[*tin.InputError](err)
	if !ok || e.Code != "unknown_columns" {
		return err
	}
	flag := "--columns"
	if e.File == q.outlineName {
		flag = "--outline-columns"
	}
	file, openErr := q.files.Open(e.File)
	if openErr != nil {
		return err
	}
	defer file.Close()
	if _, again := pointfile.Read(ctx, file, e.File, pointfile.Options{State: statedBy(flag)}); again != nil {
		return again
	}
	return err
}

// translate puts an error's place back into flags and the user's paths.
func (q *quickJob) translate(err error) error {
	e, ok := errors.AsType[*tin.InputError](err)
	if !ok {
		return err
	}
	out := *e
	switch {
	case out.File == quickName, out.File == "":
		out.File, out.Line, out.Column = "", 0, 0
		out.Key = flagOf(out.Key)
	case q.files[out.File].path != "":
		out.File = q.files[out.File].path
	}
	return &out
}

// flagOf returns the flag that a key of the job came from.
func flagOf(key string) string {
	for _, f := range []struct{ key, flag string }{
		{"units", "--units"}, {"survey[0].points.columns", "--columns"}, {"survey[0].points.units", "--ground-units"}, {"survey[0].points", "--ground"},
		{"survey[0].benchmark", "--benchmark"}, {"pad[0].outline.columns", "--outline-columns"}, {"pad[0].outline", "--outline"}, {"pad[0].finished", "--finished"},
		{"pad[0].layers", "--layer"}, {"pad[0].margin", "--margin"}, {"pad[0].batter.cut", "--batter-cut"},
		{"pad[0].batter.fill", "--batter-fill"}, {"pad[0].batter", "--batter-cut"}, {"ground.topsoil", "--topsoil"},
	} {
		if strings.HasPrefix(key, f.key) {
			return f.flag
		}
	}
	return key
}

// add names a file of the operating system within the job.
func (a argFiles) add(path string) string {
	name := filepath.Base(path)
	if !plainName(name) || a[name].path != "" || name == quickName {
		for n := 1; ; n++ { // a name that no file has yet
			name = fmt.Sprintf("file%d%s", n, strings.ToLower(filepath.Ext(path)))
			if _, taken := a[name]; !taken {
				break
			}
		}
	}
	a[name] = argFile{path: path}
	return name
}

// plainName reports whether a file's name can stand in a job file as it is.
func plainName(name string) bool {
	return !strings.ContainsAny(name, `/\:`) && name != "." && name != ".."
}

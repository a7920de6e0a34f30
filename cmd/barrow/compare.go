package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"barrow/tin"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

type compareOptions struct {
	out, units, unitsB, columns, columnsB, within, stable, maxEdge, duplicates string
}

func (o *compareOptions) flags(c *console) *flag.FlagSet {
	set := flags("compare")
	set.BoolVar(&c.json, "json", c.json, "")
	set.StringVar(&o.out, "out", "", "")
	o.surfaces(set)
	set.StringVar(&o.stable, "stable", "", "")
	return set
}

// surfaces adds the flags of two surfaces.
func (o *compareOptions) surfaces(set *flag.FlagSet) {
	set.StringVar(&o.units, "units", "", "")
	set.StringVar(&o.unitsB, "units-b", "", "")
	set.StringVar(&o.columns, "columns", "", "")
	set.StringVar(&o.columnsB, "columns-b", "", "")
	set.StringVar(&o.within, "within", "", "")
	set.StringVar(&o.maxEdge, "max-edge", "", "")
	set.StringVar(&o.duplicates, "duplicates", "", "")
}

// compareCommand measures what lies between two surfaces.
func compareCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var o compareOptions
	set := o.flags(c)
	files, err := c.parse(set, args)
	if err != nil {
		return false, err
	}
	if len(files) != 2 {
		return false, usageError(fmt.Sprintf("%d surfaces given, wanted two", len(files)), "run \"barrow compare BEFORE AFTER\", each a file of points or a surface, or a job file")
	}
	comparison, inputs, folders, err := o.comparison(ctx, c, files[0], files[1])
	if err != nil {
		return false, err
	}
	show, wipe := c.progress()
	result, err := takeoff.Compare(ctx, comparison, takeoff.Options{Progress: show})
	wipe()
	if err != nil {
		return false, o.translate(err, folders)
	}
	return len(result.Warnings) > 0, c.writeComparison(result, inputs, o.out)
}

func (c *console) writeComparison(result *takeoff.Compared, inputs []string, out string) error {
	var text, object bytes.Buffer
	if err := report.Comparison(&text, result); err != nil {
		return err
	}
	if err := report.ComparisonJSON(&object, result); err != nil {
		return err
	}
	return c.answer(&text, &object, "comparison", inputs, out)
}

// comparison reads two surfaces and what goes with them. inputs are the files, as the user
// would name them; folders put later errors into those words.
func (o *compareOptions) comparison(ctx context.Context, c *console, a, b string) (read *takeoff.Comparison, inputs []string, folders comparedFolders, err error) {
	folders = comparedFolders{}
	defer folders.close()
	named, err := o.files(a, b, folders)
	if err != nil {
		return nil, nil, nil, err
	}
	show, wipe := c.progress()
	named.Progress = show
	read, err = takeoff.LoadComparison(ctx, named, takeoff.Limits{})
	wipe()
	if err != nil {
		return nil, nil, nil, o.translate(err, folders)
	}
	return read, folders.name(read), folders, nil
}

// files names the files of the command line for the library.
func (o *compareOptions) files(a, b string, folders comparedFolders) (named takeoff.ComparisonFiles, err error) {
	named = takeoff.ComparisonFiles{Units: o.units, MaxEdge: o.maxEdge, Duplicates: o.duplicates}
	columnsA, columnsB, err := o.columnsOf(a, b)
	if err != nil {
		return named, err
	}
	for _, f := range []struct {
		key, path, what string
		to              *takeoff.DataFile
		columns         string
		state           func(string) string
	}{
		{"a", a, "a surface", &named.A, columnsA, statedBy("--columns")},
		{"b", b, "a surface", &named.B, columnsB, statedBy("--columns-b")},
		{"within", o.within, "a file of corners", &named.Within, "", inHeader},
		{"stable", o.stable, "a file of corners", &named.Stable, "", inHeader},
	} {
		if f.path == "" && f.key != "a" && f.key != "b" {
			continue
		}
		if *f.to, err = folders.open(f.key, f.path, f.what); err != nil {
			return named, o.translate(err, nil)
		}
		f.to.Columns, f.to.State = f.columns, f.state
	}
	named.B.Units = o.unitsB
	return named, nil
}

// columnsOf returns the order of the columns of either side; that of a job file
// stands in the job.
func (o *compareOptions) columnsOf(a, b string) (columnsA, columnsB string, err error) {
	tableA, tableB := hasColumns(a), hasColumns(b)
	if tableA {
		columnsA = o.columns
	}
	switch {
	case o.columnsB != "":
		columnsB = o.columnsB
	case tableB:
		columnsB = o.columns
	}
	unused := o.columns != "" && columnsA == "" && columnsB != o.columns
	switch wrong := unused || !tableB && columnsB != ""; {
	case wrong && (isJob(a) || isJob(b)):
		return "", "", usageError("columns do not go with a job file", "state them in its [[survey]]")
	case wrong:
		return "", "", usageError("columns go with a point file, and the name of this one says that it is of another kind", "take them out")
	}
	return columnsA, columnsB, nil
}

// inHeader words how to state an order of columns without a flag.
func inHeader(order string) string { return "a first line " + quote(order) }

func hasColumns(path string) bool { return !isJob(path) && takeoff.IsPointFile(path) }

func isJob(path string) bool { return strings.EqualFold(filepath.Ext(path), ".toml") }

// translate puts an error's place into flags and the user's paths.
func (o *compareOptions) translate(err error, folders comparedFolders) error {
	e, ok := errors.AsType[*tin.InputError](err)
	if !ok {
		return err
	}
	out := *e
	part, key, _ := strings.Cut(out.Key, ".")
	if f := folders[part]; f != nil && out.File != "" {
		out.File = filepath.Join(f.dir, filepath.FromSlash(out.File))
	}
	switch {
	case part == "within", part == "stable", part == "units", part == "duplicates":
		out.Key = "--" + part
	case part == "max_edge":
		out.Key = "--max-edge"
	case part == "b" && key == "columns" && o.columnsB != "":
		out.Key = "--columns-b"
	case part == "b" && key == "units" && o.unitsB != "":
		out.Key = "--units-b"
	case key == "columns":
		out.Key = "--columns"
	case part == "a", part == "b":
		out.Key = key
	}
	return &out
}

// comparedFolders are the folders of the files of a comparison, by the key of the
// part they are for.
type comparedFolders map[string]*comparedFolder

type comparedFolder struct {
	dir  string
	root *os.Root // of a job file, which may name others below it; else nil
}

// open makes a file of the command line known to the library. Of a file of a
// survey or an outline nothing but that file is opened; of a job nothing outside its folder.
func (c comparedFolders) open(key, path, what string) (takeoff.DataFile, error) {
	if err := checkFile(path, what); err != nil {
		err.Key = key
		return takeoff.DataFile{}, err
	}
	dir, name := filepath.Split(filepath.Clean(path))
	folder := &comparedFolder{dir: dir}
	c[key] = folder
	if key != "a" && key != "b" || !isJob(path) {
		return fileArg(path), nil
	}
	var err error
	if folder.root, err = os.OpenRoot(filepath.Clean(dir)); err != nil {
		return takeoff.DataFile{}, unreadable(path, err)
	}
	return takeoff.DataFile{FS: folder.root.FS(), Name: name}, nil
}

func (c comparedFolders) close() {
	for _, f := range c {
		if f.root != nil {
			f.root.Close()
		}
	}
}

// name has the inputs of a comparison carry the paths of the user, and returns
// them.
func (c comparedFolders) name(comparison *takeoff.Comparison) (paths []string) {
	for key, inputs := range map[string][]takeoff.Input{
		"a": comparison.A.Inputs, "b": comparison.B.Inputs, "within": comparison.Within.Inputs, "stable": comparison.Stable.Inputs,
	} {
		for i := range inputs {
			inputs[i].Path = filepath.Join(c[key].dir, filepath.FromSlash(inputs[i].Path))
			paths = append(paths, inputs[i].Path)
		}
	}
	return paths
}

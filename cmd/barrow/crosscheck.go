package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"barrow/tin"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

type crosscheckOptions struct {
	compareOptions               // of two surveys
	spacing, interval, alignment string
	claimed, measure, basis      string
	factor, fillFactor, load     string
	topsoil                      string
	checkShots, checkShotColumns string
	checkShotUnits               string
	checkBenchmark, checkAgainst string
}

func (o *crosscheckOptions) flags(c *console) *flag.FlagSet {
	set := flags("crosscheck")
	set.BoolVar(&c.json, "json", c.json, "")
	o.surfaces(set)
	for name, to := range map[string]*string{
		"out": &o.out, "spacing": &o.spacing, "interval": &o.interval, "alignment": &o.alignment,
		"claimed": &o.claimed, "measure": &o.measure, "basis": &o.basis, "factor": &o.factor,
		"fill-factor": &o.fillFactor, "load": &o.load, "claimed-topsoil": &o.topsoil,
		"check-shots": &o.checkShots, "check-columns": &o.checkShotColumns, "check-units": &o.checkShotUnits,
		"check-benchmark": &o.checkBenchmark, "check-against": &o.checkAgainst,
	} {
		set.StringVar(to, name, "", "")
	}
	return set
}

// crosscheckCommand measures a job, or what lies between two surveys, by all methods.
func crosscheckCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var o crosscheckOptions
	set := o.flags(c)
	files, err := c.parse(set, args)
	if err != nil {
		return false, err
	}
	if o.checkShotColumns != "" && o.checkShots == "" {
		return false, usageError("--check-columns goes with --check-shots", "give the file of the shots")
	}
	opts := takeoff.CrosscheckOptions{Alignment: o.alignment}
	if opts.Claim, err = o.claim(ctx); err != nil {
		return false, o.place(err)
	}
	switch len(files) {
	case 1:
		return o.job(ctx, c, set, files[0], opts)
	case 2:
		return o.surveys(ctx, c, files[0], files[1], opts)
	}
	return false, usageError(fmt.Sprintf("%d files given, wanted a job file, or two surveys", len(files)),
		"run \"barrow crosscheck JOB.toml\", or \"barrow crosscheck BEFORE AFTER\"")
}

// job crosschecks a job file.
func (o *crosscheckOptions) job(ctx context.Context, c *console, set *flag.FlagSet, path string, opts takeoff.CrosscheckOptions) (warnings bool, err error) {
	if wrong := given(set, "units", "units-b", "columns", "columns-b", "within", "max-edge", "duplicates"); wrong != "" {
		return false, usageError("--"+wrong+" goes with two surveys", "put it into the job file")
	}
	l, err := c.loadJob(ctx, path)
	if err != nil {
		return false, err
	}
	if opts.Spacing, opts.Interval, err = o.lengths(l.job.Units); err != nil {
		return false, err
	}
	if opts.Shots, err = o.shots(ctx, l.job.Units); err != nil {
		return false, o.place(err)
	}
	show, wipe := c.progress()
	opts.Progress = show
	result, err := takeoff.Crosscheck(ctx, l.job, opts)
	wipe()
	if err != nil {
		return false, o.place(o.inJob(l, err))
	}
	return len(result.Warnings) > 0, c.writeCrosscheck(result, o.read(l.inputs), o.out)
}

// inJob puts an error into the job's folder, but one of the check shots, whose file is
// named as it was given.
func (o *crosscheckOptions) inJob(l *loadedJob, err error) error {
	if e, ok := errors.AsType[*tin.InputError](err); ok && e.File == o.checkShots {
		return err
	}
	return l.translate(err)
}

// surveys crosschecks what lies between two surveys.
func (o *crosscheckOptions) surveys(ctx context.Context, c *console, a, b string, opts takeoff.CrosscheckOptions) (warnings bool, err error) {
	comparison, inputs, folders, err := o.comparison(ctx, c, a, b)
	if err != nil {
		return false, err
	}
	if opts.Spacing, opts.Interval, err = o.lengths(comparison.A.Units); err != nil {
		return false, err
	}
	if opts.Shots, err = o.shots(ctx, comparison.A.Units); err != nil {
		return false, o.place(err)
	}
	show, wipe := c.progress()
	opts.Progress = show
	result, err := takeoff.CrosscheckSurveys(ctx, comparison, opts)
	wipe()
	if err != nil {
		return false, o.place(o.translate(err, folders))
	}
	return len(result.Warnings) > 0, c.writeCrosscheck(result, o.read(inputs), o.out)
}

// read lists all files that were read.
func (o *crosscheckOptions) read(inputs []string) []string {
	for _, path := range []string{o.claimed, o.checkShots} {
		if path != "" && !isClaimText(path) {
			inputs = append(inputs, path)
		}
	}
	return inputs
}

func (c *console) writeCrosscheck(result *takeoff.CrosscheckResult, inputs []string, out string) error {
	var text, object bytes.Buffer
	if err := report.Crosscheck(&text, result); err != nil {
		return err
	}
	if err := report.CrosscheckJSON(&object, result); err != nil {
		return err
	}
	return c.answer(&text, &object, "crosscheck", inputs, out)
}

// lengths reads spacing and interval in a unit; 0 where they are not given.
func (o *crosscheckOptions) lengths(unit tin.Unit) (spacing, interval float64, err error) {
	if spacing, err = lengthFlag("--spacing", o.spacing, unit); err != nil {
		return 0, 0, err
	}
	interval, err = lengthFlag("--interval", o.interval, unit)
	return spacing, interval, err
}

// lengthFlag reads a length above 0 in a unit; 0 where it is not given.
func lengthFlag(flag, text string, unit tin.Unit) (float64, error) {
	if text == "" {
		return 0, nil
	}
	length, _, err := takeoff.ParseLength(text, unit)
	if err != nil || !(length > 0) {
		return 0, &tin.InputError{Code: "bad_value", Key: flag, Message: quote(text) + " is not a length above 0", Hint: `write it like 10, "500 mm" or "30 ft"`, Err: err}
	}
	return length, nil
}

// isClaimText reports whether a claim stands on the command line, not in a file.
func isClaimText(claimed string) bool { return strings.Contains(claimed, "=") }

// claim reads someone else's figures; nil where there are none.
func (o *crosscheckOptions) claim(ctx context.Context) (*takeoff.Claim, error) {
	flags := o.measure + o.basis + o.factor + o.fillFactor + o.load + o.topsoil
	switch {
	case o.claimed == "" && flags != "":
		return nil, usageError("what is said of a claim needs one", `give it with --claimed cut=1234.5`)
	case o.claimed == "":
		return nil, nil
	case !isClaimText(o.claimed) && flags != "":
		return nil, usageError("what is said of a claim stands in its file", "put it there")
	case !isClaimText(o.claimed):
		if err := checkFile(o.claimed, "a claim"); err != nil {
			return nil, err
		}
		c, err := takeoff.LoadClaim(ctx, fileArg(o.claimed), takeoff.Limits{})
		if err != nil {
			return nil, inFolder(err, filepath.Dir(o.claimed))
		}
		c.Name, c.Inputs[0].Path = o.claimed, o.claimed
		return c, nil
	}
	c, err := takeoff.ParseClaim(o.claimed)
	if err != nil {
		return nil, err
	}
	c.Measure, c.Basis = o.measure, o.basis
	for _, n := range []struct {
		flag, text string
		to         *float64
	}{{"--factor", o.factor, &c.Factor}, {"--fill-factor", o.fillFactor, &c.FillFactor}, {"--load", o.load, &c.Load}} {
		if n.text == "" {
			continue
		}
		if *n.to, err = strconv.ParseFloat(n.text, 64); err != nil || !(*n.to > 0) {
			return nil, &tin.InputError{Code: "bad_value", Key: n.flag, Message: quote(n.text) + " is not a number above 0", Hint: "write it like 1.25"}
		}
	}
	switch o.topsoil {
	case "", "out":
	case "in":
		c.TopsoilIn = true
	default:
		return nil, &tin.InputError{Code: "bad_value", Key: "--claimed-topsoil", Message: "unknown word " + quote(o.topsoil), Hint: "use in or out"}
	}
	return c, nil
}

// fileArg makes a single file known to the library.
func fileArg(path string) takeoff.DataFile {
	name := filepath.Base(path)
	return takeoff.DataFile{FS: argFiles{name: argFile{path: path}}, Name: name}
}

// shots reads points shot apart from the survey; nil where there are none.
func (o *crosscheckOptions) shots(ctx context.Context, unit tin.Unit) (*takeoff.Shots, error) {
	switch {
	case o.checkShots == "" && o.checkShotColumns+o.checkShotUnits+o.checkBenchmark+o.checkAgainst != "":
		return nil, usageError("what is said of check shots needs some", "give them with --check-shots FILE")
	case o.checkShots == "":
		return nil, nil
	case o.checkAgainst != "" && o.checkAgainst != "before" && o.checkAgainst != "after":
		return nil, &tin.InputError{Code: "bad_value", Key: "--check-against", Message: "unknown word " + quote(o.checkAgainst), Hint: "use before or after"}
	}
	s, err := shotsFile{o.checkShots, "--check-columns", o.checkShotColumns, o.checkShotUnits, "--check-benchmark", o.checkBenchmark}.load(ctx, unit)
	if err != nil {
		return nil, err
	}
	s.Before = o.checkAgainst == "before"
	return s, nil
}

// under has an error about input name a flag.
func under(flag string, err error) error {
	e, ok := errors.AsType[*tin.InputError](err)
	if !ok {
		return err
	}
	out := *e
	out.Key = flag
	return &out
}

// place puts an error's key into flags.
func (o *crosscheckOptions) place(err error) error {
	e, ok := errors.AsType[*tin.InputError](err)
	if !ok {
		return err
	}
	out := *e
	switch part, key, _ := strings.Cut(e.Key, "."); part {
	case "claim":
		out.Key = map[string]string{"measure": "--measure", "basis": "--basis", "factor": "--factor", "fill_factor": "--fill-factor", "load": "--load"}[key]
		if out.Key == "" {
			out.Key = "--claimed"
		}
	case "spacing", "interval", "alignment":
		out.Key = "--" + part
	case "check_benchmark", "check_against":
		out.Key = "--" + strings.ReplaceAll(part, "_", "-")
	case "check_shots":
		out.Key = "--check-shots"
		if key == "columns" || key == "units" {
			out.Key = "--check-" + key
		}
	}
	return &out
}

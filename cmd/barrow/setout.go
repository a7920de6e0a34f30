package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"flag"
	"fmt"
	"path/filepath"
	"strings"

	"barrow/tin"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

type setoutOptions struct {
	out, interval, grid, benchmark, backsight, staff, overDig, trim string
	pegTops, pegTopColumns                                          string
	back                                                            texts

	intervalFlag string // that has the interval; empty: --interval
}

// texts are the values of a flag that may be given more than once.
type texts []string

func (t *texts) String() string        { return strings.Join(*t, ", ") }
func (t *texts) Set(text string) error { *t = append(*t, text); return nil }

func (o *setoutOptions) flags(c *console) *flag.FlagSet {
	set := flags("setout")
	set.BoolVar(&c.json, "json", c.json, "")
	for name, to := range map[string]*string{
		"out": &o.out, "interval": &o.interval, "grid": &o.grid, "benchmark-level": &o.benchmark, "backsight": &o.backsight,
		"staff": &o.staff, "over-dig": &o.overDig, "trim": &o.trim, "peg-tops": &o.pegTops, "peg-columns": &o.pegTopColumns,
	} {
		set.StringVar(to, name, "", "")
	}
	set.Var(&o.back, "back", "")
	return set
}

// setoutCommand sets a job out: pegs, and the levels to work to.
func setoutCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var o setoutOptions
	files, err := c.parse(o.flags(c), args)
	if err != nil {
		return false, err
	}
	if len(files) != 1 {
		return false, notOneJob("setout", len(files))
	}
	if o.pegTopColumns != "" && o.pegTops == "" {
		return false, usageError("--peg-columns goes with --peg-tops", "give the file of the peg tops")
	}
	l, err := c.loadJob(ctx, files[0])
	if err != nil {
		return false, err
	}
	opts, err := o.read(ctx, l.job.Units)
	if err != nil {
		return false, err
	}
	show, wipe := c.progress()
	opts.Progress = show
	result, err := takeoff.SetOut(ctx, l.job, opts)
	wipe()
	if err != nil {
		return false, setoutFlag(l.translate(err))
	}
	inputs := l.inputs
	if o.pegTops != "" {
		inputs = append(inputs, o.pegTops)
	}
	return len(result.Warnings) > 0, c.writeSetout(result, inputs, o.out)
}

// read turns flags into options.
func (o *setoutOptions) read(ctx context.Context, unit tin.Unit) (opts takeoff.SetOutOptions, err error) {
	for _, f := range []struct {
		flag, text string
		to         *float64
	}{
		{cmp.Or(o.intervalFlag, "--interval"), o.interval, &opts.Interval}, {"--grid", o.grid, &opts.Grid}, {"--staff", o.staff, &opts.Staff},
		{"--over-dig", o.overDig, &opts.OverDig}, {"--trim", o.trim, &opts.Trim},
	} {
		if *f.to, err = lengthFlag(f.flag, f.text, unit); err != nil {
			return opts, err
		}
	}
	for _, text := range o.back {
		back, err := lengthFlag("--back", text, unit)
		if err != nil {
			return opts, err
		}
		opts.Back = append(opts.Back, back)
	}
	if opts.Benchmark, err = levelFlag("--benchmark-level", o.benchmark, unit); err != nil {
		return opts, err
	}
	if opts.Backsight, err = levelFlag("--backsight", o.backsight, unit); err != nil {
		return opts, err
	}
	opts.PegTops, err = o.tops(ctx, unit)
	return opts, err
}

// tops reads the measured tops of pegs; nil where there are none.
func (o *setoutOptions) tops(ctx context.Context, unit tin.Unit) (*takeoff.PegTops, error) {
	if o.pegTops == "" {
		return nil, nil
	}
	if err := checkFile(o.pegTops, "a point file"); err != nil {
		return nil, err
	}
	f := fileArg(o.pegTops)
	f.Columns, f.State = o.pegTopColumns, statedBy("--peg-columns")
	tops, err := takeoff.LoadPegTops(ctx, f, unit, takeoff.Limits{})
	if err != nil {
		return nil, setoutFlag(inFolder(err, filepath.Dir(o.pegTops)))
	}
	tops.Name, tops.Inputs[0].Path = o.pegTops, o.pegTops
	return tops, nil
}

// setoutFlag puts an error's key into flags.
func setoutFlag(err error) error {
	e, ok := errors.AsType[*tin.InputError](err)
	if !ok {
		return err
	}
	switch e.Key {
	case "interval", "grid", "back", "backsight", "benchmark_level", "staff", "over_dig", "trim", "peg_tops":
		return under("--"+strings.ReplaceAll(e.Key, "_", "-"), err)
	}
	return err
}

// writeSetout answers with the sheet or the object, and writes both into a folder with
// the pegs for an instrument and the pages to print.
func (c *console) writeSetout(result *takeoff.SetOutResult, inputs []string, out string) error {
	var text, object, pegs bytes.Buffer
	if err := errors.Join(report.SetOut(&text, result), report.SetOutJSON(&object, result), report.SetOutCSV(&pegs, result)); err != nil {
		return err
	}
	var more []outFile
	if out != "" {
		more = append(more, outFile{"pegs.csv", pegs.Bytes()})
		for i, page := range report.SetOutPages(result) {
			more = append(more, outFile{fmt.Sprintf("setout-page-%02d.svg", i+1), page})
		}
	}
	return c.answer(&text, &object, "setout", inputs, out, more...)
}

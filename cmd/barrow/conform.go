package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"strings"

	"barrow/tin"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

type conformOptions struct {
	shots, columns, units    string
	benchmark                string
	of, layer, tolerance, sd string
	out                      string
	pads                     padNames
}

func (o *conformOptions) flags(c *console) *flag.FlagSet {
	set := flags("conform")
	set.BoolVar(&c.json, "json", c.json, "")
	for name, to := range map[string]*string{
		"shots": &o.shots, "columns": &o.columns, "units": &o.units, "benchmark": &o.benchmark, "of": &o.of, "layer": &o.layer,
		"tolerance": &o.tolerance, "sd": &o.sd, "out": &o.out,
	} {
		set.StringVar(to, name, "", "")
	}
	set.Var(&o.pads, "pad", "")
	return set
}

// conformCommand holds shots of finished work against the levels of a job.
func conformCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var o conformOptions
	files, err := c.parse(o.flags(c), args)
	if err != nil {
		return false, err
	}
	switch {
	case len(files) != 1:
		return false, usageError(fmt.Sprintf("%d job files given, wanted one", len(files)), "run \"barrow conform JOB.toml --shots FILE\"")
	case o.shots == "":
		return false, usageError("there are no shots of the finished work", "give them with --shots FILE")
	case o.of != "" && o.layer != "":
		return false, usageError("--of and --layer do not go together", "--layer NAME is always a layer, --of also formation or finished")
	}
	l, err := c.loadJob(ctx, files[0])
	if err != nil {
		return false, err
	}
	opts, err := o.options(ctx, l.job.Units)
	if err != nil {
		return false, o.place(err)
	}
	show, wipe := c.progress()
	opts.Progress = show
	result, err := takeoff.Conform(ctx, l.job, opts)
	wipe()
	if err != nil {
		if e, ok := errors.AsType[*tin.InputError](err); !ok || e.File != o.shots {
			err = l.translate(err)
		}
		return false, o.place(err)
	}
	return len(result.Warnings) > 0, c.writeConform(result, append(l.inputs, o.shots), o.out)
}

// options reads the flags in a unit.
func (o *conformOptions) options(ctx context.Context, unit tin.Unit) (opts takeoff.ConformOptions, err error) {
	opts = takeoff.ConformOptions{Of: o.of, Layer: o.layer, Pads: o.pads}
	if opts.StandardDeviation, err = lengthFlag("--sd", o.sd, unit); err != nil {
		return opts, err
	}
	if o.tolerance != "" {
		t, err := takeoff.ParseTolerance(o.tolerance, unit)
		if err != nil {
			return opts, under("--tolerance", err)
		}
		opts.Tolerance = &t
	}
	opts.Shots, err = shotsFile{o.shots, "--columns", o.columns, o.units, "--benchmark", o.benchmark}.load(ctx, unit)
	return opts, err
}

// place puts the key of an error that is not in a job file into flags.
func (o *conformOptions) place(err error) error {
	e, ok := errors.AsType[*tin.InputError](err)
	if !ok {
		return err
	}
	out := *e
	switch part, key, _ := strings.Cut(e.Key, "."); part {
	case "check_shots":
		out.Key = "--shots"
		if key == "columns" || key == "units" {
			out.Key = "--" + key
		}
	case "check_benchmark":
		out.Key = "--benchmark"
	case "layer":
		out.Key = "--layer"
		if o.layer == "" {
			out.Key = "--of"
		}
	case "pad", "tolerance", "sd":
		out.Key = "--" + part
	}
	return &out
}

func (c *console) writeConform(result *takeoff.ConformResult, inputs []string, out string) error {
	var text, object, table bytes.Buffer
	if err := errors.Join(report.Conform(&text, result), report.ConformJSON(&object, result), report.ConformCSV(&table, result)); err != nil {
		return err
	}
	return c.answer(&text, &object, "conform", inputs, out, outFile{"conform.csv", table.Bytes()})
}

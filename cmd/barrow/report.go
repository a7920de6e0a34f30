package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"path/filepath"
	"time"

	"barrow/tin"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

type reportOptions struct {
	out, date, rates, alignment, interval string
	benchmark, backsight, pegs            string
	back                                  texts
	triangles                             bool
}

func (o *reportOptions) flags(c *console) *flag.FlagSet {
	set := flags("report")
	set.BoolVar(&c.json, "json", c.json, "")
	for name, to := range map[string]*string{
		"out": &o.out, "date": &o.date, "rates": &o.rates, "alignment": &o.alignment, "interval": &o.interval,
		"benchmark-level": &o.benchmark, "backsight": &o.backsight, "pegs": &o.pegs,
	} {
		set.StringVar(to, name, "", "")
	}
	set.Var(&o.back, "back", "")
	set.BoolVar(&o.triangles, "triangles", false, "")
	return set
}

// reportCommand writes all that is known of a job as one page.
func reportCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var o reportOptions
	files, err := c.parse(o.flags(c), args)
	if err != nil {
		return false, err
	}
	switch {
	case len(files) != 1:
		return false, notOneJob("report", len(files))
	case o.out == "":
		return false, usageError("a report is a file, and no folder is given for it", "add --out DIR")
	}
	l, err := c.loadJob(ctx, files[0])
	if err != nil {
		return false, err
	}
	opts, err := o.read(ctx, l)
	if err != nil {
		return false, err
	}
	show, wipe := c.progress()
	opts.Progress = show
	result, err := takeoff.Report(ctx, l.job, opts)
	wipe()
	if err != nil {
		return false, reportFlag(l.translate(err))
	}
	result.Date = o.date
	return len(result.Warnings) > 0, c.writeReport(result, l.inputs, o.out)
}

// read turns flags into options.
func (o *reportOptions) read(ctx context.Context, l *loadedJob) (opts takeoff.ReportOptions, err error) {
	if _, err := time.Parse(time.DateOnly, o.date); err != nil && o.date != "" {
		return opts, &tin.InputError{Code: "bad_value", Key: "--date", Message: quote(o.date) + " is no date", Hint: "write it like 2030-06-29", Err: err}
	}
	if o.rates != "" {
		if err := l.takeRates(ctx, o.rates); err != nil {
			return opts, err
		}
	}
	opts.Plan = &takeoff.PlanOptions{Triangles: o.triangles}
	opts.Sections.Alignment, opts.Crosscheck.Alignment = o.alignment, o.alignment
	if opts.Sections.Interval, err = lengthFlag("--interval", o.interval, l.job.Units); err != nil {
		return opts, err
	}
	setout := setoutOptions{interval: o.pegs, intervalFlag: pegsFlag, back: o.back, benchmark: o.benchmark, backsight: o.backsight}
	opts.SetOut, err = setout.read(ctx, l.job.Units)
	return opts, err
}

// pegsFlag is what "barrow setout" calls --interval: here that is between sections.
const pegsFlag = "--pegs"

// reportFlag puts an error's key into flags.
func reportFlag(err error) error {
	if e, ok := errors.AsType[*tin.InputError](err); ok && e.Code == "bad_spacing" && e.Key == "interval" {
		return under(pegsFlag, err)
	}
	return setoutFlag(err)
}

// writeReport writes the page, and says where.
func (c *console) writeReport(result *takeoff.ReportResult, inputs []string, out string) error {
	var page bytes.Buffer
	if err := report.HTML(&page, result); err != nil {
		return err
	}
	if err := c.writeFiles(out, []outFile{{"report.html", page.Bytes()}}, inputs); err != nil {
		return err
	}
	path := filepath.Join(out, "report.html")
	if !c.json {
		_, err := fmt.Fprintln(c.stdout, path)
		return err
	}
	return writeObject(c.stdout, struct {
		Schema   int              `json:"schema"`
		Report   string           `json:"report"`
		Warnings []takeoff.Remark `json:"warnings"`
	}{takeoff.SchemaVersion, path, result.Warnings})
}

package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"time"

	"barrow/tin"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

type surfacesOptions struct{ out, contours string }

func (o *surfacesOptions) flags(c *console) *flag.FlagSet {
	set := flags("surfaces")
	set.BoolVar(&c.json, "json", c.json, "")
	set.StringVar(&o.out, "out", "", "")
	set.StringVar(&o.contours, "contours", "", "")
	return set
}

// surfacesCommand writes the ground and the works of a job as surfaces and lines.
func surfacesCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var o surfacesOptions
	files, err := c.parse(o.flags(c), args)
	if err != nil {
		return false, err
	}
	if len(files) != 1 {
		return false, notOneJob("surfaces", len(files))
	}
	if o.out == "" {
		return false, usageError("no folder to write the surfaces into", "give it with --out DIR")
	}
	l, err := c.loadJob(ctx, files[0])
	if err != nil {
		return false, err
	}
	var opts takeoff.SurfacesOptions
	if opts.Contours, err = lengthFlag("--contours", o.contours, l.job.Units); err != nil {
		return false, err
	}
	show, wipe := c.progress()
	opts.Progress = show
	result, err := takeoff.Surfaces(ctx, l.job, opts)
	wipe()
	if err != nil {
		if e, ok := errors.AsType[*tin.InputError](err); ok && e.Key == "contours" {
			return false, under("--contours", err)
		}
		return false, l.translate(err)
	}
	return len(result.Warnings) > 0, c.writeSurfaces(ctx, result, l.inputs, o.out)
}

// writeSurfaces writes the files into a folder, and answers with the sheet or the object,
// which it writes beside them.
func (c *console) writeSurfaces(ctx context.Context, result *takeoff.SurfacesResult, inputs []string, out string) error {
	made, err := report.SurfacesFiles(ctx, result, time.Now())
	if err != nil {
		return err
	}
	var text, object bytes.Buffer
	if err := errors.Join(report.Surfaces(&text, result, made), report.SurfacesJSON(&object, result, made)); err != nil {
		return err
	}
	var more []outFile
	for _, f := range made {
		more = append(more, outFile{f.Name, f.Data})
	}
	return c.answer(&text, &object, "surfaces", inputs, out, more...)
}

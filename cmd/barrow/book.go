package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"io"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// book measures a cross-section book.
func (o *sectionsOptions) book(ctx context.Context, c *console, set *flag.FlagSet, path string) (warnings bool, err error) {
	if wrong := given(set, "alignment", "interval"); wrong != "" {
		return false, usageError("--"+wrong+" goes with a job file", "a book has its own sections")
	}
	opts := takeoff.BookOptions{RunOut: o.runOut, Middles: o.middles}
	if opts.Unit, err = unitFlag(o.units); err != nil {
		return false, err
	}
	if err := checkFile(path, "a cross-section book"); err != nil {
		return false, err
	}
	result, err := takeoff.MeasureBook(ctx, fileArg(path), opts, takeoff.Limits{})
	if err != nil {
		return false, ofFlag("middles", "--middles", ofFlag("run_out", "--run-out", ofPath(path, err)))
	}
	result.Name, result.Inputs[0].Path = path, path
	return len(result.Warnings) > 0, c.writeBook(result, path, o.out)
}

func (c *console) writeBook(result *takeoff.BookResult, path, out string) error {
	var text, object bytes.Buffer
	if err := report.Book(&text, result); err != nil {
		return err
	}
	if err := report.BookJSON(&object, result); err != nil {
		return err
	}
	var each []outFile
	for i := range result.Sections {
		for _, f := range []struct {
			end   string
			write func(w io.Writer, r *takeoff.BookResult, section int) error
		}{{".csv", report.BookSectionCSV}, {".svg", report.BookSectionSVG}} {
			if out == "" {
				continue
			}
			var b bytes.Buffer
			if err := f.write(&b, result, i); err != nil {
				return err
			}
			each = append(each, outFile{fmt.Sprintf("section-1-%s%s", report.SectionNumber(i), f.end), b.Bytes()})
		}
	}
	if err := c.answer(&text, &object, "sections", []string{path}, out, each...); err != nil || out == "" {
		return err
	}
	c.warnLeftOver(out, sectionFile, each)
	return nil
}

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

type sectionsOptions struct {
	out, alignment, interval, runOut string
	units, middles                   string // of a cross-section book
}

func (o *sectionsOptions) flags(c *console) *flag.FlagSet {
	set := flags("sections")
	set.BoolVar(&c.json, "json", c.json, "")
	set.StringVar(&o.out, "out", "", "")
	set.StringVar(&o.alignment, "alignment", "", "")
	set.StringVar(&o.interval, "interval", "", "")
	set.StringVar(&o.runOut, "run-out", "", "")
	set.StringVar(&o.units, "units", "", "")
	set.StringVar(&o.middles, "middles", "", "")
	return set
}

// sectionsCommand measures a job file, or a cross-section book, by sections.
func sectionsCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var o sectionsOptions
	set := o.flags(c)
	files, err := c.parse(set, args)
	if err != nil {
		return false, err
	}
	if len(files) != 1 {
		return false, usageError(fmt.Sprintf("%d files given, wanted a job file or a cross-section book", len(files)), "run \"barrow sections JOB.toml\", or \"barrow demo\" for one to try")
	}
	if !isJob(files[0]) {
		return o.book(ctx, c, set, files[0])
	}
	if wrong := given(set, "units", "middles"); wrong != "" {
		return false, usageError("--"+wrong+" goes with a cross-section book", "a job has its units, and its middle sections are cut")
	}
	l, err := c.loadJob(ctx, files[0])
	if err != nil {
		return false, err
	}
	opts := takeoff.SectionsOptions{Alignment: o.alignment, RunOut: o.runOut}
	if opts.Interval, err = lengthFlag("--interval", o.interval, l.job.Units); err != nil {
		return false, err
	}
	show, wipe := c.progress()
	opts.Progress = show
	result, err := takeoff.Sections(ctx, l.job, opts)
	wipe()
	if err != nil {
		return false, ofFlag("run_out", "--run-out", l.translate(err))
	}
	return len(result.Warnings) > 0, c.writeSections(result, l.inputs, o.out)
}

func (c *console) writeSections(result *takeoff.SectionsResult, inputs []string, out string) error {
	var text, object bytes.Buffer
	if err := report.Sections(&text, result); err != nil {
		return err
	}
	if err := report.SectionsJSON(&object, result); err != nil {
		return err
	}
	var each []outFile
	if out != "" {
		var err error
		if each, err = c.sectionFiles(result); err != nil {
			return err
		}
	}
	if err := c.answer(&text, &object, "sections", inputs, out, each...); err != nil || out == "" {
		return err
	}
	c.warnLeftOver(out, sectionFile, each)
	return nil
}

// sectionFiles returns every section, and every mass haul, as CSV and as SVG.
func (c *console) sectionFiles(result *takeoff.SectionsResult) (files []outFile, err error) {
	show, wipe := c.progress()
	defer wipe()
	for i := range result.Alignments {
		if result.Alignments[i].Haul != nil {
			var table, picture bytes.Buffer
			if err := report.HaulCSV(&table, result, i); err != nil {
				return nil, err
			}
			if err := report.HaulSVG(&picture, result, i); err != nil {
				return nil, err
			}
			name := fmt.Sprintf("mass-haul-%d", i+1)
			files = append(files, outFile{name + ".csv", table.Bytes()}, outFile{name + ".svg", picture.Bytes()})
		}
		for k := range result.Alignments[i].Sections {
			if err := c.interrupted(); err != nil {
				return nil, err
			}
			if show != nil {
				show("drawing sections", k, len(result.Alignments[i].Sections))
			}
			name := fmt.Sprintf("section-%d-%s", i+1, report.SectionNumber(k))
			for _, f := range []struct {
				end   string
				write func(w io.Writer, r *takeoff.SectionsResult, alignment, section int) error
			}{{".csv", report.SectionCSV}, {".svg", report.SectionSVG}} {
				var b bytes.Buffer
				if err := f.write(&b, result, i, k); err != nil {
					return nil, err
				}
				files = append(files, outFile{name + f.end, b.Bytes()})
			}
		}
	}
	return files, nil
}

package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"barrow/tin"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

type takeoffOptions struct {
	output
	quick quickJob
}

// output is what a takeoff writes besides its answer.
type output struct {
	dir       string // none: nothing
	triangles bool   // on the plan
}

func (o *takeoffOptions) flags(c *console) *flag.FlagSet {
	set := flags("takeoff")
	set.BoolVar(&c.json, "json", c.json, "")
	set.StringVar(&o.dir, "out", "", "")
	set.BoolVar(&o.triangles, "triangles", false, "")
	o.quick.flags(set)
	return set
}

// takeoffCommand measures a job file, or a job made of flags.
func takeoffCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var o takeoffOptions
	set := o.flags(c)
	files, err := c.parse(set, args)
	if err != nil {
		return false, err
	}
	quick := o.quick.given(set)
	switch {
	case o.triangles && o.dir == "":
		return false, usageError("--triangles is about the plan, which is only written with --out", "add --out DIR")
	case len(files) > 1:
		return false, usageError(fmt.Sprintf("%d job files given", len(files)), "give one")
	case len(files) == 1 && quick != "":
		return false, usageError(fmt.Sprintf("--%s does not go with a job file", quick), "put it into the job file")
	case len(files) == 1 && files[0] == "-":
		return false, usageError("a job cannot be read from stdin, since its files are found from its folder", "name the job file")
	case len(files) == 0 && quick == "":
		return false, usageError("no job file given", "run \"barrow takeoff JOB.toml\", or \"barrow demo\" for one to try")
	}
	if quick != "" {
		job, inputs, err := o.quick.load(ctx, c)
		if err != nil {
			return false, err
		}
		return c.measure(ctx, job, inputs, o.output, o.quick.translate)
	}
	return c.takeoffFile(ctx, files[0], o.output)
}

// takeoffFile measures the job file at an operating system's path.
func (c *console) takeoffFile(ctx context.Context, path string, out output) (warnings bool, err error) {
	l, err := c.loadJob(ctx, path)
	if err != nil {
		return false, err
	}
	return c.measure(ctx, l.job, l.inputs, out, l.translate)
}

// loadedJob is a job file of the command line.
type loadedJob struct {
	job    *takeoff.Job
	inputs []string // its files, as the user would name them
	dir    string
	rates  string // a rates file beside the job's own; empty: none
}

// translate has an error name its file as the user would.
func (l *loadedJob) translate(err error) error { return inFolder(err, l.dir) }

// loadJob reads the job file at an operating system's path. Nothing outside its
// folder is opened.
func (c *console) loadJob(ctx context.Context, path string) (*loadedJob, error) {
	// What is not there is left to Load, which knows a name that is like it.
	if err := checkFile(path, "a job file"); err != nil && err.Code != "file_missing" {
		return nil, err
	}
	dir, name := filepath.Split(filepath.Clean(path))
	if dir == "" {
		dir = "."
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		if errors.Is(err, os.ErrNotExist) {
			return nil, &tin.InputError{Code: "file_missing", File: path, Message: "there is no such folder", Hint: "check the path", Err: err}
		}
		return nil, unreadable(path, err)
	}
	defer root.Close()
	show, wipe := c.progress()
	job, err := takeoff.LoadWith(ctx, root.FS(), name, takeoff.LoadOptions{Progress: show})
	wipe()
	if err != nil {
		return nil, inFolder(err, dir)
	}
	l := &loadedJob{job: job, dir: dir}
	for _, in := range job.Inputs {
		l.inputs = append(l.inputs, filepath.Join(dir, filepath.FromSlash(in.Path)))
	}
	return l, nil
}

// inFolder names the file of an error as the user would.
func inFolder(err error, dir string) error {
	e, ok := errors.AsType[*tin.InputError](err)
	if !ok || e.File == "" || dir == "." {
		return err
	}
	placed := *e
	placed.File = filepath.Join(dir, filepath.FromSlash(e.File))
	return &placed
}

// measure runs a job and writes its result. inputs are its files, which no
// output may replace; translate puts the places of errors into the user's
// words.
func (c *console) measure(ctx context.Context, job *takeoff.Job, inputs []string, out output, translate func(error) error) (warnings bool, err error) {
	show, wipe := c.progress()
	opts := takeoff.Options{Progress: show}
	if out.dir != "" {
		opts.Plan = &takeoff.PlanOptions{Triangles: out.triangles}
	}
	result, err := takeoff.Run(ctx, job, opts)
	wipe()
	if err != nil {
		return false, translate(err)
	}
	var text, object bytes.Buffer
	if err := report.Text(&text, result); err != nil {
		return false, err
	}
	if err := report.JSON(&object, result); err != nil {
		return false, err
	}
	var files []outFile
	if out.dir != "" {
		var plan bytes.Buffer
		if err := report.PlanSVG(&plan, result); err != nil {
			return false, err
		}
		files = append(files, outFile{"plan.svg", plan.Bytes()})
	}
	if err := c.answer(&text, &object, "result", inputs, out.dir, files...); err != nil {
		return false, err
	}
	return len(result.Warnings) > 0, nil
}

// answer writes a result to stdout, and into a folder as NAME.txt and NAME.json, with
// more files beside them, if one is given. inputs are files that no output may replace.
func (c *console) answer(text, object *bytes.Buffer, name string, inputs []string, out string, more ...outFile) error {
	if err := c.interrupted(); err != nil {
		return err
	}
	if out != "" {
		files := append([]outFile{{name + ".txt", text.Bytes()}, {name + ".json", object.Bytes()}}, more...)
		if err := c.writeFiles(out, files, inputs); err != nil {
			return err
		}
	}
	answer := text
	if c.json {
		answer = object
	}
	if _, err := c.stdout.Write(answer.Bytes()); err != nil {
		return err
	}
	if out != "" {
		rest := ""
		switch {
		case len(more) == 1:
			rest = ", and " + filepath.Join(out, more[0].name)
		case len(more) > 1:
			rest = fmt.Sprintf(", and %d files beside them", len(more))
		}
		c.say("wrote %s and %s%s", filepath.Join(out, name+".txt"), filepath.Join(out, name+".json"), rest)
	}
	return nil
}

package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"barrow/tin/pointfile"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// pointsCommand describes a point file.
func pointsCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var columns string
	set := flags("points")
	set.BoolVar(&c.json, "json", c.json, "")
	set.StringVar(&columns, "columns", "", "")
	files, err := c.parse(set, args)
	if err != nil {
		return false, err
	}
	if len(files) != 1 {
		return false, usageError(fmt.Sprintf("%d files given, wanted one", len(files)), "run \"barrow points FILE\", or - for stdin")
	}
	if files[0] != "-" && !takeoff.IsPointFile(files[0]) {
		return c.describeFile(ctx, files[0], columns)
	}
	file, err := c.readPoints(ctx, files[0], columns)
	if err != nil {
		return false, err
	}
	d, err := c.describe(ctx, file)
	if err != nil {
		return false, err
	}
	var out bytes.Buffer
	write := report.Points
	if c.json {
		write = report.PointsJSON
	}
	if err := write(&out, file, &d); err != nil {
		return false, err
	}
	if _, err := c.stdout.Write(out.Bytes()); err != nil {
		return false, err
	}
	return report.PointsDoubts(&d) > 0, nil
}

// describeFile describes a file of another kind.
func (c *console) describeFile(ctx context.Context, path, columns string) (warnings bool, err error) {
	if columns != "" {
		return false, usageError("--columns goes with a point file", "the name of "+quote(path)+" says that it is of another kind")
	}
	if err := checkFile(path, "a file of points"); err != nil {
		return false, err
	}
	d, err := takeoff.DescribeFile(ctx, fileArg(path), takeoff.Limits{})
	if err != nil {
		return false, inFolder(err, filepath.Dir(path))
	}
	d.Name = path
	var out bytes.Buffer
	write := report.File
	if c.json {
		write = report.FileJSON
	}
	if err := write(&out, d); err != nil {
		return false, err
	}
	if _, err := c.stdout.Write(out.Bytes()); err != nil {
		return false, err
	}
	return report.FileDoubts(d) > 0, nil
}

func (c *console) describe(ctx context.Context, file *pointfile.File) (pointfile.Description, error) {
	show, wipe := c.progress()
	defer wipe()
	if show != nil {
		show("looking for spots that look wrong", 0, 1)
	}
	return pointfile.Describe(ctx, file)
}

func (c *console) readPoints(ctx context.Context, name, columns string) (*pointfile.File, error) {
	limits := takeoff.DefaultLimits()
	opts := pointfile.Options{Columns: columns, State: statedBy("--columns"), MaxPoints: limits.Points, MaxBytes: limits.Bytes}
	size := int64(0) // not known
	show, wipe := c.progress()
	defer wipe()
	if show != nil {
		opts.Progress = func(bytes int64) { show("reading "+name+kilobytes, int(bytes/1000), int(size/1000)) }
	}
	if name == "-" {
		return pointfile.Read(ctx, readUntil(ctx, c.stdin), "stdin", opts)
	}
	if err := checkFile(name, "a point file"); err != nil {
		return nil, err
	}
	file, err := os.Open(name)
	if err != nil {
		return nil, unreadable(name, err)
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil {
		size = info.Size()
	}
	return pointfile.Read(ctx, file, name, opts)
}

// readUntil returns a reader of r that does not wait for r when ctx has ended:
// nobody may be writing to stdin.
func readUntil(ctx context.Context, r io.Reader) io.Reader {
	out, in := io.Pipe()
	context.AfterFunc(ctx, func() { in.CloseWithError(ctx.Err()) })
	go func() {
		_, err := io.Copy(in, r)
		in.CloseWithError(err) // nil makes io.EOF
	}()
	return out
}

// statedBy words how to state an order of columns by a flag.
func statedBy(flag string) func(order string) string {
	return func(order string) string { return flag + " " + quote(order) }
}

package main

import (
	"bytes"
	"context"
	"fmt"
	"os"

	"barrow/tin/pointfile"
	"barrow/volume/report"
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
	file, err := c.readPoints(ctx, files[0], columns)
	if err != nil {
		return false, err
	}
	d := pointfile.Describe(file)
	if err := ctx.Err(); err != nil {
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

func (c *console) readPoints(ctx context.Context, name, columns string) (*pointfile.File, error) {
	opts := pointfile.Options{Columns: columns, State: statedBy("--columns")}
	if name == "-" {
		return pointfile.Read(ctx, c.stdin, "stdin", opts)
	}
	if err := checkFile(name, "a point file"); err != nil {
		return nil, err
	}
	file, err := os.Open(name)
	if err != nil {
		return nil, unreadable(name, err)
	}
	defer file.Close()
	return pointfile.Read(ctx, file, name, opts)
}

// statedBy words how to state an order of columns by a flag.
func statedBy(flag string) func(order string) string {
	return func(order string) string { return flag + " " + quote(order) }
}

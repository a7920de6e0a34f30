package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"barrow/tin"
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
	opts := pointfile.Options{Columns: columns}
	if name == "-" {
		return pointfile.Read(ctx, c.stdin, "stdin", opts)
	}
	file, err := os.Open(name)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return nil, &tin.InputError{Code: "file_missing", File: name, Message: "there is no such file", Err: err}
		}
		return nil, &tin.InputError{Code: "file_unreadable", File: name, Message: err.Error(), Err: err}
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return nil, &tin.InputError{Code: "file_unreadable", File: name, Message: "this is a folder, not a point file"}
	}
	return pointfile.Read(ctx, io.Reader(file), name, opts)
}

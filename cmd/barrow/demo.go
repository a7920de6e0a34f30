package main

import (
	"bytes"
	"context"
	"embed"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"barrow/tin"
)

// demoFiles is a whole job: job.toml and the files it names.
//
//go:embed all:demo
var demoFiles embed.FS

// demoCommand writes the demo job into a folder and runs it as takeoff would.
func demoCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var out string
	set := flags("demo")
	set.BoolVar(&c.json, "json", c.json, "")
	set.StringVar(&out, "out", "", "")
	rest, err := c.parse(set, args)
	if err != nil {
		return false, err
	}
	if len(rest) > 0 {
		return false, usageError("demo takes no "+quote(rest[0]), "give a folder with --out")
	}
	dir, err := c.writeDemo(out)
	if err != nil {
		return false, err
	}
	job := filepath.Join(dir, "job.toml")
	c.say("wrote the demo job into %s", dir)
	c.say("to run it again: barrow takeoff %s", job)
	return c.takeoffFile(ctx, job, output{})
}

// writeDemo writes the demo job into a folder, by default a new temporary one,
// and returns the folder's name. A file that is there already and is not the
// demo's is not touched, and an error.
func (c *console) writeDemo(out string) (dir string, err error) {
	files, err := fs.Sub(demoFiles, "demo")
	if err != nil {
		return "", err
	}
	var list []outFile
	err = fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(files, name)
		list = append(list, outFile{filepath.FromSlash(name), data})
		return err
	})
	if err != nil {
		return "", err
	}
	for _, f := range list {
		if out == "" {
			break
		}
		path := filepath.Join(out, f.name)
		there, err := os.ReadFile(path)
		if err == nil && !bytes.Equal(there, f.data) {
			return "", &tin.InputError{Code: "file_exists", File: path,
				Message: "a file that is not the demo's is there already", Hint: "give another folder with --out"}
		}
	}
	if dir = out; dir == "" {
		if dir, err = os.MkdirTemp("", "barrow-demo-"); err != nil {
			return "", fmt.Errorf("cannot make a temporary folder: %w", err)
		}
	}
	return dir, c.writeFiles(dir, list, nil)
}

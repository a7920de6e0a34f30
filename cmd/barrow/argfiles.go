package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// checkFile looks whether a path of the command line leads to a file; what says
// what it should be.
func checkFile(path, what string) *tin.InputError {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &tin.InputError{Code: "file_missing", File: path, Message: "there is no such file",
			Hint: "check the name; a path that is not absolute begins in the current folder", Err: err}
	case err != nil:
		return unreadable(path, err)
	case info.IsDir():
		return &tin.InputError{Code: "file_unreadable", File: path, Message: "this is a folder, not " + what, Hint: "name a file in it"}
	case !info.Mode().IsRegular():
		return &tin.InputError{Code: "file_unreadable", File: path, Message: "this is a pipe or a device, not " + what, Hint: "copy what it gives into a file"}
	}
	return nil
}

func unreadable(path string, err error) *tin.InputError {
	return &tin.InputError{Code: "file_unreadable", File: path, Message: err.Error(), Hint: "name a file that can be read", Err: err}
}

// argFiles is a file system of just the files named on the command line, flat
// and under names of its own, and of texts held in memory. Nothing else can be
// opened through it.
type argFiles map[string]argFile

// argFile is a file of the operating system, or a text.
type argFile struct {
	path string
	data []byte
}

// Open implements [fs.FS].
func (a argFiles) Open(name string) (fs.File, error) {
	f, ok := a[name]
	switch {
	case !ok:
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	case f.path != "":
		return os.Open(f.path)
	}
	return &textFile{Reader: bytes.NewReader(f.data), name: name}, nil
}

// textFile is a text as an open file; it is its own description.
type textFile struct {
	*bytes.Reader
	name string
}

func (t *textFile) Stat() (fs.FileInfo, error) { return t, nil }
func (t *textFile) Close() error               { return nil }
func (t *textFile) Name() string               { return t.name }
func (t *textFile) Mode() fs.FileMode          { return 0o444 }
func (t *textFile) ModTime() time.Time         { return time.Time{} }
func (t *textFile) IsDir() bool                { return false }
func (t *textFile) Sys() any                   { return nil }

// notOneJob is the error of a command that was given so many job files.
func notOneJob(command string, given int) error {
	return usageError(fmt.Sprintf("%d job files given, wanted one", given), "run \"barrow "+command+" JOB.toml\", or \"barrow demo\" for one to try")
}

// shotsFile is a file of shots, with the flags that say more of it.
type shotsFile struct {
	name                     string
	columnsFlag, columns     string
	units                    string // empty: those of the job
	benchmarkFlag, benchmark string
}

// load reads it, in a unit. Its errors name the file as it was given.
func (f shotsFile) load(ctx context.Context, unit tin.Unit) (*takeoff.Shots, error) {
	if err := checkFile(f.name, "a file of points"); err != nil {
		return nil, err
	}
	file := fileArg(f.name)
	file.Columns, file.Units, file.State = f.columns, f.units, statedBy(f.columnsFlag)
	s, err := takeoff.LoadShots(ctx, file, unit, takeoff.Limits{})
	if err != nil {
		return nil, inFolder(err, filepath.Dir(f.name))
	}
	s.Name, s.Inputs[0].Path = f.name, f.name
	if f.benchmark != "" {
		if err := s.MarkBy(f.benchmark, unit); err != nil {
			return nil, under(f.benchmarkFlag, err)
		}
	}
	return s, nil
}

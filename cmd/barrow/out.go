package main

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"barrow/tin"
)

type outFile struct {
	name string
	data []byte
}

// writeFiles writes files into a folder, which it makes where it is not there. They appear
// together or not at all: none before all of them are on the disk, and if one cannot be
// put in its place those before it are taken back. None takes the place of an input. An
// interrupt while they are written leaves nothing.
func (c *console) writeFiles(dir string, files []outFile, inputs []string) error {
	if err := checkTargets(dir, files, inputs); err != nil {
		return err
	}
	if err := c.interrupted(); err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return outputError(dir, err)
	}
	temps := make([]string, len(files))
	defer func() {
		for _, temp := range temps {
			_ = os.Remove(temp) // those that were not put in their places
		}
	}()
	for i, f := range files {
		if err := c.interrupted(); err != nil {
			return err
		}
		temps[i] = filepath.Join(dir, "."+f.name+"."+rand.Text()+".tmp")
		if err := writeNew(temps[i], f.data); err != nil {
			return outputError(filepath.Join(dir, f.name), err)
		}
	}
	return place(dir, files, temps)
}

// checkTargets looks for what is in the way of files before any is written.
func checkTargets(dir string, files []outFile, inputs []string) error {
	for _, f := range files {
		path := filepath.Join(dir, f.name)
		target, err := os.Stat(path)
		switch {
		case err != nil:
			continue // not there yet, or to be met when it is written
		case target.IsDir():
			return outputError(path, errors.New("there is a folder of this name"))
		}
		for _, in := range inputs {
			if info, err := os.Stat(in); err == nil && os.SameFile(info, target) {
				return &tin.InputError{Code: "output_is_input", File: in,
					Message: "the result would be written over this file of the job", Hint: "give another folder with --out"}
			}
		}
	}
	return nil
}

// place gives files that are on the disk under other names their own. A file of that name
// is kept aside until all have theirs.
func place(dir string, files []outFile, temps []string) error {
	var done []placed
	for i, f := range files {
		p := placed{path: filepath.Join(dir, f.name), old: temps[i] + ".old"}
		if err := p.put(temps[i]); err != nil {
			return errors.Join(outputError(p.path, err), takeBack(done))
		}
		done = append(done, p)
	}
	for _, p := range done {
		_ = os.Remove(p.old) // if there was one
	}
	return nil
}

// placed is a file in its place, and the name that the one before it has until then.
type placed struct{ path, old string }

func (p *placed) put(temp string) error {
	if err := os.Rename(p.path, p.old); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := os.Rename(temp, p.path); err != nil {
		return errors.Join(err, p.restore())
	}
	return nil
}

// takeBack undoes what was done; its error says what is left.
func takeBack(done []placed) error {
	var left []string
	for _, p := range done {
		if os.Remove(p.path) != nil || p.restore() != nil {
			left = append(left, p.path)
		}
	}
	if left != nil {
		return fmt.Errorf("these are of this run, and may not go together with others in the folder: %s", strings.Join(left, ", "))
	}
	return nil
}

// restore puts back the file that was there before, if there was one.
func (p *placed) restore() error {
	if err := os.Rename(p.old, p.path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("the file that was there before is now %s: %w", p.old, err)
	}
	return nil
}

func outputError(path string, err error) error {
	return fmt.Errorf("cannot write %s: %w", path, err)
}

// writeNew writes a file that is not there yet.
func writeNew(path string, data []byte) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = file.Write(data)
	if closeErr := file.Close(); err == nil {
		err = closeErr
	}
	return err
}

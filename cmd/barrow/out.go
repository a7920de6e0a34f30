package main

import (
	"crypto/rand"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"barrow/tin"
)

type outFile struct {
	name string
	data []byte
}

// writeFiles writes files into a folder, which it makes where it is not there.
// Each appears whole or not at all, none before all of them are on the disk, and
// none takes the place of an input.
func writeFiles(dir string, files []outFile, inputs []string) error {
	for _, f := range files {
		target, err := os.Stat(filepath.Join(dir, f.name))
		if err != nil {
			continue // not there yet, or to be met below
		}
		if target.IsDir() {
			return outputError(filepath.Join(dir, f.name), errors.New("there is a folder of that name"))
		}
		for _, in := range inputs {
			if info, err := os.Stat(in); err == nil && os.SameFile(info, target) {
				return &tin.InputError{Code: "output_is_input", File: in,
					Message: "the result would be written over this file of the job", Hint: "give another folder with --out"}
			}
		}
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return outputError(dir, err)
	}
	temps := make([]string, len(files))
	defer func() {
		for _, temp := range temps {
			_ = os.Remove(temp) // those that were not renamed
		}
	}()
	for i, f := range files {
		temps[i] = filepath.Join(dir, "."+f.name+"."+rand.Text()+".tmp")
		if err := writeNew(temps[i], f.data); err != nil {
			return outputError(filepath.Join(dir, f.name), err)
		}
	}
	for i, f := range files {
		if err := os.Rename(temps[i], filepath.Join(dir, f.name)); err != nil {
			return outputError(filepath.Join(dir, f.name), err)
		}
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

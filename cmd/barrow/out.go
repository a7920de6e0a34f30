package main

import (
	"crypto/rand"
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
// Each appears whole or not at all, and none takes the place of an input.
func writeFiles(dir string, files []outFile, inputs []string) error {
	for _, f := range files {
		target, err := os.Stat(filepath.Join(dir, f.name))
		if err != nil {
			continue // not there yet, or to be met below
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
	for _, f := range files {
		if err := writeWhole(dir, f); err != nil {
			return outputError(filepath.Join(dir, f.name), err)
		}
	}
	return nil
}

func outputError(path string, err error) error {
	return fmt.Errorf("cannot write %s: %w", path, err)
}

// writeWhole writes beside the target and renames at the end.
func writeWhole(dir string, f outFile) (err error) {
	temp := filepath.Join(dir, "."+f.name+"."+rand.Text()+".tmp")
	file, err := os.OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = file.Write(f.data)
	if closeErr := file.Close(); err == nil {
		err = closeErr
	}
	if err == nil {
		err = os.Rename(temp, filepath.Join(dir, f.name))
	}
	if err != nil {
		_ = os.Remove(temp)
	}
	return err
}

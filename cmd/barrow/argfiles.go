package main

import (
	"bytes"
	"io/fs"
	"os"
	"time"
)

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

package takeoff

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"path"
	"strings"

	"barrow/tin"
	"barrow/volume/takeoff/internal/tomltree"
)

// Codes of errors about files.
const (
	codePathOutside = "path_outside"
	codeFileMissing = "file_missing"
	codeFileRead    = "file_unreadable"
)

// path reads the name of a file, relative to the job's folder, and returns its
// name in the file system.
func (l *loader) path(n *tomltree.Node, example string) string {
	name := l.text(n, example)
	if l.err != nil {
		return ""
	}
	const hint = "put the file into the job's folder, or one below it, and name it from there with /"
	switch {
	case name == "":
		l.fail(n, codeBadValue, "the file's name is empty", "write it like "+example)
	case strings.HasPrefix(name, "/"), strings.Contains(name, `\`), len(name) > 1 && name[1] == ':':
		l.fail(n, codePathOutside, fmt.Sprintf("%q is not a path below the job file's folder", name), hint)
	case hasDotDot(name):
		l.fail(n, codePathOutside, fmt.Sprintf("%q leads out of the job file's folder", name), hint)
	case !fs.ValidPath(path.Join(l.dir, name)):
		l.fail(n, codePathOutside, fmt.Sprintf("%q is not a name of a file", name), hint)
	}
	if l.err != nil {
		return ""
	}
	return path.Join(l.dir, name)
}

func hasDotDot(name string) bool {
	for part := range strings.SplitSeq(name, "/") {
		if part == ".." {
			return true
		}
	}
	return false
}

// read opens a file for the value at n and gives it to parse, which returns what it
// knows of it as an input; with the file's path and hash that goes into the job's.
func (l *loader) read(n *tomltree.Node, name string, parse func(r io.Reader) (Input, error)) {
	if l.err != nil {
		return
	}
	if info, err := fs.Stat(l.fsys, name); err == nil && !info.IsDir() && !info.Mode().IsRegular() {
		l.fail(n, codeFileRead, fmt.Sprintf("%q is a pipe or a device, not a file", name), "copy what it gives into a file")
		return
	}
	r, err := l.open(name)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			l.fail(n, codeFileMissing, fmt.Sprintf("there is no file %q", name), l.similarFile(name))
			return
		}
		l.failWith(n, err)
		return
	}
	defer r.file.Close()
	in, err := parse(r)
	if err == nil {
		_, err = io.Copy(io.Discard, r) // the hash is of the whole file
	}
	if r.err != nil { // what the reader met counts for more than what was made of it
		err = r.err
	}
	if err == nil {
		err = l.ctx.Err()
	}
	if err != nil {
		l.failWith(n, err)
		return
	}
	in.Path, in.SHA256 = name, hex.EncodeToString(r.hash.Sum(nil))
	l.job.Inputs = append(l.job.Inputs, in)
}

// similarFile looks in the folder of a file that is not there for one that may
// be meant.
func (l *loader) similarFile(name string) string {
	hint := "the path is relative to the job file's folder"
	if name == l.name {
		hint = "check the name of the job file"
	}
	entries, err := fs.ReadDir(l.fsys, path.Dir(name))
	if err != nil || len(entries) > 1000 {
		return hint
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if w := NearestWord(path.Base(name), names); w != "" {
		return fmt.Sprintf("did you mean %q?", path.Join(path.Dir(name), w))
	}
	return hint
}

// open opens a regular file within the limits.
func (l *loader) open(name string) (*meter, error) {
	file, err := l.fsys.Open(name)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, &tin.InputError{Code: codeFileRead, Message: fmt.Sprintf("cannot open %q: %v", name, err), Hint: "name a file that can be read", Err: err}
	}
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = &tin.InputError{Code: codeFileRead, Message: fmt.Sprintf("%q is not a file with content", name), Hint: "a folder is none: name a file in it"}
	}
	if err == nil && info.Size() > l.budget.left.Bytes {
		err = l.budget.bytes(name, info.Size())
	}
	if err != nil {
		file.Close()
		return nil, unreadable(name, err)
	}
	return &meter{ctx: l.ctx, name: name, file: file, info: info, budget: l.budget, hash: sha256.New(), progress: l.progress}, nil
}

func unreadable(name string, err error) error {
	if asInputError(err) != nil {
		return err
	}
	return &tin.InputError{Code: codeFileRead, Message: fmt.Sprintf("cannot read the file: %v", err), Hint: "see whether it is whole", File: name, Err: err}
}

// meter counts and hashes what is read through it, against the limits and
// while the context lives: a file may be longer than it says.
type meter struct {
	ctx    context.Context
	name   string
	file   fs.File
	info   fs.FileInfo
	budget *budget
	hash   hash.Hash
	err    error // the first that was not the end of the file

	done     int64
	progress func(stage string, done, total int)
}

func (m *meter) Read(p []byte) (int, error) {
	if m.err != nil {
		return 0, m.err
	}
	if m.err = m.ctx.Err(); m.err != nil {
		return 0, m.err
	}
	n, err := m.file.Read(p)
	m.hash.Write(p[:n])
	if m.done += int64(n); m.progress != nil {
		m.progress("reading "+m.name+", kB", int(m.done/1000), int(max(m.done, m.info.Size())/1000))
	}
	if over := m.budget.bytes(m.name, int64(n)); over != nil {
		m.err = over
		return 0, over
	}
	if err != nil && !errors.Is(err, io.EOF) {
		m.err = unreadable(m.name, err)
		return n, m.err
	}
	return n, err
}

// Stat lets a reader see how much there is to come.
func (m *meter) Stat() (fs.FileInfo, error) { return m.info, nil }

// asInputError returns err as a *tin.InputError, nil if it is none.
func asInputError(err error) *tin.InputError {
	e, _ := errors.AsType[*tin.InputError](err)
	return e
}

package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A text beside an object of another run would be read as one result. So a file
// that cannot be written, here since its name is too long, leaves the others as
// they were.
func TestWriteFilesAllOrNone(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "result.txt")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o666))
	name := strings.Repeat("n", 300)
	err := (&console{}).writeFiles(dir, []outFile{{"result.txt", []byte("new")}, {name, []byte("new")}}, nil)
	require.ErrorContains(t, err, "cannot write")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "old", string(data))
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 1)
}

// A file that cannot be put in its place takes those before it with it: each is again what
// it was, or not there.
func TestPlaceTakesBack(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	for name, text := range map[string]string{"a": "old a", "c": "old c", ".a.tmp": "new a", ".b.tmp": "new b"} {
		require.NoError(t, os.WriteFile(in(name), []byte(text), 0o666))
	}
	err := place(dir, []outFile{{name: "a"}, {name: "b"}, {name: "c"}}, []string{in(".a.tmp"), in(".b.tmp"), in(".c.tmp")}) // the last is not there
	require.ErrorContains(t, err, "cannot write "+in("c"))
	got := map[string]string{}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		data, err := os.ReadFile(in(e.Name()))
		require.NoError(t, err)
		got[e.Name()] = string(data)
	}
	assert.Equal(t, map[string]string{"a": "old a", "c": "old c"}, got)
}

// What cannot be taken back is named.
func TestTakeBackNamesWhatIsLeft(t *testing.T) {
	gone := filepath.Join(t.TempDir(), "gone", "a")
	assert.ErrorContains(t, takeBack([]placed{{path: gone, old: gone + ".old"}}), "of this run, and may not go together with others in the folder: "+gone)
	assert.NoError(t, takeBack(nil))
}

// A folder in a file's place is met before anything is written.
func TestWriteFilesWhereAFolderIs(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "b"), 0o777))
	err := (&console{}).writeFiles(dir, []outFile{{"a", []byte("new")}, {"b", []byte("new")}}, nil)
	require.ErrorContains(t, err, "there is a folder of this name")
	assert.NoFileExists(t, filepath.Join(dir, "a"))
}

func TestWriteFilesInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	dir := t.TempDir()
	require.ErrorIs(t, (&console{ctx: ctx}).writeFiles(dir, []outFile{{"a", []byte("new")}}, nil), context.Canceled)
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, entries)
}

// The points of a level book are opened in spreadsheets: no name runs there.
func TestPointsOfALevelBookAreHarmless(t *testing.T) {
	t.Chdir(t.TempDir())
	book := "point,backsight,intermediate,foresight,level,easting,northing,code\n" +
		"BM1,1.500,,,50.000,100,200,BM\n=1+1,,1.200,,,110,210,@x\nBM1,,,1.500,50.000,100,200,BM\n"
	require.NoError(t, os.WriteFile("book.csv", []byte(book), 0o666))
	var out, errs bytes.Buffer
	require.Zero(t, run([]string{"levelbook", "book.csv", "--units", "m", "--allow-per-root-setup", "4mm", "--out", "out"}, strings.NewReader(""), &out, &errs), "%s%s", out.String(), errs.String())
	points, err := os.ReadFile("out/points.csv")
	require.NoError(t, err)
	assert.Contains(t, string(points), "\n'=1+1,110,210,50.3,'@x\n")
}

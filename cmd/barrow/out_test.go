package main

import (
	"bytes"
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
	err := writeFiles(dir, []outFile{{"result.txt", []byte("new")}, {name, []byte("new")}}, nil)
	require.ErrorContains(t, err, "cannot write")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "old", string(data))
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 1)
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

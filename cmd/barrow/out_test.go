package main

import (
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

	// So does a folder in the place of a file.
	require.NoError(t, os.Mkdir(filepath.Join(dir, "plan.svg"), 0o777))
	err = writeFiles(dir, []outFile{{"result.txt", []byte("new")}, {"plan.svg", []byte("new")}}, nil)
	require.EqualError(t, err, "cannot write "+filepath.Join(dir, "plan.svg")+": there is a folder of that name")
	data, err = os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "old", string(data))
}

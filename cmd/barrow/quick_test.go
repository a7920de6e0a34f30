package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// Two files of one name, one of them the name that the other would be given.
func TestQuickFilesOfOneName(t *testing.T) {
	dir := t.TempDir()
	ground, outline := filepath.Join(dir, "a", "file1.csv"), filepath.Join(dir, "b", "file1.csv")
	write := func(path, text string) {
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	write(ground, "easting,northing,level\n0,0,10\n40,0,10\n40,40,10\n0,40,10\n")
	write(outline, "easting,northing\n10,10\n20,10\n20,20\n10,20\n")
	var out, errs bytes.Buffer
	code := run([]string{"takeoff", "--ground", ground, "--outline", outline, "--finished", "9.5", "--units", "m", "--json"}, nil, &out, &errs)
	require.Equal(t, 0, code, errs.String())
	var result struct{ Total struct{ Cut float64 } }
	require.NoError(t, json.Unmarshal(out.Bytes(), &result))
	require.InEpsilon(t, 50.0, result.Total.Cut, 1e-12) // 10 m x 10 m x 0.5 m
}

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

// Flags make the same job as a file.
func TestQuickIsTheSameJob(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, text := range map[string]string{
		"ground.csv": "easting,northing,level\n0,0,10\n40,0,14\n40,40,14\n0,40,10\n20,21,12\n",
		"shed.csv":   "easting,northing\n15,15\n25,15\n25,25\n15,25\n",
		"job.toml": "name = \"quick look\"\nunits = \"m\"\n[[survey]]\npoints = \"ground.csv\"\n[ground]\ntopsoil = 0.2\n" +
			"[[pad]]\nname = \"pad\"\noutline = \"shed.csv\"\nfinished = 11.65\nlayers = [ { name = \"slab\", thickness = \"150 mm\" } ]\n" +
			"margin = 0.5\nbatter = { cut = \"1V:1H\", fill = \"1V:2H\" }\n",
	} {
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	}
	result := func(args ...string) (r map[string]any) {
		var out, errs bytes.Buffer
		require.Equal(t, 0, run(append([]string{"takeoff", "--json"}, args...), nil, &out, &errs), errs.String())
		require.NoError(t, json.Unmarshal(out.Bytes(), &r))
		r["inputs"] = r["inputs"].([]any)[len(r["inputs"].([]any))-2:] // without job.toml
		return r
	}
	want := result("job.toml")
	require.Equal(t, want, result("--ground", "ground.csv", "--outline", "shed.csv", "--units", "m", "--finished", "11.65", "--layer", "slab=150mm",
		"--margin", "0.5", "--batter-cut", "1V:1H", "--batter-fill", "1V:2H", "--topsoil", "20 cm"))
	total := want["total"].(map[string]any)
	require.Greater(t, total["batter_cut"], 0.0)
	require.Greater(t, total["margin_cut"], 0.0)
	require.Greater(t, total["makeup_fill"], 0.0)
}

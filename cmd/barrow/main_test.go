package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

func TestExitCodes(t *testing.T) {
	bad := &tin.InputError{Code: "x"}
	for _, tt := range []struct {
		warnings bool
		err      error
		want     int
	}{
		{false, nil, 0}, {true, nil, 3}, {false, bad, 2}, {true, bad, 2},
		{false, errors.Join(bad), 2}, {false, errors.New("x"), 1}, {false, context.Canceled, 1},
	} {
		assert.Equal(t, tt.want, exitCode(tt.warnings, tt.err), "%v %v", tt.warnings, tt.err)
	}
}

// helped are the names that have a help text; the first is barrow's own.
func helped() []string {
	names := []string{""}
	for _, c := range slices.Concat(commands(), asides()) {
		names = append(names, c.name)
	}
	return names
}

func TestHelpFitsAScreen(t *testing.T) {
	for _, name := range helped() {
		text := helpOf(name)
		require.NotEmpty(t, text)
		assert.LessOrEqual(t, strings.Count(text, "\n"), 24, name)
		for line := range strings.SplitSeq(text, "\n") {
			assert.LessOrEqual(t, len(line), 80, line)
		}
	}
	assert.Empty(t, helpOf("takeover"))
}

// The run at the end of each help works when pasted.
func TestHelpEndsWithARunThatWorks(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("TMPDIR", t.TempDir())
	for _, name := range helped() {
		_, example, ok := strings.Cut(helpOf(name), "To try it:\n")
		require.True(t, ok, name)
		for part := range strings.SplitSeq(example, "&&") {
			args, ok := strings.CutPrefix(strings.TrimSpace(part), "barrow ")
			require.True(t, ok, part)
			var out, errs bytes.Buffer
			code := run(strings.Fields(args), strings.NewReader(""), &out, &errs)
			assert.Contains(t, []int{exitDone, exitWarning}, code, "%s: %s", part, errs.String())
			assert.NotEmpty(t, out.String())
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestFullDiskIsAFailure(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, args := range []string{"help", "demo --out d", "takeoff d/job.toml --json", "compare d/ground.csv d/job.toml", "points d/ground.csv", "points nowhere --json"} {
		var errs bytes.Buffer
		assert.Equal(t, exitFailed, run(strings.Fields(args), strings.NewReader(""), fullDisk{}, &errs), args)
	}
}

// A link does not lead out of the job's folder.
func TestLinksStayInTheFolder(t *testing.T) {
	secret := filepath.Join(t.TempDir(), "secret.csv")
	require.NoError(t, os.WriteFile(secret, []byte("e,n,z\n0,0,1\n9,0,1\n9,9,1\n"), 0o666))
	t.Chdir(t.TempDir())
	if err := os.Symlink(secret, "link.csv"); err != nil {
		t.Skip("no links here")
	}
	require.NoError(t, os.WriteFile("job.toml", []byte("units = \"m\"\n[[survey]]\npoints = \"link.csv\"\n[[pad]]\nname = \"a\"\n"+
		"outline = [[1,0.2],[2,0.2],[2,0.4]]\nfinished = 0\n"), 0o666))
	var out, errs bytes.Buffer
	assert.Equal(t, exitInput, run([]string{"takeoff", "job.toml"}, strings.NewReader(""), &out, &errs))
	assert.Contains(t, errs.String(), "link.csv")
	assert.Empty(t, out.String())
}

package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// smallJob writes a job with something for every stage into the current folder.
func smallJob(t *testing.T) {
	var ground, after strings.Builder
	for _, b := range []*strings.Builder{&ground, &after} {
		b.WriteString("easting,northing,level\n")
	}
	for e := 0; e <= 60; e += 5 {
		for n := 0; n <= 60; n += 5 {
			level := 10 + 0.02*float64(e) + 0.1*float64((e*7+n*3)%11)
			writeLine(&ground, float64(e), float64(n), level)
			writeLine(&after, float64(e), float64(n), level-0.2)
		}
	}
	for name, text := range map[string]string{
		"ground.csv": ground.String(), "after.csv": after.String(),
		"shots.csv": "easting,northing,level\n22,22,9.81\n30,30,9.79\n38,38,9.80\n",
		"rates.csv": "currency,XTS\nitem,quantity,unit,rate\nDig,cut,m3 bank,6.50\n",
		"job.toml": `units = "m"
rates = "rates.csv"
[[survey]]
points = "ground.csv"
benchmark = { name = "BM", plan = 10, measured = 10 }
[ground]
topsoil = { depth = 0.1, beyond = 0.5 }
[[clearance]]
name = "lot"
stay = "inside"
shape = [[1, 1], [59, 1], [59, 59], [1, 59]]
[[material]]
name = "clay"
loose_per_bank = 1.3
compacted_per_bank = 0.9
[[pad]]
name = "yard"
outline = [[20, 20], [40, 20], [40, 40], [20, 40]]
finished = 11
layers = [ { name = "stone", thickness = "200 mm" } ]
margin = 0.5
batter = { cut = "1V:1H", fill = "1V:2H" }
tolerance = "+0.010 -0.030"
`,
	} {
		require.NoError(t, os.WriteFile(name, []byte(text), 0o666))
	}
}

func writeLine(b *strings.Builder, values ...float64) {
	for i, v := range values {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(strconv.FormatFloat(v, 'f', 3, 64))
	}
	b.WriteByte('\n')
}

// An interrupt at whichever word of progress ends the command with its error, and without
// a file.
func TestInterruptAtAnyWord(t *testing.T) {
	t.Chdir(t.TempDir())
	smallJob(t)
	for _, line := range []string{
		"takeoff job.toml", "sections job.toml", "crosscheck job.toml", "crosscheck ground.csv after.csv --units m",
		"compare ground.csv after.csv --units m", "price job.toml", "balance job.toml --step 0.1",
		"setout job.toml --back 2", "conform job.toml --shots shots.csv", "surfaces job.toml", "report job.toml",
	} {
		t.Run(line, func(t *testing.T) {
			args := strings.Fields(line)
			cmd, ok := findCommand(args[0])
			require.True(t, ok)
			words := 0
			whole := t.TempDir()
			require.NoError(t, runWatched(t, cmd, args[1:], whole, func(string, context.CancelFunc) { words++ }))
			require.Positive(t, words)
			entries, err := os.ReadDir(whole)
			require.NoError(t, err)
			require.NotEmpty(t, entries)
			for stop := 0; stop < words; stop += 1 + words/8 { // of many words some
				out, said, at := filepath.Join(t.TempDir(), "out"), 0, ""
				err := runWatched(t, cmd, args[1:], out, func(stage string, cancel context.CancelFunc) {
					if said == stop {
						at = stage
						cancel()
					}
					said++
				})
				require.ErrorIs(t, err, context.Canceled, "%d, %s", stop, at)
				assert.NoDirExists(t, out, "%d, %s", stop, at)
			}
		})
	}
}

// runWatched runs a command into a folder, and has every word of progress of it told.
func runWatched(t *testing.T, cmd command, args []string, out string, told func(stage string, cancel context.CancelFunc)) error {
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var stdout, stderr bytes.Buffer
	c := &console{stdin: strings.NewReader(""), stdout: &stdout, stderr: &stderr, ctx: ctx,
		watch: func(stage string, _, _ int) { told(stage, cancel) }}
	_, err := cmd.run(ctx, c, append(append([]string(nil), args...), "--out", out))
	if err != nil {
		assert.Empty(t, stdout.String())
	}
	return err
}

package main

import (
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The page has every command and every flag that a help describes, in the order of sections
// that such pages have.
func TestManualHasEverything(t *testing.T) {
	page := manual("2026-03-01T07:00:00Z")
	assert.Contains(t, page, ".Dd March 1, 2026\n")
	assert.Contains(t, manual(""), ".Dd undated\n")
	last := -1
	for _, section := range []string{"NAME", "SYNOPSIS", "DESCRIPTION", "COMMANDS", "ENVIRONMENT", "FILES", "EXIT STATUS", "EXAMPLES", "CAUTIONS"} {
		at := strings.Index(page, "\n.Sh "+section+"\n")
		assert.Greater(t, at, last, section)
		last = at
	}
	for _, name := range helped()[1:] {
		_, rest, ok := strings.Cut(page, "\n.Ss "+name+"\n")
		require.True(t, ok, name)
		rest, _, _ = strings.Cut(rest, "\n.S")
		for _, f := range guideOf(helpOf(name)).flags() {
			assert.Contains(t, rest, "\n.It Fl -"+f.name, name)
		}
	}
	for _, m := range exitMeanings() {
		assert.Contains(t, page, "\n.It \""+m.word+"\"\n"+m.text+"\n")
	}
	assert.Contains(t, page, "Digging kills.")
}

// Lines that are not broken fit 80 columns behind the indent of 7 that man gives them.
func TestManualFitsALine(t *testing.T) {
	literal := false
	for line := range strings.SplitSeq(manual(""), "\n") {
		literal = literal && line != ".Ed" || strings.HasPrefix(line, ".Bd -literal")
		if literal && !strings.HasPrefix(line, ".Bd") {
			assert.LessOrEqual(t, 7+len(strings.NewReplacer(`\-`, "-", `\&`, "", `\e`, `\`).Replace(line)), 80, line)
		}
	}
}

func TestEscape(t *testing.T) {
	for text, want := range map[string]string{
		"--json of a build-up": `\-\-json of a build-up`, "-0.030": `\-0.030`, `"+10 mm -30 mm"`: `"+10 mm \-30 mm"`,
		".csv": `\&.csv`, "'tis": `\&'tis`, `a\b`: `a\eb`, "one-two": "one-two",
	} {
		assert.Equal(t, want, escape(text))
	}
}

// Those who set such pages find nothing wrong with it.
func TestManualIsWellFormed(t *testing.T) {
	for _, tt := range [][]string{{"mandoc", "-T", "lint", "-W", "warning"}, {"groff", "-mdoc", "-T", "utf8", "-ww", "-z"}} {
		if _, err := exec.LookPath(tt[0]); err != nil {
			continue
		}
		cmd := exec.Command(tt[0], tt[1:]...)
		cmd.Stdin = strings.NewReader(manual("2026-03-01T07:00:00Z"))
		said, err := cmd.CombinedOutput()
		assert.NoError(t, err, tt)
		assert.Empty(t, string(said), tt)
	}
}

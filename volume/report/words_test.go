package report_test

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/report"
)

// Every name finds its own word, and no other has it.
func TestWordsAreFound(t *testing.T) {
	seen := map[string]string{}
	for _, w := range report.Words() {
		require.NotEmpty(t, w.Meaning, w.Name)
		assert.Regexp(t, `\.$`, w.Meaning)
		for _, name := range append([]string{w.Name}, w.Also...) {
			key := strings.ToLower(name)
			require.Empty(t, seen[key], "%s and %s are both called %s", seen[key], w.Name, name)
			seen[key] = w.Name
			got, ok := report.FindWord(strings.ToUpper(name))
			require.True(t, ok, name)
			assert.Equal(t, w, got)
		}
	}
	_, ok := report.FindWord("datum of formation")
	assert.False(t, ok)
}

// The signs stand where the methods page has them.
func TestWordsAgreeWithTheMethods(t *testing.T) {
	methods, err := os.ReadFile("../../docs/methods.md")
	require.NoError(t, err)
	for word, both := range map[string][2]string{
		"depth": {"Ground less formation", "Depth = ground - formation"},
		"cut":   {"Bank measure", "Cut is bank measure"},
		"fill":  {"Compacted measure", "compacted measure"},
	} {
		w, ok := report.FindWord(word)
		require.True(t, ok, word)
		assert.Contains(t, w.Meaning, both[0])
		assert.Contains(t, string(methods), both[1])
	}
}

func TestGlossaryFitsALine(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.Glossary(&b, report.Words()))
	for line := range strings.SplitSeq(b.String(), "\n") {
		assert.LessOrEqual(t, len(line), 80, line)
	}
	w, _ := report.FindWord("subgrade")
	b.Reset()
	require.NoError(t, report.Glossary(&b, []report.Word{w}))
	assert.Equal(t, `formation
    The surface that is dug or filled to: finished level less the build-up.
    unit: m, ft or ftUS, as the job says
    also: subgrade, formation level
    not: the finished level
`, b.String())
}

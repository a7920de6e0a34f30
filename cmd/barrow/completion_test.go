package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/takeoff"
)

// What is completed as a file of data is what the library reads by its ending.
func TestDataEndings(t *testing.T) {
	for _, ending := range dataEndings() {
		delimited := slices.Contains([]string{"csv", "txt", "xyz", "pnt"}, ending)
		assert.Equal(t, delimited, takeoff.IsPointFile("ground."+ending), ending)
	}
}

// typed is a command line up to the place where something is wanted, and what is offered
// there. Two shells list folders with a stroke behind them; here they are without.
var typed = []struct {
	line string
	want []string
}{
	{"barrow cro", []string{"crosscheck"}},
	{"barrow co", []string{"compare", "completion", "conform"}},
	{"barrow takeoff --tri", []string{"--triangles"}},
	{"barrow takeoff ", []string{"jobs", "Yard.TOML", "job.toml", "two words.toml"}},
	{"barrow takeoff jo", []string{"jobs", "job.toml"}},
	{"barrow takeoff two", []string{"two words.toml"}},
	{"barrow takeoff --ground g", []string{"ground.csv"}},
	{"barrow takeoff job.toml --out ", []string{"jobs"}},
	{"barrow compare --within ", []string{"jobs", "ground.csv", "lot.GeoJSON"}},
	{"barrow compare ground.csv jo", []string{"jobs", "job.toml"}},
	{"barrow compare --duplicates ", []string{"mean", "first", "last"}},
	{"barrow crosscheck --claimed-topsoil i", []string{"in"}},
	{"barrow takeoff --finished ", nil},
	{"barrow completion ", []string{"bash", "zsh", "fish"}},
	{"barrow help wo", []string{"words"}},
}

func completionFolder(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.Mkdir("jobs", 0o777))
	for _, name := range []string{"job.toml", "Yard.TOML", "two words.toml", "ground.csv", "lot.GeoJSON", "notes.md"} {
		require.NoError(t, os.WriteFile(name, nil, 0o666))
	}
}

// completionOf writes the script for a shell into a file, and skips the test where there
// is no such shell.
func completionOf(t *testing.T, shell string) (path string) {
	if _, err := exec.LookPath(shell); err != nil {
		t.Skip("there is no " + shell)
	}
	var out, errs bytes.Buffer
	require.Equal(t, exitDone, run([]string{"completion", shell}, strings.NewReader(""), &out, &errs), errs.String())
	path = filepath.Join(t.TempDir(), "_barrow")
	require.NoError(t, os.WriteFile(path, out.Bytes(), 0o666))
	said, err := exec.Command(shell, "-n", path).CombinedOutput()
	require.NoError(t, err, string(said))
	return path
}

// lines are the lines of a shell's output, without the strokes behind folders.
func lines(t *testing.T, cmd *exec.Cmd) (list []string) {
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	require.NoError(t, err)
	for line := range strings.Lines(string(out)) {
		list = append(list, strings.TrimRight(line, "/\n"))
	}
	return list
}

func TestCompletionInBash(t *testing.T) {
	path := completionOf(t, "bash")
	completionFolder(t)
	for _, tt := range typed {
		words := append(strings.Fields(tt.line), "")
		if !strings.HasSuffix(tt.line, " ") {
			words = words[:len(words)-1]
		}
		got := lines(t, exec.Command("bash", append([]string{"-c", `source "$0"
COMP_WORDS=("$@") COMP_CWORD=$(($# - 1))
_barrow
for reply in "${COMPREPLY[@]}"; do echo "$reply"; done`, path}, words...)...))
		assert.ElementsMatch(t, tt.want, got, tt.line)
	}
}

// With --flag=value the shell makes three words of it.
func TestCompletionInBashBehindAnEqualsSign(t *testing.T) {
	path := completionOf(t, "bash")
	for _, words := range [][]string{{"barrow", "compare", "--duplicates", "="}, {"barrow", "compare", "--duplicates", "=", "m"}} {
		got := lines(t, exec.Command("bash", append([]string{"-c", `source "$0"
COMP_WORDS=("$@") COMP_CWORD=$(($# - 1))
_barrow
for reply in "${COMPREPLY[@]}"; do echo "$reply"; done`, path}, words...)...))
		assert.Contains(t, got, "mean")
	}
}

func TestCompletionInFish(t *testing.T) {
	path := completionOf(t, "fish")
	t.Setenv("HOME", t.TempDir())
	completionFolder(t)
	for _, tt := range typed {
		var got []string
		for _, line := range lines(t, exec.Command("fish", "--no-config", "-c", `source $argv[1]; complete -C $argv[2]`, path, tt.line)) {
			word, _, _ := strings.Cut(line, "\t")
			got = append(got, strings.TrimRight(strings.ReplaceAll(word, `\ `, " "), "/"))
		}
		assert.ElementsMatch(t, tt.want, got, tt.line)
	}
}

// Zsh completes on a terminal only; here its own machinery is replaced by what prints what
// it is asked. A pattern of one ending stands without brackets, which would be qualifiers.
func TestCompletionInZsh(t *testing.T) {
	path := completionOf(t, "zsh")
	asked := func(words ...string) []string {
		return lines(t, exec.Command("zsh", append([]string{"-f", "-c", `compdef() { }
_arguments() { print -rl -- "$@" }
_describe() { print -rl -- "${(@P)4}" }
source "$1"; shift
words=("$@") CURRENT=$#
_barrow`, "zsh", path}, words...)...))
	}
	assert.Contains(t, asked("barrow", "cro"), "crosscheck:the same works by other methods; someone else's figures")
	takeoff := asked("barrow", "takeoff", "")
	assert.Contains(t, takeoff, `*: :_files -g "(#i)*.toml"`)
	assert.Contains(t, takeoff, "--triangles[draw the triangles of the ground on the plan]")
	assert.Contains(t, takeoff, "--units=[of everything without a unit]:m|ft|ftUS:(m ft ftUS)")
	assert.Contains(t, asked("barrow", "setout", ""), "*--back=[pegs on a line so far outside the outline; repeatable]:LENGTH: ")
}

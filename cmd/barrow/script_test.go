package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the expected output of the scripts anew")

// The scripts in testdata read like a manual: what is typed, and what comes of
// it. Before the first file (-- name --) each line is a comment (#), blank, or
//
//	barrow ARGS     runs the command in a new folder that holds the files; an
//	                argument in "quotes" may hold blanks
//	< FILE          as above, before it: what the next command reads from stdin
//	exit N          the code of the command above; without it, 0 is wanted
//	stdout REGEXP   a line of its output matches
//	stderr REGEXP
//	nothing         neither stdout nor stderr got anything
//	silent          stdout got nothing
//	cmp FILE        stdout is the file
//	exists FILE     a file was written
//	absent FILE
func TestScripts(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) { runScript(t, file) })
	}
}

func runScript(t *testing.T, path string) {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	path, err = filepath.Abs(path)
	require.NoError(t, err)
	script, files := splitScript(string(data))
	t.Chdir(t.TempDir())
	t.Setenv("TMPDIR", t.TempDir())
	for _, f := range files {
		require.NoError(t, os.MkdirAll(filepath.Dir(f.name), 0o777))
		require.NoError(t, os.WriteFile(f.name, []byte(f.text), 0o666))
	}
	s := &state{T: t}
	changed := false
	for i, line := range strings.Split(script, "\n") {
		word, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		rest = strings.TrimSpace(rest)
		s.where = filepath.Base(path) + ":" + strconv.Itoa(i+1) + ": " + line
		switch word {
		case "", "#":
		case "barrow":
			s.settle()
			s.run(rest)
		case "<":
			s.settle()
			s.stdin = rest
		case "exit":
			code, err := strconv.Atoi(rest)
			require.NoError(t, err, s.where)
			s.want = code
			s.settle()
		case "stdout", "stderr":
			out := map[string]string{"stdout": s.stdout, "stderr": s.stderr}[word]
			assert.Regexp(t, regexp.MustCompile("(?m)"+rest), out, s.where)
		case "nothing":
			assert.Empty(t, s.stdout+s.stderr, s.where)
		case "silent":
			assert.Empty(t, s.stdout, s.where)
		case "cmp":
			for k := range files {
				if files[k].name != rest {
					continue
				}
				if *update && files[k].text != s.stdout {
					files[k].text, changed = s.stdout, true
				}
				assert.Equal(t, files[k].text, s.stdout, s.where)
			}
		case "exists":
			assert.FileExists(t, rest, s.where)
		case "absent":
			assert.NoFileExists(t, rest, s.where)
		default:
			t.Fatalf("%s: unknown word", s.where)
		}
	}
	s.settle()
	if changed {
		out := script
		for _, f := range files {
			out += "-- " + f.name + " --\n" + f.text
		}
		require.NoError(t, os.WriteFile(path, []byte(out), 0o666))
	}
}

// state is the last command of a script.
type state struct {
	*testing.T
	where          string
	stdin          string
	stdout, stderr string
	code, want     int
}

// settle checks the exit code of the command before.
func (s *state) settle() {
	assert.Equal(s, s.want, s.code, "exit code before %s\nstdout: %s\nstderr: %s", s.where, s.stdout, s.stderr)
	s.want, s.code = 0, 0
}

func (s *state) run(line string) {
	var in bytes.Buffer
	if s.stdin != "" {
		data, err := os.ReadFile(s.stdin)
		require.NoError(s, err)
		in.Write(data)
		s.stdin = ""
	}
	var out, errs bytes.Buffer
	s.code = run(words(line), &in, &out, &errs)
	s.stdout, s.stderr = out.String(), errs.String()
}

// words splits a line at blanks outside of double quotes.
func words(line string) (list []string) {
	var word strings.Builder
	quoted, any := false, false
	for _, r := range line {
		switch {
		case r == '"':
			quoted, any = !quoted, true
		case r == ' ' && !quoted:
			if any {
				list = append(list, word.String())
			}
			word.Reset()
			any = false
		default:
			word.WriteRune(r)
			any = true
		}
	}
	if any {
		list = append(list, word.String())
	}
	return list
}

type scriptFile struct{ name, text string }

var fileHead = regexp.MustCompile(`(?m)^-- (\S+) --\n`)

func splitScript(text string) (script string, files []scriptFile) {
	heads := fileHead.FindAllStringSubmatchIndex(text, -1)
	if len(heads) == 0 {
		return text, nil
	}
	script = text[:heads[0][0]]
	for i, h := range heads {
		end := len(text)
		if i+1 < len(heads) {
			end = heads[i+1][0]
		}
		files = append(files, scriptFile{text[h[2]:h[3]], text[h[1]:end]})
	}
	return script, files
}

package main

import (
	"context"
	"flag"
	"io"
	"regexp"
	"strings"
)

// guide is a help text taken apart, for the manual page and for completion: the help is
// the one place where a flag is described.
type guide struct {
	usage    []string // what is typed, as the help has it
	synopsis []string // the same, one way a line
	parts    []part
	example  string // lines of a run that works
}

// part is a run of lines of one kind; one of its fields is set.
type part struct {
	prose string   // a paragraph
	flags []flagIs // a list
	lines []string // as they are, such as a piece of a file
}

// flagIs is a flag as its help has it.
type flagIs struct {
	name  string
	value string // the word for its value; empty: it has none
	text  string // what it is for
}

// aFlag is a flag with the word for its value, set off from what follows by two blanks
// or more: that tells the description of a flag from its mention in a text.
var aFlag = regexp.MustCompile(`--([a-z0-9-]+)(?: ([^ \n]+))?(?:  +|$)`)

// guideOf takes the help of a command apart.
func guideOf(text string) (g guide) {
	text, example, _ := strings.Cut(text, "\nTo try it:\n")
	g.example = unindent(strings.Trim(example, "\n"))
	head, body, _ := strings.Cut(text, "\n\n")
	for line := range strings.SplitSeq(head, "\n") {
		g.usage = append(g.usage, line[min(len(line), len("usage: ")):])
	}
	g.synopsis = synopsisOf(g.usage)
	for block := range strings.SplitSeq(body, "\n\n") {
		g.read(strings.Split(strings.Trim(block, "\n"), "\n"))
	}
	return g
}

// synopsisOf puts lines that do not begin with barrow behind the one before.
func synopsisOf(usage []string) (list []string) {
	for _, line := range usage {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "barrow ") || len(list) == 0 {
			list = append(list, line)
		} else {
			list[len(list)-1] += " " + line
		}
	}
	return list
}

// read takes the lines of a block: prose at the margin, flags and what else is indented.
func (g *guide) read(lines []string) {
	for i := 0; i < len(lines); {
		n := i + 1
		switch {
		case !strings.HasPrefix(lines[i], " "):
			for n < len(lines) && !strings.HasPrefix(lines[n], " ") {
				n++
			}
			g.parts = append(g.parts, part{prose: strings.Join(lines[i:n], " ")})
		case isFlagLine(lines[i]):
			for n < len(lines) && strings.HasPrefix(lines[n], " ") {
				n++
			}
			g.parts = append(g.parts, part{flags: flagsIn(lines[i:n])})
		default:
			for n < len(lines) && strings.HasPrefix(lines[n], " ") && !isFlagLine(lines[n]) {
				n++
			}
			g.parts = append(g.parts, part{lines: strings.Split(unindent(strings.Join(lines[i:n], "\n")), "\n")})
		}
		i = n
	}
}

// unindent takes two blanks off each line.
func unindent(text string) string {
	return strings.TrimPrefix(strings.ReplaceAll(text, "\n  ", "\n"), "  ")
}

func isFlagLine(line string) bool { return strings.HasPrefix(strings.TrimLeft(line, " "), "--") }

// flagsIn reads lines that describe flags, some of them more than one.
func flagsIn(lines []string) (list []flagIs) {
	for _, line := range lines {
		found := aFlag.FindAllStringSubmatchIndex(line, -1)
		end := len(line)
		if len(found) > 0 {
			end = found[0][0]
		}
		if before := strings.TrimSpace(line[:end]); before != "" && len(list) > 0 { // it goes on
			last := &list[len(list)-1]
			last.text = strings.TrimSpace(last.text + " " + before)
		}
		for k, f := range found {
			end := len(line)
			if k+1 < len(found) {
				end = found[k+1][0]
			}
			is := flagIs{name: line[f[2]:f[3]], text: strings.TrimSpace(line[f[1]:end])}
			if f[4] >= 0 {
				is.value = line[f[4]:f[5]]
			}
			list = append(list, is)
		}
	}
	for i := range list {
		list[i].text = strings.TrimRight(list[i].text, ";")
	}
	return list
}

// flags returns all flags that a guide describes.
func (g guide) flags() (list []flagIs) {
	for _, p := range g.parts {
		list = append(list, p.flags...)
	}
	return list
}

// flag returns what a guide says of a flag.
func (g guide) flag(name string) (is flagIs, ok bool) {
	for _, f := range g.flags() {
		if f.name == name {
			return f, true
		}
	}
	return flagIs{}, false
}

// flagsElsewhere is how a help leaves flags to that of another command.
var flagsElsewhere = regexp.MustCompile(`\[flags of "barrow ([a-z]+)"`)

// flagHelp returns what the help of a command, or the one it names, says of a flag.
func flagHelp(command, name string) (is flagIs, ok bool) {
	text := helpOf(command)
	if is, ok = guideOf(text).flag(name); ok {
		return is, true
	}
	if other := flagsElsewhere.FindStringSubmatch(text); other != nil {
		return guideOf(helpOf(other[1])).flag(name)
	}
	return flagIs{}, false
}

// flags returns the flags of a command, as it has them when it reads its arguments.
func (cmd command) flags() (set *flag.FlagSet) {
	c := &console{stdin: strings.NewReader(""), stdout: io.Discard, stderr: io.Discard, list: func(s *flag.FlagSet) { set = s }}
	_, _ = cmd.run(context.Background(), c, nil) // ends in parse
	return set
}

// isBool reports whether a flag stands without a value.
func isBool(f *flag.Flag) bool {
	b, ok := f.Value.(interface{ IsBoolFlag() bool })
	return ok && b.IsBoolFlag()
}

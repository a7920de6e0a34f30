package main

import (
	"fmt"
	"os"
	"regexp"
	"strings"
)

// sectionFile matches the names that section files get, of any run.
var sectionFile = regexp.MustCompile(`^(section-[0-9]+-[0-9]{3,}|mass-haul-[0-9]+)\.(csv|svg)$`)

// warnLeftOver says which files in a folder have names of this kind and are not among
// those just written: they are of an earlier run and could be read as of this one. They
// stay, since nobody can tell here whose they are.
func (c *console) warnLeftOver(dir string, kind *regexp.Regexp, written []outFile) {
	here := map[string]bool{}
	for _, f := range written {
		here[f.name] = true
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		c.say("warning: cannot see whether files of an earlier run are in %s: %v", dir, err)
		return
	}
	var left []string
	for _, e := range entries { // by name
		if kind.MatchString(e.Name()) && !here[e.Name()] {
			left = append(left, e.Name())
		}
	}
	if len(left) == 0 {
		return
	}
	const most = 10
	more := ""
	if n := len(left) - most; n > 0 {
		more = fmt.Sprintf(" and %d more", n)
	}
	c.say("warning: in %s there are files that are NOT of this run: %s%s; take them away, or write to an empty folder",
		dir, strings.Join(left[:min(len(left), most)], ", "), more)
}

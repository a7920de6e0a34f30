package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"strings"

	"barrow/volume/takeoff"
)

func isVersion(arg string) bool { return arg == "--version" || arg == "-version" }

// build is what the program was built from, as far as its builder wrote that into it.
type build struct {
	Module   string `json:"module_version,omitempty"`
	Revision string `json:"revision,omitempty"`
	Time     string `json:"revision_time,omitempty"`
	Modified *bool  `json:"modified,omitempty"` // whether files differed from the revision
	Go       string `json:"go"`
	OS       string `json:"os"`
	Arch     string `json:"arch"`
}

// versionCommand says which program this is.
func versionCommand(_ context.Context, c *console, args []string) (warnings bool, err error) {
	set := flags("version")
	set.BoolVar(&c.json, "json", c.json, "")
	rest, err := c.parse(set, args)
	if err != nil {
		return false, err
	}
	if len(rest) > 0 {
		return false, usageError("version takes no "+quote(rest[0]), "run \"barrow version\"")
	}
	info, _ := debug.ReadBuildInfo()
	b := buildOf(info)
	if c.json {
		return false, b.writeJSON(c.stdout)
	}
	return false, b.write(c.stdout)
}

// buildOf reads what the builder wrote; info may be nil.
func buildOf(info *debug.BuildInfo) build {
	b := build{Go: runtime.Version(), OS: runtime.GOOS, Arch: runtime.GOARCH}
	if info == nil {
		return b
	}
	b.Module = info.Main.Version
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			b.Revision = s.Value
		case "vcs.time":
			b.Time = s.Value
		case "vcs.modified":
			modified := s.Value == "true"
			b.Modified = &modified
		}
	}
	return b
}

// unknown stands for what the builder did not write down, as "go run" does not.
const unknown = "not known"

func (b build) write(w io.Writer) error {
	lines := []string{"barrow " + takeoff.Version, "module " + cmp.Or(b.Module, unknown), "revision " + cmp.Or(b.Revision, unknown)}
	if b.Time != "" {
		lines[2] += " of " + b.Time
	}
	if b.Modified != nil && *b.Modified {
		lines[2] += ", modified"
	}
	lines = append(lines, fmt.Sprintf("built with %s for %s/%s", b.Go, b.OS, b.Arch))
	_, err := io.WriteString(w, strings.Join(lines, "\n")+"\n")
	return err
}

func (b build) writeJSON(w io.Writer) error {
	return writeObject(w, struct {
		Schema  int             `json:"schema"`
		Program takeoff.Program `json:"program"`
		Build   build           `json:"build"`
	}{takeoff.SchemaVersion, takeoff.Program{Name: "barrow", Version: takeoff.Version}, b})
}

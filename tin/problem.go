package tin

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"
)

// Problem is a note or a warning about input that was usable all the same.
// Codes are listed in docs/formats.md and never change meaning.
type Problem struct {
	Code    string
	Message string
	At      *orb.Point // easting and northing in metres; nil if it has no one place
}

// InputError is input that could not be used: what is wrong, where, and how to
// mend it. Fields that do not apply are empty.
type InputError struct {
	Code    string // stable, listed in docs/formats.md
	Message string // what is wrong, with the value seen
	File    string
	Line    int        // from 1
	Column  int        // from 1; the column of the text, or of the field where the message says so
	Key     string     // key of a job file, such as "pad[0].finished"
	Hint    string     // how to mend it
	At      *orb.Point // easting and northing in metres
	Err     error      // underlying error, if any
}

// Error returns the place, the message and the hint in one line.
func (e *InputError) Error() string {
	var b strings.Builder
	if e.File != "" {
		b.WriteString(e.File)
		if e.Line > 0 {
			fmt.Fprintf(&b, ":%d", e.Line)
			if e.Column > 0 {
				fmt.Fprintf(&b, ":%d", e.Column)
			}
		}
		b.WriteString(": ")
	} else if e.Line > 0 {
		fmt.Fprintf(&b, "line %d: ", e.Line)
	}
	if e.Key != "" {
		b.WriteString(e.Key)
		b.WriteString(": ")
	}
	b.WriteString(e.Message)
	if e.Hint != "" {
		b.WriteString("; ")
		b.WriteString(e.Hint)
	}
	return b.String()
}

// Unwrap returns the underlying error.
func (e *InputError) Unwrap() error { return e.Err }

package main

import (
	"fmt"
	"time"
)

// progress returns a callback that shows how far the work is, on one line of a
// terminal and once it has taken a while, and a function that wipes the line.
func (c *console) progress() (show func(stage string, done, total int), wipe func()) {
	if !isTerminal(c.stderr) {
		return nil, func() {}
	}
	start, shown := time.Now(), false
	show = func(stage string, done, total int) {
		if time.Since(start) < 500*time.Millisecond {
			return
		}
		shown = true
		_, _ = fmt.Fprintf(c.stderr, "\r\x1b[K%s, %d of %d", stage, done, total)
	}
	return show, func() {
		if shown {
			_, _ = fmt.Fprint(c.stderr, "\r\x1b[K")
		}
	}
}

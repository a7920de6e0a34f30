//go:build linux || darwin

package main

import (
	"bytes"
	"io"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// terminal opens a pseudo terminal of so many columns, and returns its end for a program
// and what came out at the other one once that was closed.
func terminal(t *testing.T, columns uint16) (tty *os.File, screen func() string) {
	near, tty, err := pty.Open()
	if err != nil {
		t.Skip("no pseudo terminals here")
	}
	require.NoError(t, pty.Setsize(near, &pty.Winsize{Rows: 24, Cols: columns}))
	var seen bytes.Buffer
	over := make(chan struct{})
	go func() {
		defer close(over)
		_, _ = io.Copy(&seen, near) // ends with an error when the last user of the terminal has gone
	}()
	return tty, func() string {
		tty.Close()
		<-over
		near.Close()
		return seen.String()
	}
}

// On a terminal the line is there and goes again, as wide as the terminal; many goroutines
// may tell of progress.
func TestProgressOnATerminal(t *testing.T) {
	t.Setenv("TERM", "xterm")
	tty, screen := terminal(t, 24)
	start, calls := time.Now(), 0
	c := &console{stderr: tty, now: func() time.Time { // a second goes by between two looks at it
		calls++
		return start.Add(time.Duration(calls) * time.Second)
	}}
	show, wipe := c.progress()
	require.NotNil(t, show)
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for i := range 20 {
				show("setting out pegs", i, 2000)
			}
		})
	}
	all.Wait()
	wipe()
	wipe()
	show("setting out pegs", 20, 2000)
	c.say("done")
	got := screen()
	assert.Contains(t, got, "\rsetting out pegs")
	assert.NotContains(t, got, "of 2000") // 28 columns
	assert.Regexp(t, `\r +\rbarrow: done\r\n$`, got)
}

// A dumb terminal, a pipe and a device that is none get nothing but what is said.
func TestNoProgressElsewhere(t *testing.T) {
	tty, screen := terminal(t, 80)
	null, err := os.Open(os.DevNull)
	require.NoError(t, err)
	defer null.Close()
	for _, tt := range []struct {
		term string
		w    io.Writer
	}{{"dumb", tty}, {"xterm", &bytes.Buffer{}}, {"xterm", null}} {
		t.Setenv("TERM", tt.term)
		show, wipe := (&console{stderr: tt.w}).progress()
		assert.Nil(t, show, tt)
		wipe()
	}
	assert.Empty(t, screen())
}

package main

import (
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"golang.org/x/term"

	"barrow/volume/report"
)

const (
	patience   = 500 * time.Millisecond // before anything is shown
	redrawWait = 100 * time.Millisecond // between two lines
)

// progress returns a callback that shows how far the work is, and a function that wipes
// it and is to be called when the work has ended, before anything else is said. It is one
// line of a terminal, shown once the work has taken a while; elsewhere there is none. The
// callback may be called from several goroutines.
func (c *console) progress() (show func(stage string, done, total int), wipe func()) {
	if c.watch != nil {
		return c.watch, func() {}
	}
	if !isTerminal(c.stderr) || os.Getenv("TERM") == "dumb" {
		return nil, func() {}
	}
	tty := c.stderr.(*os.File)
	l := &progressLine{out: tty, now: c.clock(), width: func() int {
		width, _, err := term.GetSize(int(tty.Fd()))
		if err != nil || width < 2 {
			return 80
		}
		return width
	}}
	l.begun = l.now()
	return l.show, l.keepDrawing()
}

// clock is what the time is asked of.
func (c *console) clock() func() time.Time {
	if c.now != nil {
		return c.now
	}
	return time.Now
}

// isTerminal reports whether w is a terminal somebody may be looking at.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// progressLine is a line of a terminal that is written over and over.
type progressLine struct {
	out   io.Writer
	now   func() time.Time
	width func() int // columns of the terminal

	mu    sync.Mutex
	begun time.Time
	drawn time.Time // when the line was last written
	taken int       // columns that it takes
	wiped bool      // for good
	pace  pace
}

// show is the callback.
func (l *progressLine) show(stage string, done, total int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.pace.tell(stage, done, total, l.now())
	l.draw()
}

// keepDrawing has the line go on while no callback comes, as the time spent does. It
// returns the function that ends this and wipes the line.
func (l *progressLine) keepDrawing() (wipe func()) {
	ticker, over := time.NewTicker(redrawWait), make(chan struct{})
	go func() {
		for {
			select {
			case <-ticker.C:
				l.again()
			case <-over:
				return
			}
		}
	}()
	return sync.OnceFunc(func() {
		ticker.Stop()
		close(over)
		l.wipe()
	})
}

func (l *progressLine) again() {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.pace.stage != "" {
		l.pace.sample(l.now())
		l.draw()
	}
}

// draw writes the line, if it is time to. What is left of a longer one before is blanked;
// the last column stays free, since some terminals go to the next line after it.
func (l *progressLine) draw() {
	now := l.now()
	if l.wiped || now.Sub(l.begun) < patience || now.Sub(l.drawn) < redrawWait {
		return
	}
	room := l.width() - 1
	text := fit(l.pace.sentence(now), room)
	taken := columns(text)
	blank := strings.Repeat(" ", max(0, min(l.taken, room)-taken))
	_, _ = io.WriteString(l.out, "\r"+text+blank+"\r")
	l.drawn, l.taken = now, taken
}

// wipe takes the line off the terminal.
func (l *progressLine) wipe() {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.taken > 0 {
		_, _ = io.WriteString(l.out, "\r"+strings.Repeat(" ", min(l.taken, l.width()-1))+"\r")
	}
	l.wiped, l.taken = true, 0
}

// columns is how many columns of a terminal a text takes at most: scripts that are
// written in wide characters count double.
func columns(text string) (n int) {
	for _, r := range text {
		n += columnsOf(r)
	}
	return n
}

func columnsOf(r rune) int {
	if r >= 0x1100 { // the first of the wide ones
		return 2
	}
	return 1
}

// fit puts pieces together as far as they have room, so that no number is cut in two; of
// the first what there is room for.
func fit(pieces []string, room int) (text string) {
	for i, piece := range pieces {
		piece = report.Plain(piece)
		if i == 0 {
			piece = cut(piece, room)
		}
		if room -= columns(piece); room < 0 {
			break
		}
		text += piece
	}
	return text
}

// cut shortens a text to so many columns.
func cut(text string, room int) string {
	for i, r := range text {
		if room -= columnsOf(r); room < 0 {
			return text[:i]
		}
	}
	return text
}

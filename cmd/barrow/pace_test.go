package main

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// clock is a time that goes on when it is told to.
type clock struct{ time.Time }

func (c *clock) wait(d time.Duration) time.Time {
	c.Time = c.Add(d)
	return c.Time
}

func newClock() *clock { return &clock{time.Date(2026, 3, 1, 7, 0, 0, 0, time.UTC)} }

func said(p *pace, now time.Time) string { return strings.Join(p.sentence(now), "") }

// 1,000 sections at an even 50 a second: nothing is guessed before two seconds, then rate
// and time left are those of plain arithmetic.
func TestPaceOfEvenWork(t *testing.T) {
	c, p := newClock(), &pace{}
	p.tell("cutting sections", 0, 1000, c.Time)
	for done := 5; done <= 95; done += 5 {
		p.tell("cutting sections", done, 1000, c.wait(100*time.Millisecond))
	}
	assert.Equal(t, "cutting sections: 95 of 1000", said(p, c.Time))
	p.tell("cutting sections", 100, 1000, c.wait(100*time.Millisecond))
	assert.InDelta(t, 50, p.rate(), 1e-9)
	assert.Equal(t, "cutting sections: 100 of 1000, about 50 a second, about 20 s left for this", said(p, c.Time)) // 18 s, in steps of 5 s
}

// A stage of a few steps, which are not alike, gets no time left.
func TestPaceOfAFewSteps(t *testing.T) {
	c, p := newClock(), &pace{}
	for step := 1; step < 6; step++ {
		p.tell("building the ground", step, 9, c.wait(time.Second))
	}
	assert.Equal(t, "building the ground: 5 of 9, 4 s so far", said(p, c.Time))
}

func TestPaceOfOneStep(t *testing.T) {
	c, p := newClock(), &pace{}
	p.tell("finding daylight", 0, 1, c.Time)
	assert.Equal(t, "finding daylight", said(p, c.Time))
	assert.Equal(t, "finding daylight, 1 min 20 s so far", said(p, c.wait(75*time.Second)))
}

func TestPaceOfWorkWithoutAKnownEnd(t *testing.T) {
	c, p := newClock(), &pace{}
	p.tell("measuring levels", 0, 0, c.Time)
	p.tell("measuring levels", 12, 0, c.wait(time.Second))
	assert.Equal(t, "measuring levels: 12 done", said(p, c.Time))
}

// Half as fast for a while, the rate comes down to the new one; at a standstill the time
// left grows, though no callback comes.
func TestPaceFollows(t *testing.T) {
	c, p := newClock(), &pace{}
	done := 0
	run := func(each, times int) {
		for range times {
			done += each
			p.tell("reading a.csv, kB", done, 1_000_000, c.wait(500*time.Millisecond))
		}
	}
	p.tell("reading a.csv, kB", 0, 1_000_000, c.Time)
	run(20_000, 8)
	assert.Equal(t, "reading a.csv: 160.0 of 1000.0 MB, about 40 MB a second, about 25 s left for this", said(p, c.Time))
	run(10_000, 40)
	assert.InDelta(t, 20e3, p.rate(), 500)
	before := p.rate()
	for range 8 {
		p.sample(c.wait(500 * time.Millisecond))
	}
	assert.Less(t, p.rate(), 0.6*before)
}

// The next stage begins anew, and so does the same one if it is gone through again.
func TestPaceBeginsAnew(t *testing.T) {
	c, p := newClock(), &pace{}
	for _, again := range []struct {
		stage string
		done  int
	}{{"a", 100}, {"b", 100}, {"b", 3}} {
		p.tell(again.stage, again.done, 200, c.wait(time.Minute))
		assert.Equal(t, 0.0, p.rate(), again)
		assert.Equal(t, c.Time, p.began)
	}
}

func TestRoughTimes(t *testing.T) {
	for _, tt := range []struct {
		s    float64
		want string
	}{
		{0, "1 s"}, {0.2, "1 s"}, {9.1, "10 s"}, {10.5, "15 s"}, {55, "55 s"}, {56, "1 min"}, {61, "1 min 10 s"},
		{119, "2 min"}, {601, "11 min"}, {3599, "1 h 0 min"}, {3700, "1 h 2 min"},
	} {
		assert.Equal(t, tt.want, rough(time.Duration(tt.s*float64(time.Second))), "%g s", tt.s)
	}
}

func TestTwoDigits(t *testing.T) {
	for x, want := range map[float64]string{1: "1", 9.96: "10", 12.3: "12", 999: "1000", 1234: "1200", 0.25: "0.25", 0.0312: "0.031"} {
		assert.Equal(t, want, twoDigits(x), "%g", x)
	}
}

// sink gathers what is written, piece by piece.
type sink struct{ pieces []string }

func (s *sink) Write(p []byte) (int, error) {
	s.pieces = append(s.pieces, string(p))
	return len(p), nil
}

func newLine(c *clock, columns int) (*progressLine, *sink) {
	out := &sink{}
	return &progressLine{out: out, now: func() time.Time { return c.Time }, width: func() int { return columns }, begun: c.Time}, out
}

// Quick work shows nothing; then at most ten lines a second, and the last is wiped.
func TestProgressLineIsQuietAndSlow(t *testing.T) {
	c := newClock()
	l, out := newLine(c, 80)
	for range 49 {
		c.wait(10 * time.Millisecond)
		l.show("finding daylight", 0, 1)
	}
	l.wipe()
	require.Empty(t, out.pieces)
	l, out = newLine(c, 80)
	c.wait(patience)
	for range 1000 {
		l.show("finding daylight", 0, 1)
		c.wait(time.Millisecond)
	}
	assert.Len(t, out.pieces, 10)
	l.wipe()
	assert.Equal(t, "\r"+strings.Repeat(" ", len("finding daylight"))+"\r", out.pieces[10])
	c.wait(time.Second)
	l.show("too late", 0, 1)
	l.again()
	assert.Len(t, out.pieces, 11)
}

// A shorter line blanks the rest of a longer one; a narrow terminal gets whole pieces, and
// nothing that could steer it.
func TestProgressLineFits(t *testing.T) {
	c := newClock()
	l, out := newLine(c, 30)
	c.wait(patience)
	l.show("setting out pegs", 100, 2000)
	c.wait(patience)
	l.show("checking", 0, 1)
	assert.Equal(t, []string{"\rsetting out pegs: 100 of 2000\r", "\rchecking" + strings.Repeat(" ", 21) + "\r"}, out.pieces)
	assert.Equal(t, "setting out pegs", fit([]string{"setting out pegs", ": 100 of 2000"}, 28))
	assert.Equal(t, "setting", fit([]string{"setting out pegs", ": 1 of 2"}, 7))
	assert.Equal(t, "", fit([]string{"setting"}, 0))
	assert.Equal(t, "測", fit([]string{"測量"}, 3))
	assert.NotContains(t, fit([]string{"reading \x1b[2J"}, 40), "\x1b")
}

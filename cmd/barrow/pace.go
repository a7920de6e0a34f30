package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// pace is how far one stage of the work is, and how fast it goes.
type pace struct {
	stage       string
	done, total int
	began       time.Time // of the stage

	// The rate is a mean over the time of the stage, what is long past counting less:
	// each sample is weighed by exp(-age/memory).
	sampled   time.Time
	sampledAt int     // done, then
	moved     float64 // weighed sum of done
	took      float64 // weighed sum of seconds
	advanced  int     // samples in which done grew
}

const (
	sampleEvery = 250 * time.Millisecond
	memory      = 5.0 // seconds

	// A time left is told after so long, so many samples with progress in them and so
	// much of the whole: before that it would be a guess.
	knownAfter    = 2 * time.Second
	knownSamples  = 6
	knownFraction = 0.02
)

// tell takes what a callback says. A stage is a new one when its name changes, or when it
// goes back.
func (p *pace) tell(stage string, done, total int, now time.Time) {
	if stage != p.stage || done < p.done || total != p.total || p.began.IsZero() {
		*p = pace{stage: stage, began: now, sampled: now, sampledAt: done}
	}
	p.done, p.total = done, total
	p.sample(now)
}

// sample takes note of how far the work is now, if the last time was long enough ago.
func (p *pace) sample(now time.Time) {
	gone := now.Sub(p.sampled)
	if gone < sampleEvery {
		return
	}
	keep := math.Exp(-gone.Seconds() / memory)
	p.moved = p.moved*keep + float64(p.done-p.sampledAt)
	p.took = p.took*keep + gone.Seconds()
	if p.done > p.sampledAt {
		p.advanced++
	}
	p.sampled, p.sampledAt = now, p.done
}

// known reports whether the rate can be told, and with it the time left.
func (p *pace) known(now time.Time) bool {
	return p.total > 0 && p.done < p.total && p.moved > 0 && p.advanced >= knownSamples &&
		now.Sub(p.began) >= knownAfter && float64(p.done) >= knownFraction*float64(p.total)
}

// rate is how much is done in a second; 0 before the first sample.
func (p *pace) rate() float64 {
	if p.took == 0 {
		return 0
	}
	return p.moved / p.took
}

// kilobytes ends the name of a stage that counts those, as reading a file does.
const kilobytes = ", kB"

// name is what a stage does, and whether it counts kilobytes.
func (p *pace) name() (name string, ofFile bool) { return strings.CutSuffix(p.stage, kilobytes) }

// sentence says it in so many pieces, each of which goes on from those before: the stage,
// how much of it is done, and where they are known the rate and the time left for this
// stage; else the time it has taken, once that is long.
func (p *pace) sentence(now time.Time) (pieces []string) {
	name, _ := p.name()
	pieces = append(pieces, name, p.amount())
	spent := now.Sub(p.began)
	switch {
	case p.known(now):
		left := time.Duration(float64(p.total-p.done) / p.rate() * float64(time.Second))
		pieces = append(pieces, ", about "+p.speed(), ", about "+rough(left)+" left for this")
	case spent >= knownAfter:
		pieces = append(pieces, ", "+rough(spent)+" so far")
	}
	return pieces
}

// amount is what of the stage is done; empty for a stage of one step.
func (p *pace) amount() string {
	_, ofFile := p.name()
	switch {
	case ofFile && p.total > 0:
		return fmt.Sprintf(": %.1f of %.1f MB", float64(p.done)/1000, float64(p.total)/1000)
	case ofFile:
		return fmt.Sprintf(": %.1f MB", float64(p.done)/1000)
	case p.total > 1:
		return fmt.Sprintf(": %d of %d", p.done, p.total)
	case p.total <= 0 && p.done > 0:
		return fmt.Sprintf(": %d done", p.done)
	}
	return ""
}

// speed words the rate.
func (p *pace) speed() string {
	r := p.rate()
	_, ofFile := p.name()
	switch {
	case ofFile:
		return twoDigits(r/1000) + " MB a second"
	case r >= 1:
		return twoDigits(r) + " a second"
	}
	return twoDigits(r*60) + " a minute"
}

// twoDigits rounds a number to two significant digits.
func twoDigits(x float64) string {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'e', 1, 64), 64) // of a text it made itself
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// rough words a time as well as one would say it: seconds, then steps of 5 s, of 10 s, and
// minutes.
func rough(d time.Duration) string {
	s := int(math.Ceil(d.Seconds()))
	switch {
	case s <= 10:
		return fmt.Sprintf("%d s", max(s, 1))
	case s <= 55:
		return fmt.Sprintf("%d s", (s+4)/5*5)
	case s <= 10*60:
		s = (s + 9) / 10 * 10
		if s%60 == 0 {
			return fmt.Sprintf("%d min", s/60)
		}
		return fmt.Sprintf("%d min %d s", s/60, s%60)
	}
	m := (s + 59) / 60
	if m < 60 {
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %d min", m/60, m%60)
}

//go:build long

package volume_test

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/paulmach/orb"
)

// holdManyOverlays runs n jobs in lots, each from its own seed.
func holdManyOverlays(t *testing.T, first uint64, n int) {
	t.Helper()
	const lot = 250
	var all duoTally
	var mutex sync.Mutex
	var wait sync.WaitGroup
	var lots atomic.Int64
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := lots.Add(1) - 1; i < int64(n/lot); i = lots.Add(1) - 1 {
				y := holdOverlay(t, first+uint64(i), lot)
				mutex.Lock()
				all.add(y)
				mutex.Unlock()
			}
		})
	}
	wait.Wait()
	all.require(t)
}

func (y *duoTally) add(o duoTally) {
	y.jobs, y.mixed, y.near, y.uncovered = y.jobs+o.jobs, y.mixed+o.mixed, y.near+o.near, y.uncovered+o.uncovered
	y.limited, y.outlined = y.limited+o.limited, y.outlined+o.outlined
	y.wide, y.turned = y.wide+o.wide, y.turned+o.turned
	y.worst = max(y.worst, o.worst)
	for k, n := range o.kinds {
		y.count(k, n)
	}
}

// With the plane's 21,000 jobs more than 100,000. Under -short a tenth of them.
func TestBetweenAgainstRationalsLong(t *testing.T) {
	n := 80000
	if testing.Short() {
		n /= 10
	}
	holdManyOverlays(t, 4000, n)
}

// The same bits at 100,000 spots each, with other plan points and with a dig.
func TestBetweenSameBitsLong(t *testing.T) {
	const n = 100000
	first := groundOf(n, "uniform")
	sameBits(t, first, secondOf(n), starIn(n))
	w := math.Sqrt(n)
	second := dug(first, orb.Point{300000 + 0.4*w, 5800000 + 0.5*w}, 0.1*w)
	for i, p := range second { // and a bank beside it
		if d := math.Hypot(p.E-(300000+0.7*w), p.N-(5800000+0.5*w)); d < 0.1*w {
			second[i].Level = milli(p.Level + 1)
		}
	}
	sameBits(t, first, second, starIn(n))
}

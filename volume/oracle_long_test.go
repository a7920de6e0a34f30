//go:build long

package volume_test

import (
	"runtime"
	"sync"
	"testing"
)

// holdManyToOracle runs n jobs in lots, each from its own seed.
func holdManyToOracle(t *testing.T, first uint64, n, pads int) {
	t.Helper()
	const lot = 100
	var all tally
	var mutex sync.Mutex
	var wait sync.WaitGroup
	seeds := make(chan uint64)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for seed := range seeds {
				y := holdToOracle(t, seed, lot, pads)
				mutex.Lock()
				all.add(y)
				mutex.Unlock()
			}
		})
	}
	for i := range n / lot {
		seeds <- first + uint64(i)
	}
	close(seeds)
	wait.Wait()
	all.require(t)
}

func TestAgainstRationalsLong(t *testing.T) { holdManyToOracle(t, 1000, 20000, 0) }

func TestFacetsAgainstRationalsLong(t *testing.T) {
	holdManyToOracle(t, 2000, 700, 2)
	holdManyToOracle(t, 3000, 300, 3)
}

//go:build long

package volume_test

import "testing"

func TestSplitAgainstRationalsLong(t *testing.T) {
	for seed := range uint64(5) {
		holdSplit(t, 4000+seed, 80)
	}
}

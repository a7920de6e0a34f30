package setout_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"barrow/tin/setout"
)

// LEV-4: benchmark 360.48 ft, height of instrument 364.70 ft, formation 358.0 ft: the staff reads 6.70 (US Navy
// training manual, the plate of GRID-1 in docs/checks.md).
func TestSightToFormation(t *testing.T) {
	i := setout.Instrument{Benchmark: dec("360.48"), Backsight: dec("4.22")}
	assert.Equal(t, dec("364.70"), i.Collimation())
	assert.Equal(t, "6.70", i.Sight(dec("358")).Reading.Text(2))
}

// A formation 425 mm above the benchmark: the staff stands higher, and the plane meets it
// 425 mm farther down. Below the benchmark it is the other way round.
func TestSightByReceiver(t *testing.T) {
	i := setout.Instrument{Benchmark: dec("62.500"), Backsight: dec("1.500")}
	up := i.Sight(dec("62.925"))
	assert.Equal(t, setout.Sight{Level: dec("62.925"), Reading: dec("1.075"), Above: dec("0.425"), Receiver: dec("-0.425")}, up)
	down := i.Sight(dec("62.075"))
	assert.Equal(t, dec("0.425"), down.Receiver)
	assert.Equal(t, dec("-0.425"), down.Above)
}

func TestReadable(t *testing.T) {
	i := setout.Instrument{Benchmark: dec("10"), Backsight: dec("1")}
	staff := setout.Given(dec("4"))
	for level, want := range map[string]bool{"11": true, "11.001": false, "7": true, "6.999": false} {
		assert.Equal(t, want, i.Sight(dec(level)).Readable(staff), level)
	}
	assert.True(t, i.Sight(dec("0")).Readable(setout.Entry{}), "no staff is given")
}

package setout_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/setout"
)

func peg(reading, distance string) setout.PegSight {
	return setout.PegSight{Reading: dec(reading), Distance: dec(distance)}
}

// Worked by hand. B is 0.300 above A. A line of sight that rises 0.1 mm in a metre
// reads 3 mm too much at 30 m, and from 10 m beyond B 7 mm at A and 1 mm at B.
func TestTwoPeg(t *testing.T) {
	for _, tt := range []struct {
		name                 string
		test                 setout.PegTest
		tilt, rise, farRight float64
	}{
		{"midway, then beyond B", setout.PegTest{A1: peg("1.503", "30"), B1: peg("1.203", "30"), A2: peg("1.707", "70"), B2: peg("1.401", "10")}, 1e-4, 0.3, 1.7},
		{"midway, then at B", setout.PegTest{A1: peg("1.503", "30"), B1: peg("1.203", "30"), A2: peg("1.706", "60"), B2: peg("1.400", "0")}, 1e-4, 0.3, 1.7},
		{"at A, then at B", setout.PegTest{A1: peg("1.500", "0"), B1: peg("1.206", "60"), A2: peg("1.706", "60"), B2: peg("1.400", "0")}, 1e-4, 0.3, 1.7},
		{"falling", setout.PegTest{A1: peg("1.497", "30"), B1: peg("1.197", "30"), A2: peg("1.693", "70"), B2: peg("1.399", "10")}, -1e-4, 0.3, 1.7},
		{"level", setout.PegTest{A1: peg("1.500", "30"), B1: peg("1.200", "30"), A2: peg("1.700", "70"), B2: peg("1.400", "10")}, 0, 0.3, 1.7},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r, err := setout.TwoPeg(tt.test)
			require.NoError(t, err)
			assert.Equal(t, tt.tilt, r.Tilt)
			assert.Equal(t, tt.rise, r.Rise)
			assert.Equal(t, tt.farRight, r.A2)
			assert.Equal(t, 1.4, r.B2)
			assert.Equal(t, 1.5, r.A1)
			assert.Equal(t, 1.2, r.B1)
			assert.InDelta(t, tt.tilt*206264.806, r.Seconds, 1e-5)
		})
	}
}

func TestTwoPegRefuses(t *testing.T) {
	for code, test := range map[string]setout.PegTest{
		"peg_distances": {A1: peg("1", "30"), B1: peg("1", "30"), A2: peg("1", "40"), B2: peg("1", "40")},
		"peg_sight":     {A1: peg("1", "-30"), B1: peg("1", "30"), A2: peg("1", "40"), B2: peg("1", "10")},
	} {
		_, err := setout.TwoPeg(test)
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, code, e.Code)
	}
}

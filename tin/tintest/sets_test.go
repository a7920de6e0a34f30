package tintest_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/tintest"
)

func TestSets(t *testing.T) {
	names := make(map[string]bool)
	for _, set := range tintest.Sets() {
		t.Run(set.Name, func(t *testing.T) {
			assert.False(t, names[set.Name], "names are taken once")
			names[set.Name] = true
			assert.LessOrEqual(t, len(set.Points), 1000)
			s, err := tin.FromPoints(set.Points)
			if set.InLine {
				var e *tin.InputError
				require.ErrorAs(t, err, &e)
				assert.Equal(t, "points_in_line", e.Code)
				return
			}
			require.NoError(t, err)
			require.NoError(t, tintest.Check(s, set.Points...))
			st := s.Stats()
			assert.Equal(t, set.Shared, st.Merged)
			assert.Equal(t, len(set.Points)-set.Shared, st.Vertices)
		})
	}
}

func TestLatticeCircle(t *testing.T) {
	for radius, want := range map[int]int{1: 4, 5: 12, 1105: 108} {
		set := tintest.LatticeCircle(radius)
		assert.Len(t, set.Points, want)
		for _, p := range set.Points {
			assert.Equal(t, float64(radius*radius), p.E*p.E+p.N*p.N)
		}
	}
}

// The sets are the same on every call, so that failures repeat.
func TestSetsRepeat(t *testing.T) {
	assert.Equal(t, tintest.Sets(), tintest.Sets())
}

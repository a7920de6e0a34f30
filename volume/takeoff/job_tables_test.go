package takeoff_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"barrow/volume/takeoff"
)

func TestJobTables(t *testing.T) {
	at := map[string]takeoff.JobTable{}
	for _, table := range takeoff.JobTables() {
		assert.NotEmpty(t, table.Keys, table.Paths)
		for _, path := range table.Paths {
			assert.NotContains(t, at, path)
			at[path] = table
		}
	}
	assert.Contains(t, at[""].Keys, "units")
	assert.Contains(t, at["survey"].Keys, "points")
	assert.Equal(t, []string{"cut", "fill"}, at["pad.batter"].Keys)
	assert.Equal(t, at["pad.batter"], at["pad.edges.batter"], "one kind, two places")
	assert.Contains(t, at, "ground.topsoil.areas")
	assert.Contains(t, at["respread.area"].Keys, "corner")
}

//go:build long

package volume_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// As TestSensitivitiesAgainstDifferences, with many more spots.
func TestSensitivitiesAgainstManyDifferences(t *testing.T) {
	require.Greater(t, againstDifferences(t, 3), 200)
}

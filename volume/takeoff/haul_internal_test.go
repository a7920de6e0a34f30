package takeoff

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What rounding leaves below 0 is nothing, and no reason to go without a mass haul.
func TestHaulAlongTakesRoundingForNothing(t *testing.T) {
	a := AlignmentResult{Spans: []SpanResult{
		{From: 0, To: 10, EndArea: SpanVolume{Cut: 8, Fill: -2.4e-23}}, {From: 10, To: 20, EndArea: SpanVolume{Cut: -1e-9, Fill: 5}}}}
	warning, err := a.haulAlong(&Haul{CompactedPerBank: 1})
	require.NoError(t, err)
	require.Nil(t, warning)
	require.InDelta(t, 5, a.Haul.Hauled, 0)
	require.InDelta(t, 3, a.Haul.Spoil, 0)
}

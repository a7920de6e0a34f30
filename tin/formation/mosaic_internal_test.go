package formation

import (
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
)

// Whoever stops a job of hundreds of pads does not wait for their rims.
func TestMosaicEndsWithItsContext(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := newMosaic(ctx, [][]orb.Point{{{0, 0}, {1, 0}, {0, 1}}}, []int32{0}, 1e-9)
	assert.ErrorIs(t, err, context.Canceled)
}

package daylight

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// small makes a job of the fuzzer from a seed.
func small(t testing.TB, seed int) (in Input, ok bool) {
	rng := rand.New(rand.NewPCG(uint64(seed), 1))
	data := make([]byte, 120)
	for i := range data {
		data[i] = byte(rng.IntN(256))
	}
	return fuzzInput(t, data)
}

// compareSmall compares small jobs, where ties are dense, with a raster; it returns how
// many there were.
func compareSmall(t *testing.T, from, to int) (jobs int) {
	for seed := from; seed < to; seed++ {
		in, ok := small(t, seed)
		if !ok {
			continue
		}
		jobs++
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			w, err := Find(context.Background(), in)
			require.NoError(t, err)
			checkPieces(t, in, w)
			cut, fill := volumes(in.Ground, w)
			compareCoarsely(t, in, cut, fill)
		})
	}
	return jobs
}

func TestSmallJobsAgreeWithARaster(t *testing.T) {
	require.Greater(t, compareSmall(t, 0, 600), 100)
}

// A face at the ground to the last bits along an edge joined a hill beyond it, as a
// joint of 4e-16 m: contact at no depth joins nothing.
func TestAJointOfRoundingJoinsNothing(t *testing.T) {
	for _, seed := range []int{67432, 69340, 69443} {
		in, ok := small(t, seed)
		require.True(t, ok)
		w, err := Find(context.Background(), in)
		require.NoError(t, err)
		require.Empty(t, w.Joints)
		cut, fill := volumes(in.Ground, w)
		compareCoarsely(t, in, cut, fill)
	}
}

// Two faces that cross shared an area deep enough in its middle but at no corner of it,
// and were not linked: the lesser of two depths is greatest at a corner or where they
// cross.
func TestFacesThatCrossAreLinkedWhereTheyCross(t *testing.T) {
	in, ok := small(t, 4795)
	require.True(t, ok)
	w, err := Find(context.Background(), in)
	require.NoError(t, err)
	cut, fill := volumes(in.Ground, w)
	compareCoarsely(t, in, cut, fill)
}

// Where batters differ, two fans stand on one corner: parts that meet there were cut to
// slivers by every ray, and those again, without end.
func TestFansOnOneCornerMakeNoSlivers(t *testing.T) {
	in, _ := newJob(t, 190)
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	w, err := Find(ctx, in)
	require.NoError(t, err)
	require.Less(t, len(w.Pieces), 50000)
}

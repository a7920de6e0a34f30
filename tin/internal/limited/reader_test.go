package limited_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin/internal/limited"
)

func TestReader(t *testing.T) {
	for _, most := range []int64{0, 5, 6} {
		r := limited.NewReader(t.Context(), iotest.DataErrReader(strings.NewReader("ditch")), most)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		assert.Equal(t, "ditch", string(text))
		assert.ErrorIs(t, r.Err(), io.EOF)
	}
	for _, most := range []int64{1, 4} {
		r := limited.NewReader(t.Context(), strings.NewReader("ditch"), most)
		_, err := io.ReadAll(r)
		assert.ErrorIs(t, err, limited.ErrTooLong)
		_, err = r.Read(make([]byte, 9))
		assert.ErrorIs(t, err, limited.ErrTooLong, "it goes on failing")
	}
}

func TestReaderEndsWithTheContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	r := limited.NewReader(ctx, strings.NewReader("ditch"), 0)
	var told []int64
	r.Progress = func(bytes int64) {
		if told = append(told, bytes); bytes == 4 {
			cancel()
		}
	}
	text, err := io.ReadAll(iotest.OneByteReader(r))
	assert.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, "ditc", string(text))
	assert.Equal(t, []int64{1, 2, 3, 4}, told)
}

func TestReaderOfABrokenReader(t *testing.T) {
	broken := errors.New("the line is dead")
	r := limited.NewReader(t.Context(), iotest.ErrReader(broken), 0)
	_, err := io.ReadAll(r)
	assert.ErrorIs(t, err, broken)
	assert.ErrorIs(t, r.Err(), broken)
}

// idle gives nothing so many times before each byte.
type idle struct{ times, left int }

func (i *idle) Read(p []byte) (int, error) {
	if i.left--; i.left >= 0 {
		return 0, nil
	}
	i.left = i.times
	p[0] = 'a'
	return 1, nil
}

func TestReaderOfAnIdleReader(t *testing.T) {
	b := make([]byte, 3)
	_, err := io.ReadFull(limited.NewReader(t.Context(), &idle{times: 99, left: 99}, 0), b)
	require.NoError(t, err)
	assert.Equal(t, "aaa", string(b))
	n, err := limited.NewReader(t.Context(), &idle{times: 100, left: 100}, 0).Read(b)
	assert.Zero(t, n)
	assert.ErrorIs(t, err, io.ErrNoProgress)
}

func ExampleNewReader() {
	_, err := io.ReadAll(limited.NewReader(context.Background(), strings.NewReader("level 12.50"), 8))
	fmt.Println(err)
	// Output: the file is longer than allowed
}

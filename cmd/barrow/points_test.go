package main

import (
	"context"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPointsFromStdinNobodyWritesTo(t *testing.T) {
	silent, writer := io.Pipe()
	defer writer.Close()
	ctx, cancel := context.WithCancel(t.Context())
	go func() {
		_, _ = writer.Write([]byte("easting,northing,level\n"))
		cancel()
	}()
	c := &console{stdin: silent}
	_, err := pointsCommand(ctx, c, []string{"-"})
	assert.ErrorIs(t, err, context.Canceled)
}

// endless gives lines without end.
type endless struct{ line string }

func (e endless) Read(p []byte) (int, error) {
	return copy(p, strings.Repeat(e.line, len(p)/len(e.line))), nil
}

func TestPointsFromStdinWithoutEnd(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	c := &console{stdin: io.MultiReader(io.LimitReader(endless{"1.5 2.5\n"}, 1<<20), after(cancel), endless{"1.5 2.5\n"})}
	_, err := c.readPoints(ctx, "-", "easting, northing")
	require.ErrorIs(t, err, context.Canceled)
}

// after calls a function when it is read.
type after func()

func (f after) Read([]byte) (int, error) {
	f()
	return 0, io.EOF
}

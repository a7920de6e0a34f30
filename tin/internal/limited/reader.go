// Package limited bounds the reading of files of strangers: until a context ends, and
// up to a number of bytes. It is for the readers of tin's sub-packages; start with
// [NewReader].
package limited

import (
	"context"
	"errors"
	"io"
)

// ErrTooLong is the error of a file of more bytes than are allowed.
var ErrTooLong = errors.New("the file is longer than allowed")

const maxIdle = 100 // reads in a row that may give nothing

// Reader reads from another reader within bounds. Once it has failed it goes on failing.
type Reader struct {
	Progress func(bytes int64) // if not nil, is told after each read how many bytes there were

	ctx   context.Context
	r     io.Reader
	most  int64
	count int64
	err   error
}

// NewReader bounds r: it ends with the error of ctx, and with [ErrTooLong] where there are
// more than most bytes; 0: no limit.
func NewReader(ctx context.Context, r io.Reader, most int64) *Reader {
	return &Reader{ctx: ctx, r: r, most: most}
}

// Read gives at least one byte, or an error. Of a reader that gives nothing a hundred
// times in a row it is [io.ErrNoProgress].
func (l *Reader) Read(p []byte) (n int, err error) {
	for range maxIdle {
		if l.err == nil {
			l.err = l.ctx.Err()
		}
		if l.err != nil {
			return 0, l.err
		}
		n, l.err = l.r.Read(p)
		if l.count += int64(n); l.most > 0 && l.count > l.most {
			l.err = ErrTooLong
			return 0, l.err
		}
		if n > 0 || len(p) == 0 {
			if l.Progress != nil {
				l.Progress(l.count)
			}
			return n, l.err
		}
	}
	l.err = io.ErrNoProgress
	return 0, l.err
}

// Err is the error that Read ended with; nil before.
func (l *Reader) Err() error { return l.err }

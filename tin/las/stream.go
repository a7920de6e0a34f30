package las

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"

	"barrow/tin"
	"barrow/tin/internal/limited"
)

// stream gives the bytes of a file in order, and knows how far it is.
type stream struct {
	*bufio.Reader
	ctx  context.Context
	name string
	most int64 // bytes allowed
	at   int64 // bytes given
}

func newStream(ctx context.Context, r io.Reader, name string, most int64) *stream {
	return &stream{Reader: bufio.NewReaderSize(limited.NewReader(ctx, r, most), 64<<10), ctx: ctx, name: name, most: most}
}

// fill reads all of p. what names it in the error of a file that ends before.
func (s *stream) fill(p []byte, what string) error {
	n, err := io.ReadFull(s, p)
	s.at += int64(n)
	return s.failed(err, what)
}

// skip passes over n bytes.
func (s *stream) skip(n int64, what string) error {
	done, err := io.CopyN(io.Discard, s, n)
	s.at += done
	return s.failed(err, what)
}

// stopped gives the error of a context that has ended, asked for now and then in a
// long loop.
func (s *stream) stopped(turn int) error {
	if turn%4096 != 0 || s.ctx.Err() == nil {
		return nil
	}
	return fmt.Errorf("las: %s: %w", s.name, s.ctx.Err())
}

// failed makes an error of reading one of the file, or one with its name.
func (s *stream) failed(err error, what string) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, limited.ErrTooLong):
		return s.fail("too_many_bytes", "cut the file to the site, or split it", "the file is longer than %d bytes, the most allowed", s.most)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return s.fail("truncated", cutShort, "the file ends after %d bytes, in the middle of %s", s.at, what)
	}
	return fmt.Errorf("las: %s: %w", s.name, err)
}

const cutShort = "it was cut short: copy or export it again"

// fail makes an error of the file.
func (s *stream) fail(code, hint, format string, args ...any) error {
	return &tin.InputError{Code: code, File: s.name, Message: fmt.Sprintf(format, args...), Hint: hint}
}

func isTruncated(err error) bool {
	var input *tin.InputError
	return errors.As(err, &input) && input.Code == "truncated"
}

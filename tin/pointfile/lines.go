package pointfile

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"barrow/tin"
)

const (
	blockSize = 128 << 10 // fits the second cache; must exceed maxLine
	maxLine   = 64 << 10  // longest line, bytes
)

// lines gives the bytes of r in blocks of whole lines.
type lines struct {
	ctx      context.Context
	r        io.Reader
	name     string
	max      int64
	progress func(int64)

	buf        []byte
	start, end int // unread part of buf
	count      int64
	eof        bool
	bom        bool

	// Facts about the block last given, so that lines need not be searched for
	// what the block does not hold.
	ascii, hasCR, hasCtrlZ bool
}

// next returns the next block, valid until the call after; nil at the end.
func (l *lines) next() ([]byte, error) {
	if err := l.ended(); err != nil {
		return nil, err
	}
	if err := l.fill(); err != nil {
		return nil, err
	}
	if l.start == l.end {
		return nil, nil
	}
	rest := l.buf[l.start:l.end]
	block := rest
	if !l.eof {
		block = rest[:wholeLines(rest)]
		if len(block) == 0 {
			// The line's number is known to the caller only: see parser.block.
			block = rest
		}
	}
	l.start += len(block)
	if i := bytes.IndexByte(block, 0); i >= 0 {
		return nil, l.binary("it holds zero bytes: it is UTF-16 or no text at all")
	}
	l.ascii = isASCII(block)
	l.hasCR = bytes.IndexByte(block, '\r') >= 0
	l.hasCtrlZ = bytes.IndexByte(block, ctrlZ) >= 0
	if l.progress != nil {
		l.progress(l.count)
	}
	return block, nil
}

// ended returns the error of a context that ended.
func (l *lines) ended() error {
	if err := l.ctx.Err(); err != nil {
		return fmt.Errorf("pointfile: %s: %w", l.name, err)
	}
	return nil
}

// fill moves what is left to the front and reads until the buffer is full or r
// ends.
func (l *lines) fill() error {
	first := l.buf == nil
	if first {
		l.buf = make([]byte, blockSize)
	}
	l.end = copy(l.buf, l.buf[l.start:l.end])
	l.start = 0
	for idle := 0; !l.eof && l.end < len(l.buf); {
		if err := l.ended(); err != nil {
			return err
		}
		n, err := l.r.Read(l.buf[l.end:])
		l.end += n
		l.count += int64(n)
		if l.max > 0 && l.count > l.max {
			return &tin.InputError{
				Code: "too_many_bytes", File: l.name,
				Message: fmt.Sprintf("the file is longer than %d bytes, the most allowed", l.max),
				Hint:    "thin the points out, or split the file",
			}
		}
		switch {
		case errors.Is(err, io.EOF):
			l.eof = true
		case err != nil:
			return fmt.Errorf("pointfile: %s: %w", l.name, err)
		case n > 0:
			idle = 0
		default:
			if idle++; idle == 100 {
				return fmt.Errorf("pointfile: %s: %w", l.name, io.ErrNoProgress)
			}
		}
	}
	if first {
		return l.mark()
	}
	return nil
}

// mark looks at the byte order mark.
func (l *lines) mark() error {
	head := l.buf[:l.end]
	switch {
	case bytes.HasPrefix(head, []byte("\xEF\xBB\xBF")):
		l.bom = true
		l.start = 3
	case bytes.HasPrefix(head, []byte("\xFF\xFE")), bytes.HasPrefix(head, []byte("\xFE\xFF")):
		return l.binary("it starts with the mark of UTF-16")
	}
	return nil
}

func (l *lines) binary(why string) error {
	return &tin.InputError{
		Code: "not_text", File: l.name,
		Message: "the file is not plain text: " + why,
		Hint:    "save it as text in UTF-8",
	}
}

// wholeLines returns the length of the part of b that ends with a line end. A
// carriage return at the very end does not count: a line feed may follow.
func wholeLines(b []byte) int {
	if i := bytes.LastIndexByte(b, '\n'); i >= 0 {
		return i + 1
	}
	return bytes.LastIndexByte(b[:len(b)-1], '\r') + 1
}

// isASCII reports whether no byte of b has its high bit set.
func isASCII(b []byte) bool {
	var or uint64
	for len(b) >= 32 {
		or |= binary.LittleEndian.Uint64(b) | binary.LittleEndian.Uint64(b[8:]) | binary.LittleEndian.Uint64(b[16:]) | binary.LittleEndian.Uint64(b[24:])
		b = b[32:]
	}
	for _, c := range b {
		or |= uint64(c)
	}
	return or&0x8080808080808080 == 0
}

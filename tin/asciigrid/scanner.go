package asciigrid

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"

	"barrow/tin"
)

const maxWord = 400 // bytes; more than the longest plain decimal of a double

// scanner gives the words of a text file, and knows in which line they stand.
type scanner struct {
	ctx   context.Context
	name  string
	r     *bufio.Reader
	limit int64

	word  []byte // looked at, not yet taken; valid if ahead
	ahead bool
	buf   [maxWord]byte
	line  int // of the word, or of the end
	read  int64
	words int64
	cr    bool // the last byte was a carriage return
}

func newScanner(ctx context.Context, r io.Reader, name string, limit int64) *scanner {
	return &scanner{ctx: ctx, name: name, r: bufio.NewReaderSize(r, 64<<10), limit: limit, line: 1}
}

func (s *scanner) fail(code string, line int, message, hint string) error {
	return &tin.InputError{Code: code, File: s.name, Line: line, Message: message, Hint: hint}
}

// skipMark skips the byte order mark of UTF-8.
func (s *scanner) skipMark() error {
	head, err := s.r.Peek(3)
	switch {
	case err != nil && !errors.Is(err, io.EOF):
		return fmt.Errorf("asciigrid: %s: %w", s.name, err)
	case bytes.HasPrefix(head, []byte("\xFF\xFE")), bytes.HasPrefix(head, []byte("\xFE\xFF")):
		return s.fail("not_text", 1, "the file is not plain text: it starts with the mark of UTF-16", "save it as UTF-8")
	case bytes.Equal(head, []byte("\xEF\xBB\xBF")):
		_, err = s.r.Discard(len(head))
		return err
	}
	return nil
}

// take takes the word looked at.
func (s *scanner) take() { s.ahead = false }

// peek returns the next word; an empty one at the end of the file. It is valid
// until the call after it is taken.
func (s *scanner) peek() ([]byte, error) {
	if s.ahead {
		return s.word, nil
	}
	if s.words&0xfff == 0 {
		if err := s.ctx.Err(); err != nil {
			return nil, fmt.Errorf("asciigrid: %s: %w", s.name, err)
		}
	}
	s.words++
	s.word = s.buf[:0]
	for {
		c, err := s.r.ReadByte()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("asciigrid: %s: %w", s.name, err)
		}
		if s.read++; s.limit > 0 && s.read > s.limit {
			return nil, s.fail("too_many_bytes", 0, fmt.Sprintf("the file is longer than %d bytes, the most allowed", s.limit), "cut the site out of it, or take a coarser grid")
		}
		if c > ' ' {
			if len(s.word) == maxWord {
				return nil, s.fail("not_text", s.line, fmt.Sprintf("a word is longer than %d bytes", maxWord), "check that it is the right file")
			}
			s.word = append(s.word, c)
			continue
		}
		if len(s.word) > 0 {
			// It ends the word, and belongs to what follows.
			if err := s.r.UnreadByte(); err != nil {
				return nil, fmt.Errorf("asciigrid: %s: %w", s.name, err)
			}
			s.read--
			break
		}
		if err := s.blank(c); err != nil {
			return nil, err
		}
	}
	s.ahead = true
	return s.word, nil
}

// blank counts lines: they end with a line feed, a carriage return, or both.
func (s *scanner) blank(c byte) error {
	switch {
	case c == 0:
		return s.fail("not_text", s.line, "the file is not plain text: it holds zero bytes", "save it as text")
	case c == '\r', c == '\n' && !s.cr:
		s.line++
	}
	s.cr = c == '\r'
	return nil
}

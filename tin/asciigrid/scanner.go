package asciigrid

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"

	"barrow/tin"
	"barrow/tin/internal/limited"
)

const (
	blockSize = 64 << 10
	maxWord   = 400 // bytes; more than the longest plain decimal of a double
)

// scanner gives the words of a text file, and knows in which line they stand.
type scanner struct {
	name string
	in   *limited.Reader
	most int64 // bytes allowed

	buf     []byte
	at, end int // unread part of buf
	eof     bool

	word  []byte // looked at, not yet taken; valid if ahead
	ahead bool
	line  int  // of the word, or of the end
	cr    bool // the last blank was a carriage return
}

func newScanner(ctx context.Context, r io.Reader, name string, most int64) *scanner {
	return &scanner{name: name, in: limited.NewReader(ctx, r, most), most: most, line: 1, buf: make([]byte, blockSize)}
}

func (s *scanner) fail(code string, line int, message, hint string) error {
	return &tin.InputError{Code: code, File: s.name, Line: line, Message: message, Hint: hint}
}

// fill moves what is unread to the front and reads on: at least a byte, or to the
// end of the file.
func (s *scanner) fill() error {
	s.end = copy(s.buf, s.buf[s.at:s.end])
	s.at = 0
	n, err := s.in.Read(s.buf[s.end:])
	s.end += n
	switch {
	case errors.Is(err, io.EOF):
		s.eof = true
	case errors.Is(err, limited.ErrTooLong):
		return s.fail("too_many_bytes", 0, fmt.Sprintf("the file is longer than %d bytes, the most allowed", s.most), "cut the site out of it, or take a coarser grid")
	case err != nil:
		return fmt.Errorf("asciigrid: %s: %w", s.name, err)
	}
	return nil
}

// skipMark skips the byte order mark of UTF-8.
func (s *scanner) skipMark() error {
	for s.end < 3 && !s.eof {
		if err := s.fill(); err != nil {
			return err
		}
	}
	head := s.buf[:s.end]
	switch {
	case bytes.HasPrefix(head, []byte("\xFF\xFE")), bytes.HasPrefix(head, []byte("\xFE\xFF")):
		return s.fail("not_text", 1, "the file is not plain text: it starts with the mark of UTF-16", "save it as UTF-8")
	case bytes.HasPrefix(head, []byte("\xEF\xBB\xBF")):
		s.at = 3
	}
	return nil
}

// take takes the word looked at.
func (s *scanner) take() { s.ahead = false }

// peek returns the next word; an empty one at the end of the file. It is valid
// until the next one is looked at.
func (s *scanner) peek() ([]byte, error) {
	if s.ahead {
		return s.word, nil
	}
	if err := s.skipBlanks(); err != nil {
		return nil, err
	}
	length := 0
	for {
		for s.at+length < s.end && s.buf[s.at+length] > ' ' {
			length++
		}
		if length > maxWord {
			return nil, s.fail("not_text", s.line, fmt.Sprintf("a word is longer than %d bytes", maxWord), "check that it is the right file")
		}
		if s.at+length < s.end || s.eof {
			break
		}
		if err := s.fill(); err != nil {
			return nil, err
		}
	}
	s.word = s.buf[s.at : s.at+length]
	s.at += length
	s.ahead = true
	return s.word, nil
}

// skipBlanks goes to the next word, or to the end, and counts lines: they end with
// a line feed, a carriage return, or both.
func (s *scanner) skipBlanks() error {
	for {
		for ; s.at < s.end && s.buf[s.at] <= ' '; s.at++ {
			c := s.buf[s.at]
			switch {
			case c == 0:
				return s.fail("not_text", s.line, "the file is not plain text: it holds zero bytes", "save it as text")
			case c == '\r', c == '\n' && !s.cr:
				s.line++
			}
			s.cr = c == '\r'
		}
		if s.at < s.end {
			s.cr = false
			return nil
		}
		if s.eof {
			return nil
		}
		if err := s.fill(); err != nil {
			return err
		}
	}
}

package landxml

import (
	"bufio"
	"bytes"
	"errors"
	"io"

	"golang.org/x/text/encoding/unicode"
)

// maxToken is the most bytes in one tag, name, comment or text. Lists of numbers
// are read past the XML decoder and have no such limit.
const maxToken = 1 << 20

var errHugeToken = errors.New("landxml: one tag, comment or text is too long")

// source hands the file to the XML decoder byte by byte, so that at any time the
// next byte is the one after what the decoder has read. It counts lines itself,
// because lists of numbers are read past the decoder.
type source struct {
	r    *bufio.Reader
	line int  // of the next byte, from 1
	last byte // read
	left int  // bytes until maxToken

	empty  bool // the last two bytes were the end of an empty element's tag
	marked bool // the first bytes told the encoding, whatever the file states
}

// ReadByte makes a source an io.ByteReader, which the decoder then does not buffer.
func (s *source) ReadByte() (byte, error) {
	if s.left <= 0 {
		return 0, errHugeToken
	}
	s.left--
	b, err := s.r.ReadByte()
	if err == nil {
		s.count(b)
	}
	return b, err
}

// count counts the lines, which end in LF, CRLF or CR.
func (s *source) count(b byte) {
	if b == '\r' || b == '\n' && s.last != '\r' {
		s.line++
	}
	s.empty = b == '>' && s.last == '/'
	s.last = b
}

// pass goes past text of any length, to the next tag.
func (s *source) pass() error {
	for {
		text, err := s.r.ReadSlice('<')
		if err == nil {
			text = text[:len(text)-1]
		}
		for _, c := range text {
			s.count(c)
		}
		switch {
		case err == nil:
			return s.r.UnreadByte()
		case !errors.Is(err, bufio.ErrBufferFull):
			return err
		}
	}
}

// Read gives what is left of the file to a reader of another encoding.
func (s *source) Read(p []byte) (int, error) { return s.r.Read(p) }

// open makes the source of a file in UTF-8 or UTF-16, and takes its byte order
// mark off. UTF-16 without one is known by its first character, which is '<' (XML
// 1.0, appendix F).
func open(r io.Reader) *source {
	in := bufio.NewReaderSize(r, 1<<16)
	start, _ := in.Peek(3)
	begins := func(with string) bool { return bytes.HasPrefix(start, []byte(with)) }
	marked := true
	switch {
	case begins("\xEF\xBB\xBF"):
		_, _ = in.Discard(3)
	case begins("\xFF\xFE"), begins("<\x00"):
		in = bufio.NewReaderSize(fromUTF16(in, unicode.LittleEndian), 1<<16)
	case begins("\xFE\xFF"), begins("\x00<"):
		in = bufio.NewReaderSize(fromUTF16(in, unicode.BigEndian), 1<<16)
	default:
		marked = false
	}
	return &source{r: in, line: 1, marked: marked}
}

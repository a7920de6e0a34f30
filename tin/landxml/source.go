package landxml

import (
	"bufio"
	"bytes"
	"errors"
	"io"
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
	s.last = b
}

// Read gives what is left of the file to a reader of another encoding.
func (s *source) Read(p []byte) (int, error) { return s.r.Read(p) }

// open makes the source of a file in UTF-8 or UTF-16, and takes its byte order
// mark off.
func open(r io.Reader) *source {
	in := bufio.NewReaderSize(r, 1<<16)
	start, _ := in.Peek(3)
	switch {
	case bytes.HasPrefix(start, []byte("\xEF\xBB\xBF")):
		_, _ = in.Discard(3)
	case bytes.HasPrefix(start, []byte("\xFF\xFE")), bytes.HasPrefix(start, []byte("\xFE\xFF")):
		in = bufio.NewReaderSize(fromUTF16(in), 1<<16)
	}
	return &source{r: in, line: 1}
}

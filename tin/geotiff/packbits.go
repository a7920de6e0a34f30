package geotiff

import "io"

// packBits undoes PackBits (TIFF 6.0, section 9): a byte n from 0 to 127 is
// followed by n + 1 bytes as they are, one from -127 to -1 by a byte that stands
// 1 - n times, and -128 is skipped.
type packBits struct {
	source  []byte
	literal int  // bytes still to be taken as they are
	repeat  int  // times still to give value
	value   byte // the repeated one
}

// Read fills b, unless the source ends.
func (p *packBits) Read(b []byte) (int, error) {
	n := 0
	for n < len(b) {
		switch {
		case p.literal > 0:
			took := copy(b[n:], p.source[:min(p.literal, len(p.source))])
			if took == 0 {
				return n, io.ErrUnexpectedEOF
			}
			p.source, p.literal = p.source[took:], p.literal-took
			n += took
		case p.repeat > 0:
			b[n] = p.value
			p.repeat--
			n++
		case len(p.source) == 0:
			return n, io.EOF
		default:
			if err := p.head(); err != nil {
				return n, err
			}
		}
	}
	return n, nil
}

// head reads the head of a run.
func (p *packBits) head() error {
	n := int(int8(p.source[0]))
	p.source = p.source[1:]
	switch {
	case n >= 0:
		p.literal = n + 1
	case n > -128:
		if len(p.source) == 0 {
			return io.ErrUnexpectedEOF
		}
		p.repeat, p.value = 1-n, p.source[0]
		p.source = p.source[1:]
	}
	return nil
}

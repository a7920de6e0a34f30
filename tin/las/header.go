package las

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
)

// Header is what the head of a file says, as read.
type Header struct {
	Version      string // "1.2", "1.3" or "1.4"
	Format       uint8  // of its point records, 0 to 10
	RecordLength int    // of one point, in bytes
	Points       int64

	Scale, Offset [3]float64 // of easting, northing, level
	Min, Max      [3]float64 // the box the file gives for its points, right or wrong

	System, Software string // what made the file, where it says so
	Day, Year        int    // of its creation; the day counts from 1 January, which is 1
}

// header is the whole head: what a user may want to know, and how to go on.
type header struct {
	Header
	minor         int
	encoding      uint16 // global encoding
	size          int64  // of the head itself
	pointsAt      int64
	records       int64 // variable length records before the points
	extendedAt    int64 // the first extended record
	extended      int64 // their number
	legacy, large int64 // the two counts of points
}

// The bits of the global encoding that matter here.
const (
	waveformInside = 1 << 1
	crsIsWKT       = 1 << 4
)

// headSize is the size of the head by minor version, from 1.2 on; formatSize
// that of a point record by format. They are tables, never written to.
var (
	headSize   = [...]int{227, 235, 375}
	formatSize = [...]int{20, 28, 26, 34, 57, 63, 30, 36, 38, 59, 67}
	lastFormat = [...]uint8{3, 5, 10} // by minor version, from 1.2 on
)

const (
	compressedBits = 0xC0 // of the point format: LAZ sets bit 7, once bit 6
	firstExtended  = 6    // the first of the point formats with a class of 8 bits
	maxCoordinate  = 1e9
	asUncompressed = "write it out as uncompressed LAS with the program it came from"
	exportAgain    = "export it again with the program it came from"
)

// readHeader reads the head of a file and checks what can be checked without
// its points.
func readHeader(s *stream) (*header, error) {
	var b [375]byte
	if err := s.fill(b[:4], "its signature"); err != nil && !isTruncated(err) {
		return nil, err
	}
	if string(b[:4]) != "LASF" {
		return nil, s.fail("not_las", "check that it is the right file", "this is no LAS file: it does not begin with LASF")
	}
	if err := s.fill(b[4:headSize[0]], "its header"); err != nil {
		return nil, err
	}
	if major, minor := b[24], b[25]; major != 1 || minor < 2 || minor > 4 {
		return nil, s.fail("bad_version", "write it out as LAS 1.2 or 1.4", "it is LAS version %d.%d; 1.2, 1.3 and 1.4 are read", major, minor)
	}
	minor := int(b[25])
	h := &header{minor: minor, size: int64(binary.LittleEndian.Uint16(b[94:]))}
	least := headSize[minor-2]
	if h.size < int64(least) {
		return nil, s.fail("bad_header", exportAgain, "its header says it has %d bytes; LAS 1.%d has %d", h.size, minor, least)
	}
	if err := s.fill(b[headSize[0]:least], "its header"); err != nil {
		return nil, err
	}
	h.decode(b[:least])
	if err := h.check(s); err != nil {
		return nil, err
	}
	return h, s.skip(h.size-int64(least), "its header")
}

// decode takes the fields of the head from its bytes.
func (h *header) decode(b []byte) {
	le := binary.LittleEndian
	h.Version = fmt.Sprintf("%d.%d", b[24], b[25])
	h.encoding = le.Uint16(b[6:])
	h.System, h.Software = text(b[26:58]), text(b[58:90])
	h.Day, h.Year = int(le.Uint16(b[90:])), int(le.Uint16(b[92:]))
	h.pointsAt, h.records = int64(le.Uint32(b[96:])), int64(le.Uint32(b[100:]))
	h.Format, h.RecordLength = b[104], int(le.Uint16(b[105:]))
	h.legacy = int64(le.Uint32(b[107:]))
	double := func(at int) float64 { return math.Float64frombits(le.Uint64(b[at:])) }
	for i := range 3 {
		h.Scale[i], h.Offset[i] = double(131+8*i), double(155+8*i)
		h.Max[i], h.Min[i] = double(179+16*i), double(187+16*i)
	}
	h.Points = h.legacy
	if h.minor >= 4 {
		h.extendedAt, h.extended = int64(le.Uint64(b[235:])), int64(le.Uint32(b[243:]))
		h.large = int64(le.Uint64(b[247:]))
		// A legacy count that is not 0 rules, as the standard tells readers.
		if h.legacy == 0 {
			h.Points = h.large
		}
	}
}

// waveforms reports whether the file holds, behind the points, the waveforms that
// points of its format speak of.
func (h *header) waveforms() bool {
	switch h.Format {
	case 4, 5, 9, 10:
		return h.encoding&waveformInside != 0
	}
	return false
}

// check refuses what cannot be read, or cannot be.
func (h *header) check(s *stream) error {
	if h.Format&compressedBits != 0 {
		return s.compressed()
	}
	if h.Format > lastFormat[h.minor-2] {
		return s.fail("bad_format", asUncompressed, "its points have format %d, which LAS %s does not know", h.Format, h.Version)
	}
	if least := formatSize[h.Format]; h.RecordLength < least {
		return s.fail("bad_header", exportAgain, "its point records of format %d have %d bytes; they need %d", h.Format, h.RecordLength, least)
	}
	if h.pointsAt < h.size {
		return s.fail("bad_header", exportAgain, "its points begin at byte %d, within its header of %d bytes", h.pointsAt, h.size)
	}
	if h.Points < 0 || h.Points > math.MaxInt64/math.MaxUint16 {
		return s.fail("bad_count", exportAgain, "its header counts %d points", uint64(h.Points))
	}
	for i, axis := range []string{"easting", "northing", "level"} {
		if scale := h.Scale[i]; !(scale > 0) || math.IsInf(scale, 1) {
			return s.fail("bad_scale", exportAgain, "the scale of its %ss is %v", axis, scale)
		}
		if offset := h.Offset[i]; math.IsNaN(offset) || math.IsInf(offset, 0) {
			return s.fail("bad_scale", exportAgain, "the offset of its %ss is %v", axis, offset)
		}
	}
	return nil
}

func (s *stream) compressed() error {
	return s.fail("compressed", asUncompressed, "its points are compressed (LAZ), which is not read")
}

// text is a text of fixed length up to its first zero byte.
func text(b []byte) string {
	b, _, _ = bytes.Cut(b, []byte{0})
	return string(bytes.ToValidUTF8(b, []byte("?")))
}

package las

import (
	"encoding/binary"
	"io"
	"math"
)

const (
	recordHead   = 54 // bytes before the data of a variable length record
	extendedHead = 60
	maxCRSRecord = 1 << 20 // bytes of a record of the coordinate system that are read
)

// variableRecords reads the records between head and points, and goes on to the
// points.
func (d *decoder) variableRecords() error {
	s, h := d.stream, d.header
	for i := range h.records {
		var b [recordHead]byte
		if s.at+recordHead > h.pointsAt {
			return d.recordsTooLong(i)
		}
		if err := s.fill(b[:], "a variable length record"); err != nil {
			return err
		}
		length := int64(binary.LittleEndian.Uint16(b[20:]))
		if s.at+length > h.pointsAt {
			return d.recordsTooLong(i)
		}
		if err := d.record(text(b[2:18]), binary.LittleEndian.Uint16(b[18:]), length); err != nil {
			return err
		}
	}
	return s.skip(h.pointsAt-s.at, "what comes before its points")
}

func (d *decoder) recordsTooLong(i int64) error {
	return d.stream.fail("bad_records", exportAgain,
		"record %d of the %d before its points reaches beyond byte %d, where they begin", i+1, d.header.records, d.header.pointsAt)
}

// extendedRecords reads the records behind the points.
func (d *decoder) extendedRecords() error {
	s, h := d.stream, d.header
	if h.extended == 0 {
		return nil
	}
	if h.pointsAt < h.extendedAt && h.extendedAt < s.at {
		return s.fail("bad_count", exportAgain, "its header counts %d points, which end at byte %d, but extended records begin at byte %d", h.Points, s.at, h.extendedAt)
	}
	if h.extendedAt < s.at {
		d.note("records_not_read", "%d extended records are said to begin at byte %d, before the points end: they were not read", h.extended, h.extendedAt)
		return nil
	}
	between := h.extendedAt - s.at
	if err := s.skip(between, "what comes before its extended records"); err != nil {
		return err
	}
	if err := d.uncounted(between); err != nil {
		return err
	}
	d.known = true
	for range h.extended {
		var b [extendedHead]byte
		if err := s.fill(b[:], "an extended record"); err != nil {
			return err
		}
		length := binary.LittleEndian.Uint64(b[20:])
		if length > math.MaxInt64 {
			return s.fail("bad_records", exportAgain, "an extended record says it has %d bytes", length)
		}
		if err := d.record(text(b[2:18]), binary.LittleEndian.Uint16(b[18:]), int64(length)); err != nil {
			return err
		}
	}
	return nil
}

// record reads the data of a record if it is of the coordinate system, and
// passes over others. Of two of one kind the first counts.
func (d *decoder) record(user string, id uint16, length int64) error {
	if user == "laszip encoded" {
		return d.stream.compressed()
	}
	into := d.crs.record(user, id)
	if into == nil || *into != nil || length > maxCRSRecord {
		return d.stream.skip(length, "a record")
	}
	*into = make([]byte, length)
	return d.stream.fill(*into, "a record of the coordinate system")
}

// rest reads what comes after all that the header speaks of.
func (d *decoder) rest() error {
	n, err := io.Copy(io.Discard, d.stream)
	d.stream.at += n
	if err != nil {
		return d.stream.failed(err, "its end")
	}
	if d.known {
		return nil
	}
	return d.uncounted(n)
}

// uncounted looks at bytes behind the points that the header does not speak of: they
// may be points that it does not count.
func (d *decoder) uncounted(n int64) error {
	h := d.header
	switch length := int64(h.RecordLength); {
	case n == 0 || h.waveforms():
	case n%length == 0:
		return d.stream.fail("bad_count", exportAgain,
			"its header counts %d points, but bytes for %d more follow them", h.Points, n/length)
	case h.extended == 0 || h.extendedAt > h.pointsAt: // else they are its extended records
		d.note("bytes_not_read", "%d bytes after the points were not read", n)
	}
	return nil
}

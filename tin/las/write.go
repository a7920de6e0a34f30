package las

import (
	"bufio"
	"cmp"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"barrow/tin"
)

// WriteOptions say how [Write] writes. Day and Year must be given.
type WriteOptions struct {
	Format    uint8 // of the points: 0 or 1 (LAS 1.2), or 6 (LAS 1.4)
	Day, Year int   // of creation, for the header; the day counts from 1 January, which is 1

	// Unit is that of the coordinates and levels: metres where it is 0, feet or
	// US survey feet. It is written into the file.
	Unit tin.Unit

	Scale    float64     // the step of coordinates and levels; 0: 0.001
	Offset   *[3]float64 // nil: the least easting, northing and level, rounded down to whole units
	Class    uint8       // of points whose code is not such as "class 2"; 0: 2, ground
	Software string      // that writes the file, at most 32 bytes
}

// Write writes points as LAS. Coordinates and levels are rounded to the nearest
// whole step of the scale; those that are decimals of that many places come back
// from [Read] with the same bits. Names are not written; a code "class 5" gives the
// class. The same points and options give the same bytes.
//
// What cannot be written is an error that names the point: one without a level,
// not finite, or too far from the offset for the scale.
func Write(w io.Writer, points []tin.Point, opts WriteOptions) error {
	h, err := opts.head(points)
	if err != nil {
		return fmt.Errorf("las: write: %w", err)
	}
	var axes [3]axis
	for i := range axes {
		axes[i] = newAxis(h.Scale[i], h.Offset[i])
	}
	records := make([]record, len(points))
	for i, p := range points {
		if records[i], err = opts.record(p, &axes); err != nil {
			return fmt.Errorf("las: write point %d %q: %w", i+1, p.Name, err)
		}
		for k, x := range records[i].at {
			v := axes[k].at(x)
			if i == 0 {
				h.Min[k], h.Max[k] = v, v
			}
			h.Min[k], h.Max[k] = min(h.Min[k], v), max(h.Max[k], v)
		}
	}
	b := bufio.NewWriterSize(w, 64<<10)
	b.Write(h.encode(opts.crsRecord()))
	line := make([]byte, h.RecordLength)
	for _, r := range records {
		encodePoint(line, h.Format, r)
		if _, err := b.Write(line); err != nil {
			return fmt.Errorf("las: write: %w", err)
		}
	}
	if err := b.Flush(); err != nil {
		return fmt.Errorf("las: write: %w", err)
	}
	return nil
}

// head makes the header, but for the box of the points, and checks the options.
func (o WriteOptions) head(points []tin.Point) (*Header, error) {
	h := &Header{Version: "1.2", Format: o.Format, Points: int64(len(points)), System: "OTHER", Software: o.Software, Day: o.Day, Year: o.Year}
	switch o.Format {
	case 0, 1:
	case 6:
		h.Version = "1.4"
	default:
		return nil, fmt.Errorf("point format %d is not written: give 0, 1 or 6", o.Format)
	}
	h.RecordLength = formatSize[o.Format]
	scale := cmp.Or(o.Scale, 0.001)
	code, _ := epsgUnit(o.Unit)
	switch {
	case !(scale > 0) || math.IsInf(scale, 1):
		return nil, fmt.Errorf("a scale of %v is none", scale)
	case o.Day < 1 || o.Day > 366 || o.Year < 1 || o.Year > math.MaxUint16:
		return nil, fmt.Errorf("day %d of year %d is no date", o.Day, o.Year)
	case len(o.Software) > 32:
		return nil, fmt.Errorf("the name of the software, %q, is longer than 32 bytes", o.Software)
	case code == 0:
		return nil, fmt.Errorf("the unit %v has no code: give metres, feet or US survey feet", o.Unit)
	case len(points) == 0 || int64(len(points)) > math.MaxUint32:
		return nil, fmt.Errorf("%d points are none, or too many for the format", len(points))
	}
	h.Scale = [3]float64{scale, scale, scale}
	if o.Offset != nil {
		h.Offset = *o.Offset
		return h, nil
	}
	h.Offset = [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	for _, p := range points {
		for i, v := range []float64{p.E, p.N, p.Level} {
			if math.Abs(v) <= maxCoordinate {
				h.Offset[i] = min(h.Offset[i], math.Floor(v))
			}
		}
	}
	return h, nil
}

// record makes the whole numbers of a point.
func (o WriteOptions) record(p tin.Point, axes *[3]axis) (r record, err error) {
	for i, v := range []float64{p.E, p.N, p.Level} {
		if !(math.Abs(v) <= maxCoordinate) {
			return r, fmt.Errorf("%v, %v, %v is not finite, without a level, or beyond %.0f", p.E, p.N, p.Level, float64(maxCoordinate))
		}
		a := &axes[i]
		x := math.RoundToEven((v - a.offset) / a.scale)
		if !(x >= math.MinInt32 && x <= math.MaxInt32) {
			return r, fmt.Errorf("%v does not fit: with a scale of %v and an offset of %v, %v to %v can be written",
				v, a.scale, a.offset, a.at(math.MinInt32), a.at(math.MaxInt32))
		}
		r.at[i] = int32(x)
	}
	r.class = cmp.Or(o.Class, 2)
	if text, ok := strings.CutPrefix(p.Code, "class "); ok {
		class, err := strconv.ParseUint(text, 10, 8)
		if err != nil {
			return r, fmt.Errorf("the code %q is no class", p.Code)
		}
		r.class = uint8(class)
	}
	if o.Format < firstExtended && r.class > 31 {
		return r, fmt.Errorf("class %d does not fit format %d, which goes to 31: write format 6", r.class, o.Format)
	}
	return r, nil
}

// encodePoint makes the bytes of a point: the only return of its pulse.
func encodePoint(b []byte, format uint8, r record) {
	for i, x := range r.at {
		binary.LittleEndian.PutUint32(b[4*i:], uint32(x))
	}
	if format < firstExtended {
		b[14], b[15] = 1|1<<3, r.class
	} else {
		b[14], b[16] = 1|1<<4, r.class
	}
}

// encode makes the bytes of the header and of one record after it.
func (h *Header) encode(crs []byte) []byte {
	le := binary.LittleEndian
	minor := int(h.Version[2] - '0')
	size := headSize[minor-2]
	b := make([]byte, size, size+len(crs))
	copy(b, "LASF")
	b[24], b[25] = 1, byte(minor)
	copy(b[26:58], h.System)
	copy(b[58:90], h.Software)
	le.PutUint16(b[90:], uint16(h.Day))
	le.PutUint16(b[92:], uint16(h.Year))
	le.PutUint16(b[94:], uint16(size))
	le.PutUint32(b[96:], uint32(size+len(crs)))
	le.PutUint32(b[100:], 1)
	b[104] = h.Format
	le.PutUint16(b[105:], uint16(h.RecordLength))
	if minor < 4 {
		le.PutUint32(b[107:], uint32(h.Points)) // all
		le.PutUint32(b[111:], uint32(h.Points)) // first returns
	} else {
		le.PutUint16(b[6:], crsIsWKT)
		le.PutUint64(b[247:], uint64(h.Points))
		le.PutUint64(b[255:], uint64(h.Points))
	}
	for i := range 3 {
		le.PutUint64(b[131+8*i:], math.Float64bits(h.Scale[i]))
		le.PutUint64(b[155+8*i:], math.Float64bits(h.Offset[i]))
		le.PutUint64(b[179+16*i:], math.Float64bits(h.Max[i]))
		le.PutUint64(b[187+16*i:], math.Float64bits(h.Min[i]))
	}
	return append(b, crs...)
}

// crsRecord makes the record that states the unit: GeoTIFF keys, or for format 6
// the text of a local system, as the standard wants.
func (o WriteOptions) crsRecord() []byte {
	code, name := epsgUnit(o.Unit)
	if o.Format < firstExtended {
		var data []byte
		for _, v := range []uint16{
			1, 1, 0, 4, // version and number of keys
			keyModelType, 0, 1, 1, // projected
			keyProjected, 0, 1, usersOwn,
			keyLinearUnit, 0, 1, code,
			keyVerticalUnit, 0, 1, code,
		} {
			data = binary.LittleEndian.AppendUint16(data, v)
		}
		return crsRecordOf(34735, "GeoKeyDirectoryTag", data)
	}
	unit := fmt.Sprintf("UNIT[%q,%v]", name, o.Unit.Metres())
	system := fmt.Sprintf(`COMPD_CS["site grid",LOCAL_CS["site grid",LOCAL_DATUM["site",32767],%s,AXIS["Easting",EAST],AXIS["Northing",NORTH]],`+
		`VERT_CS["site level",VERT_DATUM["site",2000],%s,AXIS["Level",UP]]]`, unit, unit)
	return crsRecordOf(2112, "OGC WKT", append([]byte(system), 0))
}

func crsRecordOf(id uint16, description string, data []byte) []byte {
	b := make([]byte, recordHead, recordHead+len(data))
	copy(b[2:18], "LASF_Projection")
	binary.LittleEndian.PutUint16(b[18:], id)
	binary.LittleEndian.PutUint16(b[20:], uint16(len(data)))
	copy(b[22:54], description)
	return append(b, data...)
}

// epsgUnit is the EPSG code of a unit and its name; 0 for one without.
func epsgUnit(u tin.Unit) (code uint16, name string) {
	switch u {
	case 0, tin.Metre:
		return 9001, "metre"
	case tin.Foot:
		return 9002, "foot"
	case tin.SurveyFoot:
		return 9003, "US survey foot"
	}
	return 0, ""
}

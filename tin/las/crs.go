package las

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"strings"

	"barrow/tin"
)

// crsRecords is the data of the records that say what the coordinates are; nil
// for those a file lacks.
type crsRecords struct {
	keys, doubles, texts []byte // as in GeoTIFF
	wkt                  []byte
}

// record is where the data of a record belongs; nil for records of other things.
func (c *crsRecords) record(user string, id uint16) *[]byte {
	if user != "LASF_Projection" {
		return nil
	}
	switch id {
	case 34735:
		return &c.keys
	case 34736:
		return &c.doubles
	case 34737:
		return &c.texts
	case 2112:
		return &c.wkt
	}
	return nil
}

// stated is what one kind of record says.
type stated struct {
	CRS
	unit, vertical tin.Unit // 0: not stated
	notInPlan      bool     // degrees, or coordinates from the earth's centre
	unknown        string   // a unit that is not known
}

// The keys of GeoTIFF (OGC 19-008r4) that are read, and values of theirs.
const (
	keyModelType    = 1024
	keyCitation     = 1026
	keyProjected    = 3072
	keyProjectedBy  = 3073 // the name of the projected system
	keyLinearUnit   = 3076
	keyUnitSize     = 3077 // in metres
	keyVertical     = 4096
	keyVerticalUnit = 4099

	usersOwn = 32767
)

// geoKeys reads the keys of GeoTIFF. It is not ok if there are none that make
// sense.
func (c *crsRecords) geoKeys() (s stated, ok bool) {
	word := func(i int) int { return int(binary.LittleEndian.Uint16(c.keys[2*i:])) }
	if len(c.keys) < 8 || word(0) != 1 || len(c.keys) < 8*(1+word(3)) {
		return s, false
	}
	var unit, vertical int // codes
	var size []byte        // of the user's own unit, a double
	for k := 1; k <= word(3); k++ {
		key, where, count, value := word(4*k), word(4*k+1), word(4*k+2), word(4*k+3)
		switch {
		case where == 34737:
			if name := slice(c.texts, value, count); (key == keyCitation && s.Name == "") || key == keyProjectedBy {
				s.Name = strings.TrimRight(text(name), "| ")
			}
		case where == 34736 && key == keyUnitSize:
			size = slice(c.doubles, 8*value, 8)
		case where != 0:
		case key == keyModelType:
			s.notInPlan = value == 2 || value == 3
		case key == keyProjected && value != usersOwn:
			s.EPSG = value
		case key == keyVertical && value != usersOwn:
			s.VerticalEPSG = value
		case key == keyLinearUnit:
			unit = value
		case key == keyVerticalUnit:
			vertical = value
		}
	}
	s.unit = s.coded(unit)
	if unit == usersOwn && size != nil {
		s.unit = s.sized(math.Float64frombits(binary.LittleEndian.Uint64(size)))
	}
	s.vertical = s.coded(vertical)
	return s, true
}

// coded is the unit of a code of EPSG; 0 where there is none, or it is not known.
func (s *stated) coded(code int) tin.Unit {
	u, ok := tin.UnitOfEPSG(code)
	if !ok && code != 0 && code != usersOwn {
		s.unknown = "EPSG unit " + strconv.Itoa(code)
	}
	return u
}

// sized is the unit of so many metres; 0 where that can be none.
func (s *stated) sized(metres float64) tin.Unit {
	u, ok := tin.UnitOfMetres(metres)
	if !ok {
		s.unknown = fmt.Sprintf("a unit of %v m", metres)
	}
	return u
}

// slice is n bytes of b from i on; nil if b has not so many.
func slice(b []byte, i, n int) []byte {
	if i+n > len(b) {
		return nil
	}
	return b[i : i+n]
}

// system says what the coordinates are, after all records are read. Where both
// kinds of record are there and differ, the header says which one counts; what one
// lacks the other gives.
func (d *decoder) system() error {
	keys, hasKeys := d.crs.geoKeys()
	if d.crs.keys != nil && !hasKeys {
		d.note("crs_not_read", "the record of GeoTIFF keys makes no sense and was not used")
	}
	wkt, hasWKT := stated{}, false
	if d.crs.wkt != nil {
		if wkt, hasWKT = readWKT(text(d.crs.wkt)); !hasWKT {
			d.note("crs_not_read", "the record of the coordinate system as text (WKT) makes no sense and was not used")
		}
	}
	s, other, which := keys, wkt, "the keys"
	if hasWKT && (!hasKeys || d.header.encoding&crsIsWKT != 0) {
		s, other, which = wkt, keys, "the text"
	}
	if hasKeys && hasWKT && (keys.notInPlan != wkt.notInPlan || keys.unit != wkt.unit && keys.unit != 0 && wkt.unit != 0) {
		d.note("crs_differ", "its two records of the coordinate system do not agree: GeoTIFF keys say %s, the text (WKT) says %s; %s taken, as its header says",
			keys.says(), wkt.says(), which)
	} else {
		s.unit, s.vertical = cmp.Or(s.unit, other.unit), cmp.Or(s.vertical, other.vertical)
	}
	if s.notInPlan {
		return d.fail("degrees", "export the points in the grid of the site", "its coordinates are longitude and latitude, or counted from the earth's centre")
	}
	if s.unknown != "" && (s.unit == 0 || s.vertical == 0) {
		d.note("unit_not_known", "it states a unit that is not known here (%s)", s.unknown)
	}
	if s.unit != 0 && s.vertical == 0 {
		d.note("level_unit_not_stated", "it states the unit of its plan coordinates (%v), but not that of its levels", s.unit)
	}
	d.file.CRS, d.file.Unit, d.file.VerticalUnit = s.CRS, s.unit, s.vertical
	return nil
}

// says is what a record says of coordinates, for a message.
func (s stated) says() string {
	switch {
	case s.notInPlan:
		return "degrees"
	case s.unit == 0:
		return "no unit"
	}
	return s.unit.String()
}

package las_test

import (
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/assert"

	"barrow/tin"
	"barrow/tin/las"
)

// keys is a record of GeoTIFF keys that hold their value themselves.
func keys(pairs ...uint16) vlr {
	b := []byte{}
	for _, v := range []uint16{1, 1, 0, uint16(len(pairs) / 2)} {
		b = binary.LittleEndian.AppendUint16(b, v)
	}
	for i := 0; i < len(pairs); i += 2 {
		for _, v := range []uint16{pairs[i], 0, 1, pairs[i+1]} {
			b = binary.LittleEndian.AppendUint16(b, v)
		}
	}
	return vlr{"LASF_Projection", 34735, b}
}

func wkt(s string) vlr { return vlr{"LASF_Projection", 2112, []byte(s + "\x00")} }

// What a file states by its records before and behind the points, and by which
// of the two kinds.
func TestStatedUnit(t *testing.T) {
	const feet = `COMPD_CS["grid",LOCAL_CS["g",UNIT["foot",0.3048]],VERT_CS["v",UNIT["foot",0.3048]]]`
	const degrees = `GEOGCS["WGS 84",UNIT["degree",0.0174532925199433]]`
	for _, c := range []struct {
		name           string
		records        []vlr
		behind         []vlr
		encoding       uint16
		unit, vertical tin.Unit
		notes          []string
		code           string
	}{
		{"nothing", nil, nil, 0, 0, 0, []string{}, ""},
		{"keys", []vlr{keys(3076, 9003, 4099, 9003)}, nil, 0, tin.SurveyFoot, tin.SurveyFoot, []string{}, ""},
		{"keys for plan alone", []vlr{keys(3076, 9001)}, nil, 0, tin.Metre, 0, []string{"level_unit_not_stated"}, ""},
		{"text", []vlr{wkt(feet)}, nil, 16, tin.Foot, tin.Foot, []string{}, ""},
		{"text, though the header does not say so", []vlr{wkt(feet)}, nil, 0, tin.Foot, tin.Foot, []string{}, ""},
		{"text behind the points", nil, []vlr{{"other", 7, []byte("x")}, wkt(feet)}, 16, tin.Foot, tin.Foot, []string{}, ""},
		{"the first text counts", []vlr{wkt(feet)}, []vlr{wkt(degrees)}, 16, tin.Foot, tin.Foot, []string{}, ""},
		{"both, and they agree", []vlr{keys(3076, 9002, 4099, 9002), wkt(feet)}, nil, 0, tin.Foot, tin.Foot, []string{}, ""},
		{"both, keys count", []vlr{keys(3076, 9003, 4099, 9003), wkt(feet)}, nil, 0, tin.SurveyFoot, tin.SurveyFoot, []string{"crs_differ"}, ""},
		{"both, text counts", []vlr{keys(3076, 9003, 4099, 9003), wkt(feet)}, nil, 16, tin.Foot, tin.Foot, []string{"crs_differ"}, ""},
		{"both, degrees do not count", []vlr{keys(1024, 2), wkt(feet)}, nil, 16, tin.Foot, tin.Foot, []string{"crs_differ"}, ""},
		{"both, the one that counts without a unit", []vlr{keys(3072, 26910), wkt(feet)}, nil, 0, tin.Foot, tin.Foot, []string{}, ""},
		{"both, the one that counts without that of levels", []vlr{keys(3076, 9002), wkt(feet)}, nil, 0, tin.Foot, tin.Foot, []string{}, ""},
		{"degrees by keys", []vlr{keys(1024, 2)}, nil, 0, 0, 0, nil, "degrees"},
		{"degrees by text", []vlr{wkt(degrees)}, nil, 16, 0, 0, nil, "degrees"},
		{"an unknown unit", []vlr{keys(3076, 9005)}, nil, 0, 0, 0, []string{"unit_not_known"}, ""},
		{"keys that make no sense", []vlr{{"LASF_Projection", 34735, []byte{1, 2, 3}}}, nil, 0, 0, 0, []string{"crs_not_read"}, ""},
		{"text that makes no sense", []vlr{wkt("none")}, nil, 16, 0, 0, []string{"crs_not_read"}, ""},
		{"text of another's", []vlr{{"someone", 2112, []byte(feet)}}, nil, 16, 0, 0, []string{}, ""},
		{"a text too long to be one", nil, []vlr{wkt(feet + string(make([]byte, 1<<20)))}, 16, 0, 0, []string{}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := site(6, ground(3)...)
			s.records, s.behind, s.encoding = c.records, c.behind, c.encoding
			f, err := read(s.bytes(), las.Options{})
			assert.Equal(t, c.code, codeOf(err))
			if c.code != "" {
				return
			}
			assert.NoError(t, err)
			assert.Equal(t, c.unit, f.Unit)
			assert.Equal(t, c.vertical, f.VerticalUnit)
			assert.Equal(t, c.notes, codes(f.Notes))
		})
	}
}

// Both records and their difference are named.
func TestCRSDifferMessage(t *testing.T) {
	s := site(6, ground(3)...)
	s.records = []vlr{keys(1024, 2), wkt(`LOCAL_CS["g",UNIT["foot",0.3048]]`)}
	s.encoding = 16
	f := mustRead(t, s.bytes(), las.Options{})
	assert.Equal(t, "its two records of the coordinate system do not agree: GeoTIFF keys say degrees, the text (WKT) says ft; the text taken, as its header says", f.Notes[0].Message)
}

// Longitudes and latitudes without a word on it: steps far below a millimetre if
// they were metres, within 180 and 90.
func TestLikeDegrees(t *testing.T) {
	s := site(1, raw{x: 123, y: 456, z: 7000, class: 2})
	s.scale, s.offset = [3]float64{1e-7, 1e-7, 0.001}, [3]float64{-122.5, 44, 0}
	assert.Equal(t, []string{"like_degrees"}, codes(mustRead(t, s.bytes(), las.Options{}).Notes))
	s.offset = [3]float64{-122.5, 91, 0}
	assert.Empty(t, mustRead(t, s.bytes(), las.Options{}).Notes, "no latitude")
	s.scale, s.offset = [3]float64{0.001, 0.001, 0.001}, [3]float64{}
	assert.Empty(t, mustRead(t, s.bytes(), las.Options{}).Notes, "a site's own grid")
	s.scale, s.offset = [3]float64{1e-7, 1e-7, 0.001}, [3]float64{-122.5, 44, 0}
	s.records = []vlr{keys(3076, 9001, 4099, 9001)}
	assert.Empty(t, mustRead(t, s.bytes(), las.Options{}).Notes, "metres, as it says")
}

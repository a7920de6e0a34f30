package las

import (
	"encoding/binary"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"barrow/tin"
)

// keys makes a directory of GeoTIFF keys of key, where, count, value.
func keys(entries ...[4]uint16) []byte {
	b := []byte{}
	for _, e := range append([][4]uint16{{1, 1, 0, uint16(len(entries))}}, entries...) {
		for _, v := range e {
			b = binary.LittleEndian.AppendUint16(b, v)
		}
	}
	return b
}

// Codes of units: OGC GeoTIFF 1.1 (19-008r4), EPSG 9001 to 9003.
func TestGeoKeys(t *testing.T) {
	foot := binary.LittleEndian.AppendUint64(make([]byte, 8), math.Float64bits(0.3048))
	for _, c := range []struct {
		name string
		crs  crsRecords
		want stated
		ok   bool
	}{
		{"none", crsRecords{}, stated{}, false},
		{"no keys", crsRecords{keys: keys()}, stated{}, true},
		{"metres", crsRecords{keys: keys([4]uint16{3076, 0, 1, 9001}, [4]uint16{4099, 0, 1, 9001})}, stated{unit: tin.Metre, vertical: tin.Metre}, true},
		{"feet, levels in metres", crsRecords{keys: keys([4]uint16{3076, 0, 1, 9002}, [4]uint16{4099, 0, 1, 9001})}, stated{unit: tin.Foot, vertical: tin.Metre}, true},
		{"US survey feet", crsRecords{keys: keys([4]uint16{1024, 0, 1, 1}, [4]uint16{3076, 0, 1, 9003})}, stated{unit: tin.SurveyFoot}, true},
		{"a size in metres", crsRecords{keys: keys([4]uint16{3076, 0, 1, 32767}, [4]uint16{3077, 34736, 1, 1}), doubles: foot}, stated{unit: tin.Foot}, true},
		{"a size that is none", crsRecords{keys: keys([4]uint16{3076, 0, 1, 32767}, [4]uint16{3077, 34736, 1, 0}), doubles: foot}, stated{unknown: "a unit of 0 m"}, true},
		{"a size that is none beside a code", crsRecords{keys: keys([4]uint16{3076, 0, 1, 9001}, [4]uint16{3077, 34736, 1, 0}), doubles: foot}, stated{unit: tin.Metre}, true},
		{"centimetres", crsRecords{keys: keys([4]uint16{3076, 0, 1, 1033})}, stated{unit: 0.01}, true},
		{"a size that is not there", crsRecords{keys: keys([4]uint16{3076, 0, 1, 32767}, [4]uint16{3077, 34736, 1, 2}), doubles: foot}, stated{}, true},
		{"a size beside a code", crsRecords{keys: keys([4]uint16{3076, 0, 1, 9001}, [4]uint16{3077, 34736, 1, 1}), doubles: foot}, stated{unit: tin.Metre}, true},
		{"an unknown unit", crsRecords{keys: keys([4]uint16{3076, 0, 1, 9005})}, stated{unknown: "EPSG unit 9005"}, true},
		{"degrees", crsRecords{keys: keys([4]uint16{1024, 0, 1, 2})}, stated{notInPlan: true}, true},
		{"from the earth's centre", crsRecords{keys: keys([4]uint16{1024, 0, 1, 3})}, stated{notInPlan: true}, true},
		{
			"codes and a name",
			crsRecords{
				keys:  keys([4]uint16{1026, 34737, 6, 0}, [4]uint16{3072, 0, 1, 26910}, [4]uint16{3073, 34737, 8, 6}, [4]uint16{4096, 0, 1, 5703}),
				texts: []byte("whole|zone 10|\x00"),
			},
			stated{CRS: CRS{Name: "zone 10", EPSG: 26910, VerticalEPSG: 5703}}, true,
		},
		{"the user's own codes", crsRecords{keys: keys([4]uint16{3072, 0, 1, 32767}, [4]uint16{4096, 0, 1, 32767})}, stated{}, true},
		{"cut short", crsRecords{keys: keys([4]uint16{3076, 0, 1, 9001})[:12]}, stated{}, false},
		{"another version", crsRecords{keys: append([]byte{2}, keys()[1:]...)}, stated{}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, ok := c.crs.geoKeys()
			assert.Equal(t, c.ok, ok)
			assert.Equal(t, c.want, got)
		})
	}
}

// The forms are those of OGC 01-009, section 7 (the first version) and OGC 18-010
// (the second); the systems are shortened from the examples there, or made up.
func TestWKT(t *testing.T) {
	const geographic = `GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`
	for _, c := range []struct {
		name, text string
		want       stated
		ok         bool
	}{
		{"plan", `PROJCS["UTM 10",` + geographic + `,PROJECTION["Transverse_Mercator"],PARAMETER["scale_factor",0.9996],UNIT["metre",1,AUTHORITY["EPSG","9001"]],AXIS["Easting",EAST],AUTHORITY["EPSG","26910"]]`,
			stated{CRS: CRS{Name: "UTM 10", EPSG: 26910}, unit: tin.Metre}, true},
		{"plan and level", `COMPD_CS["site",PROJCS["p",` + geographic + `,UNIT["US survey foot",0.304800609601219]],VERT_CS["v",VERT_DATUM["d",2005],UNIT["foot",0.3048],AXIS["Up",UP],AUTHORITY["EPSG","8228"]]]`,
			stated{CRS: CRS{Name: "site", VerticalEPSG: 8228}, unit: tin.SurveyFoot, vertical: tin.Foot}, true},
		{"local", `LOCAL_CS["site ""A""",UNIT["foot",0.3048]]`, stated{CRS: CRS{Name: `site "A"`}, unit: tin.Foot}, true},
		{"round brackets, blanks, small letters", "local_cs ( \"g\" ,\r\n\tunit ( \"metre\" , 1.0 ) ) ", stated{CRS: CRS{Name: "g"}, unit: tin.Metre}, true},
		{"second version", `PROJCRS["zone 33",BASEGEOGCRS["ETRS89",DATUM["d",ELLIPSOID["GRS 1980",6378137,298.257222101,LENGTHUNIT["metre",1]]]],` +
			`CONVERSION["c",METHOD["m"],PARAMETER["False easting",500000,LENGTHUNIT["foot",0.3048]]],CS[Cartesian,2],AXIS["(E)",east,ORDER[1]],AXIS["(N)",north,ORDER[2]],LENGTHUNIT["metre",1],ID["EPSG",25833]]`,
			stated{CRS: CRS{Name: "zone 33", EPSG: 25833}, unit: tin.Metre}, true},
		{"the unit of its axes", `COMPOUNDCRS["c",PROJCRS["p",CS[Cartesian,2],AXIS["(E)",east,LENGTHUNIT["foot",0.3048]],AXIS["(N)",north,LENGTHUNIT["foot",0.3048]]],VERTCRS["v",VDATUM["d"],CS[vertical,1],AXIS["up",up,LENGTHUNIT["metre",1]]]]`,
			stated{CRS: CRS{Name: "c"}, unit: tin.Foot, vertical: tin.Metre}, true},
		{"bound", `BOUNDCRS[SOURCECRS[PROJCRS["p",LENGTHUNIT["metre",1]]],TARGETCRS[GEOGCRS["t"]],ABRIDGEDTRANSFORMATION["a"]]`,
			stated{CRS: CRS{Name: "p"}, unit: tin.Metre}, true},
		{"degrees", geographic, stated{CRS: CRS{Name: "WGS 84"}, notInPlan: true}, true},
		{"degrees and levels", `COMPD_CS["c",` + geographic + `,VERT_CS["v",UNIT["metre",1]]]`, stated{CRS: CRS{Name: "c"}, vertical: tin.Metre, notInPlan: true}, true},
		{"from the earth's centre", `GEOCCS["g",UNIT["metre",1]]`, stated{CRS: CRS{Name: "g"}, notInPlan: true}, true},
		{"a unit by its size", `LOCAL_CS["g",UNIT["yard",0.9144]]`, stated{CRS: CRS{Name: "g"}, unit: 0.9144}, true},
		{"a unit of no length", `LOCAL_CS["g",UNIT["u",0]]`, stated{CRS: CRS{Name: "g"}, unknown: "a unit of 0 m"}, true},
		{"no unit", `LOCAL_CS["g"]`, stated{CRS: CRS{Name: "g"}}, true},
		{"empty", ``, stated{}, false},
		{"no system", `hello`, stated{}, false},
		{"open", `LOCAL_CS["g",UNIT["metre",1]`, stated{}, false},
		{"open quotes", `LOCAL_CS["g`, stated{}, false},
		{"no number", `LOCAL_CS["g",UNIT["metre",1.2.3]]`, stated{}, false},
		{"no comma", `LOCAL_CS["g" UNIT["metre",1]]`, stated{}, false},
		{"too deep", strings.Repeat("A[", 100) + `"x"` + strings.Repeat("]", 100), stated{}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, ok := readWKT(c.text)
			assert.Equal(t, c.ok, ok)
			assert.Equal(t, c.want, got)
		})
	}
}

// No text is too odd to be looked at, and none takes long.
func FuzzCRS(f *testing.F) {
	f.Add(keys([4]uint16{3076, 0, 1, 9001}, [4]uint16{3077, 34736, 1, 0}), make([]byte, 8), []byte("name|"), `LOCAL_CS["g",UNIT["metre",1]]`)
	f.Add([]byte{1, 0}, []byte{}, []byte{}, `COMPD_CS["c",PROJCS["p",UNIT["m",1]],VERT_CS["v",UNIT["m",1]]]`)
	f.Add([]byte{}, []byte{}, []byte{}, strings.Repeat("A(", 60))
	f.Fuzz(func(t *testing.T, k, doubles, texts []byte, wkt string) {
		c := crsRecords{keys: k, doubles: doubles, texts: texts}
		a, _ := c.geoKeys()
		b, _ := readWKT(wkt)
		for _, s := range []stated{a, b} {
			for _, u := range []tin.Unit{s.unit, s.vertical} {
				if u != 0 && !(u >= 1e-3 && u <= 1e3) {
					t.Errorf("a unit of %v", float64(u))
				}
			}
		}
	})
}

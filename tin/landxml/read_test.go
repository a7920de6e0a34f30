package landxml_test

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	unicode16 "unicode/utf16"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/landxml"
)

func readFile(t *testing.T, name string, opts landxml.Options) *landxml.File {
	t.Helper()
	r, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer r.Close()
	f, err := landxml.Read(t.Context(), r, name, opts)
	require.NoError(t, err)
	return f
}

func read(text string, opts landxml.Options) (*landxml.File, error) {
	return landxml.Read(context.Background(), strings.NewReader(text), "a.xml", opts)
}

func codes(notes []tin.Problem) (list []string) {
	for _, n := range notes {
		list = append(list, n.Code)
	}
	return list
}

func TestReadSite(t *testing.T) {
	f := readFile(t, "site.xml", landxml.Options{})
	assert.Equal(t, []any{"site.xml", "1.2", "2020-01-01", "07:30:00", "Tannery Field", "written by hand", tin.Metre},
		[]any{f.Name, f.Version, f.Date, f.Time, f.Project, f.Application, f.Unit})
	assert.Equal(t, map[string]string{"desc": "site grid", "epsgCode": "25832", "horizontalDatum": "made up", "verticalDatum": "site"}, f.CoordinateSystem)

	nan := math.NaN()
	assert.Equal(t, fmt.Sprint([]tin.Point{
		{Name: "P1", Code: "PEG", E: 1010, N: 2010, Level: 11, Line: 15},
		{Name: "P3", E: 1030, N: 2030, Level: nan, Line: 17},
		{Name: "P4", Code: "BM", E: 1030, N: 2030, Level: nan, Line: 19},
	}), fmt.Sprint(f.Points))
	assert.Equal(t, []tin.Point{
		{Name: "P2", Code: "PEG", E: 1030, N: 2010, Level: 11, Line: 16},
		{Name: "P5", Code: "BM", E: 1000, N: 2000, Level: 9, Line: 20},
	}, f.NotGround)

	require.Len(t, f.Surfaces, 2)
	assert.Equal(t, landxml.Surface{
		Name: "existing ground", Description: "walked in winter", State: "existing", Line: 24,
		Points: []tin.Point{
			{E: 1040, N: 2040, Level: 12.5, Line: 42}, {E: 1000, N: 2000, Level: 11.5, Line: 43},
			{E: 1040, N: 2000, Level: 11, Line: 44}, {E: 1000, N: 2040, Level: 12.25, Line: 45},
		},
		Faces: [][3]int32{{1, 2, 0}, {1, 0, 3}},
		Breaklines: []tin.Breakline{{Name: "bank", Vertices: []tin.Point{
			{E: 1000, N: 2000, Level: 11.5, Line: 34}, {E: 1040, N: 2040, Level: 12.5, Line: 34}}}},
		Boundaries: []landxml.Boundary{
			{Name: "site", Kind: landxml.Outer, Trim: true, Line: 27, Ring: orb.Ring{{1000, 2000}, {1040, 2000}, {1040, 2040}, {1000, 2040}}},
			{Kind: landxml.Void, Line: 31, Ring: orb.Ring{{1020, 2020}, {1021, 2020}, {1021, 2021}}},
		},
	}, f.Surfaces[0])
	assert.Equal(t, "formation", f.Surfaces[1].Name)
	assert.Equal(t, "proposed", f.Surfaces[1].State)
	assert.Equal(t, [][3]int32{{0, 1, 2}}, f.Surfaces[1].Faces)

	require.Len(t, f.Features, 4)
	checkFeatures(t, f.Features)
	assert.Equal(t, []tin.Problem{
		{Code: "not_ground", Message: "2 points marked donotinclude, destroyed or abandoned: not ground"},
		{Code: "definition_used", Message: `surface "existing ground": taken as its definition has it, not as it might be built again from 2 data points, 1 breakline`},
		{Code: "hidden_faces", Message: `surface "existing ground": 1 face marked invisible left out (the first in line 51)`},
		{Code: "points_without_face", Message: `surface "existing ground": 1 point of the definition in no visible face left out (the first in line 46)`},
		{Code: "breaklines_left_out", Message: `surface "existing ground": 1 breakline of the kind proximity left out, whose vertices are to be moved to the points nearest to them`},
		{Code: "breaklines_left_out", Message: `surface "existing ground": 1 breakline of the kind nondestructive left out, which do not change a surface`},
		{Code: "features_not_read", Message: "2 features could not be read, the first: site.xml:68: a part of a line begins at E 1030.000 N 2030.000, and the part before ends at E 1010.000 N 2030.000; close the gap, or make it two lines"},
		{Code: "curves_chorded", Message: "2 curves (the first in line 66) taken as 224 chords, within 0.001 m of the arcs"},
		{Code: "not_read", Message: "elements that were not read: Alignments 1"},
	}, f.Notes)
}

func checkFeatures(t *testing.T, features []landxml.Feature) {
	for i, want := range []string{"feature_gap", "", "spiral", ""} {
		var e *tin.InputError
		if want == "" {
			assert.NoError(t, features[i].Err)
			continue
		}
		require.ErrorAs(t, features[i].Err, &e)
		assert.Equal(t, want, e.Code)
		assert.Equal(t, "site.xml", e.File)
		assert.Empty(t, features[i].Vertices)
	}
	outline, parcel := features[1], features[3]
	assert.Equal(t, []any{landxml.PlanFeature, "outline", true, 72}, []any{outline.Kind, outline.Name, outline.Closed, outline.Line})
	assert.Equal(t, []any{landxml.Parcel, "12", true, 86}, []any{parcel.Kind, parcel.Name, parcel.Closed, parcel.Line})
	assert.Equal(t, orb.Ring{{1000, 2000}, {1040, 2000}, {1040, 2040}, {1000, 2040}, {1000, 2000}}, parcel.Ring(), "closed over 0.4 mm")
	assert.Equal(t, 11.0, outline.Vertices[0].Level)
	assert.False(t, outline.Vertices[len(outline.Vertices)-2].HasLevel())
	for _, v := range outline.Vertices[2 : len(outline.Vertices)-4] {
		assert.InDelta(t, 10, math.Hypot(v.E-1030, v.N-2020), 1e-9)
		assert.Greater(t, v.E, 1030.0, "anticlockwise from south to north is by the east")
	}
}

// The points that a surface has, without its faces.
func TestReadPointsOnly(t *testing.T) {
	f := readFile(t, "site.xml", landxml.Options{PointsOnly: true, Surface: "existing ground"})
	require.Len(t, f.Surfaces, 1)
	assert.Len(t, f.Surfaces[0].Points, 5)
	assert.Nil(t, f.Surfaces[0].Faces)
	assert.Contains(t, codes(f.Notes), "surfaces_passed_over")
}

func TestReadGrid(t *testing.T) {
	f := readFile(t, "grid-1.0.xml", landxml.Options{})
	assert.Equal(t, tin.SurveyFoot, f.Unit)
	// The greatest corner by (easting, northing) is on no diagonal.
	assert.Equal(t, [][3]int32{{0, 1, 3}, {1, 2, 3}, {1, 4, 2}, {2, 4, 5}}, f.Surfaces[0].Faces)
	assert.Equal(t, []tin.Problem{
		// Tetrahedra on the corners: (0,0,0), (10,0,1), (10,10,4), (0,10,0) has the
		// determinant 10(0-40) + 1(100-0) = -300; the other, from (10,0,1), has
		// 10(30-10) + 3(0-100) = -100. Their sixths make 400/6.
		{Code: "grid_faces_split", Message: `surface "grid": 2 faces with four corners cut along the diagonal without the greatest corner by (easting, northing); the other diagonals would change the volume under it by 66.6667 ftUS3 at most`},
		{Code: "level_unit_differs", Message: `elevationUnit is "meter", the unit of length is ftUS: levels were taken in the latter, as the schema has it; see whether they fit`},
	}, f.Notes)
}

func TestReadSource(t *testing.T) {
	f := readFile(t, "source-1.1.xml", landxml.Options{})
	assert.Zero(t, f.Unit)
	s := f.Surfaces[0]
	assert.Nil(t, s.Faces)
	nan := math.NaN()
	assert.Equal(t, fmt.Sprint([]tin.Point{
		{E: 0, N: 0, Level: 10, Code: "GL", Line: 15}, {E: 5, N: 0, Level: 10, Code: "GL", Line: 15},
		{E: 5, N: 5, Level: 11, Code: "GL", Line: 17}, {E: 6, N: 6, Level: nan, Code: "GL", Line: 17},
	}), fmt.Sprint(s.Points))
	assert.Equal(t, []tin.Breakline{
		{Vertices: []tin.Point{{E: 0, N: 0, Level: 12.5, Line: 7}, {E: 10, N: 0, Level: 12.5, Line: 7}, {E: 10, N: 5, Level: 12.5, Line: 7}}},
		{Name: "wall", Vertices: []tin.Point{{E: 0, N: 0, Level: 10, Line: 10}, {E: 5, N: 0, Level: 10, Line: 10}}},
	}, s.Breaklines)
	assert.Len(t, f.NotGround, 1)
	assert.Equal(t, []string{"not_ground", "marked_level", "retaining_walls", "unit_not_stated"}, codes(f.Notes))
}

// Files in other encodings, as a general-purpose XML library writes them.
func TestReadEncodings(t *testing.T) {
	for _, name := range []string{"latin1.xml", "utf16.xml"} {
		f := readFile(t, name, landxml.Options{})
		require.Len(t, f.Surfaces, 1)
		assert.Equal(t, "Gelände \"Süd\" <1> & ½", f.Surfaces[0].Name, name)
		assert.Equal(t, [][3]int32{{0, 1, 2}, {1, 3, 2}}, f.Surfaces[0].Faces)
	}
	text := document(tri)
	for name, text := range map[string]string{
		"byte order mark":             "\xEF\xBB\xBF" + text,
		"UTF-8 that says UTF-16":      strings.Replace(text, "UTF-8", "utf-16", 1),
		"UTF-16 without a mark":       utf16(text, binary.LittleEndian),
		"UTF-16, the high byte first": utf16(text, binary.BigEndian),
		"a mark, and another stated":  "\xEF\xBB\xBF" + strings.Replace(text, "UTF-8", "windows-1252", 1),
		"carriage returns":            strings.ReplaceAll(text, "\n", "\r"),
		"both":                        strings.ReplaceAll(text, "\n", "\r\n"),
		"Japanese":                    strings.Replace(strings.Replace(text, "UTF-8", "Shift_JIS", 1), `name="g"`, "name=\"\x92\x6e\"", 1),
		"no declaration":              text[strings.Index(text, "<LandXML"):],
		"comments and instructions":   strings.Replace(text, "<Units", "<!-- a -- -->"[:8]+" -->\n<?x y?><Units", 1),
		"elements of others":          strings.Replace(text, "<Surfaces>", `<x:Surfaces xmlns:x="urn:x"><x:Surface/></x:Surfaces><Surfaces>`, 1),
		"numbers in other words":      strings.Replace(text, "20 0 10.9", "+2e1 .0 1.09E+01", 1),
		"ids with a plus":             strings.Replace(text, "<F>1 2 3</F>", "<F> +1\n2\t3 </F>", 1),
		"a comment within a list":     strings.Replace(text, "0 20 10.1", "0 2<!-- x -->0 10.1", 1),
		"the version of a later date": strings.Replace(text, `version="1.2"`, `version="2.0"`, 1),
	} {
		f, err := read(text, landxml.Options{})
		require.NoError(t, err, name)
		require.Len(t, f.Surfaces, 1, name)
		require.Len(t, f.Surfaces[0].Faces, 1, name)
		assert.Equal(t, []float64{20, 0, 10.1, 0, 20, 10.9}, []float64{
			f.Surfaces[0].Points[1].E, f.Surfaces[0].Points[1].N, f.Surfaces[0].Points[1].Level,
			f.Surfaces[0].Points[2].E, f.Surfaces[0].Points[2].N, f.Surfaces[0].Points[2].Level}, name)
		if name == "Japanese" {
			assert.Equal(t, "地", f.Surfaces[0].Name)
		}
		if name == "carriage returns" || name == "both" {
			assert.EqualValues(t, 4, f.Surfaces[0].Points[0].Line, name)
		}
	}
}

// utf16 writes text as UTF-16 without a byte order mark.
func utf16(text string, order binary.AppendByteOrder) string {
	var b []byte
	for _, c := range unicode16.Encode([]rune(text)) {
		b = order.AppendUint16(b, c)
	}
	return string(b)
}

const (
	tri   = `<Surfaces><Surface name="g"><Definition surfType="TIN"><Pnts>` + triPs + `</Pnts><Faces><F>1 2 3</F></Faces></Definition></Surface></Surfaces>`
	triPs = `<P id="1">0 0 10.5</P><P id="2">0 20 10.1</P><P id="3">20 0 10.9</P>`
)

// document puts elements into a file in metres; they begin in line 4.
func document(body string) string {
	return `<?xml version="1.0" encoding="UTF-8"?>
<LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" version="1.2" date="2020-01-01" time="00:00:00">
<Units><Metric linearUnit="meter" areaUnit="squareMeter" volumeUnit="cubicMeter" temperatureUnit="celsius" pressureUnit="HPA"/></Units>
` + body + "\n</LandXML>\n"
}

// surface makes a surface of points and faces, each in a line of its own from 4 on.
func surface(points, faces string) string {
	return document("<Surfaces><Surface name=\"g\"><Definition surfType=\"TIN\"><Pnts>" + points + "</Pnts><Faces>" + faces + "</Faces></Definition></Surface></Surfaces>")
}

const (
	square = `<P id="1">0 0 1</P><P id="2">0 10 1</P><P id="3">10 10 1</P><P id="4">10 0 1</P><P id="5">5 5 2</P>`
	feet   = `<Units><Imperial linearUnit="foot" areaUnit="squareFoot" volumeUnit="cubicYard" temperatureUnit="fahrenheit" pressureUnit="inHG"/></Units>`
)

func TestReadFaces(t *testing.T) {
	tests := []struct {
		name, faces string
		want        [][3]int32
		notes       []string
	}{
		{"either way round", "<F>1 2 3</F><F>1 4 3</F>", [][3]int32{{0, 1, 2}, {0, 2, 3}}, []string{"points_without_face"}},
		{"several collections", "<F>1 2 5</F><F>2 3 5</F></Faces><Faces name='b'><F>3 4 5</F><F>4 1 5</F>",
			[][3]int32{{0, 1, 4}, {1, 2, 4}, {2, 3, 4}, {3, 0, 4}}, nil},
		{"repeated, in every way", "<F>1 2 3</F><F>3 1 2</F><F>2 1 3</F><F>1 2 3</F><F>1 3 4</F>",
			[][3]int32{{0, 1, 2}, {0, 2, 3}}, []string{"repeated_faces", "points_without_face"}},
		{"one point named twice", "<F>1 1 2</F><F>1 2 1</F><F>2 2 2 2</F><F>1 2 3</F><F>1 3 4</F>",
			[][3]int32{{0, 1, 2}, {0, 2, 3}}, []string{"flat_faces", "points_without_face"}},
		{"corners in line", "<F>1 5 3</F><F>1 2 3</F><F>1 3 4</F>", [][3]int32{{0, 1, 2}, {0, 2, 3}}, []string{"flat_faces", "points_without_face"}},
		{"all hidden", "<F i='1'>1 2 3</F>", nil, []string{"hidden_faces", "no_faces"}},
		{"none hidden", "<F i='0'>1 2 3</F>", [][3]int32{{0, 1, 2}}, []string{"points_without_face"}},
		{"no faces", "", nil, []string{"no_faces"}},
		{"all flat", "<F>1 5 3</F>", nil, []string{"flat_faces", "no_faces"}},
		{"four corners", "<F>1 2 3 4</F>", [][3]int32{{0, 1, 3}, {1, 2, 3}}, []string{"grid_faces_split", "points_without_face"}},
		{"four corners from another on", "<F>2 3 4 1</F>", [][3]int32{{1, 2, 3}, {1, 3, 0}}, []string{"grid_faces_split", "points_without_face"}},
		{"four corners the other way", "<F>4 3 2 1</F>", [][3]int32{{3, 1, 2}, {3, 0, 1}}, []string{"grid_faces_split", "points_without_face"}},
		{"four with one twice", "<F>1 2 3 3</F><F>4 1 3 4</F>", [][3]int32{{0, 1, 2}, {3, 0, 2}}, []string{"points_without_face"}},
		{"four in line", "<F>1 5 3 1</F><F>1 2 3</F>", [][3]int32{{0, 1, 2}}, []string{"flat_faces", "points_without_face"}},
		{"four different ones in line", "<F>1 5 3 6</F><F>1 2 3</F>", [][3]int32{{0, 1, 2}}, []string{"flat_faces", "points_without_face"}},
		{"four with a side bent in", "<F>1 2 5 4</F>", [][3]int32{{0, 1, 3}, {0, 3, 2}}, []string{"grid_faces_split", "points_without_face"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			points := square
			switch tt.name {
			case "four with a side bent in":
				points = strings.Replace(square, "5 5 2", "4 4 2", 1) // then only the one diagonal lies inside
			case "four different ones in line":
				points += `<P id="6">2 2 1</P>`
			}
			f, err := read(surface(points, tt.faces), landxml.Options{})
			require.NoError(t, err)
			assert.Equal(t, tt.want, f.Surfaces[0].Faces)
			assert.Equal(t, tt.notes, codes(f.Notes))
		})
	}
}

// The sign of a face's turn is exact. Of these corners the products of differences
// from the third, rounded, are equal; in rationals the face turns clockwise, with
// twice the area 4.1e-14 (computed with Python's fractions; the places are after
// Kettner and others, Classroom examples of robustness problems, from memory).
func TestReadFacesExact(t *testing.T) {
	f, err := read(surface(`<P id="1">0.5 0.5 1</P><P id="2">12 12 1</P><P id="3">24 24.000000000000004 1</P>`, "<F>1 2 3</F><F>1 3 2</F>"), landxml.Options{})
	require.NoError(t, err)
	assert.Equal(t, [][3]int32{{0, 2, 1}}, f.Surfaces[0].Faces)
	assert.Equal(t, []string{"repeated_faces"}, codes(f.Notes))
}

func TestReadErrors(t *testing.T) {
	list := func(kind, text string) string {
		return document("<Surfaces><Surface name=\"g\"><SourceData><DataPoints>\n<" + kind + ">" + text + "</" + kind + "></DataPoints></SourceData></Surface></Surfaces>")
	}
	tests := []struct {
		name, text, code string
		line             int
	}{
		{"empty", "", "not_landxml", 1},
		{"blank", " \n\n", "not_landxml", 3},
		{"another language", "<kml/>", "not_landxml", 1},
		{"no XML", "point,easting,northing\n1,2,3\n", "not_landxml", 3},
		{"cut short", strings.TrimSuffix(document(tri), "</LandXML>\n"), "bad_xml", 5},
		{"cut within a list", document(tri)[:strings.Index(document(tri), "10.1")], "bad_xml", 4},
		{"tags crossed", document("<Surfaces><Surface name='g'></Surfaces></Surface>"), "bad_xml", 4},
		{"two roots", document(tri) + "<LandXML/>", "bad_xml", 6},
		{"text after the root", document(tri) + "&x;", "bad_xml", 6},
		{"unknown entity", document("<Project name='&bomb;'/>" + tri), "bad_xml", 4},
		{"attribute twice", document(strings.Replace(tri, `id="2"`, `id="2" id="4"`, 1)), "bad_xml", 4},
		{"unknown encoding", strings.Replace(document(tri), "UTF-8", "EBCDIC-7", 1), "unknown_encoding", 1},
		{"another version of XML", strings.Replace(document(tri), `version="1.0"`, `version="1.1"`, 1), "bad_xml", 1},
		{"broken UTF-8", document(strings.Replace(tri, `name="g"`, "name=\"\xff\"", 1)), "bad_xml", 4},
		{"deep", document(strings.Repeat("<CgPoints>", 200)), "nested_too_deep", 4},
		{"huge attribute", document("<Project name='" + strings.Repeat("x", 2<<20) + "'/>"), "huge_token", 4},
		{"huge comment", document("<!--" + strings.Repeat("x\n", 1<<20) + "-->"), "huge_token", 524290},
		{"many attributes", document("<Project " + attributes(200) + "/>"), "bad_xml", 4},
		{"nothing", document(""), "nothing_to_read", 0},
		{"unknown unit", strings.Replace(document(tri), `"meter"`, `"metre"`, 1), "unknown_unit", 3},
		{"two units", document(feet + tri), "repeated_element", 4},
		{"two systems", document("<CoordinateSystem/><CoordinateSystem/>" + tri), "repeated_element", 4},

		{"decimal comma", surface(strings.Replace(triPs, "10.1", "10,1", 1), ""), "comma_in_number", 4},
		{"commas between", surface(strings.Replace(triPs, "0 20 10.1", "0,20,10.1", 1), ""), "comma_in_number", 4},
		{"no number", surface(strings.Replace(triPs, "10.1", "ten", 1), ""), "bad_number", 4},
		{"hexadecimal", surface(strings.Replace(triPs, "10.1", "0x1p4", 1), ""), "bad_number", 4},
		{"infinite", surface(strings.Replace(triPs, "10.1", "INF", 1), ""), "bad_number", 4},
		{"not a number", surface(strings.Replace(triPs, "10.1", "NaN", 1), ""), "bad_number", 4},
		{"two signs", surface(strings.Replace(triPs, "10.1", "--1", 1), ""), "bad_number", 4},
		{"long", surface(strings.Replace(triPs, "10.1", strings.Repeat("1", 2000), 1), ""), "bad_number", 4},
		{"beyond", surface(strings.Replace(triPs, "10.1", "1e10", 1), ""), "out_of_range", 4},
		{"far beyond", surface(strings.Replace(triPs, "10.1", "1e400", 1), ""), "out_of_range", 4},
		{"one number", surface(`<P id="1">7</P>`, ""), "bad_point", 4},
		{"four numbers", surface(`<P id="1">1 2 3 4</P>`, ""), "bad_point", 4},
		{"no numbers", surface(`<P id="1"/>`, ""), "bad_point", 4},
		{"list of seven numbers", list("PntList3D", "1 2 3\n4 5 6 7"), "bad_list", 6},
		{"list of three numbers", list("PntList2D", "1 2 3"), "bad_list", 5},

		{"no id", surface("<P>0 0 1</P>", ""), "bad_id", 4},
		{"id 0", surface(`<P id="0">0 0 1</P>`, ""), "bad_id", 4},
		{"id below 0", surface(`<P id="-1">0 0 1</P>`, ""), "bad_id", 4},
		{"id a name", surface(`<P id="a">0 0 1</P>`, ""), "bad_id", 4},
		{"id beyond", surface(`<P id="2147483648">0 0 1</P>`, ""), "bad_id", 4},
		{"id twice", surface(triPs+"\n<P id=\"2\">0 0 1</P>", ""), "repeated_id", 5},
		{"id twice, out of order", surface("<P id=\"9\">0 0 1</P>\n<P id=\"9\">1 0 1</P>", ""), "repeated_id", 5},
		{"missing id", surface(triPs, "<F>1 2 3</F>\n<F>1 2 4</F>"), "missing_id", 5},
		{"two corners", surface(triPs, "<F>1 2</F>"), "bad_face", 4},
		{"five corners", surface(triPs, "<F>1 2 3 1 2</F>"), "bad_face", 4},
		{"faces without points", document(`<Surfaces><Surface name="g"><SourceData><DataPoints><PntList3D>0 0 1</PntList3D></DataPoints></SourceData><Definition><Faces><F>1 2 3</F></Faces></Definition></Surface></Surfaces>`), "missing_id", 4},
		{"corner 0", surface(triPs, "<F>1 2 0</F>"), "bad_id", 4},
		{"corner 1.5", surface(triPs, "<F>1 2 1.5</F>"), "bad_id", 4},
		{"corner without level", surface(triPs+"<P id=\"4\">20 20</P>", "<F>1 2 3</F>\n<F>2 4 3</F>"), "face_without_level", 5},
		{"corner with a mark for no level", surface(triPs+"<P id=\"4\">20 20 -9999</P>", "\n<F>2 4 3</F>"), "face_without_level", 5},
		{"folded over", surface(square, "<F>1 2 3</F>\n<F>1 2 4</F>"), "folded_faces", 5},
		{"folded over, after a repeat", surface(square, "<F>1 2 3</F><F>1 2 3</F>\n<F>1 2 5</F>"), "folded_faces", 5},
		{"sides crossed", surface(square, "<F>1 3 2 4</F>"), "crossed_face", 4},
		{"two definitions", document(strings.Replace(tri, "</Definition>", "</Definition>\n<Definition/>", 1)), "repeated_element", 5},

		{"external points", document(`<Surfaces><Surface name="g"><SourceData>
<PointFiles><PointFile fileName="a.pnt" fileType="t" fileFormat="f"/></PointFiles></SourceData></Surface></Surfaces>`), "point_file", 5},
		{"unknown breakline", source(`<Breaklines><Breakline brkType="soft"/></Breaklines>`), "bad_attribute", 4},
		{"unknown boundary", source(`<Boundaries><Boundary bndType="inner"/></Boundaries>`), "bad_attribute", 4},
		{"unknown trim", source(`<Boundaries><Boundary bndType="outer" edgeTrim="yes"/></Boundaries>`), "bad_attribute", 4},
		{"contour without level", source(`<Contours><Contour/></Contours>`), "bad_number", 4},
		{"wall point elsewhere", source(`<Breaklines><RetWall><RetWallPnt pntRef="P1"/></RetWall></Breaklines>`), "bad_point", 4},

		{"unknown point", document("<CgPoints>\n<CgPoint name='a' pntRef='b'/></CgPoints>"), "unknown_point", 5},
		{"points in a circle", document("<CgPoints>\n<CgPoint name='a' pntRef='b'/><CgPoint name='b' pntRef='c'/><CgPoint name='c' pntRef='a'/></CgPoints>"), "point_circle", 5},
		{"a point to itself", document("<CgPoints><CgPoint name='a' pntRef='a'/></CgPoints>"), "point_circle", 4},
		{"two points of one name", document("<CgPoints><CgPoint name='a'>1 2</CgPoint><CgPoint name='a'>1 3</CgPoint>\n<CgPoint name='b' pntRef='a'/></CgPoints>"), "ambiguous_point", 5},
		{"a surface's point unknown", surface(`<P id="1" pntRef="x"/>`, ""), "unknown_point", 4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f, err := read(tt.text, landxml.Options{})
			var e *tin.InputError
			require.ErrorAs(t, err, &e)
			assert.Nil(t, f)
			assert.Equal(t, tt.code, e.Code, e.Message)
			assert.Equal(t, tt.line, e.Line)
			assert.Equal(t, "a.xml", e.File)
			assert.NotEmpty(t, e.Message)
			assert.NotEmpty(t, e.Hint)
		})
	}
}

func attributes(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, ` a%d="1"`, i)
	}
	return b.String()
}

func source(body string) string {
	return document(`<Surfaces><Surface name="g"><SourceData>` + body + `</SourceData></Surface></Surfaces>`)
}

// A file that declares its own entities, however they grow, gets none of them.
func TestReadEntityBomb(t *testing.T) {
	text := strings.Replace(document("<Project name='&c;'/>"+tri), "?>\n",
		"?>\n<!DOCTYPE LandXML [<!ENTITY a 'xxxxxxxxxx'><!ENTITY b '&a;&a;&a;&a;'><!ENTITY c '&b;&b;&b;&b;'>]>\n", 1)
	_, err := read(text, landxml.Options{})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "bad_xml", e.Code)
}

func TestReadLimits(t *testing.T) {
	text := document(tri)
	for _, row := range []struct {
		opts landxml.Options
		code string
	}{
		{landxml.Options{MaxBytes: int64(len(text)) - 1}, "too_many_bytes"},
		{landxml.Options{MaxBytes: 10}, "too_many_bytes"},
		{landxml.Options{MaxPoints: 2}, "too_many_points"},
		{landxml.Options{Surface: "h"}, "unknown_surface"},
		{landxml.Options{MaxBytes: int64(len(text))}, ""},
		{landxml.Options{MaxPoints: 3, MaxBytes: math.MaxInt64}, ""},
		{landxml.Options{Surface: "g", Sagitta: math.NaN()}, ""},
	} {
		_, err := read(text, row.opts)
		if row.code == "" {
			assert.NoError(t, err, "%+v", row.opts)
			continue
		}
		var e *tin.InputError
		require.ErrorAs(t, err, &e, "%+v", row.opts)
		assert.Equal(t, row.code, e.Code)
	}
	_, err := read(document(strings.Replace(tri, "</Surfaces>", "", 1)+strings.TrimPrefix(tri, "<Surfaces>")), landxml.Options{Surface: "g"})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "ambiguous_surface", e.Code)

	arc := document(`<PlanFeatures><PlanFeature><CoordGeom><Curve rot="cw"><Start>0 0</Start><Center>0 1000</Center><End>0 2000</End></Curve></CoordGeom></PlanFeature></PlanFeatures>`)
	_, err = read(arc, landxml.Options{MaxPoints: 100})
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "too_many_points", e.Code)
}

func TestReadTellsItsProgress(t *testing.T) {
	text := source("<DataPoints><PntList3D>" + strings.Repeat("1 2 3\n", 1<<17) + "</PntList3D></DataPoints>")
	var told []int64
	_, err := read(text, landxml.Options{Progress: func(bytes int64) { told = append(told, bytes) }})
	require.NoError(t, err)
	assert.Greater(t, len(told), 5)
	assert.True(t, slices.IsSorted(told))
	assert.EqualValues(t, len(text), told[len(told)-1])
}

// What is wrong with reading itself is no fault of the file.
func TestReadFails(t *testing.T) {
	broken := errors.New("the disk is on fire")
	_, err := landxml.Read(t.Context(), iotest.ErrReader(broken), "a.xml", landxml.Options{})
	assert.ErrorIs(t, err, broken)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = landxml.Read(ctx, strings.NewReader(document(tri)), "a.xml", landxml.Options{})
	assert.ErrorIs(t, err, context.Canceled)

	// In the middle of a list, which is read past the XML decoder.
	ctx, cancel = context.WithCancel(t.Context())
	text := source("<DataPoints><PntList3D>" + strings.Repeat("1 2 3\n", 1<<17) + "</PntList3D></DataPoints>")
	stop := &stopReader{r: strings.NewReader(text), after: 2, cancel: cancel}
	_, err = landxml.Read(ctx, stop, "a.xml", landxml.Options{})
	assert.ErrorIs(t, err, context.Canceled)

	// After the end, while faces are put together.
	ctx, cancel = context.WithCancel(t.Context())
	_, err = landxml.Read(ctx, io.MultiReader(strings.NewReader(document(tri)), end{cancel}), "a.xml", landxml.Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

// end cancels when there is nothing more to read.
type end struct{ cancel func() }

func (e end) Read([]byte) (int, error) {
	e.cancel()
	return 0, io.EOF
}

// stopReader cancels after some reads.
type stopReader struct {
	r      *strings.Reader
	after  int
	cancel func()
}

func (s *stopReader) Read(p []byte) (int, error) {
	if s.after--; s.after == 0 {
		s.cancel()
	}
	return s.r.Read(p)
}

// A list far longer than one text may be is read as it comes.
func TestReadLongList(t *testing.T) {
	n := 300_000
	f, err := read(source("<DataPoints><PntList3D>"+strings.Repeat("100.125 200.25 3.5\n", n)+"</PntList3D></DataPoints>"), landxml.Options{})
	require.NoError(t, err)
	require.Len(t, f.Surfaces[0].Points, n)
	assert.Equal(t, tin.Point{E: 200.25, N: 100.125, Level: 3.5, Line: int32(n) + 3}, f.Surfaces[0].Points[n-1])
}

// What is passed over may hold lists of any length too: of another surface, of
// watersheds, of a breakline that makes none, of a part that is not read.
func TestReadPassesOverLongLists(t *testing.T) {
	list := "<PntList3D>" + strings.Repeat("100.125 200.25 3.5\n", 1<<16) + "&amp;</PntList3D>"
	for _, beside := range []string{
		`<Surfaces><Surface name="h"><SourceData><DataPoints>` + list + `</DataPoints></SourceData></Surface></Surfaces>`,
		`<Surfaces><Surface name="g"><Watersheds><Watershed>` + list + `</Watershed></Watersheds></Surface></Surfaces>`,
		`<Surfaces><Surface name="g"><SourceData><Breaklines><Breakline brkType="proximity">` + list + `</Breakline></Breaklines></SourceData></Surface></Surfaces>`,
		`<Alignments><Alignment>` + list + `<![CDATA[<]]>` + list + `</Alignment></Alignments>`,
		`<x:List xmlns:x="urn:x">` + list + `</x:List>`,
	} {
		text := strings.Replace(document(tri), "<Surfaces>", beside+"<Surfaces>", 1)
		if strings.Contains(beside, `"g"`) {
			text = document(strings.Replace(beside, `<Surface name="g">`, strings.TrimSuffix(strings.TrimPrefix(tri, "<Surfaces>"), "</Surface></Surfaces>"), 1))
		}
		f, err := read(text, landxml.Options{Surface: "g"})
		require.NoError(t, err, beside[:40])
		require.Len(t, f.Surfaces, 1)
		assert.Equal(t, [][3]int32{{0, 1, 2}}, f.Surfaces[0].Faces)
	}
	_, err := read(document("<Alignments>"+list), landxml.Options{})
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "bad_xml", e.Code)
	assert.Equal(t, 1<<16+5, e.Line)
}

// An element that ends with its own tag has no text: what follows is not its own.
func TestReadEmptyElements(t *testing.T) {
	f, err := read(document(`<CgPoints><CgPoint name="a" code="/">1 <Feature/>2 3</CgPoint><CgPoint pntRef="a"/>7 8 9</CgPoints>`), landxml.Options{})
	require.NoError(t, err)
	assert.Equal(t, []tin.Point{
		{Name: "a", Code: "/", N: 1, E: 2, Level: 3, Line: 4}, {N: 1, E: 2, Level: 3, Line: 4},
	}, f.Points)
	f, err = read(source(`<DataPoints><PntList3D/>7 8 9</DataPoints><DataPoints><PntList3D>1 2 3</PntList3D></DataPoints>`), landxml.Options{})
	require.NoError(t, err)
	assert.Len(t, f.Surfaces[0].Points, 1)
}

// Text outside the outermost element is no XML: half of another file, perhaps.
func TestReadTextOutside(t *testing.T) {
	for text, code := range map[string]string{
		document(tri) + " 1 2 3":      "bad_xml",
		"export 7\n" + document(tri):  "not_landxml",
		document(tri) + " \n<!-- -->": "",
	} {
		_, err := read(text, landxml.Options{})
		if code == "" {
			require.NoError(t, err)
			continue
		}
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, code, e.Code)
	}
}

// What only one attribute states is not compared with the other.
func TestReadLevelRange(t *testing.T) {
	for attributes, says := range map[string]string{
		`elevMin="9"`:              `surface "g": elevMin states a least level of 9; its points have 10.1 to 10.9`,
		`elevMax="12"`:             `surface "g": elevMax states a greatest level of 12; its points have 10.1 to 10.9`,
		`elevMin="9" elevMax="12"`: `surface "g": elevMin and elevMax state levels from 9 to 12; its points have 10.1 to 10.9`,
	} {
		f, err := read(document(strings.Replace(tri, `surfType="TIN"`, `surfType="TIN" `+attributes, 1)), landxml.Options{})
		require.NoError(t, err)
		require.Len(t, f.Notes, 1)
		assert.Equal(t, says, f.Notes[0].Message)
	}
}

func TestReadChecks(t *testing.T) {
	definition := func(attributes string) string {
		return document(strings.Replace(tri, `surfType="TIN"`, `surfType="TIN" `+attributes, 1))
	}
	tests := []struct {
		name, text string
		notes      []string
	}{
		{"levels and area as stated", definition(`elevMin="10.1" elevMax="10.9" area2DSurf="200"`), nil},
		{"rounded", definition(`elevMin="10.11" elevMax="10.891" area2DSurf="200.19"`), nil},
		{"lowest too high", definition(`elevMin="10.2"`), []string{"level_range_differs"}},
		{"highest of another", definition(`elevMax="90"`), []string{"level_range_differs"}},
		{"area of another", definition(`area2DSurf="201"`), []string{"area_differs"}},
		{"area in hectares", strings.Replace(definition(`area2DSurf="0.02"`), "squareMeter", "hectare", 1), nil},
		{"area in feet", strings.Replace(strings.Replace(definition(`area2DSurf="2152.78"`), "Metric linearUnit=\"meter\"", "Imperial linearUnit=\"foot\"", 1), "squareMeter", "squareFoot", 1), []string{"area_differs"}},
		{"area of nothing", definition(`area2DSurf="0"`), nil},
		{"area no number", definition(`area2DSurf="wide"`), nil},
		{"an unknown version", strings.Replace(document(tri), `version="1.2"`, `version="3"`, 1), []string{"version_unknown"}},
		{"volumes of others", document(strings.Replace(tri, "</Surfaces>", `<SurfVolumes/><Feature/></Surfaces>`, 1)), []string{"not_read"}},
		{"a file beside the definition", document(strings.Replace(tri, "<Definition", `<SourceData><PointFiles><PointFile fileName="a.pnt"/></PointFiles></SourceData><Definition`, 1)), []string{"definition_used"}},
		{"an empty surface beside", document(strings.Replace(tri, "</Surfaces>", `<Surface name="h"/></Surfaces>`, 1)), []string{"empty_surface"}},
		{"a line of one point", document(strings.Replace(tri, "<Definition", `<SourceData><Breaklines><Breakline><PntList2D>1 2</PntList2D></Breakline></Breaklines></SourceData><Definition`, 1)), []string{"short_lines"}},
		{"points that are more than spots", document(`<CgPoints><CgPoint DTMAttribute="drapevoid">1 2 3</CgPoint><CgPoint DTMAttribute="spot">1 2 3</CgPoint></CgPoints>`), []string{"points_marked"}},
		{"levels in miles", strings.Replace(document(tri), "pressureUnit", `elevationUnit="miles" pressureUnit`, 1), []string{"level_unit_differs"}},
		{"a point by its name", strings.Replace(document(`<CgPoints><CgPoint name="b">0 20 10.1</CgPoint></CgPoints>`+tri), `<P id="2">0 20 10.1</P>`, `<P id="2" pntRef="b"/>`, 1), nil},
		{"a feature without a line", document(tri + `<PlanFeatures><PlanFeature><CoordGeom/><Location>1 2</Location></PlanFeature></PlanFeatures>`), []string{"features_not_read", "not_read"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f, err := read(tt.text, landxml.Options{})
			require.NoError(t, err)
			assert.Equal(t, tt.notes, codes(f.Notes))
			if len(f.Surfaces) > 0 {
				assert.Equal(t, tin.Point{E: 20, N: 0, Level: 10.1, Line: f.Surfaces[0].Points[1].Line}, f.Surfaces[0].Points[1])
			}
		})
	}
}

package landxml_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/landxml"
)

// full is a file with everything that can be written.
func full() *landxml.File {
	nan := math.NaN()
	return &landxml.File{
		Date: "2020-02-29", Time: "23:59:59", Project: "Tannery Field", Application: "barrow", Unit: tin.SurveyFoot,
		CoordinateSystem: map[string]string{"name": "site grid", "epsgCode": "2263", "verticalDatum": "site", "rotationAngle": "0.5"},
		Surfaces: []landxml.Surface{
			{
				Name: "existing ground", Description: "as surveyed", State: "existing",
				Points: []tin.Point{{E: 0, N: 0, Level: 10.5, Name: "P1", Code: "GL"}, {E: 20, N: 0, Level: 10.1}, {E: 0, N: 20, Level: -0.1}, {E: 20.1, N: 20.3, Level: 1e-9}},
				Faces:  [][3]int32{{0, 1, 2}, {3, 2, 1}},
				Breaklines: []tin.Breakline{
					{Name: "bank", Vertices: []tin.Point{{E: 0, N: 0, Level: 10.5}, {E: 20, N: 0, Level: 10.1}}},
					{Vertices: []tin.Point{{E: 0, N: 0, Level: nan}, {E: 0, N: 20, Level: nan}, {E: 20, N: 20, Level: nan}}},
				},
				Boundaries: []landxml.Boundary{
					{Name: "rim", Kind: landxml.Outer, Trim: true, Ring: orb.Ring{{0, 0}, {20, 0}, {20, 20}, {0, 0}}},
					{Kind: landxml.Void, Ring: orb.Ring{{1, 1}, {2, 1}, {2, 2}}}, {Kind: landxml.Island, Ring: orb.Ring{{1, 1}, {2, 1}, {2, 2}}},
				},
			},
			{Name: "spots", Points: []tin.Point{{E: 1, N: 2, Level: 3}, {E: 312000.125, N: 5812000.25, Level: 62.5}}},
			{Name: "formation", State: "proposed", Points: []tin.Point{{E: 0, N: 0, Level: 1}, {E: 1, N: 0, Level: 1}, {E: 0, N: 1, Level: 1}}, Faces: [][3]int32{{0, 1, 2}}},
		},
		Points:    []tin.Point{{Name: "P1", Code: "PEG", E: 1, N: 2, Level: 3}, {E: 4, N: 5, Level: nan}, {E: 4, N: 5, Level: nan}},
		NotGround: []tin.Point{{Name: "BM1", E: 4, N: 5, Level: 6}},
		Features: []landxml.Feature{
			{Kind: landxml.PlanFeature, Name: "pad", Closed: true, Vertices: []tin.Point{{E: 0, N: 0, Level: 1}, {E: 1, N: 0, Level: nan}, {E: 1, N: 1, Level: nan}, {E: 0, N: 0, Level: 1}}},
			{Kind: landxml.PlanFeature, Vertices: []tin.Point{{E: 0, N: 0, Level: nan}, {E: 1, N: 0, Level: nan}}},
			{Kind: landxml.Parcel, Name: "12", Vertices: []tin.Point{{E: 0, N: 0, Level: nan}, {E: 1, N: 0, Level: nan}}},
		},
	}
}

// plainly takes away what is not written.
func plainly(f *landxml.File) string {
	c := *f
	c.Name, c.Version, c.Notes = "", "", nil
	points := func(list []tin.Point) []tin.Point {
		list = slices.Clone(list)
		for i := range list {
			list[i].Line = 0
		}
		return list
	}
	c.Points, c.NotGround = points(c.Points), points(c.NotGround)
	c.Surfaces, c.Features = slices.Clone(c.Surfaces), slices.Clone(c.Features)
	for i := range c.Surfaces {
		s := &c.Surfaces[i]
		s.Line, s.Points = 0, points(s.Points)
		s.Breaklines, s.Boundaries = slices.Clone(s.Breaklines), slices.Clone(s.Boundaries)
		for k := range s.Breaklines {
			s.Breaklines[k].Vertices = points(s.Breaklines[k].Vertices)
		}
		for k := range s.Boundaries {
			s.Boundaries[k].Line = 0
		}
	}
	for i := range c.Features {
		c.Features[i].Line, c.Features[i].Vertices = 0, points(c.Features[i].Vertices)
	}
	return fmt.Sprintf("%v", c) // %v of a float64 is the shortest that gives its bits
}

func write(t testing.TB, f *landxml.File) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, landxml.Write(&b, f))
	return b.String()
}

func TestRoundTrip(t *testing.T) {
	for _, unit := range []tin.Unit{tin.Metre, tin.Foot, tin.SurveyFoot, 0.001, 0.01, 1000, 0.0254, 1609.344} {
		f := full()
		f.Unit = unit
		text := write(t, f)
		got, err := read(text, landxml.Options{})
		require.NoError(t, err)
		assert.Equal(t, plainly(f), plainly(got))
		assert.Equal(t, "1.2", got.Version)
		assert.Equal(t, text, write(t, got), "and the same bytes again")
		assert.Equal(t, []string{"not_ground", "definition_used"}, codes(got.Notes))
	}
}

// Numbers of every kind come back with the same bits.
func TestRoundTripNumbers(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	s := landxml.Surface{Name: "numbers"}
	add := func(v float64) {
		if math.Abs(v) <= 1e9 && v != -999 && v != -9999 {
			s.Points = append(s.Points, tin.Point{E: v, N: -v, Level: v})
		}
	}
	for _, v := range []float64{0, math.Copysign(0, -1), math.SmallestNonzeroFloat64, 2.2250738585072014e-308, 1e-7, 1e9, -1e9, 0.1, 1.0 / 3, 5812000.0005, math.Nextafter(1e9, 0), math.Nextafter(1e-6, 0)} {
		add(v)
	}
	for range 20000 {
		add(math.Float64frombits(r.Uint64()))
		add(math.Round(r.Float64()*1e10) / 1000)
		add(r.NormFloat64() * 1e5)
	}
	f := &landxml.File{Date: "2020-01-01", Time: "00:00:00", Unit: tin.Metre, Surfaces: []landxml.Surface{s}}
	got, err := read(write(t, f), landxml.Options{})
	require.NoError(t, err)
	require.Len(t, got.Surfaces[0].Points, len(s.Points))
	for i, p := range got.Surfaces[0].Points {
		want := s.Points[i]
		require.Equal(t, [3]uint64{math.Float64bits(want.E), math.Float64bits(want.N), math.Float64bits(want.Level)},
			[3]uint64{math.Float64bits(p.E), math.Float64bits(p.N), math.Float64bits(p.Level)}, "%v", want)
	}
}

// A name is never markup, and comes back as it was.
func TestHostileNames(t *testing.T) {
	for _, name := range []string{
		`"quoted" 'twice'`, "<script>alert(1)</script>", "]]>", "<!--", "&amp;", "a\nb\tc\r\nd\re", " blanks ", "", "  ",
		"🚜 地面 Gelände", "\u00a0", "\u2028", "\ufffd", "../../etc/passwd", strings.Repeat("x", 10000), "%s%n", "\u007f\u0085",
	} {
		f := full()
		f.Project, f.Surfaces[0].Name, f.Surfaces[0].Breaklines[0].Name, f.Points[0].Name, f.Features[0].Name = name, name, name, name, name
		f.CoordinateSystem["desc"] = name
		if name == "" {
			delete(f.CoordinateSystem, "desc")
		}
		text := write(t, f)
		got, err := read(text, landxml.Options{})
		require.NoError(t, err, "%q", name)
		assert.Equal(t, plainly(f), plainly(got), "%q", name)
		assert.NotContains(t, text, "<script")
		wellFormed(t, text)
	}
	for _, name := range []string{"\x00", "a\x01", "\x1b[31m", "\uFFFE", "\uFFFF", "\xff", "\xed\xa0\x80"} {
		f := full()
		f.Surfaces[2].Name = name
		err := landxml.Write(io.Discard, f)
		assert.ErrorContains(t, err, "what XML cannot hold", "%q", name)
	}
}

func TestWriteErrors(t *testing.T) {
	nan := math.NaN()
	tests := map[string]struct {
		spoil func(*landxml.File)
		want  string
	}{
		"no date":             {func(f *landxml.File) { f.Date = "" }, "the date"},
		"no such date":        {func(f *landxml.File) { f.Date = "2021-02-29" }, "the date"},
		"no time":             {func(f *landxml.File) { f.Time = "7:30" }, "the time"},
		"no unit":             {func(f *landxml.File) { f.Unit = 0 }, "no unit of 0 m"},
		"another unit":        {func(f *landxml.File) { f.Unit = 0.9144 }, "no unit of 0.9144 m"},
		"another attribute":   {func(f *landxml.File) { f.CoordinateSystem["onclick"] = "x" }, `no attribute "onclick"`},
		"rotation a text":     {func(f *landxml.File) { f.CoordinateSystem["rotationAngle"] = "north" }, "rotationAngle"},
		"two surfaces":        {func(f *landxml.File) { f.Surfaces[1].Name = "formation" }, `two surfaces are named "formation"`},
		"two points":          {func(f *landxml.File) { f.NotGround[0].Name = "P1" }, `two points are named "P1"`},
		"two parcels":         {func(f *landxml.File) { f.Features = append(f.Features, f.Features[2]) }, `two parcels are named "12"`},
		"another kind":        {func(f *landxml.File) { f.Features[0].Kind = "Alignment" }, `"Alignment"`},
		"a feature of one":    {func(f *landxml.File) { f.Features[0].Vertices = f.Features[0].Vertices[:1] }, "fewer than two"},
		"another state":       {func(f *landxml.File) { f.Surfaces[0].State = "planned" }, `the state "planned"`},
		"another boundary":    {func(f *landxml.File) { f.Surfaces[0].Boundaries[1].Kind = "hole" }, `"hole"`},
		"a boundary of two":   {func(f *landxml.File) { f.Surfaces[0].Boundaries[1].Ring = orb.Ring{{0, 0}, {1, 1}} }, "has 2 positions"},
		"a breakline of one":  {func(f *landxml.File) { f.Surfaces[0].Breaklines[0].Vertices = nil }, "fewer than two"},
		"levels here, there":  {func(f *landxml.File) { f.Surfaces[0].Breaklines[0].Vertices[1].Level = nan }, "a level at some vertices only"},
		"a spot without":      {func(f *landxml.File) { f.Surfaces[1].Points[0].Level = nan }, "no level"},
		"a later one without": {func(f *landxml.File) { f.Surfaces[1].Points[1].Level = nan }, "no level"},
		"a corner without":    {func(f *landxml.File) { f.Surfaces[0].Points[0].Level = nan }, "no level"},
		"a mark for none":     {func(f *landxml.File) { f.Surfaces[0].Points[0].Level = -999 }, "stands for a missing one"},
		"infinite":            {func(f *landxml.File) { f.Surfaces[0].Points[0].E = math.Inf(1) }, "not finite"},
		"not a number":        {func(f *landxml.File) { f.Points[0].N = nan }, "not finite"},
		"infinitely high":     {func(f *landxml.File) { f.Points[0].Level = math.Inf(-1) }, "not finite"},
		"beyond":              {func(f *landxml.File) { f.Surfaces[0].Boundaries[0].Ring[0][0] = 2e9 }, "beyond"},
		"two points only":     {func(f *landxml.File) { f.Surfaces[2].Points = f.Surfaces[2].Points[:2] }, "has 2 points"},
		"a face too far":      {func(f *landxml.File) { f.Surfaces[2].Faces[0][1] = 3 }, "names the point 3 of 3"},
		"a face below":        {func(f *landxml.File) { f.Surfaces[2].Faces[0][1] = -1 }, "names the point -1"},
	}
	for name, tt := range tests {
		f := full()
		tt.spoil(f)
		assert.ErrorContains(t, landxml.Write(io.Discard, f), tt.want, name)
	}
}

// failing is a place that takes some bytes and no more.
type failing struct{ left int }

var errFull = errors.New("no room")

func (w *failing) Write(p []byte) (int, error) {
	if w.left -= len(p); w.left < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func TestWriteFails(t *testing.T) {
	f := grid(100, 100)
	for _, left := range []int{0, 70_000, 200_000} {
		assert.ErrorIs(t, landxml.Write(&failing{left}, f), errFull)
	}
}

// Features that could not be read are not written.
func TestWriteFeatureWithError(t *testing.T) {
	f := full()
	f.Features = []landxml.Feature{{Kind: landxml.PlanFeature, Name: "lost", Err: errFull}}
	assert.NotContains(t, write(t, f), "lost")
}

func TestSetTime(t *testing.T) {
	var f landxml.File
	f.SetTime(time.Date(2020, 1, 1, 1, 30, 0, 999, time.FixedZone("", 2*3600)))
	assert.Equal(t, []string{"2019-12-31", "23:30:00"}, []string{f.Date, f.Time})
}

// wellFormed asks another XML reader, where there is one.
func wellFormed(t *testing.T, text string) {
	t.Helper()
	xmllint(t, text, "--noout", "--nonet", "-")
}

func xmllint(t *testing.T, text string, arguments ...string) {
	t.Helper()
	path, err := exec.LookPath("xmllint")
	if err != nil {
		return
	}
	command := exec.CommandContext(t.Context(), path, arguments...)
	command.Stdin = strings.NewReader(text)
	out, err := command.CombinedOutput()
	require.NoError(t, err, "%s", out)
}

// The published schema does not travel with the repository; whoever has it names it
// in BARROW_LANDXML_SCHEMA.
func TestWriteAgainstSchema(t *testing.T) {
	schema := os.Getenv("BARROW_LANDXML_SCHEMA")
	if schema == "" {
		t.Skip("BARROW_LANDXML_SCHEMA names no schema")
	}
	if _, err := exec.LookPath("xmllint"); err != nil {
		t.Skip("xmllint is not installed")
	}
	for _, f := range []*landxml.File{full(), grid(20, 20), {Date: "2020-01-01", Time: "00:00:00", Unit: tin.Foot}} {
		xmllint(t, write(t, f), "--noout", "--nonet", "--schema", schema, "-")
	}
	for _, unit := range []tin.Unit{tin.Metre, tin.Foot, 0.001, 0.01, 1000, 0.0254, 1609.344} {
		f := full()
		f.Unit = unit
		xmllint(t, write(t, f), "--noout", "--nonet", "--schema", schema, "-")
	}
}

// element is what the schema LandXML 1.2 says of an element that is written: its
// attributes, and which elements it holds in which order.
type element struct {
	required, optional []string
	children           []string
	anyOrder           bool
	text               string // "": none
	values             map[string]string
}

// facts are those of the schema, in our words; source: the class listing of the
// LandXML 1.2 schema, held against the declarations of the schema.
func facts() map[string]element {
	words := func(s string) []string { return strings.Fields(s) }
	point := words("name desc code state pntRef DTMAttribute")
	list := element{text: "numbers"}
	state := map[string]string{"state": "abandoned destroyed existing proposed", "DTMAttribute": "donotinclude"}
	return map[string]element{
		"LandXML": {required: words("date time version"), anyOrder: true, children: words("Units CoordinateSystem Project Application CgPoints Parcels PlanFeatures Surfaces")},
		"Units":   {children: words("Metric Imperial")},
		"Metric": {required: words("areaUnit linearUnit volumeUnit temperatureUnit pressureUnit"), optional: words("elevationUnit"), values: map[string]string{
			"linearUnit": "millimeter centimeter meter kilometer", "areaUnit": "hectare squareMeter squareMillimeter squareCentimeter", "volumeUnit": "cubicMeter liter hectareMeter",
			"temperatureUnit": "celsius kelvin", "pressureUnit": "HPA milliBars mmHG millimeterHG", "elevationUnit": "meter kilometer feet miles"}},
		"Imperial": {required: words("areaUnit linearUnit volumeUnit temperatureUnit pressureUnit"), optional: words("elevationUnit"), values: map[string]string{
			"linearUnit": "foot USSurveyFoot inch mile", "areaUnit": "acre squareFoot squareInch squareMiles", "volumeUnit": "US_gallon IMP_gallon cubicInch cubicFeet cubicYard acreFeet",
			"temperatureUnit": "fahrenheit kelvin", "pressureUnit": "inchHG inHG", "elevationUnit": "meter kilometer feet miles"}},
		"CoordinateSystem": {optional: words(`desc name epsgCode ogcWktCode horizontalDatum verticalDatum ellipsoidName horizontalCoordinateSystemName
			geocentricCoordinateSystemName fileLocation rotationAngle datum fittedCoordinateSystemName compoundCoordinateSystemName localCoordinateSystemName
			geographicCoordinateSystemName projectedCoordinateSystemName verticalCoordinateSystemName`)},
		"Project":      {required: words("name"), optional: words("desc state")},
		"Application":  {required: words("name"), optional: words("desc manufacturer version manufacturerURL timeStamp")},
		"CgPoints":     {optional: words("desc name state code DTMAttribute"), children: words("CgPoint CgPoints")},
		"CgPoint":      {optional: point, text: "numbers", values: state},
		"PlanFeatures": {optional: words("desc name state"), children: words("PlanFeature")},
		"PlanFeature":  {optional: words("desc name state"), children: words("CoordGeom")},
		"Parcels":      {optional: words("desc name state"), children: words("Parcel")},
		"Parcel":       {required: words("name"), optional: words("desc area"), children: words("CoordGeom")},
		"CoordGeom":    {optional: words("desc name state"), children: words("Line")},
		"Line":         {children: words("Start End")},
		"Start":        {optional: point, text: "numbers"},
		"End":          {optional: point, text: "numbers"},
		"Surfaces":     {optional: words("desc name state"), children: words("Surface")},
		"Surface":      {required: words("name"), optional: words("desc state"), anyOrder: true, children: words("SourceData Definition"), values: state},
		"SourceData":   {anyOrder: true, children: words("Boundaries Breaklines Contours DataPoints")},
		"Boundaries":   {children: words("Boundary")},
		"Boundary": {required: words("bndType edgeTrim"), optional: words("area desc name state"), children: words("PntList2D PntList3D"),
			values: map[string]string{"bndType": "outer void island", "edgeTrim": "true false"}},
		"Breaklines": {children: words("Breakline")},
		"Breakline":  {optional: words("brkType desc name state"), children: words("PntList2D PntList3D"), values: map[string]string{"brkType": "standard wall proximity nondestructive"}},
		"DataPoints": {children: words("PntList3D")},
		"PntList2D":  list,
		"PntList3D":  list,
		"Definition": {required: words("surfType"), optional: words("area2DSurf area3DSurf elevMax elevMin"), children: words("Pnts Faces"), values: map[string]string{"surfType": "TIN grid"}},
		"Pnts":       {children: words("P")},
		"P":          {required: words("id"), optional: point, text: "numbers"},
		"Faces":      {children: words("F")},
		"F":          {text: "numbers"},
	}
}

// What is written keeps to the facts of the schema.
func TestWriteFacts(t *testing.T) {
	for _, f := range []*landxml.File{full(), grid(5, 5)} {
		for _, unit := range []tin.Unit{tin.Metre, tin.Foot, tin.SurveyFoot, 0.001, 0.01, 1000, 0.0254, 1609.344} {
			f.Unit = unit
			text := write(t, f)
			wellFormed(t, text)
			checkFacts(t, text)
		}
	}
}

func checkFacts(t *testing.T, text string) {
	type open struct {
		name string
		last int // place of the last child in the order of the facts
		kids int
		text strings.Builder
	}
	known := facts()
	d := xml.NewDecoder(strings.NewReader(text))
	var stack []*open
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		switch el := tok.(type) {
		case xml.StartElement:
			assert.Equal(t, "http://www.landxml.org/schema/LandXML-1.2", el.Name.Space)
			e, ok := known[el.Name.Local]
			require.True(t, ok, "<%s> is not of the schema", el.Name.Local)
			checkAttributes(t, e, el)
			if len(stack) > 0 {
				parent := stack[len(stack)-1]
				at := slices.Index(known[parent.name].children, el.Name.Local)
				require.GreaterOrEqual(t, at, 0, "<%s> in <%s>", el.Name.Local, parent.name)
				assert.True(t, known[parent.name].anyOrder || at >= parent.last, "<%s> out of order in <%s>", el.Name.Local, parent.name)
				parent.last = at
				parent.kids++
			}
			stack = append(stack, &open{name: el.Name.Local})
		case xml.CharData:
			if len(stack) > 0 {
				stack[len(stack)-1].text.Write(el)
			}
		case xml.EndElement:
			o := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if known[o.name].text == "" {
				assert.Empty(t, strings.TrimSpace(o.text.String()), o.name)
			}
			least := map[string]int{"Pnts": 3, "Faces": 1, "Units": 1, "Surfaces": 1, "Boundary": 1, "Breakline": 1, "Definition": 2, "CoordGeom": 1, "Line": 2, "Parcels": 1, "Parcel": 1, "PlanFeatures": 1, "Boundaries": 1}
			assert.GreaterOrEqual(t, o.kids, least[o.name], o.name)
		}
	}
}

func checkAttributes(t *testing.T, e element, el xml.StartElement) {
	var names []string
	for _, a := range el.Attr {
		if a.Name.Local == "xmlns" {
			continue
		}
		names = append(names, a.Name.Local)
		assert.True(t, slices.Contains(e.required, a.Name.Local) || slices.Contains(e.optional, a.Name.Local), "<%s %s>", el.Name.Local, a.Name.Local)
		if values, ok := e.values[a.Name.Local]; ok {
			assert.Contains(t, strings.Fields(values), a.Value, "<%s %s>", el.Name.Local, a.Name.Local)
		}
	}
	for _, name := range e.required {
		assert.Contains(t, names, name, el.Name.Local)
	}
}

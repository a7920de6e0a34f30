package report

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// htmlPlan is the plan of a page, with what explains it and, for a script, the depths to
// read off it.
type htmlPlan struct {
	Drawing   template.HTML
	Layers    []htmlLayer
	DepthsAre string // what the bands are measured from
	Bands     []htmlBand
	All       string // area of all works
	Notes     []string
	Depths    *htmlDepths // nil: there are none
}

// htmlLayer is a kind of thing on the plan.
type htmlLayer struct {
	Groups string // ids of its groups in the drawing, a blank between
	Hidden bool   // until it is asked for, where there is a script
	Keys   []htmlKey
}

// htmlKey is a small picture of what is drawn, and what it is.
type htmlKey struct {
	Swatch template.HTML
	Words  string
}

// htmlBand is a depth band with its area.
type htmlBand struct {
	htmlKey
	Area string
}

// planOf draws the plan of a result, without a legend.
func planOf(r *takeoff.Result, depths *takeoff.DepthGrid) (*htmlPlan, error) {
	unit, err := tin.ParseUnit(r.Units.Length)
	if err != nil {
		return nil, fmt.Errorf("report: %w", err)
	}
	d := newPlanDrawing(r, unit)
	const above, beside, below = 1.5, 1.5, 18.0
	d.line(`<svg xmlns="http://www.w3.org/2000/svg" class="plan" viewBox="%s %s %s %s" role="img" aria-labelledby="plan-name" aria-describedby="plan-says" font-size="%s">`,
		px(0), px(d.top-above), px(d.right+beside), px(d.bottom-d.top+above+below), px(planText))
	d.line(`<title id="plan-name">%s</title>`, escaped(printed(r.Job+": plan of cut and fill")))
	d.line(`<desc id="plan-says">%s</desc>`, escaped(printed(d.subtitle())+" Depths by colour and hatching: orange with slanting lines is cut, purple with dots is fill. The areas of all depths stand in the table of this section."))
	d.hatchings()
	d.line(`<rect x="0" y="%s" width="%s" height="%s" fill="white"/>`, px(d.top-above), px(d.right+beside), px(d.bottom-d.top+above+below))
	d.ground()
	d.labels()
	d.rim()
	d.bar(d.left, d.bottom+12)
	d.north(d.right-2, d.bottom+16.5)
	d.line(`</svg>`)
	p := &htmlPlan{Drawing: template.HTML(d.buf.String()), Notes: append(d.notes(), planLabelsLeftOut), Depths: d.depthsOf(depths)}
	p.DepthsAre = fmt.Sprintf("%s, %s", d.depthTitle(), r.Units.Length)
	n := newNumbers(r)
	for _, k := range d.depthKeys() {
		p.Bands = append(p.Bands, htmlBand{htmlKey{d.key(func(s *planDrawing) { s.depthSwatch(k, 0.2, 0.2) }), k.words}, n.area(k.area)})
	}
	p.All = n.area(r.Total.WorksArea)
	p.Layers = d.layers()
	return p, nil
}

// key draws a small picture with the hatching of the plan.
func (d *planDrawing) key(draw func(*planDrawing)) template.HTML {
	s := planDrawing{}
	s.ids = d.ids
	s.line(`<svg class="swatch" viewBox="0 0 8.4 3.5" font-size="%s" aria-hidden="true">`, px(planText))
	draw(&s)
	s.line(`</svg>`)
	return template.HTML(s.buf.String())
}

// layers lists what can be shown and hidden, and is drawn.
func (d *planDrawing) layers() (out []htmlLayer) {
	add := func(key htmlKey, groups ...string) {
		var ids []string
		for _, g := range groups {
			if id := d.ids + g; bytes.Contains(d.buf.Bytes(), []byte(`<g id="`+id+`">`)) {
				ids = append(ids, id)
			}
		}
		if len(ids) == 0 {
			return
		}
		all := strings.Join(ids, " ")
		if i := slices.IndexFunc(out, func(l htmlLayer) bool { return l.Groups == all }); i >= 0 {
			out[i].Keys = append(out[i].Keys, key)
			return
		}
		out = append(out, htmlLayer{Groups: all, Keys: []htmlKey{key}})
	}
	if keys := d.depthKeys(); len(keys) > 0 {
		k := keys[0]
		k.pattern = ""
		add(htmlKey{d.key(func(s *planDrawing) { s.depthSwatch(k, 0.2, 0.2) }), "colours of depth"}, "bands")
		k = keys[0]
		k.colour = "white"
		add(htmlKey{d.key(func(s *planDrawing) { s.depthSwatch(k, 0.2, 0.2) }), "hatching of depth"}, "hatching", "uncovered")
	}
	labels := map[string]string{"outlines": "labels-pads", "alignments": "labels-alignments", "contours": "labels-contours", "spots": "labels-spots"}
	for _, k := range d.lineKeys() {
		groups := []string{k.group}
		if l := labels[k.group]; l != "" {
			groups = append(groups, l)
		}
		add(htmlKey{d.key(func(s *planDrawing) { s.lineSwatch(k, 0.2, -0.15) }), k.words}, groups...)
	}
	if len(d.p.Pegs) > 0 {
		for _, k := range pegKeys() {
			add(htmlKey{d.key(func(s *planDrawing) { s.pegMark(k.kind, 4.2, 1.75, 1) }), "peg: " + k.words}, "pegs", "labels-pegs")
		}
		out[len(out)-1].Hidden = true
	}
	add(htmlKey{d.key(func(s *planDrawing) { s.shot(orb.Point{4.2, 1.75}, 1) }), "where a further spot would help"}, "shots")
	add(htmlKey{d.key(func(s *planDrawing) { s.path("M3.2 1.75h2m-1 -1v2", `stroke="black" stroke-width="0.12"`) }), "crosses of the grid"}, "grid")
	return out
}

// htmlDepths is a grid of depths for a script: whole multiples of Quantum in 16 bits with
// a sign, the least significant first, row by row from the south-west; noDepth where there
// are no works.
type htmlDepths struct {
	Columns  int     `json:"columns"`
	Rows     int     `json:"rows"`
	Step     float64 `json:"step"` // between neighbours, in the job's unit
	East     float64 `json:"east"` // of the first
	North    float64 `json:"north"`
	X        float64 `json:"x"` // of the first, in the drawing
	Y        float64 `json:"y"`
	Pitch    float64 `json:"pitch"` // between neighbours, in the drawing
	Quantum  float64 `json:"quantum"`
	Decimals int     `json:"decimals"` // of a depth
	Places   int     `json:"places"`   // decimals of an easting or northing
	NoDepth  int     `json:"noDepth"`
	NoWords  string  `json:"noWords"` // for where there is no depth
	Unit     string  `json:"unit"`
	Data     string  `json:"data"` // base64
}

const noDepth = math.MinInt16

// depthsOf packs depths.
func (d *planDrawing) depthsOf(g *takeoff.DepthGrid) *htmlDepths {
	if g == nil {
		return nil
	}
	first := d.at(orb.Point(g.Origin))
	out := &htmlDepths{
		Columns: g.Columns, Rows: g.Rows, Step: g.Step, East: g.Origin[0], North: g.Origin[1],
		X: first[0], Y: first[1], Pitch: g.Step * d.mm, NoDepth: noDepth, NoWords: "no works here", Unit: d.r.Units.Length,
	}
	if d.r.Total.UncoveredArea > 0 {
		out.NoWords = "no works here, or no ground"
	}
	_, decimals, _ := strings.Cut(strconv.FormatFloat(math.Round(g.Step*1e6)/1e6, 'f', -1, 64), ".")
	out.Places = max(2, len(decimals))
	out.Quantum, out.Decimals = quantum(g.Depths)
	data := make([]byte, 0, 2*len(g.Depths))
	for _, depth := range g.Depths {
		word := int16(noDepth)
		if !math.IsNaN(depth) {
			word = int16(math.Round(depth / out.Quantum))
		}
		data = binary.LittleEndian.AppendUint16(data, uint16(word))
	}
	out.Data = base64.StdEncoding.EncodeToString(data)
	return out
}

// quantum is the least power of ten, from a thousandth of the unit on, that all depths
// fit into 16 bits of, and its decimals.
func quantum(depths []float64) (q float64, decimals int) {
	greatest := 0.0
	for _, d := range depths {
		if !math.IsNaN(d) {
			greatest = max(greatest, math.Abs(d))
		}
	}
	for decimals = 3; decimals > -300 && math.Round(greatest*math.Pow10(decimals)) > math.MaxInt16; decimals-- {
	}
	return math.Pow10(-decimals), max(decimals, 0)
}

// Rounded says how depths are rounded.
func (d *htmlDepths) Rounded() string {
	return printed(fmt.Sprintf("Depths are those at the places of a grid of %s %s, rounded to %s %s; the cross goes to the nearest place.",
		trimmed(d.Step), d.Unit, trimmed(d.Quantum), d.Unit))
}

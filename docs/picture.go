//go:build ignore

// Command picture draws the depths of the demo's works, out to daylight and from
// stripped ground, as docs/demo.svg:
//
//	go run docs/picture.go
//
// Colours are the ColorBrewer PuOr scheme (Brewer and others; open licence):
// orange for cut, purple for fill, pale at zero.
package main

import (
	"bytes"
	"context"
	"fmt"
	"log"
	"math"
	"os"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume/takeoff"
)

func main() {
	if err := run(); err != nil {
		log.Fatal(err)
	}
}

// Depth bands in metres, from the deepest fill to the deepest cut.
var bands = []struct {
	upTo   float64
	colour string
	label  string
}{
	{-0.50, "#8073ac", "fill over 0.50 m"},
	{-0.25, "#b2abd2", "fill 0.25 to 0.50 m"},
	{0, "#d8daeb", "fill to 0.25 m"},
	{0.50, "#fee0b6", "cut to 0.50 m"},
	{1.00, "#fdb863", "cut 0.50 to 1.00 m"},
	{math.Inf(1), "#e08214", "cut over 1.00 m"},
}

func run() error {
	ctx := context.Background()
	job, err := takeoff.Load(ctx, os.DirFS("cmd/barrow/demo"), "job.toml", takeoff.DefaultLimits())
	if err != nil {
		return err
	}
	result, err := takeoff.Run(ctx, job, takeoff.Options{})
	if err != nil {
		return err
	}
	survey := job.Surveys[0]
	shift := survey.Benchmark.Plan - survey.Benchmark.Measured
	source := tin.Source{}
	for _, p := range survey.Points {
		if !slices.Contains(survey.IgnoreCodes, p.Code) {
			p.Level += shift
			source.Points = append(source.Points, p)
		}
	}
	for _, l := range survey.Breaklines {
		l.Vertices = slices.Clone(l.Vertices)
		for i := range l.Vertices {
			l.Vertices[i].Level += shift
		}
		source.Breaklines = append(source.Breaklines, l)
	}
	ground, err := tin.Build(ctx, []tin.Source{source}, tin.Options{Boundary: job.Ground.Boundary})
	if err != nil {
		return err
	}

	var box orb.Bound
	for i, p := range job.Pads {
		if b := p.Outline.Bound(); i == 0 {
			box = b
		} else {
			box = box.Union(b)
		}
	}
	box = box.Pad(7)
	const scale = 9.0 // pixels a metre
	px := func(p orb.Point) (x, y float64) {
		return (p[0] - box.Min[0]) * scale, (box.Max[1] - p[1]) * scale
	}
	// A tenth of a pixel is enough: what is narrower is left out.
	path := func(points []orb.Point, closed bool) string {
		var places []string
		for _, p := range points {
			x, y := px(p)
			if at := fmt.Sprintf("%.1f %.1f", x, y); len(places) == 0 || places[len(places)-1] != at {
				places = append(places, at)
			}
		}
		if !closed {
			return "M" + strings.Join(places, "L")
		}
		if len(places) > 1 && places[0] == places[len(places)-1] {
			places = places[1:]
		}
		if len(places) < 3 {
			return ""
		}
		return "M" + strings.Join(places, "L") + "Z"
	}
	width, height := (box.Max[0]-box.Min[0])*scale, (box.Max[1]-box.Min[1])*scale
	var out bytes.Buffer
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" font-family="sans-serif" font-size="15">`+"\n", width, height+112)
	fmt.Fprintf(&out, `<title>Demo: depths of cut and fill of two pads, out to daylight</title><rect width="%.0f" height="%.0f" fill="white"/>`+"\n", width, height+112)

	layout, dig, err := works(ctx, ground, job)
	if err != nil {
		return err
	}
	paths := make([]bytes.Buffer, len(bands))
	frame := ground.Frame()
	draw := func(corners []corner) {
		from := math.Inf(-1)
		for k, band := range bands {
			if part := between(corners, from, band.upTo); len(part) > 2 {
				paths[k].WriteString(path(part, true))
			}
			from = band.upTo
		}
	}
	for i, pad := range layout.Pads {
		facets := slices.Concat(pad.Facets, pad.Margin)
		var cells []tin.Cell
		for _, f := range facets {
			cells = append(cells, f.Cell)
		}
		for k, piece := range ground.Pieces(cells) {
			var corners []corner
			for _, c := range piece.Corner {
				at := frame.Metres(c.X, c.Y)
				corners = append(corners, corner{at, c.Level - facets[k].Topsoil - facets[k].Plane.LevelAt(at[0], at[1])})
			}
			draw(corners)
		}
		for _, face := range dig.Pads[i].Faces {
			var corners []corner
			for _, c := range face.Corner {
				corners = append(corners, corner{frame.Metres(c.X, c.Y), c.Ground - c.Face})
			}
			draw(corners)
		}
	}
	for k, band := range bands {
		fmt.Fprintf(&out, `<path d="%s" fill="%s" stroke="%s" stroke-width="0.4"/>`+"\n", paths[k].String(), band.colour, band.colour)
	}
	for _, l := range source.Breaklines {
		var points []orb.Point
		for _, v := range l.Vertices {
			if box.Contains(orb.Point{v.E, v.N}) {
				points = append(points, orb.Point{v.E, v.N})
			}
		}
		fmt.Fprintf(&out, `<path d="%s" fill="none" stroke="black" stroke-width="1" stroke-dasharray="2 4"/>`+"\n", path(points, false))
	}
	for _, p := range source.Points {
		if at := (orb.Point{p.E, p.N}); box.Pad(-1).Contains(at) {
			x, y := px(at)
			fmt.Fprintf(&out, `<circle cx="%.1f" cy="%.1f" r="1.5"/>`, x, y)
		}
	}
	for _, outline := range layout.Outlines {
		for _, ring := range outline.Rings {
			var points []orb.Point
			for _, c := range ring {
				points = append(points, orb.Point{c.E, c.N})
			}
			fmt.Fprintf(&out, `<path d="%s" fill="none" stroke="black" stroke-width="1"/>`+"\n", path(points, true))
		}
	}
	for i, pad := range result.Pads {
		for _, line := range pad.ZeroLines {
			fmt.Fprintf(&out, `<path d="%s" fill="none" stroke="black" stroke-width="2" stroke-dasharray="8 4"/>`+"\n", path(line, false))
		}
		for _, ring := range job.Pads[i].Outline {
			fmt.Fprintf(&out, `<path d="%s" fill="none" stroke="black" stroke-width="2.5"/>`+"\n", path(ring, true))
		}
		text := fmt.Sprintf("%s: cut %.1f, fill %.1f m3", pad.Name, pad.Cut, pad.Fill)
		b := job.Pads[i].Outline.Bound()
		x, y := px(orb.Point{b.Center()[0], b.Max[1]})
		fmt.Fprintf(&out, `<text x="%.1f" y="%.1f" text-anchor="middle" font-weight="bold" stroke="white" stroke-width="5" paint-order="stroke">%s</text>`+"\n", x, y-30, text)
	}
	legend(&out, height)
	out.WriteString("</svg>\n")
	return os.WriteFile("docs/demo.svg", out.Bytes(), 0o644)
}

// works lays the job's pads, which is in metres, out and follows their batters.
func works(ctx context.Context, ground *tin.Surface, job *takeoff.Job) (*formation.Layout, *formation.Dig, error) {
	var pads []formation.Pad
	for _, p := range job.Pads {
		pad := formation.Pad{Name: p.Name, Outline: p.Outline, Finished: p.Finished, Margin: p.Margin,
			Cut: formation.Batter{Along: p.Cut.Along}, Fill: formation.Batter{Along: p.Fill.Along}}
		for _, l := range p.Layers {
			pad.Layers = append(pad.Layers, formation.Layer(l))
		}
		if f := p.Fall; f != nil {
			pad.Fall = &formation.Fall{Slope: f.Slope, Bearing: f.Bearing, At: f.At}
		}
		pads = append(pads, pad)
	}
	opts := formation.Options{Topsoil: formation.Topsoil{Depth: job.Ground.Topsoil.Depth}}
	layout, err := formation.Lay(ground, pads, opts)
	if err != nil {
		return nil, nil, err
	}
	dig, err := layout.Dig(ctx, ground, opts)
	return layout, dig, err
}

func legend(out *bytes.Buffer, top float64) {
	for k, band := range bands {
		x, y := 20+float64(k%3)*200, top+14+float64(k/3)*26
		fmt.Fprintf(out, `<rect x="%.0f" y="%.0f" width="26" height="16" fill="%s" stroke="black" stroke-width="0.5"/><text x="%.0f" y="%.0f">%s</text>`+"\n",
			x, y, band.colour, x+34, y+13, band.label)
	}
	y := top + 84
	for i, l := range []struct{ dash, width, label string }{
		{"none", "2.5", "outline"}, {"none", "1", "its margin"}, {"8 4", "2", "zero line"}, {"2 4", "1", "breakline"},
	} {
		x := 20 + float64(i)*150
		fmt.Fprintf(out, `<path d="M%.0f %.0fh26" stroke="black" stroke-width="%s" stroke-dasharray="%s"/><text x="%.0f" y="%.0f">%s</text>`+"\n",
			x, y-5, l.width, l.dash, x+34, y, l.label)
	}
	fmt.Fprintf(out, `<circle cx="633" cy="%.0f" r="2"/><text x="654" y="%.0f">spot height</text>`+"\n", y-5, y)
	fmt.Fprintf(out, `<path d="M633 %.0fh90m-90-4v8m90-8v8" stroke="black" fill="none"/><text x="732" y="%.0f">10 m</text>`+"\n", top+22, top+27)
	fmt.Fprintf(out, `<path d="M640 %.0fv-22m-5 7l5-8 5 8" stroke="black" fill="none"/><text x="654" y="%.0f">north</text>`+"\n", top+66, top+58)
}

type corner struct {
	at    orb.Point
	depth float64
}

// between returns the part of a piece with depths between two values.
func between(p []corner, from, to float64) []orb.Point {
	p = keep(p, func(d float64) float64 { return d - from })
	p = keep(p, func(d float64) float64 { return to - d })
	var points []orb.Point
	for _, c := range p {
		points = append(points, c.at)
	}
	return points
}

func keep(p []corner, value func(float64) float64) (out []corner) {
	for i, c := range p {
		last := p[(i+len(p)-1)%len(p)]
		v, w := value(last.depth), value(c.depth)
		if math.IsInf(w, 1) || math.IsInf(v, 1) {
			return p
		}
		if v*w < 0 {
			t := v / (v - w)
			out = append(out, corner{orb.Point{last.at[0] + t*(c.at[0]-last.at[0]), last.at[1] + t*(c.at[1]-last.at[1])}, last.depth + t*(c.depth-last.depth)})
		}
		if w >= 0 {
			out = append(out, c)
		}
	}
	return out
}

//go:build ignore

// Command convergence draws how the errors of sections and of the unit-area grid fall
// with their interval, as docs/convergence.svg, from what the tests print:
//
//	go test -count=1 -v -run Convergence ./section ./volume/grid | go run docs/convergence.go
package main

import (
	"bufio"
	"bytes"
	"cmp"
	"fmt"
	"io"
	"log"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
)

func main() {
	if err := run(os.Stdin); err != nil {
		log.Fatal(err)
	}
}

// curve is errors, in cubic metres, at intervals in metres.
type curve struct {
	label, dash string
	heavy       bool
	x, y        []float64
}

// sections are the curves of sections: from which test, and which column of its rows,
// in which the interval stands first.
var sections = []struct {
	test   string
	column int
	curve  curve
}{
	{"TestConvergenceSmooth", 1, curve{label: "end areas, typed sections"}},
	{"TestConvergenceTriangles", 1, curve{label: "end areas, triangles", dash: "7 4"}},
	{"TestConvergenceTriangles", 3, curve{label: "prismoidal, triangles", dash: "7 4", heavy: true}},
	{"TestConvergenceSmooth", 3, curve{label: "prismoidal, typed sections", heavy: true}},
}

// squares are the curves of the grid, whose rows begin with their label.
var squares = []curve{
	{label: "square, cut less fill, whole by centre", dash: "2 4"},
	{label: "square, cut, zero line", dash: "7 4"},
	{label: "square, cut less fill"},
	{label: "square, cut, corners apart", dash: "10 3 2 3"},
}

// run reads the tables and draws them.
func run(in io.Reader) error {
	test := ""
	lines := bufio.NewScanner(in)
	for lines.Scan() {
		line := strings.TrimSpace(lines.Text())
		if name, ok := strings.CutPrefix(line, "=== RUN   "); ok {
			test = name
		}
		i := strings.Index(line, "| ")
		if i < 0 {
			continue
		}
		cells := strings.Split(strings.Trim(line[i:], "| "), "|")
		for k := range cells {
			cells[k] = strings.TrimSpace(cells[k])
		}
		for k := range sections {
			if s := &sections[k]; s.test == test {
				s.curve.add(cells[0], cells, s.column)
			}
		}
		for k := range squares {
			if squares[k].label == cells[0] && test == "TestConvergence" {
				for j, spacing := range []string{"4", "2", "1", "0.5", "0.25"} {
					squares[k].add(spacing, cells, j+1)
				}
			}
		}
	}
	var left []curve
	for _, s := range sections {
		left = append(left, s.curve)
	}
	for _, c := range slices.Concat(left, squares) {
		if len(c.x) < 4 {
			return fmt.Errorf("%q has %d points: pipe the tests' output in", c.label, len(c.x))
		}
	}
	var out bytes.Buffer
	fmt.Fprintln(&out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1180 500" font-family="sans-serif" font-size="13">`)
	fmt.Fprintln(&out, `<title>Errors of sections and of the unit-area grid against their interval</title><rect width="1180" height="500" fill="white"/>`)
	panel{left: 80, title: "Sections: 7,841 m3 typed, 15,364 m3 on triangles", axis: "interval, m", x: [2]float64{2, 50}, y: [2]int{-6, 1},
		ticks: []float64{2.5, 5, 10, 20, 40}}.draw(&out, left)
	panel{left: 650, title: "Unit-area grid over 786 m2, turned by 25 degrees", axis: "side of a cell, m", x: [2]float64{0.2, 5}, y: [2]int{-3, 1},
		ticks: []float64{0.25, 0.5, 1, 2, 4}}.draw(&out, squares)
	fmt.Fprintln(&out, `</svg>`)
	return os.WriteFile("docs/convergence.svg", out.Bytes(), 0o644)
}

// add takes in a point, if its cells hold numbers.
func (c *curve) add(interval string, cells []string, column int) {
	if column >= len(cells) {
		return
	}
	x, errX := strconv.ParseFloat(interval, 64)
	y, errY := strconv.ParseFloat(cells[column], 64)
	if errX == nil && errY == nil {
		c.x, c.y = append(c.x, x), append(c.y, math.Abs(y))
	}
}

// stroke returns how the curve is drawn: curves differ by weight and dash.
func (c *curve) stroke() string {
	width := 1.3
	if c.heavy {
		width = 2.8
	}
	return fmt.Sprintf(`stroke="black" stroke-width="%g" stroke-dasharray="%s"`, width, cmp.Or(c.dash, "none"))
}

// panel is a diagram with logarithmic scales, 490 by 380 pixels.
type panel struct {
	left        float64
	title, axis string
	x           [2]float64
	y           [2]int // powers of ten
	ticks       []float64
}

const top, wide, high = 60.0, 490.0, 380.0

func (p panel) at(x, y float64) (px, py float64) {
	px = p.left + wide*math.Log(x/p.x[0])/math.Log(p.x[1]/p.x[0])
	return px, top + high*(float64(p.y[1])-math.Log10(y))/float64(p.y[1]-p.y[0])
}

func (p panel) draw(out io.Writer, curves []curve) {
	fmt.Fprintf(out, `<text x="%.0f" y="26" font-size="15" font-weight="bold">%s</text>`+"\n", p.left, p.title)
	fmt.Fprintf(out, `<text x="%.0f" y="48">error, m3</text>`+"\n", p.left-50)
	for k := p.y[0]; k <= p.y[1]; k++ {
		_, y := p.at(1, math.Pow10(k))
		fmt.Fprintf(out, `<path d="M%.0f %.1fh%.0f" stroke="#bbb" stroke-width="0.6"/><text x="%.0f" y="%.1f" text-anchor="end">%s</text>`+"\n", p.left, y, wide, p.left-8, y+4, strconv.FormatFloat(math.Pow10(k), 'f', -1, 64))
	}
	for _, t := range p.ticks {
		x, _ := p.at(t, 1)
		fmt.Fprintf(out, `<path d="M%.1f %.0fv6" stroke="black"/><text x="%.1f" y="%.0f" text-anchor="middle">%g</text>`+"\n", x, top+high, x, top+high+22, t)
	}
	fmt.Fprintf(out, `<path d="M%.0f %.0fv%.0fh%.0f" fill="none" stroke="black"/><text x="%.0f" y="%.0f" text-anchor="middle">%s</text>`+"\n", p.left, top, high, wide, p.left+wide/2, top+high+46, p.axis)
	for _, c := range curves {
		var d []string
		for i := range c.x {
			x, y := p.at(c.x[i], c.y[i])
			d = append(d, fmt.Sprintf("%.1f %.1f", x, y))
			fmt.Fprintf(out, `<circle cx="%.1f" cy="%.1f" r="3"/>`, x, y)
		}
		fmt.Fprintf(out, `<path d="M%s" fill="none" %s/>`+"\n", strings.Join(d, "L"), c.stroke())
	}
	p.label(out, curves)
}

// label explains the lines at the lower right.
func (p panel) label(out io.Writer, curves []curve) {
	x, y := p.left+wide-290, top+high-22*float64(len(curves))
	fmt.Fprintf(out, `<rect x="%.0f" y="%.0f" width="296" height="%.0f" fill="white"/>`+"\n", x-6, y-16, top+high-y+14)
	for _, c := range curves {
		fmt.Fprintf(out, `<path d="M%.0f %.0fh36" %s/><text x="%.0f" y="%.0f">%s</text>`+"\n", x, y, c.stroke(), x+44, y+4, c.label)
		y += 22
	}
}

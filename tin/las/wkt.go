package las

import (
	"strconv"
	"strings"

	"barrow/tin"
)

// wktNode is one KEYWORD[...] of the text of a coordinate system (OGC 01-009,
// section 7, and OGC 18-010).
type wktNode struct {
	keyword string // in capitals
	texts   []string
	numbers []float64
	nodes   []wktNode
}

const maxWKTDepth = 50

// readWKT reads the text of a coordinate system. It is not ok if it is none.
func readWKT(s string) (stated, bool) {
	p := wktParser{rest: s}
	root, ok := p.node(0)
	if !ok || len(root.texts) == 0 && len(root.nodes) == 0 {
		return stated{}, false
	}
	var out stated
	root.state(&out)
	return out, true
}

// state says what a coordinate system, or a part of a compound one, states.
func (n *wktNode) state(s *stated) {
	if s.Name == "" && len(n.texts) > 0 {
		s.Name = n.texts[0]
	}
	switch n.keyword {
	case "COMPD_CS", "COMPOUNDCRS", "BOUNDCRS", "SOURCECRS":
		for i := range n.nodes {
			n.nodes[i].state(s)
		}
	case "PROJCS", "PROJCRS", "PROJECTEDCRS", "DERIVEDPROJCRS", "LOCAL_CS", "ENGCRS", "ENGINEERINGCRS":
		s.unit, s.EPSG = n.unit(s), n.epsg()
	case "VERT_CS", "VERTCRS", "VERTICALCRS":
		s.vertical, s.VerticalEPSG = n.unit(s), n.epsg()
	case "GEOGCS", "GEOCCS", "GEOGCRS", "GEOGRAPHICCRS", "GEODCRS", "GEODETICCRS":
		s.notInPlan = true
	}
}

// unit is the unit of length of a system: its own, or else that of its first
// axis that has one.
func (n *wktNode) unit(s *stated) tin.Unit {
	for _, c := range n.nodes {
		if (c.keyword == "UNIT" || c.keyword == "LENGTHUNIT") && len(c.numbers) > 0 {
			return s.sized(c.numbers[0])
		}
	}
	for _, c := range n.nodes {
		if c.keyword == "AXIS" {
			if u := c.unit(s); u != 0 {
				return u
			}
		}
	}
	return 0
}

// epsg is the code of EPSG that a system gives for itself, 0 for none.
func (n *wktNode) epsg() int {
	for _, c := range n.nodes {
		if c.keyword != "AUTHORITY" && c.keyword != "ID" || len(c.texts) == 0 || !strings.EqualFold(c.texts[0], "EPSG") {
			continue
		}
		if len(c.numbers) > 0 {
			return wholeCode(c.numbers[0])
		}
		if len(c.texts) > 1 {
			code, _ := strconv.ParseFloat(c.texts[1], 64)
			return wholeCode(code)
		}
	}
	return 0
}

func wholeCode(v float64) int {
	if v >= 1 && v < 1e9 {
		return int(v)
	}
	return 0
}

// wktParser reads nodes off the front of a text.
type wktParser struct{ rest string }

// space passes over blanks.
func (p *wktParser) space() { p.rest = strings.TrimLeft(p.rest, " \t\r\n") }

// take passes over one of some characters.
func (p *wktParser) take(chars string) bool {
	p.space()
	if p.rest == "" || strings.IndexByte(chars, p.rest[0]) < 0 {
		return false
	}
	p.rest = p.rest[1:]
	return true
}

// node reads KEYWORD, or KEYWORD[value, value, ...].
func (p *wktParser) node(depth int) (n wktNode, ok bool) {
	p.space()
	end := strings.IndexFunc(p.rest, func(r rune) bool {
		return r != '_' && (r < '0' || r > '9') && (r < 'A' || r > 'Z') && (r < 'a' || r > 'z')
	})
	if end < 0 {
		end = len(p.rest)
	}
	n.keyword, p.rest = strings.ToUpper(p.rest[:end]), p.rest[end:]
	if end == 0 || depth > maxWKTDepth {
		return n, false
	}
	if !p.take("[(") {
		return n, true
	}
	for {
		if !p.value(&n, depth) {
			return n, false
		}
		if p.take("])") {
			return n, true
		}
		if !p.take(",") {
			return n, false
		}
	}
}

// value reads a text, a number or a node into the node that holds it.
func (p *wktParser) value(n *wktNode, depth int) bool {
	p.space()
	if p.rest == "" {
		return false
	}
	switch c := p.rest[0]; {
	case c == '"':
		text, ok := p.quoted()
		n.texts = append(n.texts, text)
		return ok
	case strings.IndexByte("+-.0123456789", c) >= 0:
		end := strings.IndexAny(p.rest, ",]) \t\r\n")
		if end < 0 {
			return false
		}
		v, err := strconv.ParseFloat(p.rest[:end], 64)
		n.numbers, p.rest = append(n.numbers, v), p.rest[end:]
		return err == nil
	}
	inner, ok := p.node(depth + 1)
	n.nodes = append(n.nodes, inner)
	return ok
}

// quoted reads a text in quotes; a quote inside is doubled.
func (p *wktParser) quoted() (string, bool) {
	var b strings.Builder
	for {
		p.rest = p.rest[1:]
		end := strings.IndexByte(p.rest, '"')
		if end < 0 {
			return "", false
		}
		b.WriteString(p.rest[:end])
		if p.rest = p.rest[end+1:]; !strings.HasPrefix(p.rest, `"`) {
			return b.String(), true
		}
		b.WriteByte('"')
	}
}

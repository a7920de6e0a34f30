package takeoff

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"barrow/volume/material"
	"barrow/volume/takeoff/internal/tomltree"
)

func (l *loader) truck(n *tomltree.Node) {
	t := material.Truck{Name: l.text(l.need(n, "name", `name = "tipper"`), `name = "tipper"`)}
	t.Body = material.Loose(l.number(l.need(n, "body", "body = 12.0, what it holds, loose"), "body = 12.0"))
	t.Payload = l.number(n.Get("payload"), "payload = 18.0")
	t.CycleMinutes = l.seconds(n.Get("cycle"), `cycle = "40 min"`) / 60
	if l.err == nil {
		l.job.Trucks = append(l.job.Trucks, t)
	}
}

func (l *loader) machine(n *tomltree.Node) {
	m := material.Machine{Name: l.text(l.need(n, "name", `name = "excavator"`), `name = "excavator"`)}
	m.Bucket = material.Loose(l.number(l.need(n, "bucket", "bucket = 1.2, what it holds, loose"), "bucket = 1.2"))
	m.CycleSeconds = l.seconds(l.need(n, "cycle", `cycle = "30 s"`), `cycle = "30 s"`)
	m.FillFactor = l.number(l.need(n, "fill_factor", "fill_factor = 0.9"), "fill_factor = 0.9")
	m.Efficiency = l.number(l.need(n, "efficiency", "efficiency = 0.83, the share of an hour it works"), "efficiency = 0.83")
	m.HoursPerDay = l.number(n.Get("hours_per_day"), "hours_per_day = 8")
	m.Work = material.Work(l.word(l.need(n, "work", `work = "cut", "topsoil" or "spoil": what it digs or loads`), string(material.DigsCut), string(material.DigsTopsoil), string(material.LoadsSpoil)))
	m.Truck = l.text(n.Get("truck"), `truck = "tipper"`)
	m.Trucks = l.count(n.Get("trucks"), "trucks = 4")
	if l.err == nil {
		l.job.Machines = append(l.job.Machines, m)
	}
}

// count reads a whole number above 0; 0 where there is none.
func (l *loader) count(n *tomltree.Node, example string) int {
	x := l.number(n, example)
	if n != nil && l.err == nil && (x < 1 || x > 1e6 || x != float64(int(x))) {
		l.fail(n, codeBadValue, fmt.Sprintf("%s is no number of them", formatNumber(x)), "write it like "+example)
	}
	if l.err != nil {
		return 0
	}
	return int(x)
}

var durationText = regexp.MustCompile(`^([0-9]{1,9}(?:\.[0-9]{0,9})?)\s*(s|min|h)$`)

// seconds reads a time with its unit, "30 s", "25 min" or "1.5 h", above 0; 0 where there
// is none.
func (l *loader) seconds(n *tomltree.Node, example string) float64 {
	if n == nil || !l.want(n, tomltree.String, example) {
		return 0
	}
	m := durationText.FindStringSubmatch(strings.TrimSpace(n.Text))
	if m == nil {
		l.fail(n, codeBadValue, fmt.Sprintf("%q is no time", n.Text), "write it with its unit, s, min or h, like "+example)
		return 0
	}
	x, err := strconv.ParseFloat(m[1], 64)
	if err != nil || x == 0 {
		l.fail(n, codeBadValue, fmt.Sprintf("%q is no time above 0", n.Text), "write it like "+example)
		return 0
	}
	switch m[2] {
	case "min":
		x *= 60
	case "h":
		x *= 3600
	}
	return x
}

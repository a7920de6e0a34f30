package takeoff

import (
	"fmt"

	"barrow/volume/material"
	"barrow/volume/takeoff/internal/tomltree"
)

// materials reads what is said of materials, trucks and machines.
func (l *loader) materials(root *tomltree.Node) {
	for _, n := range l.tables(root.Get("material"), "[[material]]") {
		l.material(n)
	}
	if n := root.Get("import"); n != nil && l.want(n, tomltree.Table, "[import]") {
		l.imported(n)
	}
	for _, n := range l.tables(root.Get("truck"), "[[truck]]") {
		l.truck(n)
	}
	for _, n := range l.tables(root.Get("machine"), "[[machine]]") {
		l.machine(n)
	}
	if l.err != nil {
		return
	}
	for _, key := range []string{"import", "truck", "machine"} {
		if n := root.Get(key); n != nil && len(l.job.Materials) == 0 {
			l.fail(n, codeMissingKey, "there is no material to move", `add a [[material]] with name = "soil"`)
			return
		}
	}
	if e := asInputError(l.job.checkMaterials()); e != nil {
		l.err = l.job.placed(e)
	}
}

func (l *loader) material(n *tomltree.Node) {
	m := Material{Name: l.text(l.need(n, "name", `name = "clay"`), `name = "clay"`)}
	m.Kind = l.text(n.Get("kind"), `kind = "mixed soils"`)
	m.Factors = l.factors(n)
	m.Density = l.density(n)
	m.Topsoil = l.word(n.Get("lies"), "cut", "topsoil") == "topsoil"
	m.Reuse = l.reuse(n.Get("reuse"), m.Topsoil)
	m.Within = l.area(n.Get("within"))
	l.depths(n, &m)
	m.Below, m.Above = l.horizons(n.Get("below")), l.horizons(n.Get("above"))
	if l.err == nil {
		l.job.Materials = append(l.job.Materials, m)
	}
}

// factors reads a factor either way it may be written. What is not given is 0.
func (l *loader) factors(n *tomltree.Node) (f material.Factors) {
	if x := n.Get("loose_per_bank"); x != nil {
		f.LoosePerBank = l.number(x, "loose_per_bank = 1.25")
		l.failValue(x, material.CheckLoosePerBank(f.LoosePerBank))
		l.notBoth(n, "loose_per_bank", "swell")
	} else if x := n.Get("swell"); x != nil {
		f.LoosePerBank = l.swell(x)
	}
	if x := n.Get("compacted_per_bank"); x != nil {
		f.CompactedPerBank = l.number(x, "compacted_per_bank = 0.90")
		l.failValue(x, material.CheckCompactedPerBank(f.CompactedPerBank))
		l.notBoth(n, "compacted_per_bank", "shrink")
	} else if x := n.Get("shrink"); x != nil {
		f.CompactedPerBank = l.shrink(x)
	}
	return f
}

func (l *loader) notBoth(n *tomltree.Node, one, other string) {
	if x := n.Get(other); x != nil {
		l.fail(x, codeBadValue, fmt.Sprintf("%s and %s say the same thing twice", one, other), "leave one of them out")
	}
}

func (l *loader) swell(n *tomltree.Node) float64 {
	text := l.text(n, `swell = "25 %"`)
	if l.err != nil {
		return 0
	}
	factor, err := material.ParseSwell(text)
	l.failValue(n, err)
	return factor
}

func (l *loader) shrink(n *tomltree.Node) float64 {
	const example = `shrink = { percent = 10, of = "bank" }`
	if !l.want(n, tomltree.Table, example) {
		return 0
	}
	percent := l.number(l.need(n, "percent", example), example)
	of := l.word(l.need(n, "of", `of = "bank" or of = "compacted": sources differ in which they mean`), string(material.OfBank), string(material.OfCompacted))
	if l.err != nil {
		return 0
	}
	factor, err := material.Shrink(percent, material.ShrinkOf(of))
	l.failValue(n, err)
	return factor
}

// failValue is failWith of an error about the value at n as a whole.
func (l *loader) failValue(n *tomltree.Node, err error) {
	if e := asInputError(err); e != nil {
		whole := *e
		whole.Key = ""
		err = &whole
	}
	l.failWith(n, err)
}

// density reads tonnes in one cubic metre in place, whatever the units of the job.
func (l *loader) density(n *tomltree.Node) float64 {
	d := n.Get("density")
	if d == nil {
		return 0
	}
	t := l.number(d, "density = 1.9")
	if l.err == nil && !(t >= leastDensity && t <= greatestDensity) {
		l.fail(d, codeBadValue, fmt.Sprintf("a density of %s tonnes in a cubic metre is outside of %s to %s", formatNumber(t), formatNumber(leastDensity), formatNumber(greatestDensity)), meantDensity(t))
	}
	return t
}

// Between these lie the densities of peat and of ore. Common practice, no source.
const leastDensity, greatestDensity = 0.5, 5.0

func meantDensity(t float64) string {
	if t >= 1000*leastDensity && t <= 1000*greatestDensity {
		return fmt.Sprintf("in kg? Then write density = %s", formatNumber(t/1000))
	}
	return "it is tonnes in one cubic metre in place, such as 1.9"
}

// reuse reads the share that may become fill. Topsoil does not, unless it is said.
func (l *loader) reuse(n *tomltree.Node, topsoil bool) float64 {
	switch {
	case n == nil && topsoil:
		return 0
	case n == nil || l.err != nil:
		return 1
	case n.Kind == tomltree.Number:
		return l.number(n, "reuse = 0.6")
	case n.Kind != tomltree.String:
		l.fail(n, codeWrongType, fmt.Sprintf("this is %s, wanted how much of it may become fill", n.Kind), `write reuse = "all", "none" or a share such as 0.6`)
		return 0
	}
	if l.word(n, "all", "none") == "all" {
		return 1
	}
	return 0
}

// depths reads from, to, and what they are depths of, which must be said with them.
func (l *loader) depths(n *tomltree.Node, m *Material) {
	from, to, by := n.Get("from"), n.Get("to"), n.Get("by")
	const words = `by = "slices": what lies between the two depths; or by = "total depth": all the cut where it is so deep as a whole`
	switch {
	case l.err != nil || from == nil && to == nil && by == nil:
		return
	case from == nil && to == nil:
		l.fail(by, codeMissingKey, "there are no depths to split by", "add from or to")
	case by == nil:
		l.need(n, "by", words)
	}
	if from != nil {
		m.From = l.distance(from, "from = 0.5", nil)
	}
	if to != nil {
		m.To = l.above0(to, "to = 1.5")
	}
	m.TotalDepth = l.word(by, "slices", "total depth") == "total depth"
}

// horizons reads a level, a point file of a surface in the ground, a table with one and
// more about it, or a list of these.
func (l *loader) horizons(n *tomltree.Node) (list []Horizon) {
	const example = `below = "rock.csv", below = 9.50 or below = { points = "rock.csv", benchmark = { plan = 62.5, measured = 10.1 } }`
	switch {
	case n == nil || l.err != nil:
	case n.Kind == tomltree.Array:
		for _, item := range n.Items {
			list = append(list, l.horizons(item)...)
		}
	case n.Kind == tomltree.Number:
		list = append(list, Horizon{Level: l.number(n, example)})
	case n.Kind == tomltree.String:
		s, _ := l.horizonFile(l.surveyFile(n, example))
		list = append(list, Horizon{Survey: s})
	case l.want(n, tomltree.Table, example):
		f := l.surveyFile(l.need(n, "points", example), example)
		if c := n.Get("columns"); c != nil {
			l.columnsBeside(c, &f, fmt.Sprintf("below = { points = %q, columns = %%q }", f.name))
		}
		s, in := l.horizonFile(f)
		s.IgnoreCodes = l.texts(n.Get("ignore_codes"), `ignore_codes = ["BM"]`)
		if b := n.Get("benchmark"); b != nil {
			mark := l.mark(b, `benchmark = { name = "BM1", plan = 62.500, measured = 10.134 }`)
			s.Benchmark = &mark
		}
		if unit := in.levels(l.job.Units); unit != "" {
			l.withUnit(n, unit)
		}
		list = append(list, Horizon{Survey: s})
	}
	return list
}

func (l *loader) horizonFile(f dataFile) (*Survey, Input) {
	read := l.surveyPoints(f, true)
	if read.limits.some() {
		l.note(NoteBoundaries, "%s: the boundaries of the surface are not used: a surface in the ground has none", f.name)
	}
	s := read.survey(f.name)
	return &s, read.in
}

func (l *loader) imported(n *tomltree.Node) {
	m := material.Import{Name: l.text(n.Get("name"), `name = "crushed stone"`), Factors: l.factors(n), Density: l.density(n)}
	m.Measure = material.Measure(l.word(l.need(n, "measure", `measure = "loose", "compacted" or "tonnes": what it is bought in`),
		string(material.ByLoose), string(material.ByCompacted), string(material.ByTonnes)))
	if l.err == nil {
		l.job.Import = &m
	}
}

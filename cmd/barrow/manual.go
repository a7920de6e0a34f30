package main

import (
	"context"
	"io"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"barrow/volume/takeoff"
)

// manualCommand writes the manual page, in the mdoc language of roff, that man(1) shows.
func manualCommand(_ context.Context, c *console, args []string) (warnings bool, err error) {
	rest, err := c.parse(flags("manual"), args)
	if err != nil {
		return false, err
	}
	if len(rest) > 0 {
		return false, usageError("manual takes no "+quote(rest[0]), "run \"barrow manual\"")
	}
	info, _ := debug.ReadBuildInfo()
	_, err = io.WriteString(c.stdout, manual(buildOf(info).Time))
	return false, err
}

// manual returns the page. at is when the program's source was written, in RFC 3339;
// empty where it is not known.
func manual(at string) string {
	var p page
	p.head(at)
	p.section("SYNOPSIS")
	for _, cmd := range slices.Concat(commands(), asides()) {
		p.macro("Nm")
		p.macro("Cm", cmd.name)
		if len(guideOf(helpOf(cmd.name)).flags()) > 0 {
			p.macro("Op", "Ar flags")
		}
		if o := operand(cmd.name); o != "" {
			p.macro("Ar", o)
		}
	}
	p.macro("Nm")
	p.macro("Cm", "help")
	p.macro("Op", "Ar command | word | Cm words | Cm job")
	p.section("DESCRIPTION")
	p.macro("Nm")
	p.prose(manualDescription)
	p.section("COMMANDS")
	for _, cmd := range slices.Concat(commands(), asides()) {
		p.command(cmd)
	}
	p.section("ENVIRONMENT")
	p.list(manualEnvironment())
	p.section("FILES")
	p.list(manualFiles())
	p.section("EXIT STATUS")
	p.list(exitMeanings())
	p.section("EXAMPLES")
	for _, cmd := range commands() {
		p.prose(strings.ToUpper(cmd.summary[:1]) + cmd.summary[1:] + ":")
		p.literal(strings.Split(guideOf(helpOf(cmd.name)).example, "\n"))
	}
	p.section("CAUTIONS")
	p.prose(manualCautions)
	return p.String()
}

const manualDescription = `takes a survey of spot heights and the figures of a drawing, and says which level to dig to, how much comes out and goes in, where cut turns to fill, how far the batters reach, and how sure all of that is. A job is one file of text in TOML that names its surveys and pads; "barrow help job" lists its keys, "barrow help words" says what the words of the sheets mean.

Results go to standard output, all else to standard error. With --json the result is one JSON object, and so is an error, in its place. With --out the files of a result are written into a folder: together or not at all, and never over a file that was read. Ctrl-C ends a run without a file; a second one ends the program at once. Long work shows how far it is on a terminal.

Flags may stand before or after file names, with one dash or two. A length is a number in the unit of the job or of the file, or has its unit behind it, such as 175mm or "6 in".`

const manualCautions = `Digging kills. A volume is no statement that ground will stand: the stability of trenches, faces and batters is for a competent person on site. Find buried services first. Water changes what ground can do. Local codes and law, and the judgement of licensed engineers and surveyors, come before anything this program prints.

A bill is the measured quantities times the rates it was given, before tax, and no offer.`

// meaning is a word of the manual, and what it means.
type meaning struct{ word, text string }

func manualEnvironment() []meaning {
	return []meaning{
		{"TERM", "If it is dumb, no progress is shown."},
		{"TMPDIR", "Where \"barrow demo\" makes its folder, unless one is given."},
		{"GOMAXPROCS", "How many processors are used at most. No figure depends on it."},
	}
}

func manualFiles() []meaning {
	return []meaning{
		{"JOB.toml", "A job. The files it names are found from its folder, and nothing outside of that is opened."},
		{".csv .txt .xyz .pnt", "Points, one a line; the order of the columns stands in a header or is stated, and never guessed."},
		{".geojson .json", "Outlines, lines and points in GeoJSON, on a site grid."},
		{".xml .landxml", "Surfaces, points and lines in LandXML."},
		{".las", "A cloud of points, of which those classed as ground are taken; .laz is to be unpacked first."},
		{".tif .tiff .asc", "Ground as a raster: GeoTIFF, or an ASCII grid."},
		{"DIR", "What --out writes into: a sheet as .txt, the same figures as .json, and what the command adds to them."},
	}
}

// page is a manual page in the making.
type page struct{ strings.Builder }

func (p *page) head(at string) {
	date := "undated"
	if t, err := time.Parse(time.RFC3339, at); err == nil {
		date = t.Format("January 2, 2006")
	}
	p.macro("Dd", date)
	p.macro("Dt", "BARROW 1")
	p.macro("Os", "Barrow "+takeoff.Version)
	p.section("NAME")
	p.macro("Nm", "barrow")
	p.macro("Nd", "measures earthworks: from surveyed points to cut and fill")
}

func (p *page) section(name string) { p.macro("Sh", name) }

// macro writes a line of macros: the first with its arguments, the others with theirs.
func (p *page) macro(name string, more ...string) {
	p.WriteString("." + strings.Join(append([]string{name}, more...), " ") + "\n")
}

// command writes what the help of a command says.
func (p *page) command(cmd command) {
	g := guideOf(helpOf(cmd.name))
	p.macro("Ss", cmd.name)
	p.literal(g.usage)
	for _, part := range g.parts {
		switch {
		case part.prose != "":
			p.prose(part.prose)
		case part.lines != nil:
			if words := termsOf(part.lines); words != nil {
				p.list(words)
			} else {
				p.literal(part.lines)
			}
		default:
			p.flags(part.flags)
		}
	}
}

// aTerm is a line of a help that says what something is: a word, and after two blanks or
// more what it means.
var aTerm = regexp.MustCompile(`^(\S+)  +(\S.*)$`)

// termsOf reads lines that say what things are; nil if one of them does not.
func termsOf(lines []string) (list []meaning) {
	for _, line := range lines {
		m := aTerm.FindStringSubmatch(line)
		if m == nil {
			return nil
		}
		list = append(list, meaning{m[1], m[2]})
	}
	return list
}

func (p *page) flags(list []flagIs) {
	p.macro("Bl", "-tag -width Ds")
	for _, f := range list {
		p.macro("It", strings.TrimSpace("Fl -"+f.name+" "+argument(f.value)))
		p.text(f.text)
	}
	p.macro("El")
}

func argument(value string) string {
	if value == "" {
		return ""
	}
	return "Ar " + escape(value)
}

func (p *page) list(words []meaning) {
	p.macro("Bl", "-tag -width Ds")
	for _, w := range words {
		p.macro("It", quoted(w.word))
		p.text(w.text)
	}
	p.macro("El")
}

// prose writes paragraphs, apart from what is above them.
func (p *page) prose(text string) {
	for i, paragraph := range strings.Split(text, "\n\n") {
		if above := p.String(); i > 0 || strings.HasSuffix(above, ".Ed\n") || strings.HasSuffix(above, ".El\n") {
			p.macro("Pp")
		}
		p.text(paragraph)
	}
}

// text writes a paragraph, each sentence on a line.
func (p *page) text(text string) {
	for sentence := range strings.SplitSeq(strings.ReplaceAll(text, ". ", ".\n"), "\n") {
		p.WriteString(escape(sentence) + "\n")
	}
}

// literal writes lines as they are.
func (p *page) literal(lines []string) {
	p.macro("Bd", "-literal -offset 2n")
	for _, line := range lines {
		p.WriteString(guard(strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(line)) + "\n")
	}
	p.macro("Ed")
}

// dash is one that must stay a dash on the page, so that it can be typed: before a flag
// or a number.
var dash = regexp.MustCompile(`(^|[^A-Za-z0-9\\])-`)

// escape keeps roff from reading a text as its own.
func escape(text string) string {
	text = strings.ReplaceAll(text, `\`, `\e`)
	text = strings.ReplaceAll(text, "--", `\-\-`)
	return guard(dash.ReplaceAllString(text, `$1\-`))
}

// guard keeps roff from taking a line for one of macros.
func guard(text string) string {
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		return `\&` + text
	}
	return text
}

// quoted is one argument of a macro.
func quoted(text string) string {
	return `"` + strings.ReplaceAll(escape(text), `"`, `\(dq`) + `"`
}

// operand is what a command is given, by its synopsis: the words before its flags.
func operand(command string) string {
	var words []string
	for _, word := range strings.Fields(guideOf(helpOf(command)).synopsis[0])[2:] {
		if word[0] == '[' || word[0] == '-' {
			break
		}
		words = append(words, word)
	}
	return strings.Join(words, " ")
}

package main

import (
	"fmt"
	"io"
	"strings"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

func isHelp(arg string) bool {
	return arg == "help" || arg == "-h" || arg == "-help" || arg == "--help"
}

// help writes the help of the program, or of the command named.
func (c *console) help(args []string) (warnings bool, err error) {
	name := ""
	if len(args) > 1 {
		name = strings.Join(args[1:], " ") // some words of the sheets are two
	}
	if text := helpOf(name); text != "" {
		_, err = io.WriteString(c.stdout, text)
		return false, err
	}
	switch name {
	case "words":
		return false, report.Glossary(c.stdout, report.Words())
	case "job":
		return false, writeKeys(c.stdout)
	}
	if word, ok := report.FindWord(name); ok {
		return false, report.Glossary(c.stdout, []report.Word{word})
	}
	return false, noHelp(name)
}

// writeKeys writes the keys of a job file, table by table.
func writeKeys(w io.Writer) error {
	return report.JobKeys(w, takeoff.JobTables())
}

// helpOf returns the help of a command, of the program for "", and "" for a
// word that is no command.
func helpOf(name string) string {
	switch name {
	case "":
		var b strings.Builder
		b.WriteString(helpHead)
		for _, cmd := range commands() {
			fmt.Fprintf(&b, "  %-11s %s\n", cmd.name, cmd.summary)
		}
		b.WriteString(helpTail)
		return b.String()
	case "takeoff":
		return helpTakeoff
	case "sections":
		return helpSections
	case "points":
		return helpPoints
	case "compare":
		return helpCompare
	case "crosscheck":
		return helpCrosscheck
	case "grid":
		return helpGrid
	case "price":
		return helpPrice
	case "balance":
		return helpBalance
	case "setout":
		return helpSetout
	case "conform":
		return helpConform
	case "surfaces":
		return helpSurfaces
	case "levelbook":
		return helpLevelbook
	case "report":
		return helpReport
	case "demo":
		return helpDemo
	case "manual":
		return helpManual
	case "completion":
		return helpCompletion
	case "version":
		return helpVersion
	}
	return ""
}

const helpHead = `barrow measures earthworks: from surveyed points to cut and fill for a pad.
usage: barrow COMMAND [flags] [FILE]

`

const helpTail = `
"barrow help COMMAND" tells more; and: help words, help job, manual, completion,
version. Results go to stdout, the rest to stderr. Exit codes: 0 done; 1 failed;
2 bad input or usage, nothing written; 3 done, with a warning that must be read.

To try it:
  barrow demo
`

const helpTakeoff = `usage: barrow takeoff JOB.toml [--json] [--out DIR [--triangles]]
       barrow takeoff --ground FILE --outline FILE --finished LEVEL --units m

Cut and fill for the pads of a job. Flags may stand before or after the file.
  --json              one JSON object instead of the sheet; an error is one too
  --out DIR           write result.txt, result.json and plan.svg into DIR too
  --triangles         draw the triangles of the ground on the plan
A job of one pad without a job file:
  --ground FILE       spot heights;  --outline FILE   the pad's corners in order
  --finished LEVEL    top of the finished work
  --units m|ft|ftUS   of everything without a unit
  --layer NAME=THICK  a layer under the finished level, from the top; repeatable
  --ground-units m|ft|ftUS   of the ground's file, where it is in another unit
  --columns WORDS     order of the ground's columns, where it has no header;
                      --outline-columns WORDS   that of the outline's
  --benchmark P=M     plan level and measured level of a mark
  --margin LENGTH     working space;  --topsoil LENGTH   that is taken off first
  --batter-cut 1V:1H  slope of the sides in cut;  --batter-fill 1V:2H   in fill

To try it:
  barrow demo --out demo && barrow takeoff demo/job.toml
`

const helpSections = `usage: barrow sections JOB.toml [--alignment NAME] [--interval LENGTH]
                       [--json] [--out DIR]
       barrow sections BOOK.csv --units m [--middles WORD]

A second opinion on a takeoff: the same works cut along the alignments of the
job, or the long axis of the works where it has none. Volumes by average end
areas and the prismoidal rule, and how they lie to the prisms. Or without a
surface: typed levels of ground and formation, a row for each point.
  --alignment NAME    cut along this one only
  --interval LENGTH   between sections, in place of that of the job; else chosen
                      for at least 20
  --run-out averaged|pyramid   of end areas that run out to nothing
  --units m|ft|ftUS   of a book
    --middles alternate|like|none   of it, for the prismoidal rule
  --json              one JSON object instead of the sheet
  --out DIR           write sections.txt and sections.json into DIR as well, and
                      each section as section-A-NNN.csv and .svg: A is the place
                      of its alignment, NNN its number in the sheet; and
                      mass-haul-A.csv and .svg where the job has factors

To try it:
  barrow demo --out demo && barrow sections demo/job.toml --out out &&
  barrow sections demo/book.csv --units m
`

const helpPoints = `usage: barrow points FILE [--columns WORDS] [--json]

What is in a point file: counts, extent, levels, spacing, codes, points at one
place, and spots that look wrong, each with its line. "-" reads stdin. Also in
GeoJSON, LandXML (.xml: surfaces, outlines), LAS (classes), GeoTIFF (.tif) and
ASCII grids (.asc): size, extent, unit and coordinate system as far as stated.
  --columns WORDS   order of the columns, where the file has no header, such as
                    "number, easting, northing, level, code"
  --json            one JSON object instead of the text

To try it:
  barrow demo --out demo && barrow points demo/ground.csv
`

const helpCompare = `usage: barrow compare A B [--units m] [--json] [--out DIR]

Cut and fill from surface A, before, to surface B, after: cut where the ground
went down, fill where it went up. Each is a file of points or of a surface
(barrow points FILE), or a job file (.toml) whose surveys and ground are taken.
  --units m|ft|ftUS   of the files; else that of the job file;
                    --units-b m|ft|ftUS   of B, where it is another
  --columns WORDS   order of their columns, where they have no header;
                    --columns-b WORDS   that of B, where it is another
  --within FILE     measure within this outline (points, GeoJSON, LandXML)
  --stable FILE     ground that nobody touched: what differs there is no work
  --max-edge LENGTH   of the files: the longest edge at the rim
  --duplicates mean|first|last   spots at one place with different levels
  --json            one JSON object instead of the sheet
  --out DIR         write comparison.txt and comparison.json into DIR as well

To try it:
  barrow demo --out d &&
  barrow compare d/ground.csv d/after.csv --units m --within d/workshop.csv
`

const helpCrosscheck = `usage: barrow crosscheck JOB.toml [--json] [--out DIR]
       barrow crosscheck BEFORE AFTER [flags of "barrow compare" but --stable]

The same works by prisms, average end areas, the prismoidal rule and a grid: the
differences, and what is expected of them; one beyond is a warning, exit code 3.
  --spacing LENGTH  side of the grid's cells;  --interval LENGTH  of sections
  --alignment NAME  of the job, to cut along; else its first, or the long axis
  --claimed WHAT    someone else's figures: a file, or cut=1234.5,fill=200
    --measure bank|loose|compacted|loads   of them; else bank
    --factor N        claimed per bank of cut;  --fill-factor N   per fill
    --load N          loose volume of a load
    --basis as-dug|net-void   of them; else as dug
    --claimed-topsoil in|out   whether cut and fill have the topsoil in them
  --check-shots FILE   points shot apart from the survey, against the ground
    --check-columns WORDS   their order;  --check-units m|ft|ftUS   their unit
    --check-benchmark P=M   plan and measured level of their benchmark
    --check-against before|after   of two surveys; after is the default
  --json            one JSON object;  --out DIR  crosscheck.txt and .json in DIR

To try it:
  barrow demo --out demo && barrow crosscheck demo/job.toml
`

const helpGrid = `usage: barrow grid CORNERS.csv --units m --spacing LENGTH
                   [--json] [--out DIR]

Cut and fill by the unit-area grid from levels or depths at its corners, such as
a level book, without a surface. The file has a header with row and column, or
easting and northing; depth (ground less formation), or level, and formation
unless it is given here.
  --units m|ft|ftUS   of the file
  --spacing LENGTH    side of a cell;  --across LENGTH   the other, of oblongs
  --bearing DEGREES   in which rows count up; columns count to the right of it
  --formation LEVEL   to dig or fill to;  --topsoil LENGTH   off every level
  --rule square|rising|falling   the last two: two triangles a cell
  --split zero-line|corners|four-corners   of cells with cut and fill
  --json              one JSON object instead of the sheet
  --out DIR           write grid.txt and grid.json into DIR as well

To try it:
  barrow demo --out demo &&
  barrow grid demo/corners.csv --units m --spacing 10 --formation 64.5
`

const helpReport = `usage: barrow report JOB.toml --out DIR [--date DATE] [--json]

All that is known of a job as one page, DIR/report.html, that needs no network
and prints on A4: levels to dig to, a plan to read depths off, quantities and
how sure they are, the cross-check by other methods, the price where the job has
rates, sections, pegs, how it all came about, warnings and cautions.
  --out DIR           the folder of the page
  --date DATE         to stand on it, such as 2030-06-29; else none does
  --rates FILE        rates as CSV, in place of those the job names
  --alignment NAME    to cut sections along;  --interval LENGTH   between them
  --pegs LENGTH       between pegs along edges
  --back LENGTH       pegs on a line so far outside the outline; repeatable
  --backsight READING   of the staff on the job's benchmark, for staff readings;
                      --benchmark-level LEVEL   of another benchmark
  --triangles         draw the triangles of the ground on the plan
  --json              say where it is, and the warnings, as one JSON object

To try it:
  barrow demo --out demo && barrow report demo/job.toml --out out
`

const helpPrice = `usage: barrow price JOB.toml [--rates FILE] [--json] [--out DIR]

The measured quantities of a job as a bill before tax: quantity, unit, rate and
amount of each line, subtotals, contingency, provisional items apart. A measured
work without a rate is told at the top and is in no total, exit code 3.
  --rates FILE   rates as CSV, in place of those the job names
  --json         one JSON object instead of the sheet; "quantities" lists all
                 that a rate may be for
  --out DIR      write bill.txt, bill.json and bill.csv into DIR as well

A rates file, all of it in docs/formats.md:
  currency,EUR
  item,quantity,unit,rate
  Excavate to formation,cut,m3 bank,6.50

To try it:
  barrow demo --out demo && barrow price demo/job.toml
`

const helpBalance = `usage: barrow balance JOB.toml [--pad NAME ...] [--compacted-per-bank N]
                      [--json] [--out DIR]

The level at which the cut makes the fill, and what other levels make of both:
pads go up and down together by one shift, each level measured anew.
  --pad NAME          move this pad only, or these; repeatable
  --compacted-per-bank N   volume of fill from one volume of cut, such as 0.9;
                      else the job's materials say; else cut against fill as is
  --not-below LEVEL   of the finished levels that move;  --not-above LEVEL
                      beside not_below and not_above of the job's pads
  --step LENGTH       between the levels shown; else 10 mm, or 0.05 ft
  --bill              the level of least cost too, by a bill of the job's rates
                      at every level: slower;  --rates FILE   of these rates
  --cost RATES        instead, for a quick look: rates per volume, such as
                      currency=XTS,cut=8.50,fill=6,spoil=22,import=30 (cut and
                      spoil bank measure, fill and import compacted)
  --json              one JSON object instead of the sheet
  --out DIR           write balance.txt, .json and .svg, the curve, into DIR

No balance within the limits is exit code 3, with the nearest level.

To try it:
  barrow demo --out demo &&
  barrow balance demo/job.toml --compacted-per-bank 0.9
`

const helpSetout = `usage: barrow setout JOB.toml [--backsight READING] [--json] [--out DIR]

Pegs at corners, along edges, on a grid, where batters meet the ground, and on
lines outside the dig, with depths; and the levels to work to. A peg's number
stays when something else in the job changes.
  --interval LENGTH   between pegs along edges; else 10 m, or 25 ft
  --grid LENGTH       pegs on a grid inside as well
  --back LENGTH       pegs on a line so far outside the outline; repeatable
  --backsight READING   of the staff on the job's benchmark: staff readings and
                      a laser's receiver for every level
    --benchmark-level LEVEL   of the benchmark that was read, if another
    --staff LENGTH    no reading can be longer
  --over-dig LENGTH   dug below formation;  --trim LENGTH  left above it for the
                      last pass
  --peg-tops FILE     measured tops of pegs, by number: DOWN from each
    --peg-columns WORDS   the order of its columns, where it has no header
  --json              one JSON object instead of the sheet
  --out DIR           write setout.txt, setout.json, pegs.csv and pages to print
                      on A4 (setout-page-01.svg and on) into DIR

To try it:
  barrow demo --out demo &&
  barrow setout demo/job.toml --back 6 --backsight 1.245 --out out
`

const helpConform = `usage: barrow conform JOB.toml --shots FILE [--json] [--out DIR]

Shots of the finished work against the formation of the job: how each lies to it
in words, mean, spread and the worst; a verdict where there are enough shots, or
where they are missing; what is still to trim and to make up. Out of tolerance,
undecided or too few shots is exit code 3.
  --shots FILE        a file of points, in the job's grid
    --columns WORDS     order of its columns, where it has no header
    --units m|ft|ftUS   of it, where it is not that of the job
    --benchmark P=M     plan level and measured level of the mark it was shot on
  --of WHAT           formation (the default), finished, or a layer, whose top
                      is meant;  --layer NAME   the same, always a layer
  --tolerance TEXT    up and down apart, such as "+0.010 -0.030" or
                      "+10 mm -30 mm"; else that of each pad in the job
  --sd LENGTH         standard deviation of a shot's level; nearer to a limit
                      than twice that, a shot is undecided
  --pad NAME          this pad only, or these; repeatable
  --json              one JSON object instead of the sheet
  --out DIR           write conform.txt, conform.json and conform.csv into DIR

To try it:
  barrow demo --out d &&
  barrow conform d/job.toml --shots d/finished.csv --pad workshop --sd 4mm
`

const helpSurfaces = `usage: barrow surfaces JOB.toml --out DIR [--contours LENGTH] [--json]

The existing ground, the stripped ground, the formation, and the works out to
daylight as surfaces of triangles, with their lines, in files of open standards:
  surfaces.xml        all surfaces, outlines, crest, toe, zero line: LandXML 1.2
  ground.ply          the ground, and works.ply the works, for looking at in 3D
  lines.geojson       the same lines, and contours, in site coordinates
  points.csv          corners, and points along formation outlines, crests, toes
Coordinates are those of the grid, in the job's unit. A surface of triangles has
no upright faces: where the works or the strip end at one, a note says so.
  --out DIR           where to write them, with surfaces.txt and surfaces.json
  --contours LENGTH   between contours; else chosen
  --json              one JSON object instead of the sheet

To try it:
  barrow demo --out demo && barrow surfaces demo/job.toml --out out
`

const helpLevelbook = `usage: barrow levelbook BOOK.csv --units m|ft|ftUS [--json] [--out DIR]
       barrow levelbook --two-peg A1@D,B1@D,A2@D,B2@D --units m

A level book by height of collimation and by rise and fall: arithmetic checks,
misclosure on known levels, and its distribution. Slips are named with their
line (exit code 3). "-" reads stdin.
  --units m|ft|ftUS   of the book
  --formation LEVEL   staff reading to it from each set-up, and depths to it
  --allow-per-root-km K      allowed misclosure: K, such as 12mm, times the root
                             of the kilometres levelled; or
    --allow-per-root-mile K   of the miles, or
    --allow-per-root-setup K  of the number of set-ups. Within it, it is spread
  --staff LENGTH      no reading can be longer
  --two-peg SIGHTS    the level's line of sight, of reading@distance four times:
                      to pegs A and B from midway, and from near one of them
  --json              one JSON object instead of the sheet
  --out DIR           write levelbook.txt, levelbook.json and points.csv, which
                      a [[survey]] takes

To try it:
  barrow demo --out d &&
  barrow levelbook d/levels.csv --units m --allow-per-root-km 12mm
`

const helpDemo = `usage: barrow demo [--out DIR] [--json]

Writes a whole job to try, and runs it as "barrow takeoff" would.
  --out DIR   the folder to write into; else a new temporary one, whose name it
              prints
  --json      one JSON object instead of the sheet

To try it:
  barrow demo --out demo
`

const helpVersion = `usage: barrow version [--json]
       barrow --version

Which program this is: its version, which is that of its figures, and what it
was built from, as far as its builder wrote that into it.
  --json   one JSON object instead of the text

To try it:
  barrow version
`

const helpCompletion = `usage: barrow completion bash|zsh|fish

A script with which a shell completes commands, flags and the names of files of
the right kind. To have it in every new shell:
  bash   source <(barrow completion bash)     in ~/.bashrc
  zsh    source <(barrow completion zsh)      in ~/.zshrc, after compinit
  fish   barrow completion fish > ~/.config/fish/completions/barrow.fish

To try it:
  barrow completion bash
`

const helpManual = `usage: barrow manual

The manual page, all that the helps say on one page, in the language of man(1):
  barrow manual > barrow.1 && man -l barrow.1

To try it:
  barrow manual
`

package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
)

// svg is a picture in the making, in pixels from its upper left corner.
type svg struct {
	ids           string // what the ids of its parts begin with: several pictures may stand in one page
	buf           bytes.Buffer
	width, height float64
}

// begin opens the picture with its name.
func (s *svg) begin(name string) {
	s.line(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" font-family="sans-serif" font-size="13">`, px(s.width), px(s.height))
	s.line(`<title>%s</title>`, escaped(name))
	s.line(`<rect width="%s" height="%s" fill="white"/>`, px(s.width), px(s.height))
}

// hatching makes the hatching of cut and fill known: orange with slanting lines, purple
// with dots (ColorBrewer PuOr).
func (s *svg) hatching() {
	s.line(`<defs>`)
	s.line(`<pattern id="%scut" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="#fee0b6"/><path d="M-1 1L1 -1M-1 9L9 -1M7 9L9 7" stroke="#b35806" stroke-width="1.2"/></pattern>`, s.ids)
	s.line(`<pattern id="%sfill" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="#d8daeb"/><circle cx="2" cy="2" r="1.2" fill="#542788"/><circle cx="6" cy="6" r="1.2" fill="#542788"/></pattern>`, s.ids)
	s.line(`</defs>`)
}

// hatched returns the style of what is filled with a hatching.
func (s *svg) hatched(name string) string { return fmt.Sprintf(`fill="url(#%s%s)"`, s.ids, name) }

// group draws what it is given as a part of the picture that can be shown or hidden;
// nothing where there is nothing to draw.
func (s *svg) group(name string, draw func()) {
	before := s.buf.Len()
	s.line(`<g id="%s%s">`, s.ids, name)
	open := s.buf.Len()
	if draw(); s.buf.Len() == open {
		s.buf.Truncate(before)
		return
	}
	s.line(`</g>`)
}

func (s *svg) line(format string, args ...any) { fmt.Fprintf(&s.buf, format+"\n", args...) }

// text writes words with their left end, or what style anchors, at a place.
func (s *svg) text(x, y float64, style, words string) {
	s.line(`<text x="%s" y="%s" %s>%s</text>`, px(x), px(y), style, escaped(words))
}

func (s *svg) path(d, style string) {
	if d != "" {
		s.line(`<path d="%s" %s/>`, d, style)
	}
}

// escaped makes text fit to stand in XML: names come from files of strangers.
func escaped(text string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(Plain(text))) // a buffer takes everything
	return b.String()
}

// px writes a length in pixels.
func px(x float64) string { return strconv.FormatFloat(math.Round(x*100)/100+0, 'f', -1, 64) }

// ticks are round values along a scale.
type ticks struct {
	at       []float64
	decimals int
}

// ticksOver returns the multiples of 1, 2 or 5 times a power of ten within bounds, at
// least so far apart.
func ticksOver(from, to, apart float64) (t ticks) {
	power := int(math.Floor(math.Log10(apart)))
	step := 10 * math.Pow10(power)
	for _, k := range []float64{5, 2} {
		if s := k * math.Pow10(power); s >= apart {
			step = s
		}
	}
	if step >= 10*math.Pow10(power) {
		power++
	}
	t.decimals = max(-power, 0)
	first := math.Ceil(from / step)
	for i := range int((to-from)/step) + 2 {
		if at := (first + float64(i)) * step; at <= to {
			t.at = append(t.at, at)
		}
	}
	return t
}

func (t ticks) write(x float64) string { return fixed(x, t.decimals) }

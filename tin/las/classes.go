package las

import (
	"fmt"
	"strings"
)

// className is what the standard calls a class in a point format; empty where it
// has no name for it.
func className(format, class uint8) string {
	switch {
	case format < firstExtended && class == 8:
		return "model key-point"
	case format < firstExtended && class == 12:
		return "overlap"
	case format >= firstExtended && class >= 64:
		return "the user's own"
	case int(class) >= len(classNames) || format < firstExtended && class > 9:
		return ""
	}
	return classNames[class]
}

// classNames are those of formats 6 to 10; formats 0 to 5 share them up to 9.
// It is a table, never written to.
var classNames = [...]string{
	0: "never classified", 1: "unclassified", 2: "ground", 3: "low vegetation", 4: "medium vegetation",
	5: "high vegetation", 6: "building", 7: "low noise", 9: "water", 10: "rail", 11: "road surface",
	13: "wire guard", 14: "wire conductor", 15: "transmission tower", 16: "wire connector", 17: "bridge deck",
	18: "high noise", 19: "overhead structure", 20: "ignored ground", 21: "snow", 22: "temporal exclusion",
}

// String is the class with its number, its name and how many points have it.
func (c ClassCount) String() string {
	name := ""
	if c.Name != "" {
		name = " (" + c.Name + ")"
	}
	return fmt.Sprintf("class %d%s: %d", c.Class, name, c.Points)
}

// wanted is whether points of each class are to be kept.
func (o Options) wanted(format uint8) (w [256]bool) {
	classes := o.Classes
	if classes == nil {
		classes = []uint8{2, 8}
		if format >= firstExtended {
			classes = classes[:1]
		}
	}
	for _, c := range classes {
		w[c] = true
	}
	return w
}

// listWanted writes the numbers of the wanted classes.
func listWanted(wanted *[256]bool) string {
	var out []string
	for c, is := range wanted {
		if is {
			out = append(out, fmt.Sprint(c))
		}
	}
	return strings.Join(out, ", ")
}

// listCounts writes how many points there are of some classes.
func listCounts(counts []ClassCount) string {
	out := make([]string, len(counts))
	for i, c := range counts {
		out[i] = c.String()
	}
	return strings.Join(out, ", ")
}

package price

import (
	"fmt"
	"slices"
	"strings"
)

// Measure is the state in which a volume is counted.
type Measure string

// Measures. A volume without one is counted as built, such as a layer's.
const (
	Bank      Measure = "bank"      // in place before digging
	Loose     Measure = "loose"     // in the truck
	Compacted Measure = "compacted" // placed and rolled
	AsBuilt   Measure = ""
)

// Unit is what a rate is for one of. Its text is "m2", "m3 bank", "load" and the like.
type Unit struct {
	Name    string // one of the names below
	Measure Measure
}

// Units with a meaning of their own.
const (
	Sum    = "sum"  // a whole item
	Load   = "load" // of one truck; billed by whole ones
	Tonne  = "t"    // 1,000 kg
	Hour   = "h"
	unitM3 = "m3"
)

// unitNames lists the units: of length, area, volume, volume times distance, then the
// others. A cubic yard is 27 cubic feet of the job's foot.
func unitNames() []string {
	return []string{"m", "ft", "ftUS", "m2", "ft2", "ftUS2", unitM3, "yd3", "m3.m", "yd3.ft", "yd3.ftUS", Tonne, Load, Hour, Sum}
}

// String returns the unit as a rates file has it.
func (u Unit) String() string {
	if u.Measure == AsBuilt {
		return u.Name
	}
	return u.Name + " " + string(u.Measure)
}

// MarshalText is String.
func (u Unit) MarshalText() ([]byte, error) { return []byte(u.String()), nil }

func (u Unit) volume() bool { return u.Name == unitM3 || u.Name == "yd3" }

// foot reports whether it is a unit of feet or cubic yards.
func (u Unit) foot() bool { return strings.HasPrefix(u.Name, "ft") || strings.HasPrefix(u.Name, "yd3") }

// ParseUnit reads a unit: "m", "m2", "m3 bank", "m3 loose", "m3 compacted", "m3" for
// a volume as built, "m3.m" for volume times distance, "t", "load", "h", "sum", and "ft",
// "ft2", "ftUS", "ftUS2", "yd3" with the same measures, "yd3.ft", "yd3.ftUS". A superscript
// counts as its digit.
func ParseUnit(text string) (Unit, error) {
	words := strings.Fields(strings.NewReplacer("²", "2", "³", "3").Replace(text))
	if len(words) == 0 || len(words) > 2 || !slices.Contains(unitNames(), words[0]) {
		return Unit{}, fmt.Errorf("price: unknown unit %q: use one of %s; volumes with bank, loose or compacted", text, strings.Join(unitNames(), ", "))
	}
	u := Unit{Name: words[0]}
	if len(words) == 1 {
		return u, nil
	}
	u.Measure = Measure(words[1])
	if !u.volume() || !slices.Contains([]Measure{Bank, Loose, Compacted}, u.Measure) {
		return Unit{}, fmt.Errorf("price: unknown unit %q: a volume may be bank, loose or compacted, and nothing else has a measure", text)
	}
	return u, nil
}

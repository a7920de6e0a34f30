package material

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"barrow/tin"
)

// Codes of errors.
const (
	codeFactorRange = "factor_range" // a factor outside of what earth does
	codeBadPercent  = "bad_percent"  // a swell or shrink that is none
)

// Between these lie the factors of earth and rock; what is outside was hardly meant as
// one. Common practice, no source; the published ranges of [Kinds] lie well inside.
const (
	LeastLoosePerBank, GreatestLoosePerBank         = 1.0, 2.0
	LeastCompactedPerBank, GreatestCompactedPerBank = 0.6, 1.5
)

// CheckLoosePerBank refuses a factor outside of 1.0 to 2.0 with what it may mean.
func CheckLoosePerBank(x float64) error {
	if x >= LeastLoosePerBank && x <= GreatestLoosePerBank {
		return nil
	}
	return badFactor("loose_per_bank", x, LeastLoosePerBank, GreatestLoosePerBank, meantLoose(x))
}

// meantLoose says what a loose volume per bank volume may mean that is none.
func meantLoose(x float64) string {
	switch {
	case x > 0 && x < 0.5:
		return fmt.Sprintf(`a swell of %s %%? Then write swell = "%s %%", which is loose_per_bank = %s`, short(100*x), short(100*x), short(1+x))
	case x >= 0.5 && x < 1:
		return fmt.Sprintf("bank volume per loose volume? Then the factor is turned over: loose_per_bank = %s", short(1/x))
	case x > 2 && x < 100:
		return fmt.Sprintf(`a swell of %s %%? Then write swell = "%s %%", which is loose_per_bank = %s`, short(x), short(x), short(1+x/100))
	case x >= 100 && x <= 200:
		return fmt.Sprintf("loose volume in per cent of the bank volume? Then write loose_per_bank = %s", short(x/100))
	}
	return "it is the loose volume that one bank volume makes, such as 1.25"
}

// CheckCompactedPerBank refuses a factor outside of 0.6 to 1.5 with what it may mean.
func CheckCompactedPerBank(x float64) error {
	if x >= LeastCompactedPerBank && x <= GreatestCompactedPerBank {
		return nil
	}
	return badFactor("compacted_per_bank", x, LeastCompactedPerBank, GreatestCompactedPerBank, meantCompacted(x))
}

// meantCompacted says what a compacted volume per bank volume may mean that is none.
func meantCompacted(x float64) string {
	shrink := func(percent float64) string {
		return fmt.Sprintf(`a shrink of %s %%? Then write shrink = { percent = %s, of = "bank" }, which is %s, or of = "compacted", which is %s`,
			short(percent), short(percent), short(1-percent/100), short(1/(1+percent/100)))
	}
	switch {
	case x > 0 && x <= 0.4:
		return shrink(100 * x)
	case x > 1.5 && x <= 40:
		return shrink(x)
	case x >= 60 && x <= 150:
		return fmt.Sprintf("compacted volume in per cent of the bank volume? Then write compacted_per_bank = %s", short(x/100))
	}
	return "it is the compacted volume that one bank volume makes, such as 0.90"
}

func badFactor(key string, x, least, greatest float64, hint string) error {
	return &tin.InputError{Code: codeFactorRange, Key: key,
		Message: fmt.Sprintf("%s = %s is outside of %s to %s", key, short(x), short(least), short(greatest)), Hint: hint}
}

var percentText = regexp.MustCompile(`^([+-]?[0-9]{1,6}(?:\.[0-9]{0,9})?)\s*%$`)

// ParseSwell reads a swell such as "25 %", in per cent of the bank volume, and returns
// the loose volume per bank volume, 1.25.
func ParseSwell(text string) (loosePerBank float64, err error) {
	m := percentText.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, badPercent("swell", fmt.Sprintf("%q is no percentage", text), `write it like swell = "25 %"`)
	}
	percent, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		return 0, badPercent("swell", fmt.Sprintf("%q is no percentage", text), `write it like swell = "25 %"`)
	}
	if percent > 0 && percent < 1 {
		return 0, badPercent("swell", fmt.Sprintf("a swell of %s %% is nothing", short(percent)),
			fmt.Sprintf(`did you mean swell = "%s %%"? For none write loose_per_bank = 1.0`, short(100*percent)))
	}
	if percent < 0 || percent > 100 {
		return 0, badPercent("swell", fmt.Sprintf("a swell of %s %% is outside of 0 to 100 %%", short(percent)), meantSwell(percent))
	}
	return 1 + percent/100, nil
}

func meantSwell(percent float64) string {
	if percent > 100 && percent <= 200 {
		return fmt.Sprintf(`loose volume in per cent of the bank volume? Then write swell = "%s %%"`, short(percent-100))
	}
	return "it is what the loose volume is more than the bank volume, in per cent of the bank volume"
}

// ShrinkOf is what a shrink is counted in per cent of: sources differ, so it is always
// said.
type ShrinkOf string

const (
	OfBank      ShrinkOf = "bank"      // compacted = bank x (1 - percent / 100)
	OfCompacted ShrinkOf = "compacted" // bank = compacted x (1 + percent / 100); FHWA PDDM 9.4.C
)

// Shrink returns the compacted volume per bank volume of a shrink in per cent. Below 0
// it is a growth, as of blasted rock.
func Shrink(percent float64, of ShrinkOf) (compactedPerBank float64, err error) {
	if of != OfBank && of != OfCompacted {
		return 0, badPercent("shrink.of", fmt.Sprintf("a shrink in per cent of %q", string(of)), `write of = "bank" or of = "compacted": sources differ in which they mean`)
	}
	if a := math.Abs(percent); a > 0 && a < 1 {
		return 0, badPercent("shrink.percent", fmt.Sprintf("a shrink of %s %% is nothing", short(percent)),
			fmt.Sprintf("did you mean percent = %s? For none write compacted_per_bank = 1.0", short(100*percent)))
	}
	compactedPerBank = 1 - percent/100
	if of == OfCompacted {
		compactedPerBank = over(1, 1+percent/100)
	}
	if CheckCompactedPerBank(compactedPerBank) != nil {
		return 0, badPercent("shrink.percent",
			fmt.Sprintf("a shrink of %s %% of the %s volume is compacted_per_bank = %s, outside of %s to %s", short(percent), of,
				short(compactedPerBank), short(LeastCompactedPerBank), short(GreatestCompactedPerBank)),
			"a shrink is what the compacted volume is less, not what is left")
	}
	return compactedPerBank, nil
}

func badPercent(key, message, hint string) error {
	return &tin.InputError{Code: codeBadPercent, Key: key, Message: message, Hint: hint}
}

// short writes a number to four digits behind the point at most.
func short(x float64) string {
	if math.Abs(x) > 1e6 || math.IsNaN(x) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return strconv.FormatFloat(math.Round(x*1e4)/1e4, 'f', -1, 64)
}

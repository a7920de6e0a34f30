package tin

import (
	"fmt"
	"strings"
)

// Unit is a unit of length, as metres per unit. The zero value counts as [Metre].
type Unit float64

// The units a survey may be written in.
const (
	Metre      Unit = 1
	Foot       Unit = 0.3048        // the international foot, exact since 1959 (EPSG unit 9002)
	SurveyFoot Unit = 1200.0 / 3937 // the US survey foot (EPSG unit 9003)
)

// ParseUnit reads a unit's name: "m", "ft" or "ftUS".
func ParseUnit(name string) (Unit, error) {
	switch strings.TrimSpace(name) {
	case "m":
		return Metre, nil
	case "ft":
		return Foot, nil
	case "ftUS":
		return SurveyFoot, nil
	}
	return 0, fmt.Errorf("tin: unknown unit %q: use \"m\", \"ft\" (0.3048 m) or \"ftUS\" (1200/3937 m)", name)
}

// Metres returns the number of metres in one unit.
func (u Unit) Metres() float64 {
	if u == 0 {
		return 1
	}
	return float64(u)
}

// String returns the unit's name as [ParseUnit] reads it.
func (u Unit) String() string {
	switch u {
	case 0, Metre:
		return "m"
	case Foot:
		return "ft"
	case SurveyFoot:
		return "ftUS"
	}
	return fmt.Sprintf("%g m", float64(u))
}

package tin

import (
	"fmt"
	"math"
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

// UnitOfEPSG returns the unit that has a code of EPSG: 9001 metre, 9002 foot, 9003 US survey
// foot, 9036 kilometre, 1033 centimetre, 1025 millimetre. It is not ok for other codes.
func UnitOfEPSG(code int) (u Unit, ok bool) {
	switch code {
	case 9001:
		return Metre, true
	case 9002:
		return Foot, true
	case 9003:
		return SurveyFoot, true
	case 9036:
		return 1000, true
	case 1033:
		return 0.01, true
	case 1025:
		return 0.001, true
	}
	return 0, false
}

// UnitOfMetres returns the unit of so many metres, as files give it: the metre and the two
// feet are told from rounded values too, to 1e-7; the feet differ by 2e-6. It is not ok
// outside 0.001 to 1000 m.
func UnitOfMetres(metres float64) (u Unit, ok bool) {
	for _, u := range []Unit{Metre, Foot, SurveyFoot} {
		if math.Abs(metres/float64(u)-1) < 1e-7 {
			return u, true
		}
	}
	if metres >= 1e-3 && metres <= 1e3 {
		return Unit(metres), true
	}
	return 0, false
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

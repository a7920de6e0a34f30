package section

import (
	"fmt"
	"math"

	"barrow/tin"
)

// fail returns an error about the input.
func fail(code, hint, format string, args ...any) error {
	return &tin.InputError{Code: code, Message: fmt.Sprintf(format, args...), Hint: hint}
}

// largest is the greatest coordinate, offset or level that is taken for one.
const largest = 1e9

// isLength reports whether every number is one that a length or level may have.
func isLength(values ...float64) bool {
	for _, v := range values {
		if !(math.Abs(v) <= largest) {
			return false
		}
	}
	return true
}

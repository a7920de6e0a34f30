package price

import "barrow/tin"

// Codes of errors, notes and warnings.
const (
	codeTooLong        = "rates_too_long"   // an error: more bytes or rows than a rates file has
	codeNotText        = "not_utf8"         // an error: not UTF-8
	codeNoHeader       = "no_header"        // an error: no row names the columns
	codeBadCSV         = "bad_csv"          // an error: quotes that do not close
	codeUnknownColumn  = "unknown_column"   // an error: a column that means nothing
	codeRepeatedColumn = "repeated_column"  // an error: a column that is there twice
	codeTooManyFields  = "too_many_fields"  // an error: a row longer than the header
	codeUnknownSetting = "unknown_setting"  // an error: above the header
	codeRepeated       = "repeated_setting" // an error
	codeNoCurrency     = "no_currency"      // an error: none is stated
	codeBadCurrency    = "unknown_currency" // an error: not of ISO 4217
	codeNoItem         = "missing_item"     // an error: a row without a name
	codeNoRate         = "missing_rate"     // an error: a row without a rate
	codeNegativeRate   = "negative_rate"    // an error: a rate below 0
	codeNoQuantity     = "missing_quantity" // an error: neither a key nor a number
	codeBadNumber      = "bad_number"       // an error: not a plain decimal number
	codeBadValue       = "bad_value"        // an error: a word or a number that cannot be
	codeBadUnit        = "unknown_unit"     // an error
	codeNoBasis        = "missing_basis"    // an error: a factor, or a weight, from nowhere
	codeDuplicateRate  = "duplicate_rate"   // an error: the same item twice
	codeUnknownKey     = "unknown_quantity" // an error: a key that no job has
	codeUnitMismatch   = "unit_mismatch"    // an error: the rate's unit is not the quantity's, and no factor is given
	codeWasteUnbought  = "waste_not_bought" // an error: waste on what is not bought
	codeMetricRule     = "rule_is_metric"   // an error: a rule in metres for a job in feet
	codeBadQuantity    = "bad_quantity"     // an error: a measured quantity below 0 or not finite
	codeOverflow       = "amount_overflow"  // an error: more minor units than there is room for
	WarnNotPriced      = "not_priced"       // a work, or a part of it, has no rate
	NotePricesNothing  = "prices_nothing"   // a rate for a quantity that the job does not have
	NotePricedTwice    = "priced_twice"     // a work is priced whole, and in part
	NoteExtraOverAlone = "extra_over_alone" // an extra over on a work that no other item prices
)

// bad is an error of a row: key is the column, or the setting.
func (r *Rates) bad(line int, code, key, message, hint string) error {
	return &tin.InputError{Code: code, File: r.Name, Line: line, Key: key, Message: message, Hint: hint}
}

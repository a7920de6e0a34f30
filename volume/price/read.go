package price

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/shopspring/decimal"
)

// What a rates file has at most.
const (
	maxBytes = 1 << 20
	maxItems = 10_000
)

// columns are what a row may have.
func columns() []string {
	return []string{"item", "quantity", "unit", "rate", "waste", "kind", "minimum", "factor", "basis", "group"}
}

// ReadRates reads a rates file, described in docs/formats.md: settings, a header,
// then one item a row. What cannot be used is a [*tin.InputError] with file, line and,
// as its key, the column or setting.
func ReadRates(in io.Reader, name string) (*Rates, error) {
	data, err := io.ReadAll(io.LimitReader(in, maxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("price: %s: %w", name, err)
	}
	hash := sha256.Sum256(data)
	r := &reader{items: map[same]int{}, rates: &Rates{
		Name: name, SHA256: hex.EncodeToString(hash[:]), Amounts: HalfAway, Quantities: Tenths, Items: []Rate{},
	}}
	if err := r.read(data); err != nil {
		return nil, err
	}
	return r.rates, nil
}

// reader is a rates file while it is read.
type reader struct {
	rates  *Rates
	set    []string // settings met
	header []string // columns in their order; nil: not met yet
	row    map[string]string
	items  map[same]int // the line of each; looked up only
	line   int
	err    error // the first; the readers of cells do nothing after it
}

func (r *reader) read(data []byte) error {
	switch {
	case len(data) > maxBytes:
		return r.rates.bad(0, codeTooLong, "", fmt.Sprintf("the rates file is longer than %d bytes", maxBytes), "keep the rates of one job in it")
	case !utf8.Valid(data):
		return r.rates.bad(0, codeNotText, "", "the rates file is not text in UTF-8", "save it as CSV in UTF-8")
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	lines := csv.NewReader(bytes.NewReader(data))
	lines.Comment, lines.FieldsPerRecord = '#', -1
	lines.Comma = separator(data)
	lines.TrimLeadingSpace = lines.Comma != '\t' // it would take tabs for blanks
	if lines.Comma == 0 {
		return r.rates.bad(0, codeNoHeader, "", "no row names the columns", "write a header such as item,quantity,unit,rate,waste,kind,minimum")
	}
	for {
		fields, err := lines.Read()
		if errors.Is(err, io.EOF) {
			return r.end()
		}
		if err != nil {
			return r.csvError(err)
		}
		r.line, _ = lines.FieldPos(0)
		if r.record(trimmed(fields)); r.err != nil {
			return r.err
		}
	}
}

// separator finds what stands between the cells of the header; 0 without a header.
func separator(data []byte) rune {
	for line := range strings.Lines(string(data)) {
		for _, sep := range []string{",", ";", "\t"} {
			if isHeader(trimmed(strings.Split(strings.ReplaceAll(line, `"`, ""), sep))) {
				return rune(sep[0])
			}
		}
	}
	return 0
}

func isHeader(cells []string) bool {
	has := func(word string) bool {
		return slices.ContainsFunc(cells, func(c string) bool { return strings.EqualFold(c, word) })
	}
	return has("item") && has("rate")
}

// trimmed cuts blanks off cells, and empty cells off the end.
func trimmed(cells []string) []string {
	out := make([]string, len(cells))
	for i, c := range cells {
		out[i] = strings.TrimSpace(c)
	}
	for len(out) > 0 && out[len(out)-1] == "" {
		out = out[:len(out)-1]
	}
	return out
}

func (r *reader) csvError(err error) error {
	e, ok := errors.AsType[*csv.ParseError](err)
	if !ok {
		return fmt.Errorf("price: %s: %w", r.rates.Name, err)
	}
	return r.rates.bad(e.Line, codeBadCSV, "", e.Err.Error(), `put a cell with a quote or the separator in it into quotes, and double quotes inside: "6"" pipe"`)
}

// end looks whether all is there.
func (r *reader) end() error {
	switch {
	case r.header == nil: // it stood in a comment, or in a quoted cell
		return r.rates.bad(0, codeNoHeader, "", "no row names the columns", "write a header such as item,quantity,unit,rate,waste,kind,minimum")
	case r.rates.Currency.Code == "":
		return r.rates.bad(0, codeNoCurrency, "currency", "the rates file states no currency", `write a row such as "currency,EUR" above the header`)
	}
	return nil
}

// record takes one row.
func (r *reader) record(cells []string) {
	switch {
	case len(cells) == 0:
	case r.header != nil:
		r.item(cells)
	case isHeader(cells):
		r.columns(cells)
	default:
		r.setting(cells)
	}
}

func (r *reader) columns(cells []string) {
	for _, c := range cells {
		c = strings.ToLower(c)
		switch {
		case !slices.Contains(columns(), c):
			r.fail(codeUnknownColumn, c, fmt.Sprintf("unknown column %q", c), "known columns: "+strings.Join(columns(), ", "))
		case slices.Contains(r.header, c):
			r.fail(codeRepeatedColumn, c, fmt.Sprintf("the column %q is there twice", c), "keep one")
		}
		r.header = append(r.header, c)
	}
	for _, c := range []string{"quantity", "unit"} {
		if !slices.Contains(r.header, c) {
			r.fail(codeNoHeader, c, fmt.Sprintf("the header has no column %q", c), "write a header such as item,quantity,unit,rate,waste,kind,minimum")
		}
	}
}

// setting takes a row above the header.
func (r *reader) setting(cells []string) {
	name, value := strings.ToLower(cells[0]), ""
	if len(cells) > 1 {
		value = cells[1]
	}
	if len(cells) > 2 {
		r.fail(codeTooManyFields, name, "a setting has a name and a value", `write it like "currency,EUR"`)
	}
	if slices.Contains(r.set, name) {
		r.fail(codeRepeated, name, fmt.Sprintf("%s is stated twice", name), "keep one")
	}
	r.set = append(r.set, name)
	var err error
	switch name {
	case "currency":
		if r.rates.Currency, err = ParseCurrency(value); err != nil {
			r.fail(codeBadCurrency, name, fmt.Sprintf("%q is not the code of a currency", value), "use its three letters of ISO 4217, such as EUR, INR or USD")
		}
	case "contingency":
		if r.rates.Contingency = r.percent(name, value); r.rates.Contingency.GreaterThan(decimal.New(100, 0)) {
			r.fail(codeBadValue, name, "a contingency over 100 %", `write it in per cent, such as "contingency,5"`)
		}
	case "amounts":
		r.rates.Amounts = word(r, name, value, HalfAway, HalfEven)
	case "quantities":
		r.rates.Quantities = word(r, name, value, Tenths, Hundredths, Whole, IS1200)
	default:
		r.fail(codeUnknownSetting, name, fmt.Sprintf("unknown setting %q", name), "above the header stand currency, contingency, amounts and quantities; a note begins with #")
	}
}

// word reads one of a few words.
func word[W ~string](r *reader, key, text string, words ...W) W {
	got := W(strings.ReplaceAll(strings.ToLower(text), " ", "_"))
	if !slices.Contains(words, got) {
		var list []string
		for _, w := range words {
			list = append(list, string(w))
		}
		r.fail(codeBadValue, key, fmt.Sprintf("unknown word %q", text), "use "+strings.Join(list, ", "))
	}
	return got
}

// fail keeps the first error, at the row in hand.
func (r *reader) fail(code, key, message, hint string) {
	if r.err == nil {
		r.err = r.rates.bad(r.line, code, key, message, hint)
	}
}

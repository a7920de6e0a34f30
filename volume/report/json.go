package report

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// JSON writes the result as one JSON object and a line feed: schema 1, numbers
// unrounded in the job's units, what is absent left out. A number that JSON
// cannot hold (NaN, an infinity) is an error and nothing is written.
func JSON(w io.Writer, r *takeoff.Result) error { return writeJSON(w, r) }

// ErrorCode is the code of an error that is not about the input.
const ErrorCode = "failed"

// ErrorJSON writes an error as one JSON object and a line feed: for a
// [*tin.InputError] its code, message, file, line, column, key and hint, as far
// as it has them; for any other its text, with the code "failed".
func ErrorJSON(w io.Writer, err error) error {
	type fields struct {
		Code    string `json:"code"`
		Message string `json:"message"`
		File    string `json:"file,omitempty"`
		Line    int    `json:"line,omitempty"`
		Column  int    `json:"column,omitempty"`
		Key     string `json:"key,omitempty"`
		Hint    string `json:"hint,omitempty"`
	}
	f := fields{Code: ErrorCode}
	if e, ok := errors.AsType[*tin.InputError](err); ok {
		f = fields{e.Code, e.Message, e.File, e.Line, e.Column, e.Key, e.Hint}
	} else if err != nil {
		f.Message = err.Error()
	}
	return writeJSON(w, struct {
		Schema int    `json:"schema"`
		Error  fields `json:"error"`
	}{takeoff.SchemaVersion, f})
}

func writeJSON(w io.Writer, v any) error {
	text, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	if _, err := w.Write(append(text, '\n')); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

package report_test

import (
	"errors"
	"log"
	"os"

	"barrow/tin"
	"barrow/volume/report"
)

// A job that cannot be measured answers a machine in one object too.
func ExampleErrorJSON() {
	err := errors.Join(&tin.InputError{
		Code: "unknown_key", Message: `unknown key "mragin"`,
		File: "job.toml", Line: 8, Column: 1, Key: "pad[0].mragin", Hint: `did you mean "margin"?`,
	})
	if err := report.ErrorJSON(os.Stdout, err); err != nil {
		log.Fatal(err)
	}
	// Output:
	// {
	//   "schema": 1,
	//   "error": {
	//     "code": "unknown_key",
	//     "message": "unknown key \"mragin\"",
	//     "file": "job.toml",
	//     "line": 8,
	//     "column": 1,
	//     "key": "pad[0].mragin",
	//     "hint": "did you mean \"margin\"?"
	//   }
	// }
}

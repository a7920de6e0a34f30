package section_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// entry is an entry of testdata/reference/check-values.json. Sources stand in the
// file and in SOURCE.md beside it.
type entry struct {
	ID         string
	Given      map[string]any
	Columns    []string
	Rows       [][]*float64
	Printed    map[string]any
	Recomputed map[string]any
}

// published returns an entry of the reference file.
func published(t *testing.T, id string) entry {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "testdata", "reference", "check-values.json"))
	require.NoError(t, err)
	var file struct{ Checks []json.RawMessage }
	require.NoError(t, json.Unmarshal(b, &file))
	for _, raw := range file.Checks {
		var name struct{ ID string }
		require.NoError(t, json.Unmarshal(raw, &name))
		if name.ID == id {
			var e entry
			require.NoError(t, json.Unmarshal(raw, &e))
			return e
		}
	}
	t.Fatalf("no check value %s", id)
	return entry{}
}

// numbers returns a list out of an entry, inside maps by further keys.
func numbers(t *testing.T, in map[string]any, keys ...string) []float64 {
	t.Helper()
	value := any(in)
	for _, k := range keys {
		value = value.(map[string]any)[k]
	}
	switch v := value.(type) {
	case float64:
		return []float64{v}
	case []any:
		var out []float64
		for _, x := range v {
			out = append(out, x.(float64))
		}
		return out
	}
	t.Fatalf("%v holds no numbers", keys)
	return nil
}

// number returns one number out of an entry.
func number(t *testing.T, in map[string]any, keys ...string) float64 {
	t.Helper()
	return numbers(t, in, keys...)[0]
}

// holds compares with a published value, of so many decimals, and prints the row.
func holds(t *testing.T, what string, want, ours float64, within float64) {
	t.Helper()
	t.Logf("| %s | %.15g | %.15g | %+.2g |", what, want, ours, ours-want)
	require.InDelta(t, want, ours, within, what)
}

package main

import (
	"flag"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a command understands, its help describes, with a word for the value where there
// is one; and the help describes nothing else.
func TestHelpDescribesEveryFlag(t *testing.T) {
	for _, cmd := range slices.Concat(commands(), asides()) {
		set := cmd.flags()
		require.NotNil(t, set, "%s does not read its arguments first", cmd.name)
		set.VisitAll(func(f *flag.Flag) {
			is, ok := flagHelp(cmd.name, f.Name)
			assert.True(t, ok, "barrow help %s does not describe --%s", cmd.name, f.Name)
			assert.Equal(t, isBool(f), is.value == "", "barrow help %s: --%s %s", cmd.name, f.Name, is.value)
		})
		g := guideOf(helpOf(cmd.name))
		require.NotEmpty(t, g.synopsis)
		for _, f := range g.flags() {
			assert.NotNil(t, set.Lookup(f.name), "barrow help %s describes --%s, which is no flag", cmd.name, f.name)
			assert.NotEmpty(t, f.text, "barrow help %s: --%s", cmd.name, f.name)
		}
	}
}

func TestGuideOfAHelp(t *testing.T) {
	g := guideOf(`usage: barrow x FILE [--json]
              [--out DIR]
       barrow x --gate

Two lines of
prose, and --json in it.
  --json            one object;  --out DIR  into a folder,
                    which it makes
    --at A   alone;  --by B   too
A head:
  a,b
  1,2

To try it:
  barrow x
`)
	assert.Equal(t, guide{
		usage:    []string{"barrow x FILE [--json]", "       [--out DIR]", "barrow x --gate"},
		synopsis: []string{"barrow x FILE [--json] [--out DIR]", "barrow x --gate"},
		parts: []part{
			{prose: "Two lines of prose, and --json in it."},
			{flags: []flagIs{
				{name: "json", text: "one object"},
				{name: "out", value: "DIR", text: "into a folder, which it makes"},
				{name: "at", value: "A", text: "alone"},
				{name: "by", value: "B", text: "too"},
			}},
			{prose: "A head:"},
			{lines: []string{"a,b", "1,2"}},
		},
		example: "barrow x",
	}, g)
}

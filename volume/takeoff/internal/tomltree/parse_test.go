package tomltree

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

func TestEveryValueKnowsItsPlace(t *testing.T) {
	root, err := Parse("job.toml", []byte("\ufeffname = \"Straße\" # café\n\n[[pad]]\nname = \"a\"\n"+
		"fall.slope = 0.01\n[[pad]]\nname = \"b\"\noutline = [\n  [1, 2.5],\n  [-3e2, 0x10],\n]\nt = { x = true, y.z = 1_000 }\nd = 2001-02-03\n"))
	require.NoError(t, err)
	get := func(path ...any) *Node {
		n := root
		for _, p := range path {
			switch p := p.(type) {
			case string:
				n = n.Get(p)
			case int:
				n = n.Items[p]
			}
			require.NotNil(t, n, path)
		}
		return n
	}
	for _, tt := range []struct {
		node         *Node
		key          string
		kind         Kind
		line, column int
	}{
		{get("name"), "name", String, 1, 8},
		{get("pad"), "pad", Array, 3, 3},
		{get("pad", 0), "pad[0]", Table, 3, 3},
		{get("pad", 0, "fall", "slope"), "pad[0].fall.slope", Number, 5, 14},
		{get("pad", 1), "pad[1]", Table, 6, 3},
		{get("pad", 1, "outline"), "pad[1].outline", Array, 9, 4},
		{get("pad", 1, "outline", 1, 0), "pad[1].outline[1][0]", Number, 10, 4},
		{get("pad", 1, "t", "x"), "pad[1].t.x", Bool, 12, 11},
		{get("pad", 1, "t", "y", "z"), "pad[1].t.y.z", Number, 12, 23},
		{get("pad", 1, "d"), "pad[1].d", Date, 13, 5},
	} {
		assert.Equal(t, tt.key, tt.node.Key)
		assert.Equal(t, tt.kind, tt.node.Kind, tt.key)
		assert.Equal(t, [2]int{tt.line, tt.column}, [2]int{tt.node.Line, tt.node.Column}, tt.key)
	}
	assert.Equal(t, "Straße", get("name").Text)
	assert.Equal(t, -300.0, get("pad", 1, "outline", 1, 0).Number)
	assert.Equal(t, 16.0, get("pad", 1, "outline", 1, 1).Number)
	assert.Equal(t, 1000.0, get("pad", 1, "t", "y", "z").Number)
	assert.Nil(t, root.Get("nothing"))
}

func TestColumnsCountCharacters(t *testing.T) {
	_, err := Parse("job.toml", []byte("name = \"Straße\" oops\n"))
	e, ok := errors.AsType[*tin.InputError](err)
	require.True(t, ok)
	assert.Equal(t, 17, e.Column, e.Error())
}

func TestSyntaxErrorsNameTheirPlace(t *testing.T) {
	deep := "a = " + strings.Repeat("[", 50) + strings.Repeat("]", 50)
	for _, tt := range []struct{ name, text, want string }{
		{"unclosed text", "a = 1\nb = \"x\n", "job.toml:2:"},
		{"twice", "a = 1\na = 2\n", "job.toml:2:1: a: this key is given twice"},
		{"table twice", "[a]\nb = 1\n[a]\n", "job.toml:3:"},
		{"table over value", "a = 1\n[a.b]\n", "job.toml:2:2: a: this key is a number already"},
		{"list over table", "[a]\n[[a]]\n", "job.toml:2:3: a: this key is a table already"},
		{"one table after a list", "[[pad]]\nb = 1\n[pad]\nb = 2\n", "job.toml:3:2: pad: [pad] stands after a list of that name; write [[pad]] for one more item of it"},
		{"one table after a list, no key in common", "[[a]]\n[[a.b]]\nb = 1\n[a.b]\nc = 2\n", "job.toml:4:4: a[0].b: [a.b] stands after a list of that name; write [[a.b]]"},
		{"table of a value in a list", "a = [1]\n[a]\n", "job.toml:2:2: a: [a] stands after a list"},
		{"no value", "a =\n", "job.toml:1:"},
		{"too big", "a = 99999999999999999999\nb = 1", "job.toml:1:5"},
		{"too deep", deep, "nested more than 16 deep"},
		{"endless key", strings.Repeat("a.", 1000) + "a = 1", "more than 8 parts"},
		{"not utf-8", "a = \"\xff\"\n", "job.toml:1:"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Parse("job.toml", []byte(tt.text))
			require.Error(t, err)
			e, ok := errors.AsType[*tin.InputError](err)
			require.True(t, ok)
			assert.Equal(t, "job_syntax", e.Code)
			assert.NotEmpty(t, e.Hint)
			assert.Contains(t, err.Error(), tt.want)
		})
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"", "a=1", "[[a]]\nb=[1,{c=2}]\n[a.d]\n", "a.b.c=1\na.b.d='x'", "\ufeff#x", "a=[[[[", "a=0x", "[a]\n[[a.b]]\n[[a]]\n", "a={b=1}\n[a]\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		root, err := Parse("job.toml", []byte(text))
		if err != nil {
			e, ok := errors.AsType[*tin.InputError](err)
			require.True(t, ok, "%T", err)
			require.Equal(t, "job_syntax", e.Code)
			return
		}
		var walk func(n *Node)
		walk = func(n *Node) {
			require.Positive(t, n.Line)
			require.Positive(t, n.Column)
			for _, i := range n.Items {
				walk(i)
			}
			for _, f := range n.Fields {
				require.Same(t, f.Value, n.Get(f.Name))
				walk(f.Value)
			}
		}
		walk(root)
	})
}

package tomltree

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"barrow/tin"
)

// Bounds on the shape of a file, far above any real one: paths and recursion
// stay short whatever a stranger writes.
const (
	maxKeyParts = 8
	maxNesting  = 16
)

// Parse reads a TOML file into a tree; name is used in messages. The error is
// a *[tin.InputError] with the code "job_syntax", the line and the column.
func Parse(name string, data []byte) (*Node, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	b := &builder{file: name, places: newPlaces(data)}
	b.parser.Reset(data)
	root, err := b.tree()
	if err != nil {
		return nil, err
	}
	// The builder is lenient about tables opened twice and the like: the
	// decoder is the judge of that.
	var proof map[string]any
	if err := toml.Unmarshal(data, &proof); err != nil {
		return nil, b.decodeError(err)
	}
	return root, nil
}

type builder struct {
	file   string
	places *places
	parser unstable.Parser
}

// The hints that serve several errors.
const (
	hintLine   = `a line is key = value, [table] or [[table]], with texts in "quotes"; a quote or bracket left open shows in a later line`
	hintOnce   = "take one of the two out"
	hintNumber = "write it as a number within what a 64-bit float holds"
	hintDeep   = "check the brackets, and the dots of the keys"
)

func (b *builder) errorAt(line, column int, key, hint, format string, args ...any) error {
	return &tin.InputError{Code: "job_syntax", Message: fmt.Sprintf(format, args...), Hint: hint,
		File: b.file, Line: line, Column: column, Key: key}
}

func (b *builder) decodeError(err error) error {
	e := &tin.InputError{Code: "job_syntax", Message: strings.TrimPrefix(err.Error(), "toml: "), Hint: hintLine, File: b.file, Err: err}
	if d, ok := errors.AsType[*toml.DecodeError](err); ok {
		e.Line, e.Column = d.Position()
		e.Column = b.places.byteColumn(e.Line, e.Column)
		e.Key = strings.Join(d.Key(), ".")
	} else if p, ok := errors.AsType[*unstable.ParserError](err); ok {
		e.Line, e.Column = b.places.at(int(b.parser.Range(p.Highlight).Offset))
	}
	return e
}

func (b *builder) tree() (*Node, error) {
	root := &Node{Kind: Table, Line: 1, Column: 1}
	current := root
	for b.parser.NextExpression() {
		e := b.parser.Expression()
		var err error
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			current, err = b.open(root, e)
		case unstable.KeyValue:
			err = b.keyValue(current, e, 0)
		}
		if err != nil {
			return nil, err
		}
	}
	if err := b.parser.Error(); err != nil {
		return nil, b.decodeError(err)
	}
	return root, nil
}

// open goes to the table of a [header], or adds one to the list of a
// [[header]].
func (b *builder) open(root *Node, e *unstable.Node) (*Node, error) {
	parts, err := b.key(e)
	if err != nil {
		return nil, err
	}
	last := parts[len(parts)-1]
	var names []string
	for _, p := range parts {
		names = append(names, p.name)
	}
	head := strings.Join(names, ".")
	t, err := b.descend(root, parts[:len(parts)-1])
	if err != nil {
		return nil, err
	}
	list := t.Get(last.name)
	if e.Kind == unstable.Table {
		if list != nil && list.Kind == Array {
			return nil, b.errorAt(last.line, last.column, list.Key, fmt.Sprintf("write [[%s]] for one more item of it", head),
				"[%s] stands after a list of that name", head)
		}
		return b.descend(t, parts[len(parts)-1:])
	}
	if list == nil {
		list = &Node{Kind: Array, Key: t.Child(last.name), Line: last.line, Column: last.column}
		t.add(Field{Name: last.name, Line: last.line, Column: last.column, Value: list})
	}
	if list.Kind != Array {
		return nil, b.errorAt(last.line, last.column, list.Key, fmt.Sprintf("write [[%s]] each time, and nothing else of that name", head),
			"this key is %s already, so it cannot be a list of tables", list.Kind)
	}
	item := &Node{Kind: Table, Key: fmt.Sprintf("%s[%d]", list.Key, len(list.Items)), Line: last.line, Column: last.column}
	list.Items = append(list.Items, item)
	return item, nil
}

// descend walks from t along parts, making tables that are not there yet; a
// list of tables stands for its last.
func (b *builder) descend(t *Node, parts []part) (*Node, error) {
	for _, p := range parts {
		next := t.Get(p.name)
		if next == nil {
			next = &Node{Kind: Table, Key: t.Child(p.name), Line: p.line, Column: p.column}
			t.add(Field{Name: p.name, Line: p.line, Column: p.column, Value: next})
		}
		if next.Kind == Array && len(next.Items) > 0 {
			next = next.Items[len(next.Items)-1]
		}
		if next.Kind != Table {
			return nil, b.errorAt(p.line, p.column, next.Key, hintOnce, "this key is %s already, so it cannot hold further keys", next.Kind)
		}
		t = next
	}
	return t, nil
}

// part is one part of a dotted key.
type part struct {
	name         string
	line, column int
}

func (b *builder) key(e *unstable.Node) ([]part, error) {
	var parts []part
	for it := e.Key(); it.Next(); {
		n := it.Node()
		line, column := b.places.at(int(n.Raw.Offset))
		if len(parts) == maxKeyParts {
			return nil, b.errorAt(line, column, "", hintDeep, "a key of more than %d parts", maxKeyParts)
		}
		parts = append(parts, part{string(n.Data), line, column})
	}
	return parts, nil
}

func (b *builder) keyValue(t *Node, e *unstable.Node, depth int) error {
	parts, err := b.key(e)
	if err != nil {
		return err
	}
	last := parts[len(parts)-1]
	if t, err = b.descend(t, parts[:len(parts)-1]); err != nil {
		return err
	}
	key := t.Child(last.name)
	if t.Get(last.name) != nil {
		return b.errorAt(last.line, last.column, key, hintOnce, "this key is given twice")
	}
	v := &Node{Key: key, Line: last.line, Column: last.column}
	if err := b.value(v, e.Value(), depth); err != nil {
		return err
	}
	t.add(Field{Name: last.name, Line: last.line, Column: last.column, Value: v})
	return nil
}

// value fills v from e; its key is set, and line and column to those of the
// key. A list has no place of its own: it takes that of its first item.
func (b *builder) value(v *Node, e *unstable.Node, depth int) error {
	if depth > maxNesting {
		return b.errorAt(v.Line, v.Column, "", hintDeep, "lists and tables nested more than %d deep", maxNesting)
	}
	if e.Raw.Length > 0 {
		v.Line, v.Column = b.places.at(int(e.Raw.Offset))
	}
	v.Text = string(e.Data)
	switch e.Kind {
	case unstable.String:
		v.Kind = String
	case unstable.Bool:
		v.Kind, v.Bool = Bool, v.Text == "true"
	case unstable.Integer, unstable.Float:
		v.Kind = Number
		return b.number(v)
	case unstable.Array:
		v.Kind = Array
		for it := e.Children(); it.Next(); {
			item := &Node{Key: fmt.Sprintf("%s[%d]", v.Key, len(v.Items)), Line: v.Line, Column: v.Column}
			if err := b.value(item, it.Node(), depth+1); err != nil {
				return err
			}
			if len(v.Items) == 0 {
				v.Line, v.Column = item.Line, item.Column
			}
			v.Items = append(v.Items, item)
		}
	case unstable.InlineTable:
		v.Kind = Table
		for it := e.Children(); it.Next(); {
			if err := b.keyValue(v, it.Node(), depth+1); err != nil {
				return err
			}
		}
	default:
		v.Kind = Date
	}
	return nil
}

// number reads a TOML number as the nearest float64.
func (b *builder) number(v *Node) error {
	text := strings.ReplaceAll(v.Text, "_", "")
	if len(text) > 2 && text[0] == '0' && strings.ContainsRune("xob", rune(text[1])) {
		i, err := strconv.ParseInt(text, 0, 64)
		if err != nil {
			return b.errorAt(v.Line, v.Column, v.Key, hintNumber, "%q is not a number that fits", v.Text)
		}
		v.Number = float64(i)
		return nil
	}
	f, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return b.errorAt(v.Line, v.Column, v.Key, hintNumber, "%q is not a number that fits", v.Text)
	}
	v.Number = f
	return nil
}

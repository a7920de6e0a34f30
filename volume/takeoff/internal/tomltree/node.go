package tomltree

// Kind is what a value is.
type Kind int

// The kinds of value.
const (
	Table Kind = iota
	Array
	String
	Number // whole or not
	Bool
	Date // a date, a time, or both
)

// String returns the kind in plain words, with its article.
func (k Kind) String() string {
	switch k {
	case Table:
		return "a table"
	case Array:
		return "a list"
	case String:
		return "a text"
	case Number:
		return "a number"
	case Bool:
		return "true or false"
	case Date:
		return "a date"
	}
	return "a value"
}

// Node is a value with its place.
type Node struct {
	Kind         Kind
	Key          string // path from the root, such as "pad[0].finished"; empty for the root
	Line, Column int    // from 1; the column counts characters

	Text   string  // String: the text. Number, Bool, Date: as written
	Number float64 // Number
	Bool   bool    // Bool
	Items  []*Node // Array
	Fields []Field // Table, in the order of the file

	index map[string]int // of Fields
}

// Field is a key of a table with its value.
type Field struct {
	Name         string
	Line, Column int // of the key
	Value        *Node
}

// Get returns a table's value for a key, nil if it has none.
func (n *Node) Get(name string) *Node {
	if n == nil {
		return nil
	}
	if i, ok := n.index[name]; ok {
		return n.Fields[i].Value
	}
	return nil
}

// Child returns the path of a key in n.
func (n *Node) Child(name string) string {
	if n.Key == "" {
		return name
	}
	return n.Key + "." + name
}

func (n *Node) add(f Field) {
	if n.index == nil {
		n.index = map[string]int{}
	}
	n.index[f.Name] = len(n.Fields)
	n.Fields = append(n.Fields, f)
}

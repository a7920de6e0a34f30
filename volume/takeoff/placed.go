package takeoff

import (
	"strings"

	"barrow/volume/takeoff/internal/tomltree"
)

// filePlace is where a key of the job stands in its file.
type filePlace struct {
	file         string
	line, column int
}

// notePlaces keeps where the keys of surveys, ground and pads stand, so that
// what is found out while measuring can point there too.
func (l *loader) notePlaces(root *tomltree.Node) {
	l.job.places = map[string]filePlace{}
	var walk func(n *tomltree.Node, depth int)
	walk = func(n *tomltree.Node, depth int) {
		l.job.places[n.Key] = filePlace{l.name, n.Line, n.Column}
		if depth == 0 {
			return
		}
		for _, f := range n.Fields {
			walk(f.Value, depth-1)
		}
		if n.Kind == tomltree.Array {
			for _, item := range n.Items {
				if item.Kind == tomltree.Table {
					walk(item, depth-1)
				}
			}
		}
	}
	walk(root, 5)
}

// placed adds the line of the job file to an error that knows a key only: that
// of the key, or of the nearest one above it.
func (j *Job) placed(err error) error {
	e := asInputError(err)
	if e == nil || e.File != "" || e.Key == "" || len(j.places) == 0 {
		return err
	}
	out := *e
	// A pad's own levels are three keys in the file.
	out.Key = strings.NewReplacer(".levels.outline", ".levels", ".levels.spots", ".spots", ".levels.lines", ".breaklines").Replace(e.Key)
	for key := out.Key; key != ""; {
		if p, ok := j.places[key]; ok {
			out.File, out.Line, out.Column = p.file, p.line, p.column
			return &out
		}
		i := strings.LastIndexAny(key, ".[")
		if i < 0 {
			break
		}
		key = key[:i]
	}
	return err
}

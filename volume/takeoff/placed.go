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

// placed puts an error that knows a key only into the job file: at that key, or
// at the nearest one above it that is there.
func (j *Job) placed(err error) error {
	e := asInputError(err)
	if e == nil || e.File != "" || e.Key == "" || len(j.places) == 0 {
		return err
	}
	for key := keysInFile.Replace(e.Key); key != ""; {
		if p, ok := j.places[key]; ok {
			out := *e
			out.File, out.Line, out.Column, out.Key = p.file, p.line, p.column, key
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

// keysInFile turns keys of a pad in memory into those of the job file, where a
// pad's own levels are three keys, corners have the names of the outline, and berms
// go with both batters.
var keysInFile = strings.NewReplacer(".cut.every", ".berm.every", ".fill.every", ".berm.every", ".cut.berm", ".berm.width", ".fill.berm", ".berm.width",
	".levels.outline", ".levels", ".levels.spots", ".spots", ".levels.lines", ".breaklines", ".corners", ".outline.points")

package tomltree

import (
	"sort"
	"unicode/utf8"
)

// places turns byte offsets into lines and columns in the logarithm of the
// number of lines, so that a long list costs no more than its length.
type places struct {
	data   []byte
	starts []int // offset of each line's first byte
}

func newPlaces(data []byte) *places {
	p := &places{data: data, starts: []int{0}}
	for i, c := range data {
		if c == '\n' {
			p.starts = append(p.starts, i+1)
		}
	}
	return p
}

// at returns line and column, both from 1, the column in characters.
func (p *places) at(offset int) (line, column int) {
	line = sort.SearchInts(p.starts, offset+1)
	start := p.starts[line-1]
	return line, p.runes(start, offset) + 1
}

// runes counts characters, of at most a line of ordinary length: in a longer
// one bytes are counted, so that one endless line does not cost its square.
func (p *places) runes(start, end int) int {
	if end-start > 4096 {
		return end - start
	}
	return utf8.RuneCount(p.data[start:end])
}

// byteColumn turns a column counted in bytes into one counted in characters.
func (p *places) byteColumn(line, column int) int {
	if line < 1 || line > len(p.starts) || column < 1 {
		return column
	}
	start := p.starts[line-1]
	return p.runes(start, min(start+column-1, len(p.data))) + 1
}

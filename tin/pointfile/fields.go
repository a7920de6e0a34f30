package pointfile

import "bytes"

// The separators. Blanks stand for any run of spaces and tabs.
const (
	blanks = ' '
	ctrlZ  = 0x1A // ends a text file in an old custom
)

func separatorName(sep byte) string {
	switch sep {
	case ',':
		return "comma"
	case ';':
		return "semicolon"
	case '\t':
		return "tab"
	}
	return "spaces"
}

// field is one field of a line. Its text is without the blanks and quotes round
// it.
type field struct {
	text       []byte
	start, end int // in the line, quotes included
	quoted     bool
}

// split appends the fields of a line to dst. unclosed reports a quote that
// opens a field and is never closed: it is then part of the text, as is a quote
// anywhere else (3" PIPE).
func split(dst []field, line []byte, sep byte) (fields []field, unclosed bool) {
	i := 0
	for {
		for i < len(line) && isBlank(line[i]) && (sep == blanks || line[i] != sep) {
			i++
		}
		if sep == blanks && i == len(line) {
			return dst, unclosed
		}
		f := field{start: i}
		if i < len(line) && line[i] == '"' {
			text, end, ok := unquote(line, i, sep)
			if ok {
				f.text, f.end, f.quoted = text, end, true
				dst = append(dst, f)
				i = end
				for i < len(line) && isBlank(line[i]) && line[i] != sep {
					i++
				}
				if i == len(line) {
					return dst, unclosed
				}
				if line[i] == sep {
					i++
				}
				continue
			}
			unclosed = unclosed || end < 0
		}
		for i < len(line) && line[i] != sep && !(sep == blanks && line[i] == '\t') {
			i++
		}
		f.end = i
		for f.end > f.start && isBlank(line[f.end-1]) {
			f.end--
		}
		f.text = line[f.start:f.end]
		dst = append(dst, f)
		if i == len(line) {
			return dst, unclosed
		}
		i++
	}
}

// unquote reads a field in double quotes that starts at line[i]. It is one only
// if a separator or the end of the line follows its closing quote. end is -1 if
// there is no closing quote.
func unquote(line []byte, i int, sep byte) (text []byte, end int, ok bool) {
	doubled := false
	for j := i + 1; j < len(line); j++ {
		if line[j] != '"' {
			continue
		}
		if j+1 < len(line) && line[j+1] == '"' {
			doubled = true
			j++
			continue
		}
		k := j + 1
		for k < len(line) && isBlank(line[k]) && line[k] != sep {
			k++
		}
		if k < len(line) && line[k] != sep && !(sep == blanks && k > j+1) {
			return nil, j + 1, false
		}
		text = line[i+1 : j]
		if doubled {
			text = bytes.ReplaceAll(text, []byte(`""`), []byte(`"`))
		}
		return text, j + 1, true
	}
	return nil, -1, false
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' }

// isEmpty reports whether a line holds blanks and separators only.
func isEmpty(line []byte, sep byte) bool {
	for _, c := range line {
		if !isBlank(c) && c != sep {
			return false
		}
	}
	return true
}

// isComment reports whether a line is a comment. A semicolon begins one where
// it does not separate.
func isComment(line []byte, sep byte) bool {
	for len(line) > 0 && isBlank(line[0]) {
		line = line[1:]
	}
	return bytes.HasPrefix(line, []byte("#")) || bytes.HasPrefix(line, []byte("//")) ||
		sep != ';' && bytes.HasPrefix(line, []byte(";"))
}

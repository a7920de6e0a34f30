package landxml

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// fromUTF16 reads UTF-16, with or without a byte order mark.
func fromUTF16(r io.Reader, order unicode.Endianness) io.Reader {
	return transform.NewReader(r, unicode.UTF16(order, unicode.UseBOM).NewDecoder())
}

// encoded is called by the decoder where the file states another encoding than
// UTF-8; what follows is read from the source that it leaves.
func (d *decoder) encoded(label string, _ io.Reader) (io.Reader, error) {
	if d.src.marked || strings.HasPrefix(strings.ToLower(label), "utf-16") {
		return d.src, nil // known by its first bytes, and converted
	}
	e, err := htmlindex.Get(label)
	if err != nil {
		return nil, d.fail("unknown_encoding", fmt.Sprintf("the file states the encoding %q, which is not known", short(label)), "save it as UTF-8")
	}
	d.src = &source{r: bufio.NewReaderSize(transform.NewReader(d.src, e.NewDecoder()), 1<<16), line: d.src.line, left: d.src.left}
	return d.src, nil
}

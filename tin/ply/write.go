package ply

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"strconv"

	"barrow/tin"
)

// Options say how a file is written. The zero value is plain text in metres,
// with full coordinates.
type Options struct {
	Binary bool       // little-endian binary; else plain text
	Unit   tin.Unit   // that coordinates and levels are turned into; 0: metres
	Origin tin.Vertex // taken off every vertex, in the unit; [NearOrigin] proposes one
}

// Write writes meshes into one file, their vertices and faces one after the
// other: x is easting, y northing and z level, in the unit, less the origin. In
// plain text they are the shortest decimals that give the same doubles again. A
// vertex that is not finite, or a face that is no triangle of its mesh's
// vertices, is an error, and nothing is written.
func Write(w io.Writer, opts Options, meshes ...Mesh) error {
	if !finite(opts.Origin) {
		return fmt.Errorf("ply: write: the origin is %v", opts.Origin)
	}
	vertices, faces := 0, 0
	for _, m := range meshes {
		if err := m.check(opts); err != nil {
			return fmt.Errorf("ply: write: %w", err)
		}
		vertices += len(m.Vertices)
		faces += len(m.Faces)
	}
	if max(vertices, faces) > math.MaxInt32 {
		return fmt.Errorf("ply: write: %d vertices and %d faces are more than the format can number", vertices, faces)
	}
	out := bufio.NewWriterSize(w, 64<<10)
	head(out, opts, meshes, vertices, faces)
	if err := body(out, opts, meshes); err != nil {
		return fmt.Errorf("ply: write: %w", err)
	}
	if err := out.Flush(); err != nil {
		return fmt.Errorf("ply: write: %w", err)
	}
	return nil
}

// head writes the header. Names are put in quotes, in ASCII, so that none can
// end its comment.
func head(out *bufio.Writer, opts Options, meshes []Mesh, vertices, faces int) {
	format := "ascii"
	if opts.Binary {
		format = "binary_little_endian"
	}
	fmt.Fprintf(out, "ply\nformat %s 1.0\n", format)
	fmt.Fprintf(out, "comment unit %v\n", opts.Unit)
	o := opts.Origin
	fmt.Fprintf(out, "comment origin %s %s %s: add to x (easting), y (northing), z (level)\n", shortest(o.E), shortest(o.N), shortest(o.Level))
	v, f := 0, 0
	for _, m := range meshes {
		fmt.Fprintf(out, "comment mesh %s: %d vertices from %d, %d faces from %d\n", strconv.QuoteToASCII(m.Name), len(m.Vertices), v, len(m.Faces), f)
		v += len(m.Vertices)
		f += len(m.Faces)
	}
	fmt.Fprintf(out, "element vertex %d\nproperty double x\nproperty double y\nproperty double z\n", vertices)
	fmt.Fprintf(out, "element face %d\nproperty list uchar int vertex_indices\nend_header\n", faces)
}

// local returns a vertex in the unit, less the origin.
func (o Options) local(v tin.Vertex) tin.Vertex {
	per := o.Unit.Metres()
	return tin.Vertex{E: v.E/per - o.Origin.E, N: v.N/per - o.Origin.N, Level: v.Level/per - o.Origin.Level}
}

// body writes all vertices, then all faces.
func body(out *bufio.Writer, opts Options, meshes []Mesh) error {
	vertex, face := textVertex, textFace
	if opts.Binary {
		vertex, face = binaryVertex, binaryFace
	}
	var b []byte
	for _, m := range meshes {
		for _, v := range m.Vertices {
			b = vertex(b[:0], opts.local(v))
			if _, err := out.Write(b); err != nil {
				return err
			}
		}
	}
	first := int32(0)
	for _, m := range meshes {
		for _, f := range m.Faces {
			b = face(b[:0], [3]int32{first + f[0], first + f[1], first + f[2]})
			if _, err := out.Write(b); err != nil {
				return err
			}
		}
		first += int32(len(m.Vertices))
	}
	return nil
}

func binaryVertex(b []byte, v tin.Vertex) []byte {
	for _, c := range [3]float64{v.E, v.N, v.Level} {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(c))
	}
	return b
}

func binaryFace(b []byte, f [3]int32) []byte {
	b = append(b, 3)
	for _, v := range f {
		b = binary.LittleEndian.AppendUint32(b, uint32(v))
	}
	return b
}

func textVertex(b []byte, v tin.Vertex) []byte {
	for i, c := range [3]float64{v.E, v.N, v.Level} {
		b = strconv.AppendFloat(b, c, 'f', -1, 64)
		b = append(b, " \n"[i/2])
	}
	return b
}

func textFace(b []byte, f [3]int32) []byte {
	b = append(b, '3')
	for _, v := range f {
		b = append(b, ' ')
		b = strconv.AppendInt(b, int64(v), 10)
	}
	return append(b, '\n')
}

func shortest(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

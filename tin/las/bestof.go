package las

// bestOf holds the best record of each cell. Points come in lines, and cells with
// them: the one in hand is looked up again only when the cell changes.
type bestOf struct {
	cells map[uint64]record
	cell  uint64
	now   record
	held  bool // there is a cell in hand
	dirty bool // and its record is better than that in cells
}

// of is the record in hand once the cell is this one; there is none if the cell is new.
func (b *bestOf) of(cell uint64) (r record, ok bool) {
	if !b.held || b.cell != cell {
		b.flush()
		b.cell = cell
		b.now, b.held = b.cells[cell]
	}
	return b.now, b.held
}

// set puts a record into the cell in hand.
func (b *bestOf) set(r record) {
	if !b.held {
		b.cells[b.cell] = r
		b.now, b.held = r, true
		return
	}
	b.now, b.dirty = r, true
}

func (b *bestOf) flush() {
	if b.dirty {
		b.cells[b.cell] = b.now
		b.dirty = false
	}
}

package annotate

import (
	"reflect"
	"slices"
)

// History is the linear history of a reading's edits, newest last. An edit that
// changed nothing that can be undone (it only widened the window, or set what
// was set already) stands in the journal alone.
type History struct {
	Done   []string // ids of edits that can be undone, redone ones under the id of their redo
	Undone []string // ids of the undo edits that can be redone
	// Journal holds the rows behind those ids; nil where there were no edits.
	Journal *Journal
}

// NewHistory returns the history that a journal leads to, its rows given oldest
// first. It is for loading a reading whose events are known already;
// [Reading.Replay] makes both from the journal.
func NewHistory(rows []Applied) History {
	var h History
	for _, row := range rows {
		h.add(row)
	}
	return h
}

// Row returns the journal row of the edit with the given id.
func (h History) Row(edit string) (row Applied, ok bool) {
	row, _, ok = h.Journal.find(edit)
	return row, ok
}

// with returns h after one more row. Neither shares memory that the other could
// still write to.
func (h History) with(row Applied) History {
	h.Done, h.Undone = slices.Clip(h.Done), slices.Clip(h.Undone)
	if row.Undo != "" {
		h.Done = slices.Clone(h.Done)
	}
	if row.Redo != "" {
		h.Undone = slices.Clone(h.Undone)
	}
	h.add(row)
	return h
}

// add adds a row in place.
func (h *History) add(row Applied) {
	h.Journal = &Journal{row: row, before: h.Journal}
	switch {
	case row.Undo != "":
		h.Done = without(h.Done, row.Undo)
		h.Undone = append(h.Undone, row.Edit)
	case row.Redo != "":
		h.Undone = without(h.Undone, row.Redo)
		h.Done = append(h.Done, row.Edit)
	case len(row.Changes) > 0 || row.FactsAfter != nil:
		h.Done = append(h.Done, row.Edit)
		h.Undone = nil
	}
}

// without removes id from ids in place; nil where nothing is left.
func without(ids []string, id string) []string {
	if i := slices.Index(ids, id); i >= 0 {
		ids = slices.Delete(ids, i, i+1)
	}
	if len(ids) == 0 {
		return nil
	}
	return ids
}

// Journal is the rows of all edits of a reading, oldest first. It never changes:
// a longer one holds the shorter one.
type Journal struct {
	row    Applied
	before *Journal
}

// Rows returns the rows, oldest first. Callers must not change what they point to.
func (j *Journal) Rows() []Applied {
	var rows []Applied
	for ; j != nil; j = j.before {
		rows = append(rows, j.row)
	}
	slices.Reverse(rows)
	return rows
}

// Equal reports whether two journals hold the same rows.
func (j *Journal) Equal(k *Journal) bool {
	for ; j != k; j, k = j.before, k.before {
		if j == nil || k == nil || !reflect.DeepEqual(j.row, k.row) {
			return false
		}
	}
	return true
}

// find returns the row of an edit, and the furthest that it and the rows after
// it widened the window to.
func (j *Journal) find(edit string) (row Applied, reach Micros, ok bool) {
	for ; j != nil; j = j.before {
		if j.row.Reach != nil {
			reach = max(reach, *j.row.Reach)
		}
		if j.row.Edit == edit {
			return j.row, reach, true
		}
	}
	return Applied{}, 0, false
}

package annotate

import "slices"

// turnBack applies an undo or a redo: it brings back what the edit it names
// replaced, content and Rev alike, so that an event's Rev always names its
// content and older edits can be undone one after the other.
func (r *Reading) turnBack(e Edit) (*Reading, Applied, error) {
	d := r.draft(e)
	list, id := r.History.Done, e.Undo
	if e.Redo != "" {
		list, id = r.History.Undone, e.Redo
	}
	row, reach, ok := r.History.Journal.find(id)
	if !ok || !slices.Contains(list, id) {
		d.conflict.Gone = true
		return d.finish(nil, false)
	}
	ids := make([]string, len(row.Changes))
	for i, c := range row.Changes {
		ids[i] = c.ID
	}
	d.at = findEvents(r.Events, ids)
	for i, c := range row.Changes {
		d.restore(i, c)
	}
	// Reach is never undone: a window that comes back ends where coding has got
	// to since, and one that only grew by reach counts as unchanged.
	d.conflict.Facts = row.FactsAfter.reaching(reach).differing(r)
	d.setFacts(row.FactsBefore.reaching(reach))
	return d.finish(e.Reach, false)
}

// restore adds the inverse of a change to the draft.
func (d *draft) restore(i int, c Change) {
	var now *Event
	if at := d.at[i]; at >= 0 {
		now = new(d.from.Events[at])
	}
	if (now == nil) != (c.After == nil) || now != nil && now.Rev != c.After.Rev {
		d.conflict.Events = append(d.conflict.Events, ConflictEvent{ID: c.ID, Yours: c.Before, Now: now})
		return
	}
	d.row.Changes = append(d.row.Changes, Change{ID: c.ID, Before: now, After: c.Before})
}

package annotate

import "fmt"

// Apply returns the reading after an edit, and what the edit did, as a row of
// the journal. r stays as it is, so others may go on reading it. What the edit
// points to becomes part of the new reading and must not be changed afterwards.
//
// An edit that breaks a rule fails with [Problems]; one that touches an event
// which has changed since, or undoes what can't be undone any more, with
// *[Conflict]. Either way nothing was done. Only the events that the edit
// touches and their lanes are checked, so r itself must be valid; where the edit
// moves the reading to another version of the book, all events are.
func (r *Reading) Apply(e Edit) (*Reading, Applied, error) {
	if p := e.check(); p != nil {
		return nil, Applied{}, p
	}
	if e.Undo != "" || e.Redo != "" {
		return r.turnBack(e)
	}
	d := r.draft(e)
	ids := make([]string, 0, len(e.Put)+len(e.Remove))
	for _, p := range e.Put {
		ids = append(ids, p.Event.ID)
	}
	for _, ref := range e.Remove {
		ids = append(ids, ref.ID)
	}
	d.at = findEvents(r.Events, ids)
	for i, p := range e.Put {
		after := p.Event
		after.Rev = d.row.Revision
		if after.Open {
			after.End = after.Start // so that the same content is the same value
		}
		d.change(i, ids[i], p.Was, &after, &p.Event)
	}
	for i, ref := range e.Remove {
		i += len(e.Put)
		d.change(i, ids[i], ref.Was, nil, nil)
	}
	d.setFacts(e.Set.fewer(r))
	return d.finish(e.Reach, true)
}

// check reports an edit that says nothing or contradicts itself.
func (e *Edit) check() error {
	var c check
	if e.ID == "" {
		c.add("id", "", "The edit has no id.")
	}
	nothing := len(e.Put) == 0 && len(e.Remove) == 0 && e.Set.empty()
	switch {
	case e.Undo != "" && e.Redo != "":
		c.add("redo", "", "The edit both undoes and redoes.")
	case (e.Undo != "" || e.Redo != "") && !nothing:
		c.add("undo", "Make two edits of it.", "The edit undoes or redoes another one and changes something besides.")
	case e.Undo == "" && e.Redo == "" && nothing && e.Reach == nil:
		c.add("", "", "There is nothing in the edit.")
	}
	seen := make(map[string]bool, len(e.Put)+len(e.Remove))
	once := func(field string, i int, id string) {
		if seen[id] {
			c.add(fmt.Sprintf("%s[%d]", field, i), "", "Event %q stands twice in one edit.", id)
		}
		seen[id] = true
	}
	for i := range e.Put {
		once("put", i, e.Put[i].Event.ID)
	}
	for i := range e.Remove {
		once("remove", i, e.Remove[i].ID)
	}
	return c.problems.Err()
}

// draft is an edit on its way into a reading.
type draft struct {
	from     *Reading
	to       Reading
	at       []int // for each change the index of its event in from, -1 if it isn't there
	row      Applied
	conflict Conflict
}

func (r *Reading) draft(e Edit) *draft {
	d := &draft{from: r, to: *r}
	d.to.Revision++
	d.row = Applied{Edit: e.ID, Revision: d.to.Revision, Undo: e.Undo, Redo: e.Redo}
	d.conflict.Revision = r.Revision
	return d
}

// change adds the change of one event to the draft: from what it is now, which
// must have revision was, to after (nil: removed). Yours is what the edit wanted,
// for the case of a conflict.
func (d *draft) change(i int, id string, was int64, after, yours *Event) {
	var now *Event
	if at := d.at[i]; at >= 0 {
		now = new(d.from.Events[at]) // a copy: the journal must not keep the whole slice
	}
	if now == nil && (was != 0 || after == nil) || now != nil && (now.Rev != was || was == 0) {
		d.conflict.Events = append(d.conflict.Events, ConflictEvent{ID: id, Yours: yours, Now: now})
		return
	}
	if now != nil && now.Open && after != nil && !after.Open && after.End <= after.Start {
		after = nil
	}
	d.row.Changes = append(d.row.Changes, Change{ID: id, Before: now, After: after})
}

// setFacts adds the change of facts to the draft; f holds only those that change.
func (d *draft) setFacts(f *Facts) {
	if f != nil {
		d.row.FactsBefore, d.row.FactsAfter = d.from.facts(f), f
		d.to.setFacts(f)
	}
}

// finish makes the new events, checks what was touched, and returns the result.
// checkWindow is false where an earlier window comes back.
func (d *draft) finish(reach *Micros, checkWindow bool) (*Reading, Applied, error) {
	if d.conflict.Gone || len(d.conflict.Events) > 0 || len(d.conflict.Facts) > 0 {
		return nil, Applied{}, &d.conflict
	}
	if len(d.row.Changes) > 0 {
		var drop []int
		add := make([]Event, 0, len(d.row.Changes))
		for i, c := range d.row.Changes {
			if c.Before != nil {
				drop = append(drop, d.at[i])
			}
			if c.After != nil {
				add = append(add, *c.After)
			}
		}
		d.to.Events = replaceEvents(d.from.Events, drop, add)
	}
	if p := d.check(checkWindow); p != nil {
		return nil, Applied{}, p
	}
	if reach != nil {
		if end := min(*reach, d.to.Clip.Duration); end > d.to.Window.End {
			d.row.Reach = &end
			d.to.Window.End = end
		}
	}
	d.to.History = d.to.History.with(d.row)
	return &d.to, d.row, nil
}

// check checks the new reading as far as the edit touched it.
func (d *draft) check(window bool) error {
	c := eventCheck{book: d.to.Book, end: d.to.Clip.Duration, list: "put"}
	if d.row.Undo != "" || d.row.Redo != "" {
		c.list = "events"
	}
	f := d.row.FactsAfter
	if f != nil && f.Book != nil {
		c.problems = append(c.problems, f.Book.Validate()...)
		if len(c.problems) > 0 {
			return c.problems
		}
		c.events(d.to.Events)
	} else {
		c.touched(d.row.Changes, d.to.Events)
	}
	if f != nil {
		if window && f.Window != nil {
			c.window(*f.Window, d.to.Clip.Duration)
		}
		if f.Chosen != nil {
			c.chosen(*f.Chosen)
		}
		if f.Coded != nil || f.Book != nil {
			c.coded(d.to.Coded, d.to.Book)
		}
	}
	return c.problems.Err()
}

// touched checks the events that an edit put, and their lanes.
func (c *eventCheck) touched(changes []Change, events []Event) {
	const few = 8 // beyond it, one pass over all events is quicker
	list, lanes := c.list, make(map[int]bool)
	for i, ch := range changes {
		if ch.After == nil {
			continue
		}
		c.list = list
		c.event(i, ch.After)
		_, lane := c.book.code(ch.After.Code)
		if lane < 0 {
			continue
		}
		c.list = "events" // what overlaps may be an event that the edit doesn't name
		lanes[lane] = true
		if len(changes) <= few {
			c.neighbours(events, ch.After, lane)
		}
	}
	if len(changes) > few {
		c.overlaps(events, lanes)
	}
}

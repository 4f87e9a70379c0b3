package annotate

// Edit is one change of a reading. It puts and removes events, or sets a few
// facts of the reading, or undoes or redoes an earlier edit (then it may widen the reach, nothing else).
//
// Each event it touches names the revision that it replaces, so an edit made on
// an old revision still applies as long as the events it touches are unchanged.
type Edit struct {
	// ID is chosen by whoever makes the edit; the same id twice is one edit. The
	// store sees to that: it asks for the row of an id before it applies one.
	ID     string
	Base   int64 // revision it was made on; for the record, decides nothing
	Put    []Put
	Remove []Ref
	// Reach widens the window's end to at least this time, at most to the clip's
	// end. It is not undone.
	Reach *Micros
	Set   *Facts
	Undo  string // id of the edit to undo
	Redo  string // id of the undo edit to take back
}

// Put adds an event (Was 0) or replaces the one with the same id whose Rev is
// Was. Closing an open event at or before its start removes it. Events come into
// a reading by edits, so that each has a Rev of at least 1: one with Rev 0 can't
// be replaced.
type Put struct {
	Event Event // its Rev is ignored
	Was   int64
}

// Ref names an event and the revision at which it was seen.
type Ref struct {
	ID  string
	Was int64
}

// Facts are settings of a reading that an edit may change; nil leaves as is.
type Facts struct {
	Window   *Span
	Chosen   *string
	Coded    *[]string // pointer to nil: all lanes
	Finished *bool
	Book     *Codebook // move the reading to this version of a book
}

// Change is one event before and after an edit. Before is nil for an event that
// was added, After for one that was removed. Both carry their Rev.
type Change struct {
	ID            string
	Before, After *Event
}

// Applied is what an edit did, complete enough to be undone: a row of the journal.
type Applied struct {
	Edit     string // id
	Revision int64  // of the reading after it
	Changes  []Change
	// FactsBefore and FactsAfter hold the facts it changed, nil if none.
	FactsBefore, FactsAfter *Facts
	Reach                   *Micros // new window end, if it was widened by the edit's reach
	Undo, Redo              string  // as in the edit
}

// Conflict says that events which an edit touches have changed since. It matches
// [ErrConflict].
type Conflict struct {
	Revision int64 // of the reading now
	Events   []ConflictEvent
	// Gone is set where an undo or redo names an edit that can't be undone any more.
	Gone bool
	// Facts names facts that an undo or redo would set and that were set otherwise
	// since: window, chosen, coded, finished, book.
	Facts []string
}

// ConflictEvent is one event as the edit wanted it and as it is. Nil: no such event.
type ConflictEvent struct {
	ID         string
	Yours, Now *Event
}

package library

import (
	"context"
	"errors"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// Outcome is what an edit led to.
type Outcome struct {
	Reading  *annotate.Reading
	Applied  annotate.Applied
	Repeated bool // the edit had been applied before
}

// Apply checks an edit, writes it to the journal and the events table in one
// durable transaction, and returns what came of it. It fails with
// annotate.Problems, *annotate.Conflict or annotate.ErrNotFound; then nothing
// was changed. meanwhile, if not nil, is called with the new reading while the
// transaction is being written, to use that time.
//
// An edit whose id the reading has seen before is not applied again: the outcome
// has the row it made then and the reading as it is now.
func (l *Library) Apply(ctx context.Context, readingID string, e annotate.Edit, meanwhile func(*annotate.Reading)) (Outcome, error) {
	done, err := l.begin()
	if err != nil {
		return Outcome{}, err
	}
	defer done()
	v, give := l.take(readingID)
	defer give()
	v.mu.Lock()
	defer v.mu.Unlock()
	h, err := l.whole(ctx, v)
	if err != nil {
		return Outcome{}, err
	}
	if _, again := h.edits[e.ID]; again {
		row, _ := h.reading.History.Row(e.ID)
		return Outcome{Reading: h.reading, Applied: row, Repeated: true}, nil
	}
	next, row, err := h.reading.Apply(e)
	if err != nil {
		return Outcome{}, err
	}
	if err := l.append(ctx, v, h, next, row, meanwhile); err != nil {
		return Outcome{}, err
	}
	return Outcome{Reading: next, Applied: row}, nil
}

// append writes an edit while meanwhile runs, and puts the new reading in the old
// one's place once it is written; v.mu is held. A panic of meanwhile is passed on
// to the caller after that.
func (l *Library) append(ctx context.Context, v *volume, h *held, next *annotate.Reading, row annotate.Applied, meanwhile func(*annotate.Reading)) error {
	finished := make(chan any, 1)
	if meanwhile == nil {
		finished <- nil
	} else {
		// The write stays here: it is what takes longest, and needs no waking up then.
		go func() {
			defer func() { finished <- recover() }()
			meanwhile(next)
		}()
	}
	err := l.store.Append(ctx, next, row)
	if err == nil {
		h.edits[row.Edit] = struct{}{}
		v.now.Store(&held{reading: next, edits: h.edits})
		l.watchers.tell(Notice{Reading: v.id, Revision: row.Revision})
	} else {
		// The database holds the truth; the next who asks gets it from there.
		v.now.Store(nil)
	}
	if wrong := <-finished; wrong != nil {
		panic(wrong)
	}
	if errors.Is(err, store.ErrTaken) {
		return annotate.Problems{{Field: "id", Message: "The id of this edit belongs to an edit of another reading. Nothing was changed.", Hint: "Make the edit once more."}}
	}
	return err
}

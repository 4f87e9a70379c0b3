package library

import (
	"context"
	"errors"
	"slices"
	"sync"
	"sync/atomic"

	"afterwalk/annotate"
)

// shelved is how many readings stay in memory while nobody uses them.
const shelved = 200

// shelf keeps readings in memory, so that an edit needs no reading from disk.
type shelf struct {
	mu    sync.Mutex
	all   map[string]*volume // by id of the reading
	clock int64
}

// volume is one reading's place on the shelf. Whoever changes now holds mu.
type volume struct {
	id  string
	mu  sync.Mutex
	now atomic.Pointer[held] // nil: not loaded

	users int   // guarded by the shelf's mu
	used  int64 // when last, by the shelf's clock
}

// held is a reading in memory. It isn't changed; a new one takes its place.
type held struct {
	reading *annotate.Reading
	edits   map[string]struct{} // ids of all its edits; nil: loaded without its history
}

func newShelf() *shelf { return &shelf{all: map[string]*volume{}} }

// take returns a reading's place for use until it is given back.
func (s *shelf) take(id string) *volume {
	s.mu.Lock()
	defer s.mu.Unlock()
	v := s.all[id]
	if v == nil {
		v = &volume{id: id}
		s.all[id] = v
	}
	s.clock++
	v.users++
	v.used = s.clock
	return v
}

// give gives a place back. Where too many are kept, the one that was unused for
// longest goes.
func (s *shelf) give(v *volume) {
	s.mu.Lock()
	defer s.mu.Unlock()
	v.users--
	if v.users == 0 && v.now.Load() == nil {
		delete(s.all, v.id) // there is no such reading, or it couldn't be loaded
		return
	}
	for len(s.all) > shelved {
		var oldest *volume
		for _, w := range s.all {
			if w.users == 0 && (oldest == nil || w.used < oldest.used) {
				oldest = w
			}
		}
		if oldest == nil {
			return
		}
		delete(s.all, oldest.id)
	}
}

// take is shelf.take with the way to give it back.
func (l *Library) take(id string) (v *volume, give func()) {
	v = l.shelf.take(id)
	return v, func() { l.shelf.give(v) }
}

// whole returns a reading with its history, loading it if need be; v.mu is held.
func (l *Library) whole(ctx context.Context, v *volume) (*held, error) {
	if h := v.now.Load(); h != nil && h.edits != nil {
		return h, nil
	}
	r, err := l.store.Reading(ctx, v.id)
	if err != nil {
		return nil, err
	}
	h := &held{reading: r, edits: map[string]struct{}{}}
	for _, row := range r.History.Journal.Rows() {
		h.edits[row.Edit] = struct{}{}
	}
	v.now.Store(h)
	return h, nil
}

// light returns a reading as it is now, with or without its history.
func (l *Library) light(ctx context.Context, id string) (*annotate.Reading, error) {
	if l.cfg.ReadOnly { // another process may be writing
		return l.store.ReadingNow(ctx, id)
	}
	v, give := l.take(id)
	defer give()
	if h := v.now.Load(); h != nil {
		return h.reading, nil
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	if h := v.now.Load(); h != nil {
		return h.reading, nil
	}
	r, err := l.store.ReadingNow(ctx, id)
	if err == nil {
		v.now.Store(&held{reading: r})
	}
	return r, err
}

// refresh brings readings in memory up to date with what their clips, sessions
// and dogs say now.
func (l *Library) refresh(ctx context.Context, ids []string) error {
	for _, id := range ids {
		if err := l.refreshOne(ctx, id); err != nil {
			return err
		}
	}
	return nil
}

func (l *Library) refreshOne(ctx context.Context, id string) error {
	v, give := l.take(id)
	defer give()
	v.mu.Lock()
	defer v.mu.Unlock()
	return l.refreshHeld(ctx, v)
}

// refreshHeld is refreshOne where v.mu is held.
func (l *Library) refreshHeld(ctx context.Context, v *volume) error {
	h := v.now.Load()
	if h == nil {
		return nil // it is loaded as it is then
	}
	r, err := l.store.ReadingNow(ctx, v.id)
	if err != nil {
		v.now.Store(nil)
		if errors.Is(err, annotate.ErrNotFound) { // put into the bin meanwhile
			return nil
		}
		return err
	}
	r.History = h.reading.History
	v.now.Store(&held{reading: r, edits: h.edits})
	return nil
}

// changing makes a change that reaches into the rows of readings, with no edit of
// them meanwhile, and brings those in memory up to date. Whoever adds readings of
// the same footage has to be kept out besides (framing).
func (l *Library) changing(ctx context.Context, readings []string, change func() error) error {
	ids := slices.Clone(readings)
	slices.Sort(ids) // two changes wait for each other, not both
	held := make([]*volume, 0, len(ids))
	for _, id := range slices.Compact(ids) {
		v, give := l.take(id)
		defer give()
		v.mu.Lock()
		defer v.mu.Unlock()
		held = append(held, v)
	}
	if err := change(); err != nil {
		return err
	}
	for _, v := range held {
		if err := l.refreshHeld(ctx, v); err != nil {
			return err
		}
	}
	return nil
}

// forget takes readings out of memory, because they are no longer to be seen.
// Whoever loads one meanwhile is waited for.
func (l *Library) forget(ids []string) {
	for _, id := range ids {
		v, give := l.take(id)
		v.mu.Lock()
		v.now.Store(nil)
		v.mu.Unlock()
		give()
	}
}

package library

import "sync"

// Notice is what changed: a reading's revision, a job, or the book.
type Notice struct {
	Reading  string
	Revision int64
	Job      *Job
	Book     int // the newest version, 0 for another notice
}

// watched is how many notices wait for a watcher before the oldest is dropped.
const watched = 256

// watchers are those who are told what changes.
type watchers struct {
	mu     sync.Mutex
	all    map[chan Notice]struct{}
	closed bool
}

// Watch returns a channel of notices, sent after commit, until cancel is called
// or the library is closed; then the channel is closed. A slow watcher loses the
// oldest ones, never blocks a writer.
func (l *Library) Watch() (notices <-chan Notice, cancel func()) { return l.watchers.add() }

func (w *watchers) add() (<-chan Notice, func()) {
	w.mu.Lock()
	defer w.mu.Unlock()
	c := make(chan Notice, watched)
	if w.closed {
		close(c)
		return c, func() {}
	}
	if w.all == nil {
		w.all = map[chan Notice]struct{}{}
	}
	w.all[c] = struct{}{}
	return c, func() { w.remove(c) }
}

func (w *watchers) remove(c chan Notice) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if _, ok := w.all[c]; ok {
		delete(w.all, c)
		close(c)
	}
}

// tell sends a notice to all. It is the only sender, so after one was taken out
// there is room.
func (w *watchers) tell(n Notice) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for c := range w.all {
		select {
		case c <- n:
			continue
		default:
		}
		select {
		case <-c:
		default:
		}
		c <- n
	}
}

func (w *watchers) close() {
	w.mu.Lock()
	defer w.mu.Unlock()
	for c := range w.all {
		close(c)
	}
	w.all, w.closed = nil, true
}

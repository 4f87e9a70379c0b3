package proof

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"net/http"
	"slices"
	"sync"
	"time"
)

// coder is a client that codes one reading as fast as it can, sends every edit
// until it is acknowledged, and knows what should be there.
type coder struct {
	*client
	reading string
	alone   bool // nobody else codes this reading, so it may undo
	random  *rand.Rand
	events  map[string]coded
	done    []turn
	undone  []turn

	mu   sync.Mutex
	acks []ack
}

// turn is an edit that can be undone, or an undo that can be redone, with the
// events before and after.
type turn struct {
	id            string
	before, after map[string]coded
}

// next makes an edit and says what the events are once it is stored.
func (c *coder) next() (e edit, after map[string]coded) {
	e = edit{ID: newID()}
	after = maps.Clone(c.events)
	codes := []string{"marker", "praise", "turn", "heard", "name"}
	code, at := codes[c.random.IntN(len(codes))], int64(c.random.IntN(5_000_000))
	own := ""
	for id := range c.events { // any
		own = id
		break
	}
	switch n := c.random.IntN(10); {
	case c.alone && n == 0 && len(c.done) > 0:
		last := c.done[len(c.done)-1]
		e.Undo = last.id
		return e, last.before
	case c.alone && n == 1 && len(c.undone) > 0:
		last := c.undone[len(c.undone)-1]
		e.Redo = last.id
		return e, last.before
	case own != "" && n < 4:
		was := c.events[own]
		now := coded{ID: own, Code: code, Start: at, End: &at, Note: fmt.Sprint("was ", was.Code)}
		e.Put = []put{{now, was.Rev}}
		after[own] = now
	case own != "" && n < 5:
		e.Remove = []remove{{own, c.events[own].Rev}}
		delete(after, own)
	default:
		now := momentAt(code, at)
		e.Put = []put{{now, 0}}
		after[now.ID] = now
	}
	return e, after
}

// code makes one edit and sends it until it is acknowledged, or until ctx ends. It
// reports whether coding may go on.
func (c *coder) code(ctx context.Context) bool {
	e, after := c.next()
	var reply acknowledged
	for {
		status, text, err := c.ask(ctx, http.MethodPost, "/api/readings/"+c.reading+"/edits", e)
		if err == nil && status == http.StatusOK {
			err = json.Unmarshal(text, &reply)
			if err == nil {
				break
			}
		}
		if err == nil {
			c.t.Errorf("edit %+v was answered %d: %s", e, status, text)
			return false
		}
		select { // the server is away
		case <-ctx.Done():
			return false
		case <-time.After(10 * time.Millisecond):
		}
	}
	c.mu.Lock()
	c.acks = append(c.acks, ack{ID: e.ID, Revision: reply.Revision, Repeated: reply.Repeated})
	c.mu.Unlock()
	for _, now := range reply.Changed {
		if was, ok := after[now.ID]; ok {
			if now.String() != was.String() {
				c.t.Errorf("stored as %v, sent as %v", now, was)
			}
			after[now.ID] = now
		}
	}
	done := turn{e.ID, c.events, after}
	switch {
	case e.Undo != "":
		c.done = c.done[:len(c.done)-1]
		c.undone = append(c.undone, done)
	case e.Redo != "":
		c.undone = c.undone[:len(c.undone)-1]
		c.done = append(c.done, done)
	default:
		c.done, c.undone = append(c.done, done), nil
	}
	c.events = after
	return true
}

// acknowledgedYet returns the edits acknowledged so far.
func (c *coder) acknowledgedYet() []ack {
	c.mu.Lock()
	defer c.mu.Unlock()
	return slices.Clone(c.acks)
}

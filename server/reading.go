package server

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/store"
	"afterwalk/internal/wire"
)

// readingReply is what the desk starts from.
type readingReply struct {
	Reading       wire.Reading    `json:"reading"`
	Revision      int64           `json:"revision"`
	Undo          *string         `json:"undo"` // the edit that undo would take back
	Redo          *string         `json:"redo"` // the undo that redo would take back
	Measures      json.RawMessage `json:"measures"`
	MeasuresError string          `json:"measures_error,omitempty"`
	Clip          clipReply       `json:"clip"`
}

// clipReply is the clip of a reading, and where it belongs.
type clipReply struct {
	ID         string          `json:"id"`
	Name       string          `json:"name"`
	Media      string          `json:"media"`
	Frames     string          `json:"frames"`
	DurationUS annotate.Micros `json:"duration_us"`
	StartUS    annotate.Micros `json:"start_us"`
	FrameRate  float64         `json:"frame_rate"`
	Variable   bool            `json:"variable"`
	NeedsProxy string          `json:"needs_proxy"` // why a browser can't play it, "" if it can, or once the copy that it can play is there
	Proxy      *proxyReply     `json:"proxy"`       // the copy that browsers play; null: none is needed
	HasAudio   bool            `json:"has_audio"`
	Silent     string          `json:"silent"` // why its sound can't be heard in a browser, "" if it can
	Session    sessionReply    `json:"session"`
	Position   int             `json:"position"` // within the session, from 1
	Of         int             `json:"of"`
	Dog        dogReply        `json:"dog"`
}

// proxyReply is how far the copy is that browsers can play.
type proxyReply struct {
	State store.ProxyState `json:"state"`
	Done  float64          `json:"done"` // share, 0…1
	Says  string           `json:"says"` // what went wrong, or what differs
}

// proxyOf returns how far the copy of footage is, nil where none is needed or made.
func (s *Server) proxyOf(f store.Footage) *proxyReply {
	if f.Proxy == store.ProxyNone {
		return nil
	}
	out := &proxyReply{State: f.Proxy, Says: f.ProxySays}
	if j, ok := s.cfg.Library.ProxyJob(f.ID); ok {
		out.Done = j.Done
	} else if f.Proxy == store.ProxyReady {
		out.Done = 1
	}
	return out
}

type sessionReply struct {
	ID     string        `json:"id"`
	Title  string        `json:"title"`
	Device *store.Device `json:"device"` // what it is worked with; null: nothing, or not one of the dog's
}

type dogReply struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Side string `json:"side"`
}

// reading answers with a reading, its measures and its clip.
func (s *Server) reading(c echo.Context) error {
	ctx := c.Request().Context()
	r, err := s.cfg.Library.Reading(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	out := readingReply{Reading: wire.FromReading(r), Revision: r.Revision}
	out.Undo, out.Redo = lastOf(r.History.Done), lastOf(r.History.Undone)
	out.Measures, out.MeasuresError = measured(r)
	if out.Clip, err = s.clipOf(ctx, r.ID); err != nil {
		return err
	}
	return c.JSON(http.StatusOK, out)
}

// clipOf describes the clip that a reading codes.
func (s *Server) clipOf(ctx context.Context, readingID string) (clipReply, error) {
	l := s.cfg.Library
	clipID, err := l.ReadingClip(ctx, readingID)
	if err != nil {
		return clipReply{}, err
	}
	clip, err := l.Clip(ctx, clipID)
	if err != nil {
		return clipReply{}, err
	}
	clips, err := l.Clips(ctx, clip.SessionID)
	if err != nil {
		return clipReply{}, err
	}
	dog, err := l.Dog(ctx, clip.DogID)
	if err != nil {
		return clipReply{}, err
	}
	title, err := s.sessionTitle(ctx, clip.DogID, clip.SessionID)
	if err != nil {
		return clipReply{}, err
	}
	session, err := l.Session(ctx, clip.SessionID)
	if err != nil {
		return clipReply{}, err
	}
	f := clip.Footage
	out := clipReply{
		ID: clip.ID, Name: clipName(f), Media: "/media/" + clip.ID, Frames: "/api/clips/" + clip.ID + "/frames",
		DurationUS: f.Duration, StartUS: f.Start, FrameRate: f.FrameRate, Variable: f.Variable,
		NeedsProxy: f.NeedsProxy, HasAudio: f.Audio != "", Silent: f.Silent,
		Session: sessionReply{ID: clip.SessionID, Title: title, Device: sessionDevice(dog, session)}, Of: len(clips),
		Dog: dogReply{ID: dog.ID, Name: dog.Name, Side: dog.Side},
	}
	out.Proxy = s.proxyOf(f)
	if f.Proxy == store.ProxyReady {
		out.NeedsProxy, out.Silent = "", ""
	}
	for i, other := range clips {
		if other.ID == clip.ID {
			out.Position = i + 1
		}
	}
	return out, nil
}

// sessionDevice returns the device that a session names, nil if the dog has none of that
// name.
func sessionDevice(dog store.Dog, session store.Session) *store.Device {
	for i, d := range dog.Devices {
		if d.Name == session.Device {
			return &dog.Devices[i]
		}
	}
	return nil
}

// lastOf returns the newest of a list of ids, nil if it is empty.
func lastOf(ids []string) *string {
	if len(ids) == 0 {
		return nil
	}
	return &ids[len(ids)-1]
}

// editReply is what an edit led to, without the measures, which are JSON already.
type editReply struct {
	Revision      int64        `json:"revision"`
	Repeated      bool         `json:"repeated"`
	Changed       []wire.Event `json:"changed"` // as they are now
	Removed       []string     `json:"removed"`
	Window        wire.Window  `json:"window"`
	Chosen        string       `json:"chosen"`
	Coded         []string     `json:"coded"` // null: all lanes
	Finished      bool         `json:"finished"`
	Undo          *string      `json:"undo"`
	Redo          *string      `json:"redo"`
	MeasuresError string       `json:"measures_error,omitempty"`
}

// edit applies an edit to a reading. The measures are computed while the edit is
// being written to disk.
func (s *Server) edit(c echo.Context) error {
	var w wire.Edit
	if err := readJSON(c, &w); err != nil {
		return err
	}
	e, err := w.Edit()
	if err != nil {
		return unreadable(err)
	}
	var m json.RawMessage
	var mErr string
	var of *annotate.Reading // what m was measured of
	out, err := s.cfg.Library.Apply(c.Request().Context(), c.Param("id"), e, func(r *annotate.Reading) {
		of = r
		m, mErr = measured(r)
	})
	if err != nil {
		return err
	}
	r := out.Reading
	if of != r { // repeated: nothing had to be written
		m, mErr = measured(r)
	}
	reply := editReply{
		Revision: r.Revision, Repeated: out.Repeated, Changed: []wire.Event{}, Removed: []string{},
		Window: wire.FromSpan(r.Window), Chosen: r.Chosen, Coded: r.Coded, Finished: r.Finished,
		Undo: lastOf(r.History.Done), Redo: lastOf(r.History.Undone), MeasuresError: mErr,
	}
	reply.changes(out.Applied, r, out.Repeated)
	body, err := json.Marshal(reply)
	if err != nil {
		return fmt.Errorf("server: reply to edit %s: %w", e.ID, err)
	}
	return c.JSONBlob(http.StatusOK, withMeasures(body, m))
}

// withMeasures adds measures to a JSON object that has at least one field.
// Encoding them as part of it would go over their text, by far the longest part
// of a reply, once more.
func withMeasures(object, m json.RawMessage) []byte {
	if m == nil {
		m = json.RawMessage("null")
	}
	object = append(object[:len(object)-1], `,"measures":`...)
	return append(append(object, m...), '}')
}

// changes lists the events that an edit touched. A repeated edit may be followed
// by others, so its events are given as the reading has them now.
func (reply *editReply) changes(a annotate.Applied, r *annotate.Reading, repeated bool) {
	now := map[string]*annotate.Event{}
	if repeated {
		for i := range r.Events {
			now[r.Events[i].ID] = &r.Events[i]
		}
	}
	for _, ch := range a.Changes {
		e := ch.After
		if repeated {
			e = now[ch.ID]
		}
		if e == nil {
			reply.Removed = append(reply.Removed, ch.ID)
			continue
		}
		reply.Changed = append(reply.Changed, wire.FromEvent(*e))
	}
}

package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"afterwalk/internal/library"
)

// readingNotice says that a reading has come to a revision. What changed is asked
// for by whoever shows it.
type readingNotice struct {
	Reading  string `json:"reading"`
	Revision int64  `json:"revision"`
}

// bookNotice says that the book has a newer version.
type bookNotice struct {
	Version int `json:"version"`
}

// streamWriteWithin is how long a reader of the stream may take to accept a line.
const streamWriteWithin = 30 * time.Second

// stream tells a page what changes, as server-sent events, until the page goes
// or the server stops. A comment line every now and then shows that both live.
func (s *Server) stream(c echo.Context) error {
	notices, cancel := s.cfg.Library.Watch()
	defer cancel()
	h := c.Response().Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	out := http.NewResponseController(c.Response().Writer)
	send := func(text string) error {
		// A test's recorder knows no deadlines.
		_ = out.SetWriteDeadline(time.Now().Add(streamWriteWithin))
		if _, err := c.Response().Write([]byte(text)); err != nil {
			return err
		}
		return out.Flush()
	}
	defer func() { _ = out.SetWriteDeadline(time.Time{}) }() // the connection may serve more
	c.Response().WriteHeader(http.StatusOK)
	if err := send("retry: 1000\n: here\n\n"); err != nil {
		return nil // the page has gone
	}
	beat := time.NewTicker(s.cfg.Beat)
	defer beat.Stop()
	for {
		var text string
		select {
		case <-s.stopping:
			return nil
		case <-c.Request().Context().Done():
			return nil
		case <-beat.C:
			text = ": here\n\n"
		case n, ok := <-notices:
			if !ok {
				return nil // the library was closed
			}
			var err error
			if text, err = streamEvent(n); err != nil {
				return err
			}
		}
		if err := send(text); err != nil {
			return nil
		}
	}
}

// streamEvent writes a notice as one server-sent event.
func streamEvent(n library.Notice) (string, error) {
	name, data := "reading", any(readingNotice{n.Reading, n.Revision})
	switch {
	case n.Job != nil:
		name, data = "job", jobReply(*n.Job)
	case n.Book > 0:
		name, data = "book", bookNotice{n.Book}
	}
	b, err := json.Marshal(data) // on one line
	if err != nil {
		return "", fmt.Errorf("server: notice: %w", err)
	}
	return fmt.Sprintf("event: %s\ndata: %s\n\n", name, b), nil
}

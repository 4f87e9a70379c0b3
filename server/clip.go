package server

import (
	"encoding/binary"
	"fmt"
	"math"
	"net/http"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// framesWanted is the reply while a frame table isn't there.
type framesWanted struct {
	State   store.FrameState `json:"state"`
	Message string           `json:"message"`
}

// frames answers with a clip's frame table: little-endian float64, microseconds,
// the start of each frame and then the end of the last one; 202 while it is not
// there.
func (s *Server) frames(c echo.Context) error {
	ctx := c.Request().Context()
	clip, err := s.cfg.Library.Clip(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	table, state, err := s.cfg.Library.Frames(ctx, clip.ID)
	if err != nil {
		return err
	}
	switch state {
	case store.FramesReady:
	case store.FramesFailed:
		m := "The frames of this clip could not be read: times are kept, but steps are not by frames."
		if clip.Footage.Warning != "" {
			m = clip.Footage.Warning
		}
		return c.JSON(http.StatusAccepted, framesWanted{state, m})
	default:
		return c.JSON(http.StatusAccepted, framesWanted{store.FramesWanted, "The frames of this clip are being read. It can be coded already; times snap to frames when they are there."})
	}
	h := c.Response().Header()
	h.Set("Content-Type", "application/octet-stream")
	h.Set("Cache-Control", "private, no-cache")
	h.Set("ETag", fmt.Sprintf(`"frames-%s-%d-%d"`, etagSafe(clip.Footage.Fingerprint), len(table.PTS), table.End))
	http.ServeContent(c.Response(), c.Request(), "", time.Time{}, strings.NewReader(packFrames(table)))
	return nil
}

// packFrames lays a frame table out as the page reads it.
func packFrames(t media.FrameTable) string {
	b := make([]byte, 0, 8*(len(t.PTS)+1))
	for _, at := range t.PTS {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(float64(at)))
	}
	b = binary.LittleEndian.AppendUint64(b, math.Float64bits(float64(t.End)))
	return string(b)
}

// Limits of what a person types in a form, in characters.
const (
	maxName = 300
	maxText = 20_000
)

// formText returns a field of a form, cleaned.
func formText(c echo.Context, field string, most int) (string, error) {
	v := cleaned(c.FormValue(field))
	if n := utf8.RuneCountInString(v); n > most {
		return "", annotate.Problems{{Field: field, Message: fmt.Sprintf("The %s is too long: %d characters, at most %d are kept.", field, n, most), Hint: "Go back and shorten it."}}
	}
	return v, nil
}

// cleaned returns what was typed without space around it; control characters other
// than line breaks and tabs become spaces, what isn't text becomes \uFFFD.
func cleaned(v string) string {
	return strings.ToValidUTF8(strings.TrimSpace(strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\t' || r == 0x7f {
			return ' '
		}
		return r
	}, strings.ReplaceAll(v, "\r\n", "\n"))), "\uFFFD")
}

// newReading starts one person's reading of a clip and leads to its desk.
func (s *Server) newReading(c echo.Context) error {
	if err := s.parseForm(c); err != nil {
		return err
	}
	reader, err := formText(c, "reader", maxName)
	if err != nil {
		return err
	}
	if reader == "" {
		return annotate.Problems{{Field: "reader", Message: "A reading needs the name of who codes it.", Hint: "Go back and write a name or initials."}}
	}
	id, err := s.cfg.Library.NewReading(c.Request().Context(), c.Param("id"), reader)
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/desk/"+id)
}

// parseForm reads a posted form, so that one that is too large or broken is told
// from an empty one.
func (s *Server) parseForm(c echo.Context) error {
	if err := c.Request().ParseForm(); err != nil {
		return &badRequest{message: "The form could not be read. Nothing was changed.", hint: "Go back and send it again.", cause: err}
	}
	return nil
}

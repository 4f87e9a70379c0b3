package server

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"path"
	"strings"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/annotate/caption"
	"afterwalk/internal/exchange"
)

// tracks are the caption tracks that a reading can be turned into.
var tracks = map[string]func(*annotate.Reading) []caption.Cue{
	"coder": func(r *annotate.Reading) []caption.Cue { return caption.Coder(r, caption.DefaultFit()) },
}

// captions answers with a caption track, WebVTT or SRT by the address;
// ?track=coder is the default, ?download=1 has it saved.
func (s *Server) captions(c echo.Context) error {
	r, err := s.cfg.Library.Reading(c.Request().Context(), c.Param("id"))
	if err != nil {
		return err
	}
	name := c.QueryParam("track")
	if name == "" {
		name = "coder"
	}
	track, ok := tracks[name]
	if !ok {
		return fmt.Errorf("server: caption track %q: %w", name, annotate.ErrNotFound)
	}
	ending := path.Ext(c.Path())
	kind, write := "text/vtt; charset=utf-8", exchange.WriteVTT
	if ending == ".srt" {
		kind, write = "application/x-subrip; charset=utf-8", exchange.WriteSRT
	}
	var b bytes.Buffer
	if _, err := write(&b, track(r)); err != nil {
		return fmt.Errorf("server: captions of reading %s: %w", r.ID, err)
	}
	return saved(c, kind, fileName(r, name+ending), c.QueryParam("download") == "1", b.Bytes())
}

// exportReading answers with a reading as a file.
func (s *Server) exportReading(c echo.Context) error {
	r, err := s.cfg.Library.Reading(c.Request().Context(), c.Param("id"))
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := exchange.WriteReading(io.Writer(&b), r); err != nil {
		return fmt.Errorf("server: export reading %s: %w", r.ID, err)
	}
	return saved(c, "application/json; charset=utf-8", fileName(r, "reading.json"), true, b.Bytes())
}

// saved sends a file, to be saved under a name if download says so.
func saved(c echo.Context, kind, name string, download bool, content []byte) error {
	if download {
		c.Response().Header().Set("Content-Disposition", attachment(name))
	}
	return c.Blob(http.StatusOK, kind, content)
}

// fileName names a file made from a reading: the clip's name, the reader, what
// it is.
func fileName(r *annotate.Reading, what string) string {
	clip := strings.TrimSuffix(r.Clip.File, path.Ext(r.Clip.File))
	var parts []string
	for _, p := range []string{plainName(clip, 60), plainName(r.Reader, 30), what} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ".")
}

// plainName returns at most so many characters of a name; signs that a file
// system may refuse become hyphens.
func plainName(s string, most int) string {
	s = strings.Trim(strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f || strings.ContainsRune(`/\:*?"<>|%`, c) {
			return '-'
		}
		return c
	}, strings.ToValidUTF8(s, "-")), " .-")
	if runes := []rune(s); len(runes) > most {
		s = string(runes[:most])
	}
	return s
}

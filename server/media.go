package server

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"afterwalk/internal/store"
)

// mediaCap is the most that one reply to a range carries, in bytes. A browser
// opens six connections to one host, and a page whose film has read far enough
// ahead stops reading in the middle of a reply: with 4 MiB, six such pages held
// every connection, and edits of all pages waited for 9 s. So little as this is
// read to its end by the browser's network side whether the page wants it or not.
const mediaCap = 1 << 20

// media answers ranges of a clip's footage. It opens nothing but what the
// library holds as that clip's file.
func (s *Server) media(c echo.Context) error {
	ctx := c.Request().Context()
	// A browser breaks requests off whenever it seeks. Which clip it is takes no time
	// to say; only the file is read for as long as somebody waits.
	clip, err := s.cfg.Library.Clip(context.WithoutCancel(ctx), c.Param("id"))
	if err != nil {
		return err
	}
	f, err := s.cfg.Library.PlayFootage(ctx, clip)
	if err != nil {
		return err
	}
	defer f.Close()
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return fmt.Errorf("server: size of clip %s: %w", clip.ID, err)
	}
	changed := time.Time{}
	if st, ok := f.(interface{ Stat() (fs.FileInfo, error) }); ok {
		if info, err := st.Stat(); err == nil {
			changed = info.ModTime()
		}
	}
	h := c.Response().Header()
	kind := mediaType(clip.Footage)
	if clip.Footage.Proxy == store.ProxyReady {
		kind = "video/mp4"
	}
	h.Set("Content-Type", kind)
	h.Set("Cache-Control", "private, no-cache")
	h.Set("ETag", fmt.Sprintf(`"%s-%x-%x"`, etagSafe(clip.Footage.Fingerprint), size, changed.UnixNano()))
	r := c.Request()
	if given := r.Header.Get("Range"); given != "" {
		r = r.Clone(ctx)
		r.Header.Set("Range", capRange(given, size))
	}
	http.ServeContent(c.Response(), r, "", time.Time{}, f)
	return nil
}

// capRange returns the first range of a Range header that size has bytes for,
// cut to mediaCap bytes. A header that can't be read, or that asks only for what
// lies behind the end, is returned as it is, to be refused.
func capRange(header string, size int64) string {
	list, ok := strings.CutPrefix(header, "bytes=")
	if !ok {
		return header
	}
	for spec := range strings.SplitSeq(list, ",") {
		first, last, ok := strings.Cut(strings.TrimSpace(spec), "-")
		if !ok {
			return header
		}
		from, to := int64(0), size-1
		if first == "" {
			n, err := strconv.ParseUint(last, 10, 63)
			if err != nil {
				return header
			}
			if n == 0 {
				continue
			}
			from = max(0, size-int64(n))
		} else {
			n, err := strconv.ParseUint(first, 10, 63)
			if err != nil {
				return header
			}
			from = int64(n)
			if last != "" {
				m, err := strconv.ParseUint(last, 10, 63)
				if err != nil || int64(m) < from {
					return header
				}
				to = min(to, int64(m))
			}
		}
		if from >= size {
			continue
		}
		return fmt.Sprintf("bytes=%d-%d", from, min(to, from+mediaCap-1))
	}
	return header
}

// mediaType returns the content type of footage by its container; the ending of
// the name decides only between two that share one.
func mediaType(f store.Footage) string {
	has := func(name string) bool {
		for n := range strings.SplitSeq(f.Format, ",") {
			if n == name {
				return true
			}
		}
		return false
	}
	switch {
	case has("webm") && strings.EqualFold(path.Ext(f.Path), ".webm"):
		return "video/webm"
	case has("matroska"):
		return "video/x-matroska"
	case has("mp4"), has("mov"):
		return "video/mp4"
	case has("mpegts"):
		return "video/mp2t"
	case has("avi"):
		return "video/x-msvideo"
	}
	return "application/octet-stream"
}

// etagSafe leaves only what an ETag may hold.
func etagSafe(s string) string {
	return strings.Map(func(r rune) rune {
		if r > ' ' && r < 0x7f && r != '"' {
			return r
		}
		return -1
	}, s)
}

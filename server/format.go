package server

import (
	"fmt"
	"html/template"
	"math"
	"path"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// pageFuncs is what templates may call.
var pageFuncs = template.FuncMap{
	"day":    day,
	"clock":  clock,
	"length": length,
	"count":  count,
	"clip":   clipName,
}

// day writes a date as people say it: Sat 9 May 2026.
func day(t *time.Time) string {
	if t == nil {
		return "no date"
	}
	return t.Format("Mon 2 Jan 2006")
}

// clock writes the time of a day: 17:05.
func clock(t *time.Time) string {
	if t == nil {
		return ""
	}
	return t.Format("15:04")
}

// length writes a length in minutes and seconds, with hours from one on: 0:35,
// 12:00, 1:02:03. It rounds to the second first.
func length(m annotate.Micros) string {
	s := int64(math.Round(m.Seconds()))
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// count writes a number with its noun: 1 clip, 3 clips.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// clipName returns the base name of a clip's file.
func clipName(f store.Footage) string { return path.Base(f.Path) }

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
	"size":   sizeText,
	"tenths": tenths,
	"share":  percentText,
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

// tenths writes a time of a clip to the tenth of a second, as the desk does in its
// lists: 0:35.6.
func tenths(m annotate.Micros) string {
	n := int64(math.Round(m.Seconds() * 10))
	s := n / 10
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d.%d", s/3600, s/60%60, s%60, n%10)
	}
	return fmt.Sprintf("%d:%02d.%d", s/60, s%60, n%10)
}

// sizeText writes a size in bytes for people: 640 kB, 196 MB, 1.4 GB.
func sizeText(n int64) string {
	switch v := float64(n); {
	case n >= 999_500_000:
		return fmt.Sprintf("%.1f GB", v/1e9)
	case n >= 999_500:
		return fmt.Sprintf("%.0f MB", v/1e6)
	case n > 0:
		return fmt.Sprintf("%.0f kB", math.Ceil(v/1e3))
	}
	return "nothing"
}

// percentText writes a share as whole percent, rounded down so that 100 % is all.
func percentText(v float64) string { return fmt.Sprintf("%.0f %%", math.Floor(v*100)) }

// count writes a number with its noun: 1 clip, 3 clips.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// clipName returns the base name of a clip's file.
func clipName(f store.Footage) string { return path.Base(f.Path) }

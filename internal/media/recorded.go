package media

import (
	"strings"
	"time"
)

// recorded returns when a clip was recorded, where that was read, and the zone
// as written ("+02:00"; "" where only UTC is given). Apple's creation date comes
// first because it has a zone; then the creation time of the file and of the
// track. Dates that only say that a clock was never set are passed over.
func recorded(a answer, video *stream, now time.Time) (at *time.Time, by, zone string) {
	for _, source := range []struct{ by, value string }{
		{"quicktime", a.Format.Tags["com.apple.quicktime.creationdate"]},
		{"creation_time", a.Format.Tags["creation_time"]},
		{"creation_time", video.Tags["creation_time"]},
	} {
		t, zoned, ok := parseDate(source.value)
		if !ok || !plausible(t, now) {
			continue
		}
		if zoned {
			zone = t.Format("-07:00")
		}
		return &t, source.by, zone
	}
	return nil, "", ""
}

// parseDate reads a date with a time and a zone; zoned is false for UTC by "Z".
// A date without a zone is not taken: nobody knows which hour it means.
func parseDate(s string) (t time.Time, zoned, ok bool) {
	s = strings.TrimSpace(s)
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05-0700", "2006-01-02T15:04:05-07", "2006-01-02 15:04:05Z07:00", "2006-01-02 15:04:05-0700"} {
		t, err := time.Parse(layout, s)
		if err != nil {
			continue
		}
		if strings.HasSuffix(s, "Z") {
			return t.UTC(), false, true
		}
		_, offset := t.Zone()
		return t.In(time.FixedZone("", offset)), true, true
	}
	return time.Time{}, false, false
}

// plausible reports whether a recording can be from t: not from before digital
// cameras, as the zeros of the clocks of 1904, 1970 and 1980 are, and not from
// the future.
func plausible(t, now time.Time) bool {
	return t.Year() >= 1995 && t.Before(now.Add(24*time.Hour))
}

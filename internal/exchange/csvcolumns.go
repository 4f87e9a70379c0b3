package exchange

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"afterwalk/annotate"
)

// csvRow is what one row is made from.
type csvRow struct {
	CodedClip
	event   *annotate.Event
	code    annotate.Code
	lane    string
	details annotate.Details // the event's over its code's
}

// columns are the columns of a table of events, in order; see [WriteEventsCSV].
var columns = []struct {
	name  string
	of    func(*csvRow) string
	typed bool // a person may have written it
}{
	{"clip", func(r *csvRow) string { return r.Reading.Clip.File }, true},
	{"fingerprint", func(r *csvRow) string { return r.Reading.Clip.Fingerprint }, true},
	{"recorded_at", func(r *csvRow) string { return moment(r.Reading.Clip.RecordedAt) }, false},
	{"dog", func(r *csvRow) string { return r.Reading.Dog.Name }, true},
	{"session", func(r *csvRow) string { return r.Session }, true},
	{"venue", func(r *csvRow) string { return r.Reading.Venue }, true},
	{"handler", func(r *csvRow) string { return r.Reading.Handler }, true},
	{"reader", func(r *csvRow) string { return r.Reading.Reader }, true},
	{"reading", func(r *csvRow) string { return r.Reading.ID }, true},
	{"counts", func(r *csvRow) string { return strconv.FormatBool(r.Counts) }, false},
	{"finished", func(r *csvRow) string { return strconv.FormatBool(r.Reading.Finished) }, false},
	{"window_start_s", func(r *csvRow) string { return inSeconds(r.Reading.Window.Start) }, false},
	{"window_end_s", func(r *csvRow) string { return inSeconds(r.Reading.Window.End) }, false},
	{"book", func(r *csvRow) string { return r.Reading.Book.Name }, true},
	{"book_version", func(r *csvRow) string { return strconv.Itoa(r.Reading.Book.Version) }, false},
	{"event", func(r *csvRow) string { return r.event.ID }, true},
	{"code", func(r *csvRow) string { return r.event.Code }, true},
	{"name", func(r *csvRow) string { return r.code.Name }, true},
	{"lane", func(r *csvRow) string { return r.lane }, true},
	{"role", func(r *csvRow) string { return string(r.code.Role) }, true},
	{"start_us", func(r *csvRow) string { return strconv.FormatInt(int64(r.event.Start), 10) }, false},
	{"end_us", func(r *csvRow) string {
		return unlessOpen(r, func() string { return strconv.FormatInt(int64(r.event.End), 10) })
	}, false},
	{"start_s", func(r *csvRow) string { return inSeconds(r.event.Start) }, false},
	{"end_s", func(r *csvRow) string { return unlessOpen(r, func() string { return inSeconds(r.event.End) }) }, false},
	{"length_s", func(r *csvRow) string {
		return unlessOpen(r, func() string { return inSeconds(r.event.End - r.event.Start) })
	}, false},
	{"kind", func(r *csvRow) string { return r.details.Kind }, true},
	{"posture", func(r *csvRow) string { return r.details.Posture }, true},
	{"command", func(r *csvRow) string { return r.details.Command }, true},
	{"mode", func(r *csvRow) string { return r.details.Mode }, true},
	{"result", func(r *csvRow) string { return r.details.Result }, true},
	{"channel", func(r *csvRow) string { return r.details.Channel }, true},
	{"device", func(r *csvRow) string { return r.details.Device }, true},
	{"who", func(r *csvRow) string { return r.details.Who }, true},
	{"level", func(r *csvRow) string { return number(r.details.Level) }, false},
	{"taps", func(r *csvRow) string { return whole(r.details.Taps) }, false},
	{"planned_s", func(r *csvRow) string { return number(r.details.PlannedS) }, false},
	{"handler_m", func(r *csvRow) string { return number(r.details.HandlerM) }, false},
	{"distance_m", func(r *csvRow) string { return number(r.details.DistanceM) }, false},
	{"other", func(r *csvRow) string { return object(r.details.Extra) }, true},
	{"note", func(r *csvRow) string { return r.event.Note }, true},
}

func unlessOpen(r *csvRow, text func() string) string {
	if r.event.Open {
		return ""
	}
	return text()
}

// inSeconds writes a time in seconds with all its decimals.
func inSeconds(t annotate.Micros) string {
	sign := ""
	if t < 0 {
		sign, t = "-", -t
	}
	return fmt.Sprintf("%s%d.%06d", sign, int64(t/annotate.Second), int64(t%annotate.Second))
}

func moment(t *time.Time) string {
	if t == nil {
		return ""
	}
	return t.Format(time.RFC3339Nano)
}

func number(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'f', -1, 64)
}

func whole(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

// object writes fields of raw JSON as an object, by name; "" for none.
func object(fields map[string]string) string {
	if len(fields) == 0 {
		return ""
	}
	names := make([]string, 0, len(fields))
	for name := range fields {
		names = append(names, name)
	}
	slices.Sort(names)
	var b strings.Builder
	for i, name := range names {
		b.WriteByte("{,"[min(i, 1)])
		quoted, _ := json.Marshal(name) // a string always can be
		b.Write(quoted)
		b.WriteString(":" + fields[name])
	}
	return b.String() + "}"
}

package proof

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// shownCue is a caption as a browser has it; times are whole milliseconds.
type shownCue struct {
	Start, End int64
	Text       string
}

// captions are the cues of the coder's track: one for each event, with the book's
// text, what was coded that the text has no place for in brackets, and the note
// below. They stay as long as the event, at least 1 s and 0.33 s for each word, at
// most 7 s, and end with the clip; none is shorter than 1 s. Times are cut down to
// milliseconds.
func (r *reckoner) captions() []shownCue {
	var all []shownCue
	end := r.us[r.frames()]
	for _, f := range r.facts {
		length, count := "–", "–"
		if f.to > f.from && !f.open {
			length = fmt.Sprintf("%.1f", r.between(f.from, f.to))
		}
		said := f.texts
		var more []string
		if f.given && !strings.Contains(said, "{kind}") {
			more = append(more, f.kind)
		}
		if f.level != nil && !strings.Contains(said, "{level}") {
			more = append(more, text(*f.level))
		}
		if f.role == "pressure" && f.to == f.from {
			count = "1"
			if f.taps != nil {
				count = strconv.Itoa(*f.taps)
			}
		}
		scale := "–"
		if f.level != nil {
			scale = text(*f.level)
		}
		for place, value := range map[string]string{"{seconds}": length, "{taps}": count, "{level}": scale} {
			said = strings.ReplaceAll(said, place, value)
		}
		if len(more) > 0 {
			said += " (" + strings.Join(more, ", ") + ")"
		}
		if f.note != "" {
			said += "\n" + f.note
		}
		from, to := r.us[f.from], r.us[f.to]
		to = max(to, from+1e6, from+330e3*int64(len(strings.Fields(said))))
		to = min(to, from+7e6, end)
		from = min(from, to-1e6)
		all = append(all, shownCue{from / 1000, to / 1000, said})
	}
	inOrder(all)
	return all
}

// inOrder sorts cues by start, end and text, so that two lists compare.
func inOrder(cues []shownCue) {
	slices.SortFunc(cues, func(a, b shownCue) int {
		if a.Start != b.Start {
			return int(a.Start - b.Start)
		}
		if a.End != b.End {
			return int(a.End - b.End)
		}
		return strings.Compare(a.Text, b.Text)
	})
}

// readTrack reads a WebVTT track as far as such a track goes: blocks parted by
// blank lines, times, then text with three entities.
func readTrack(track string) ([]shownCue, error) {
	blocks := strings.Split(strings.TrimSpace(strings.ReplaceAll(track, "\r\n", "\n")), "\n\n")
	if blocks[0] != "WEBVTT" {
		return nil, fmt.Errorf("the track begins with %q", blocks[0])
	}
	var all []shownCue
	for _, b := range blocks[1:] {
		lines := strings.Split(strings.TrimSpace(b), "\n")
		if !strings.Contains(lines[0], "-->") {
			lines = lines[1:] // its name
		}
		var v [8]int64
		if n, err := fmt.Sscanf(lines[0], "%d:%d:%d.%d --> %d:%d:%d.%d", &v[0], &v[1], &v[2], &v[3], &v[4], &v[5], &v[6], &v[7]); n < 8 {
			return nil, fmt.Errorf("cue %q: %v", b, err)
		}
		ms := func(v []int64) int64 { return ((v[0]*60+v[1])*60+v[2])*1000 + v[3] }
		said := strings.NewReplacer("&lt;", "<", "&gt;", ">", "&amp;", "&").Replace(strings.Join(lines[1:], "\n"))
		all = append(all, shownCue{ms(v[:4]), ms(v[4:]), said})
	}
	inOrder(all)
	return all, nil
}

// text writes a number, or what else there is, as it is said.
func text(v any) string {
	if x, ok := v.(float64); ok {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return fmt.Sprint(v)
}

// tenths rounds seconds half up to one decimal.
func tenths(v any) string { return fmt.Sprintf("%.1f", math.Floor(v.(float64)*10+0.5)/10) }

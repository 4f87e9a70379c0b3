package exchange

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"afterwalk/annotate"
	"afterwalk/annotate/caption"

	"github.com/asticode/go-astisub"
)

// Replaced says that a text held something that the track's format can't.
type Replaced struct {
	Events []string // ids of the events that the cue speaks of
	What   string   // a sentence
}

// WriteVTT writes cues as a WebVTT track. Times are cut down to milliseconds,
// both ends. It returns what of the text had to be replaced.
func WriteVTT(w io.Writer, cues []caption.Cue) ([]Replaced, error) {
	if len(cues) == 0 { // the library refuses to write an empty track
		_, err := io.WriteString(w, "WEBVTT\n\n")
		return nil, err
	}
	// The library escapes & and < but not >, so that “-->” in a text would be
	// read as the timing of a cue.
	guard := newGuard(cues, map[string]string{">": "&gt;"})
	subtitles, replaced := prepare(cues, guard, nil)
	return replaced, writeGuarded(w, guard, subtitles.WriteToWebVTT)
}

// WriteSRT writes cues as an SRT track. SRT knows no overlap: cues that are on
// together become one, in order. Times are cut down to milliseconds, both ends.
// An arrow “-->”, which SRT can't hold, becomes “→”; it is returned as replaced.
func WriteSRT(w io.Writer, cues []caption.Cue) ([]Replaced, error) {
	if len(cues) == 0 {
		return nil, nil
	}
	// SRT has no entities, but the library writes them.
	guard := newGuard(cues, map[string]string{"&": "&", "<": "<", "\u00a0": "\u00a0"})
	cues = caption.Disjoint(cues, shortest)
	subtitles, replaced := prepare(cues, guard, func(line string) (string, string) {
		if !strings.Contains(line, "-->") {
			return line, ""
		}
		return strings.ReplaceAll(line, "-->", "→"), "an arrow “-->” is written as “→”: SRT would take it for the timing of a cue."
	})
	return replaced, writeGuarded(w, guard, subtitles.WriteToSRT)
}

// shortest is the shortest time for which a combination of cues is shown by itself.
const shortest = annotate.Second / 5

// writeGuarded lets the library write, puts the guarded texts back, and sends
// the whole track in one piece.
func writeGuarded(w io.Writer, g guard, write func(io.Writer) error) error {
	var track bytes.Buffer
	if err := write(&track); err != nil {
		return fmt.Errorf("exchange: write caption track: %w", err)
	}
	_, err := w.Write(g.restore(track.Bytes()))
	return err
}

// prepare turns cues into the library's form: clean lines, guarded characters,
// whole milliseconds, no cue without length, none before 0. change may replace
// what a format can't hold and then says so.
func prepare(cues []caption.Cue, g guard, change func(string) (line, what string)) (*astisub.Subtitles, []Replaced) {
	subtitles := astisub.NewSubtitles()
	var replaced []Replaced
	for _, c := range cues {
		item := &astisub.Item{
			StartAt: max(0, time.Duration(c.Start)*time.Microsecond).Truncate(time.Millisecond),
			EndAt:   time.Duration(c.End) * time.Microsecond,
		}
		item.EndAt = max(item.EndAt.Truncate(time.Millisecond), item.StartAt+time.Millisecond)
		said := map[string]bool{}
		note := func(what string) {
			if what != "" && !said[what] {
				said[what] = true
				replaced = append(replaced, Replaced{Events: c.Events, What: what})
			}
		}
		for _, line := range c.Lines {
			clean, what := cleanLines(line)
			note(what)
			for _, l := range clean {
				if change != nil {
					l, what = change(l)
					note(what)
				}
				item.Lines = append(item.Lines, astisub.Line{Items: []astisub.LineItem{{Text: g.protect(l)}}})
			}
		}
		if len(item.Lines) == 0 {
			item.Lines = []astisub.Line{{Items: []astisub.LineItem{{Text: "–"}}}}
			note("a cue without any visible text is written as “–”.")
		}
		subtitles.Items = append(subtitles.Items, item)
	}
	return subtitles, replaced
}

// Package media reads footage with ffprobe and ffmpeg: what a file is, when each
// of its frames is shown, and what is derived from it (proxies). It never writes to
// footage and opens nothing but the file it is given.
//
// Times are annotate.Micros on the file's own media timeline, which is the
// timeline of the browser's mediaTime: a file's start time is never subtracted.
package media

import (
	"time"

	"afterwalk/annotate"
)

// Probe is what one call of ffprobe says of a file.
type Probe struct {
	Format        string // container, as ffprobe names it
	Video         string // codec of the picture: h264, hevc, …
	VideoTag      string // codec tag: avc1, hvc1, …
	PixelFormat   string
	Width, Height int             // as displayed, rotation applied
	Rotation      int             // clockwise degrees: 0, 90, 180, 270
	Audio         string          // codec of the first sound track, "" for none
	Duration      annotate.Micros // by the container; the frame table knows better
	Start         annotate.Micros // start time of the container
	FrameRate     float64         // average, frames per second; 0 if not known
	Variable      bool            // frame rate varies
	Frames        int             // by the container; 0 if not known
	Size          int64           // bytes
	RecordedAt    *time.Time
	RecordedBy    string // where RecordedAt was read: "creation_time", "quicktime", …
	RecordedZone  string // offset as written ("+02:00"), "" if the source gave UTC only
	// NeedsProxy says why a browser can't play it, as a sentence; "" if it plays
	// as far as codecs tell.
	NeedsProxy string
	// Silent says why its sound can't be heard in a browser though the picture
	// plays, as a sentence; "" if it can, or there is none.
	Silent string
}

// FrameTable is when each frame is shown, sorted, without doubles.
type FrameTable struct {
	PTS []annotate.Micros // start of each frame's interval; frames count from 0
	End annotate.Micros   // end of the last frame
	// Warning says what is wrong with a table that is usable all the same, such
	// as a truncated file; "" if nothing.
	Warning string
}

// Fault is what is wrong with a file, for the person who added it.
type Fault struct {
	// Kind is one of "not-video", "no-picture", "damaged", "truncated", "empty",
	// "playlist", "unreadable", "no-timestamps", "no-tools"; of a proxy also
	// "no-room", "unwritable", "endless", "other-times", "other-timeline".
	Kind    string
	Message string // a sentence
	Hint    string // what to do next
	Cause   error  // for the log
}

// Error returns message and hint.
func (f *Fault) Error() string {
	if f.Hint == "" {
		return f.Message
	}
	return f.Message + " " + f.Hint
}

// Unwrap returns the cause.
func (f *Fault) Unwrap() error { return f.Cause }

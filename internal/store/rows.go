package store

import (
	"time"

	"afterwalk/annotate"
)

// Dog is a dog of the library.
type Dog struct {
	ID, Name   string
	Side       string             // "left" (default) or "right"
	Ceilings   map[string]float64 // scale to highest level
	WearLimitS *float64           // collar time of a day, seconds
	CreatedAt  time.Time
}

// DogSummary is a dog with what a list of dogs shows.
type DogSummary struct {
	Dog
	Sessions, Clips int
	LastSession     *time.Time
}

// Session is one dog, one outing.
type Session struct {
	ID, DogID      string
	StartedAt      *time.Time // its earliest clip's recording time; nil if undated
	Venue, Handler string
	Plan, Notes    string
}

// Footage is one video file, wherever it lies.
type Footage struct {
	ID, Fingerprint          string
	Root, Path               string // folder it was added from, and the path below it, slash-separated
	Size                     int64
	Format, Video, Audio     string
	Width, Height, Rotation  int
	FrameRate                float64
	Variable                 bool
	Duration                 annotate.Micros // end of the last frame once the table is there; by the container before
	Start                    annotate.Micros // time of the first frame
	RecordedAt               *time.Time      // in the zone it was recorded in, in this computer's where that isn't known
	RecordedBy, RecordedZone string
	NeedsProxy               string // why a browser can't play it, "" if it can
	Silent                   string // why its sound can't be heard in a browser, "" if it can
	Frames                   FrameState
	Warning                  string
	Missing                  bool // not found at its last known place
}

// FrameState says how far the frame table is.
type FrameState string

// The states of a frame table.
const (
	FramesWanted FrameState = "wanted"
	FramesReady  FrameState = "ready"
	FramesFailed FrameState = "failed"
)

// Clip is a footage's place in one dog's session.
type Clip struct {
	ID, SessionID, DogID string
	Position             int // within the session, from 0
	Footage              Footage
}

// ReadingSummary is a reading without its events.
type ReadingSummary struct {
	ID, ClipID, Reader string
	BookID             string
	BookVersion        int
	Window             annotate.Span
	Finished, Agreed   bool
	Revision           int64
	Events             int
	UpdatedAt          time.Time
}

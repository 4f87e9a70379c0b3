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
	Devices    []Device
	Notes      string
	CreatedAt  time.Time
}

// Device is a device that a dog is worked with. Its levels compare on the scale
// annotate.Scale(Channel, Name).
type Device struct {
	Name     string   `json:"device"`
	Channel  string   `json:"channel"`
	LevelMax *float64 `json:"level_max,omitempty"` // its highest level, nil if not known
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
	Line           string // the leash or long line that was used
	Device         string // one of the dog's devices, by name
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
	Proxy                    ProxyState
	ProxyBase                *annotate.Micros // where the proxy defines the timeline: what its time 0 stands for
	ProxySays                string           // what went wrong with the proxy, or what differs in it
}

// ProxyState says how far the copy is that a browser can play.
type ProxyState string

// The states of a proxy.
const (
	ProxyNone    ProxyState = "" // none is needed
	ProxyWanted  ProxyState = "wanted"
	ProxyReady   ProxyState = "ready"
	ProxyFailed  ProxyState = "failed"
	ProxyStopped ProxyState = "stopped" // by the user
)

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
	Position             int            // within the session, from 0
	Window               *annotate.Span // where the dog is in it; nil: in all of it
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

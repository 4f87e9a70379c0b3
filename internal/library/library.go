package library

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// Prober reads footage. media.Tools is the real one; the demo brings facts that
// were read when it was made.
type Prober interface {
	Probe(ctx context.Context, path string) (media.Probe, error)
	Frames(ctx context.Context, path string, progress func(done float64)) (media.FrameTable, error)
}

// Config is what a library needs from outside.
type Config struct {
	Dir      string // the library's folder; made if missing unless ReadOnly
	Prober   Prober // nil: footage can't be added, and says why
	Now      func() time.Time
	Log      *slog.Logger
	ReadOnly bool
}

// Library is an open library.
type Library struct{}

var errStub = errors.New("library: not built")

// Open opens or makes the library in cfg.Dir and starts what was left to do.
func Open(ctx context.Context, cfg Config) (*Library, error) { return nil, errStub }

// Close waits for running writes, stops jobs and closes the database.
func (l *Library) Close() error { return errStub }

// ID returns the library's own id.
func (l *Library) ID() string { return "" }

// Addr returns the address it was last served at ("" if never).
func (l *Library) Addr(ctx context.Context) (string, error) { return "", errStub }

// SetAddr remembers the address it is served at.
func (l *Library) SetAddr(ctx context.Context, addr string) error { return errStub }

// Dogs, sessions, clips.

func (l *Library) Dogs(ctx context.Context) ([]store.DogSummary, error)  { return nil, errStub }
func (l *Library) Dog(ctx context.Context, id string) (store.Dog, error) { return store.Dog{}, errStub }
func (l *Library) Sessions(ctx context.Context, dogID string) ([]store.Session, error) {
	return nil, errStub
}
func (l *Library) Session(ctx context.Context, id string) (store.Session, error) {
	return store.Session{}, errStub
}
func (l *Library) SetSession(ctx context.Context, s store.Session) error { return errStub }
func (l *Library) Clips(ctx context.Context, sessionID string) ([]store.Clip, error) {
	return nil, errStub
}
func (l *Library) Clip(ctx context.Context, id string) (store.Clip, error) {
	return store.Clip{}, errStub
}

// OpenFootage opens a clip's file for reading; it looks for a moved file in the
// folders known to the library first, by fingerprint.
func (l *Library) OpenFootage(ctx context.Context, clipID string) (Footage, error) {
	return nil, errStub
}

// Footage is an open file of footage.
type Footage interface {
	io.ReadSeekCloser
	io.ReaderAt
	Name() string
}

// Frames returns a clip's frame table, or the state it is in.
func (l *Library) Frames(ctx context.Context, clipID string) (media.FrameTable, store.FrameState, error) {
	return media.FrameTable{}, "", errStub
}

// Readings.

func (l *Library) Readings(ctx context.Context, clipID string) ([]store.ReadingSummary, error) {
	return nil, errStub
}
func (l *Library) NewReading(ctx context.Context, clipID, reader string) (string, error) {
	return "", errStub
}

// Reading returns a reading as it is now. Callers must not change it.
func (l *Library) Reading(ctx context.Context, id string) (*annotate.Reading, error) {
	return nil, errStub
}

// ReadingClip returns the id of the clip that a reading codes.
func (l *Library) ReadingClip(ctx context.Context, id string) (string, error) { return "", errStub }

// Outcome is what an edit led to.
type Outcome struct {
	Reading  *annotate.Reading
	Applied  annotate.Applied
	Repeated bool // the edit had been applied before
}

// Apply checks an edit, writes it to the journal and the events table in one
// durable transaction, and returns what came of it. It fails with
// annotate.Problems, *annotate.Conflict or annotate.ErrNotFound; then nothing
// was changed. meanwhile, if not nil, is called with the new reading while the
// transaction is being written, to use that time.
func (l *Library) Apply(ctx context.Context, readingID string, e annotate.Edit, meanwhile func(*annotate.Reading)) (Outcome, error) {
	return Outcome{}, errStub
}

// ImportReading stores a reading made elsewhere for a clip, as one new reading.
func (l *Library) ImportReading(ctx context.Context, clipID string, r *annotate.Reading) (string, error) {
	return "", errStub
}

// FindClips returns the clips whose footage has a fingerprint, or failing that a file name.
func (l *Library) FindClips(ctx context.Context, fingerprint, file string) ([]store.Clip, error) {
	return nil, errStub
}

// Book returns the newest version of the library's book.
func (l *Library) Book(ctx context.Context) (*annotate.Codebook, error) { return nil, errStub }

// Counting returns, for each session of a dog in order of date, the readings
// that count: one for each clip, the agreed one, else the first finished.
func (l *Library) Counting(ctx context.Context, dogID string) ([]Counted, error) { return nil, errStub }

// Counted is a session with the readings of its clips that count.
type Counted struct {
	Session  store.Session
	Clips    []store.Clip
	Readings []*annotate.Reading // by clip; nil where none counts yet
}

// Adding.

// AddRequest names what to add.
type AddRequest struct {
	Dog   string        // name; made if new
	Paths []string      // files and folders
	Gap   time.Duration // a longer pause starts a new session; 0 means 30 min
}

// AddReport says what became of each file.
type AddReport struct{ Files []AddedFile }

// AddedFile is one file of an AddReport.
type AddedFile struct {
	Path    string
	ClipID  string // "" if it was not added
	Again   bool   // was in the library already
	Moved   bool   // known footage found at a new place
	Problem string // what is wrong, a sentence; it may be added all the same (NeedsProxy, Warning)
}

// Add adds files and folders for a dog and returns when every clip is playable;
// frame tables follow as jobs. What can't be added is named in the report and
// the rest goes on.
func (l *Library) Add(ctx context.Context, req AddRequest, progress func(done, total int, name string)) (AddReport, error) {
	return AddReport{}, errStub
}

// Jobs.

// Job is work in the background.
type Job struct {
	ID, Kind, Title string // Kind: "add", "frames"
	ClipID          string
	State           string  // "waiting", "running", "done", "failed", "stopped"
	Done            float64 // share, 0…1
	Message         string  // what happened, for the person
	Report          *AddReport
}

// StartAdd is Add as a job; it returns the job's id.
func (l *Library) StartAdd(ctx context.Context, req AddRequest) (string, error) { return "", errStub }
func (l *Library) Jobs() []Job                                                  { return nil }
func (l *Library) StopJob(id string) error                                      { return errStub }

// WaitFrames returns when no frame table is wanted any more, or ctx ends.
func (l *Library) WaitFrames(ctx context.Context) error { return errStub }

// Notice is what changed: a reading's revision, or a job.
type Notice struct {
	Reading  string
	Revision int64
	Job      *Job
}

// Watch returns a channel of notices, sent after commit, until cancel is called.
// A slow watcher loses the oldest ones, never blocks a writer.
func (l *Library) Watch() (notices <-chan Notice, cancel func()) { return nil, func() {} }

// Backup writes a checked copy of the database to path, which must not exist.
func (l *Library) Backup(ctx context.Context, path string) error { return errStub }

// Check compares the database with itself, and each journal with its events.
func (l *Library) Check(ctx context.Context) (CheckReport, error) { return CheckReport{}, errStub }

// CheckReport lists what is wrong; nothing if Problems is empty.
type CheckReport struct {
	Readings, Edits, Events int
	Problems                []string
}

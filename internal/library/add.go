package library

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// AddRequest names what to add.
type AddRequest struct {
	Dog   string        // name; made if new. "": into the inbox, to be sorted later
	Paths []string      // files and folders
	Gap   time.Duration // a longer pause starts a new session; 0 means that of the settings
	Known bool          // into the inbox also what is a clip already, or was put away
}

// AddReport says what became of each file.
type AddReport struct{ Files []AddedFile }

// AddedFile is one file of an AddReport.
type AddedFile struct {
	Path    string
	ClipID  string // "" if it is no clip
	Inbox   bool   // it is in the inbox now
	Away    bool   // it was left out and put away before, and is left so
	Again   bool   // was in the library already
	Moved   bool   // known footage found at a new place
	Back    bool   // lay in the bin and came back, with its readings
	Problem string // what is wrong, a sentence; it may be added all the same (NeedsProxy, Warning)
}

// Refused reports whether the file was not added, and isn't known either.
func (f AddedFile) Refused() bool { return f.ClipID == "" && !f.Inbox && !f.Away }

// nameLimit is how long a dog's name may be, in characters.
const nameLimit = 300

// checked returns a request with the pause of the settings where it names none, or
// annotate.Problems.
func (l *Library) checked(ctx context.Context, r AddRequest) (AddRequest, error) {
	if r.Gap == 0 {
		set, err := l.Settings(ctx)
		if err != nil {
			return r, err
		}
		r.Gap = set.Gap
	}
	return r.checked()
}

// checked returns the request with its defaults, or annotate.Problems.
func (r AddRequest) checked() (AddRequest, error) {
	var p annotate.Problems
	r.Dog = strings.TrimSpace(r.Dog)
	var name annotate.Problems
	if r.Dog != "" && errors.As(newName(r.Dog), &name) {
		for _, wrong := range name {
			wrong.Field = "dog"
			p = append(p, wrong)
		}
	}
	if len(r.Paths) == 0 {
		p = append(p, annotate.Problem{Field: "paths", Message: "Nothing is chosen.", Hint: "Choose clips, or a folder with clips."})
	}
	if r.Gap == 0 {
		r.Gap = defaultGap
	}
	if r.Gap < 0 {
		p = append(p, annotate.Problem{Field: "gap", Message: "The pause between sessions is negative.", Hint: "30 minutes are usual."})
	}
	return r, p.Err()
}

// Add adds files and folders for a dog, or to the inbox, and returns when every clip is playable;
// frame tables follow as jobs. What can't be added is named in the report and
// the rest goes on. progress, if not nil, is called before each file and once at
// the end.
//
// Footage that the library knows, by its fingerprint, is not read again: adding a
// file twice does nothing; one that is no longer at its old place is noted at the
// new one; a second copy is simply known. Footage of another dog gets a clip for
// this one too.
//
// New clips go into sessions by recording time, as group says; those without one
// make one session of their own for each call. Sessions that are there are never
// grouped anew. A dog is made only if one of its files was added.
//
// Into the inbox goes what is no clip yet, unless it was put away there before;
// with req.Known all of it. Its frames and copies are made meanwhile.
//
// Where ctx ends, what was read until then is stored, the report holds it, and
// the error is ctx's.
func (l *Library) Add(ctx context.Context, req AddRequest, progress func(done, total int, name string)) (AddReport, error) {
	req, err := l.checked(ctx, req)
	if err != nil {
		return AddReport{}, err
	}
	if l.cfg.Prober == nil {
		return AddReport{}, &media.Fault{Kind: "no-tools", Message: "Footage can't be added: ffmpeg and ffprobe, which read it, were not found on this computer.",
			Hint: "Install ffmpeg, then start afterwalk again; the README says how."}
	}
	done, err := l.begin()
	if err != nil {
		return AddReport{}, err
	}
	defer done()
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	defer context.AfterFunc(l.ctx, stop)() // Close doesn't wait for the rest
	l.adding.Lock()
	defer l.adding.Unlock()
	a, err := l.newAddition(ctx, req)
	if err != nil {
		return AddReport{}, err
	}
	files, err := l.walk(ctx, req.Paths)
	if err != nil {
		return AddReport{}, err
	}
	if progress == nil {
		progress = func(int, int, string) {}
	}
	for i, f := range files {
		if ctx.Err() != nil {
			break
		}
		progress(i, len(files), f.path)
		if err := a.file(ctx, f); err != nil && ctx.Err() == nil {
			return AddReport{}, err
		}
	}
	ended := ctx.Err()
	if err := a.store(context.WithoutCancel(ctx)); err != nil {
		return AddReport{}, err
	}
	if ended == nil {
		progress(len(files), len(files), "")
	}
	return a.report, ended
}

// StartAdd is Add as a job; it returns the job's id. It fails at once, with
// annotate.Problems, for a request that can't be right.
func (l *Library) StartAdd(ctx context.Context, req AddRequest) (string, error) {
	req, err := l.checked(ctx, req)
	if err != nil {
		return "", err
	}
	if l.cfg.ReadOnly {
		return "", store.ErrReadOnly
	}
	job := Job{Kind: kindAdd, Title: "Adding clips of " + req.Dog}
	if req.Dog == "" {
		job.Title = "Adding clips to the inbox"
	}
	return l.jobs.start(job, func(ctx context.Context, t *task) (string, error) {
		report, err := l.Add(ctx, req, func(done, total int, name string) {
			if name != "" {
				l.jobs.progress(t, float64(done)/float64(total), fmt.Sprintf("%d of %d: %s", done+1, total, name))
			}
		})
		if len(report.Files) > 0 {
			l.jobs.set(t, report)
		}
		if err != nil && ctx.Err() == nil {
			return l.words("add clips", err), err
		}
		return report.summary(ctx.Err() != nil), err
	}), nil
}

// summary says in a sentence or two what came of it.
func (r AddReport) summary(stopped bool) string {
	added, waiting, again, moved, back, away, refused := 0, 0, 0, 0, 0, 0, 0
	for _, f := range r.Files {
		switch {
		case f.Refused():
			refused++
		case f.Away:
			away++
		case f.Back:
			back++
		case f.Moved:
			moved++
		case f.Again:
			again++
		case f.Inbox:
			waiting++
		default:
			added++
		}
	}
	var parts []string
	part := func(n int, text string) {
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, text))
		}
	}
	part(added, "added")
	part(waiting, "in the inbox now")
	part(back, "brought back from the bin")
	part(moved, "found again at a new place")
	part(again, "in the library already")
	part(away, "left out before")
	part(refused, "not added")
	text := "No video files were found there."
	if len(parts) > 0 {
		text = strings.Join(parts, ", ") + "."
	}
	if stopped {
		text = "It was stopped; what had been read is kept. " + text + " Add the same again for the rest."
	}
	return text
}

package library

import (
	"context"
	"fmt"
	"log/slog"
	"runtime/debug"
	"slices"
	"sync"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// Job is work in the background.
type Job struct {
	ID, Kind, Title string  // Kind: "add", "frames", "proxy", "stills"
	ClipID          string  // one clip of the footage
	FootageID       string  // the footage that it is about, "" if none
	State           string  // "waiting", "running", "done", "failed", "stopped"
	Done            float64 // share, 0…1
	Message         string  // what happened, for the person
	Report          *AddReport
}

// The states of a job.
const (
	jobWaiting = "waiting"
	jobRunning = "running"
	jobDone    = "done"
	jobFailed  = "failed"
	jobStopped = "stopped"
)

// over reports whether the job has ended.
func (j Job) over() bool { return j.State != jobWaiting && j.State != jobRunning }

// jobsKept is how many jobs that are over stay in the list.
const jobsKept = 50

// runner runs jobs, of each kind one after the other.
type runner struct {
	ctx  context.Context
	log  *slog.Logger
	tell func(Job)

	mu     sync.Mutex
	all    []*task // as they were begun
	closed bool
	group  sync.WaitGroup
}

// task is a job with what the runner needs of it. The runner's mu guards it.
type task struct {
	job  Job
	run  func(context.Context, *task) (message string, err error)
	stop context.CancelFunc // nil while waiting
	over chan struct{}      // closed when it has ended
	told float64            // share at the last notice
}

func newRunner(ctx context.Context, log *slog.Logger, tell func(Job)) *runner {
	return &runner{ctx: ctx, log: log, tell: tell}
}

// start puts a job at the end of its kind's queue and returns its id. run returns
// a message for the person; what that of an error is, is its own Error.
func (r *runner) start(j Job, run func(context.Context, *task) (string, error)) string {
	r.mu.Lock()
	defer r.mu.Unlock()
	j.ID, j.State = newID(), jobWaiting
	t := &task{job: j, run: run, over: make(chan struct{})}
	r.all = append(r.all, t)
	r.tell(t.job)
	if r.closed {
		r.end(t, jobStopped, "It was not begun: the library is closed.")
		return j.ID
	}
	r.next(j.Kind)
	return j.ID
}

// next begins the first waiting job of a kind unless one is running; mu is held.
func (r *runner) next(kind string) {
	var first *task
	for _, t := range r.all {
		if t.job.Kind != kind {
			continue
		}
		if t.job.State == jobRunning {
			return
		}
		if first == nil && t.job.State == jobWaiting {
			first = t
		}
	}
	if first == nil || r.closed {
		return
	}
	ctx, stop := context.WithCancel(r.ctx)
	first.stop, first.job.State = stop, jobRunning
	r.tell(first.job)
	r.group.Go(func() {
		defer stop()
		message, err := first.safely(ctx, r.log)
		r.mu.Lock()
		defer r.mu.Unlock()
		switch {
		case err == nil:
			first.job.Done = 1
			r.end(first, jobDone, message)
		case ctx.Err() != nil:
			r.end(first, jobStopped, message)
		default:
			r.end(first, jobFailed, message)
		}
		r.next(kind)
	})
}

// safely runs a job; a panic in it is the job's failure, not the program's end.
func (t *task) safely(ctx context.Context, log *slog.Logger) (message string, err error) {
	defer func() {
		if v := recover(); v != nil {
			message = "This stopped by a fault of the program. What was done before is kept."
			err = fmt.Errorf("library: job %s: panic: %v", t.job.Kind, v)
			log.Error("job", "kind", t.job.Kind, "panic", v, "stack", string(debug.Stack()))
		}
	}()
	return t.run(ctx, t)
}

// end ends a job; mu is held.
func (r *runner) end(t *task, state, message string) {
	t.job.State, t.job.Message = state, message
	close(t.over)
	r.tell(t.job)
	over := 0
	for _, t := range r.all {
		if t.job.over() {
			over++
		}
	}
	r.all = slices.DeleteFunc(r.all, func(t *task) bool {
		if over <= jobsKept || !t.job.over() {
			return false
		}
		over--
		return true
	})
}

// progress says how far a job is; message may be "". Steps of less than a
// hundredth are told to nobody unless there is a message.
func (r *runner) progress(t *task, done float64, message string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if t.job.over() {
		return
	}
	t.job.Done = max(t.job.Done, min(done, 1))
	changed := message != "" && message != t.job.Message
	if changed {
		t.job.Message = message
	}
	if changed || t.job.Done-t.told >= 0.01 {
		t.told = t.job.Done
		r.tell(t.job)
	}
}

// set changes a job's report.
func (r *runner) set(t *task, report AddReport) {
	r.mu.Lock()
	defer r.mu.Unlock()
	t.job.Report = &report
}

func (r *runner) list() []Job {
	r.mu.Lock()
	defer r.mu.Unlock()
	list := make([]Job, len(r.all))
	for i, t := range r.all {
		list[i] = t.job
	}
	return list
}

// close begins no more jobs and returns when none is running; the runner's ctx
// has ended.
func (r *runner) close() {
	r.mu.Lock()
	r.closed = true
	r.mu.Unlock()
	r.group.Wait()
}

// idle returns when no job of a kind waits or runs, or ctx ends.
func (r *runner) idle(ctx context.Context, kind string) error {
	for {
		var open *task
		r.mu.Lock()
		for _, t := range r.all {
			if t.job.Kind == kind && !t.job.over() {
				open = t
			}
		}
		r.mu.Unlock()
		if open == nil {
			return nil
		}
		select {
		case <-open.over:
		case <-ctx.Done():
			return ctx.Err()
		case <-r.ctx.Done():
			return errClosed
		}
	}
}

// wait returns when a job is over, or ctx ends.
func (r *runner) wait(ctx context.Context, id string) error {
	r.mu.Lock()
	i := slices.IndexFunc(r.all, func(t *task) bool { return t.job.ID == id })
	var over chan struct{}
	if i >= 0 {
		over = r.all[i].over
	}
	r.mu.Unlock()
	if over == nil {
		return nil
	}
	select {
	case <-over:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// open returns the job of a kind that is about footage and isn't over; ok is false
// if there is none.
func (r *runner) open(kind, footageID string) (j Job, ok bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, t := range r.all {
		if t.job.Kind == kind && t.job.FootageID == footageID && !t.job.over() {
			return t.job, true
		}
	}
	return Job{}, false
}

// claim says of the jobs that are about footage which clip it has become, where
// they don't know of any.
func (r *runner) claim(footageID, clipID string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, t := range r.all {
		if t.job.FootageID == footageID && t.job.ClipID == "" {
			t.job.ClipID = clipID
			r.tell(t.job)
		}
	}
}

// halt stops a job and returns it as it was; one that is over stays as it is.
func (r *runner) halt(id string) (Job, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, t := range r.all {
		if t.job.ID != id {
			continue
		}
		before := t.job
		switch t.job.State {
		case jobWaiting:
			r.end(t, jobStopped, "It was stopped before it began.")
		case jobRunning:
			t.stop()
		}
		return before, nil
	}
	return Job{}, fmt.Errorf("library: job %s: %w", id, annotate.ErrNotFound)
}

// Jobs returns what is under way and what ended last, in the order in which it
// was begun.
func (l *Library) Jobs() []Job { return l.jobs.list() }

// StopJob stops a job. What it has finished stays; the reading of frames goes on
// when the library is opened next, a proxy is made when somebody asks for it again.
func (l *Library) StopJob(id string) error {
	before, err := l.jobs.halt(id)
	if err != nil || before.Kind != KindProxy || before.State != jobWaiting {
		return err
	}
	return l.proxyState(before.FootageID, store.ProxyStopped, "") // a running one notes it itself
}

// WaitFrames returns when no frame table is being read or waits to be, or ctx
// ends.
func (l *Library) WaitFrames(ctx context.Context) error { return l.jobs.idle(ctx, kindFrames) }

// The kinds of jobs.
const (
	kindAdd    = "add"
	kindFrames = "frames"
)

package library

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"testing"
)

// log gathers what a runner tells.
type log struct {
	mu   sync.Mutex
	jobs []Job
}

func (l *log) add(j Job) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.jobs = append(l.jobs, j)
}

// Jobs of one kind run one after the other, in order; another kind runs beside.
func TestJobsRunInTurn(t *testing.T) {
	r := newRunner(t.Context(), slog.New(slog.DiscardHandler), new(log).add)
	var mu sync.Mutex
	var order []string
	running := map[string]int{}
	begin := make(chan struct{})
	both := make(chan struct{}, 2)
	run := func(kind, name string) {
		r.start(Job{Kind: kind, Title: name}, func(context.Context, *task) (string, error) {
			both <- struct{}{}
			<-begin
			mu.Lock()
			defer mu.Unlock()
			if running[kind]++; running[kind] > 1 {
				t.Errorf("two jobs of kind %s at once", kind)
			}
			order = append(order, name)
			running[kind]--
			return "", nil
		})
	}
	run("a", "a1")
	run("a", "a2")
	run("b", "b1")
	run("a", "a3")
	<-both
	<-both // one of each kind is running
	close(begin)
	for _, kind := range []string{"a", "b", "none"} {
		if err := r.idle(t.Context(), kind); err != nil {
			t.Fatal(err)
		}
	}
	var a []string
	for _, name := range order {
		if name[0] == 'a' {
			a = append(a, name)
		}
	}
	if fmt.Sprint(a) != "[a1 a2 a3]" || len(order) != 4 {
		t.Errorf("order: %v", order)
	}
}

func TestJobStates(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	told := new(log)
	r := newRunner(ctx, slog.New(slog.DiscardHandler), told.add)
	begun := make(chan struct{})
	good := r.start(Job{Kind: "a"}, func(_ context.Context, t *task) (string, error) {
		for i := range 1000 { // a thousand steps, a hundred told
			r.progress(t, float64(i)/1000, "")
		}
		r.progress(t, 0.2, "") // never back
		return "It went well.", nil
	})
	bad := r.start(Job{Kind: "a"}, func(context.Context, *task) (string, error) { return "It went badly.", errors.New("x") })
	stopped := r.start(Job{Kind: "a"}, func(ctx context.Context, _ *task) (string, error) {
		close(begun)
		<-ctx.Done()
		return "Half of it is done.", ctx.Err()
	})
	waiting := r.start(Job{Kind: "a"}, func(context.Context, *task) (string, error) {
		t.Error("a job that was stopped while it waited ran")
		return "", nil
	})
	<-begun
	for _, id := range []string{waiting, stopped} {
		if _, err := r.halt(id); err != nil {
			t.Error(err)
		}
	}
	if err := r.idle(t.Context(), "a"); err != nil {
		t.Fatal(err)
	}
	got := map[string]Job{}
	for _, j := range r.list() {
		got[j.ID] = j
	}
	for id, want := range map[string]Job{
		good:    {State: jobDone, Done: 1, Message: "It went well."},
		bad:     {State: jobFailed, Message: "It went badly."},
		stopped: {State: jobStopped, Message: "Half of it is done."},
		waiting: {State: jobStopped, Message: "It was stopped before it began."},
	} {
		if j := got[id]; j.State != want.State || j.Message != want.Message || j.Done != want.Done {
			t.Errorf("job: %+v, want %+v", j, want)
		}
	}
	steps := 0
	for _, j := range told.jobs {
		if j.ID == good && j.State == jobRunning {
			steps++
		}
	}
	if steps < 90 || steps > 101 {
		t.Errorf("%d steps were told, want about 100", steps)
	}
}

// The list doesn't grow for ever; what isn't over stays in it.
func TestJobsAreForgotten(t *testing.T) {
	r := newRunner(t.Context(), slog.New(slog.DiscardHandler), new(log).add)
	hold := make(chan struct{})
	first := r.start(Job{Kind: "held"}, func(context.Context, *task) (string, error) { <-hold; return "", nil })
	for range 2 * jobsKept {
		r.start(Job{Kind: "a"}, func(context.Context, *task) (string, error) { return "", nil })
	}
	if err := r.idle(t.Context(), "a"); err != nil {
		t.Fatal(err)
	}
	list := r.list()
	if len(list) != jobsKept+1 || list[0].ID != first {
		t.Errorf("%d jobs are in the list, want the running one and %d", len(list), jobsKept)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := r.idle(ctx, "held"); !errors.Is(err, context.Canceled) {
		t.Errorf("waiting for a job without end: %v, want Canceled", err)
	}
	close(hold)
	r.close()
}

// A job that panics fails; the program and the jobs after it go on.
func TestJobPanics(t *testing.T) {
	r := newRunner(t.Context(), slog.New(slog.DiscardHandler), func(Job) {})
	r.start(Job{Kind: "frames"}, func(context.Context, *task) (string, error) { panic("no such frame") })
	second := r.start(Job{Kind: "frames"}, func(context.Context, *task) (string, error) { return "read", nil })
	if err := r.idle(t.Context(), "frames"); err != nil {
		t.Fatal(err)
	}
	states := map[string]string{}
	for _, task := range r.all {
		states[task.job.ID] = task.job.State
	}
	if len(states) != 2 || states[second] != jobDone {
		t.Errorf("states = %v, want one failed and %s done", states, second)
	}
	for id, state := range states {
		if id != second && state != jobFailed {
			t.Errorf("the job that panicked is %s, want %s", state, jobFailed)
		}
	}
}

// A job asked for after the library was closed is over at once; nobody waits for it.
func TestJobAfterClose(t *testing.T) {
	l := start(t, t.TempDir(), &prober{})
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	id, err := l.StartAdd(t.Context(), AddRequest{Dog: "Tansy", Paths: []string{"x"}})
	if err != nil {
		return // refused is as good
	}
	for _, j := range l.Jobs() {
		if j.ID == id && (j.State != jobStopped || j.Message == "") {
			t.Errorf("job: %+v, want it stopped", j)
		}
	}
}

package library

import (
	"context"
	"errors"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// ProxyMaker is a [Prober] that can make proxies as well: copies that a browser
// can play. media.Tools is one.
type ProxyMaker interface {
	Prober
	// Proxy writes a proxy of the file at path to a new file.
	Proxy(ctx context.Context, path, to string, want media.ProxyWant, progress func(done float64)) (media.ProxyMade, error)
}

// kindProxy is the kind of the jobs that make proxies.
const kindProxy = "proxy"

// StartProxy begins to make the copy of a clip's footage that a browser can play,
// and returns the job's id; of the job that is under way, if there is one. It
// also tries again what failed or was stopped, and makes a copy for footage that
// only lacks its sound. It fails with annotate.Problems where no copy is needed
// or it is there.
func (l *Library) StartProxy(ctx context.Context, clipID string) (jobID string, err error) {
	return "", errors.New("library: proxy: not there yet")
}

// WaitProxies returns when no proxy is being made or waits to be, or ctx ends.
func (l *Library) WaitProxies(ctx context.Context) error { return l.jobs.idle(ctx, kindProxy) }

// PlayFootage opens what the browser is given for a clip: the proxy where one is
// needed and ready, else the footage itself, as [Library.OpenFootage] does.
func (l *Library) PlayFootage(ctx context.Context, clipID string) (Footage, error) {
	return l.OpenFootage(ctx, clipID)
}

// ProxyJob returns the job that makes the proxy of footage, or waits to; ok is
// false if there is none.
func (l *Library) ProxyJob(footageID string) (j Job, ok bool) { return Job{}, false }

// wantProxy begins to make the proxy of new footage if it needs one and the
// settings say so. clipID, which may be "", is a clip of it.
func (l *Library) wantProxy(ctx context.Context, f store.Footage, clipID string) error { return nil }

// refusedProxy is the error of a proxy that can't be asked for.
func refusedProxy(message, hint string) error {
	return annotate.Problems{{Field: "proxy", Message: message, Hint: hint}}
}

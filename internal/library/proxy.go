package library

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// ProxyMaker is a [Prober] that can make proxies as well: copies that a browser
// can play. media.Tools is one.
type ProxyMaker interface {
	Prober
	// Proxy is [media.Tools.Proxy].
	Proxy(ctx context.Context, path, to string, want media.ProxyWant, progress func(done float64)) (media.ProxyMade, error)
}

// mediaName is the folder below the library's for what is derived from footage.
const mediaName = "media"

// proxyPath returns where the proxy of footage is kept.
func (l *Library) proxyPath(footageID string) string {
	return filepath.Join(l.dir, mediaName, proxyName(footageID))
}

func proxyName(footageID string) string { return footageID + ".mp4" }

// StartProxy begins to make the copy of a clip's footage that a browser can play,
// and returns the job's id; of the job that is under way, if there is one. It
// also tries again what failed or was stopped, and makes a copy for footage that
// only lacks its sound. It fails with annotate.Problems where no copy is needed
// or it is there.
func (l *Library) StartProxy(ctx context.Context, clipID string) (jobID string, err error) {
	done, err := l.begin()
	if err != nil {
		return "", err
	}
	defer done()
	clip, err := l.store.Clip(ctx, clipID)
	if err != nil {
		return "", err
	}
	f := clip.Footage
	switch {
	case l.cfg.ReadOnly:
		return "", store.ErrReadOnly
	case l.maker() == nil:
		return "", &media.Fault{Kind: "no-tools", Message: "The copy can't be made: ffmpeg and ffprobe, which do that, were not found on this computer.",
			Hint: "Install ffmpeg, then start afterwalk again; the README says how."}
	case f.NeedsProxy == "" && f.Silent == "":
		return "", refusedProxy("This clip needs no copy: browsers play it as it is.", "Open it on the desk.")
	case f.Proxy == store.ProxyReady && l.hasProxy(f.ID):
		return "", refusedProxy("The copy that browsers play is there already.", "Reload the page to see it.")
	}
	l.proxying.Lock()
	defer l.proxying.Unlock()
	if j, ok := l.ProxyJob(f.ID); ok {
		return j.ID, nil
	}
	if err := l.store.SetProxy(ctx, f.ID, store.ProxyWanted, ""); err != nil {
		return "", err
	}
	return l.startProxy(f, clip.ID), nil
}

// refusedProxy is the error of a proxy that can't be asked for.
func refusedProxy(message, hint string) error {
	return annotate.Problems{{Field: "proxy", Message: message, Hint: hint}}
}

// WaitProxies returns when no proxy is being made or waits to be, or ctx ends.
func (l *Library) WaitProxies(ctx context.Context) error { return l.jobs.idle(ctx, KindProxy) }

// ProxyJob returns the job that makes the proxy of footage, or waits to; ok is
// false if there is none.
func (l *Library) ProxyJob(footageID string) (j Job, ok bool) {
	return l.jobs.open(KindProxy, footageID)
}

// maker returns what makes proxies, nil if nothing does.
func (l *Library) maker() ProxyMaker {
	m, _ := l.cfg.Prober.(ProxyMaker)
	return m
}

// wantProxy begins to make the proxy of footage, if one is wanted, nobody does so
// already, and the settings say that proxies are made by themselves. clipID, which
// may be "", is a clip of it.
func (l *Library) wantProxy(ctx context.Context, f store.Footage, clipID string) error {
	if f.Proxy != store.ProxyWanted || l.cfg.ReadOnly || l.maker() == nil {
		return nil
	}
	s, err := l.Settings(ctx)
	if err != nil || !s.MakeProxies {
		return err
	}
	l.proxying.Lock()
	defer l.proxying.Unlock()
	if _, ok := l.ProxyJob(f.ID); !ok {
		l.startProxy(f, clipID)
	}
	return nil
}

// resumeProxies begins what was left to do when the library was closed: proxies
// that are wanted, and those that are no longer in the folder.
func (l *Library) resumeProxies(ctx context.Context) error {
	if err := media.ClearUnfinished(filepath.Join(l.dir, mediaName)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		l.cfg.Log.Warn("unfinished proxies", "err", err)
	}
	ready, err := l.store.ProxiesReady(ctx)
	if err != nil {
		return err
	}
	for _, c := range ready {
		if _, err := l.proxyGone(ctx, c.Footage); err != nil {
			return err
		}
	}
	return l.startWanted(ctx)
}

// startWanted begins the proxies that are wanted.
func (l *Library) startWanted(ctx context.Context) error {
	clips, err := l.store.ProxiesWanted(ctx)
	if err != nil {
		return err
	}
	for _, c := range clips {
		if err := l.wantProxy(ctx, c.Footage, c.ID); err != nil {
			return err
		}
	}
	return nil
}

// hasProxy reports whether the proxy of footage is in the folder.
func (l *Library) hasProxy(footageID string) bool {
	info, err := os.Stat(l.proxyPath(footageID))
	return err == nil && info.Mode().IsRegular()
}

// proxyGone returns footage as it is if its proxy, said to be ready, was taken
// out of the folder: a new one is wanted, where it isn't only for the sound.
func (l *Library) proxyGone(ctx context.Context, f store.Footage) (store.Footage, error) {
	if f.Proxy != store.ProxyReady || l.hasProxy(f.ID) {
		return f, nil
	}
	state := store.ProxyWanted
	if f.NeedsProxy == "" {
		state = store.ProxyNone
	}
	l.cfg.Log.Info("a proxy is gone", "footage", f.ID)
	if err := l.note(l.store.SetProxy(ctx, f.ID, state, "")); err != nil {
		return f, err
	}
	f.Proxy, f.ProxySays = state, ""
	return f, nil
}

// PlayFootage opens what the browser is given for a clip: the proxy where there is
// one, else the footage itself, as [Library.OpenFootage] does. Where browsers can't
// play that and the proxy isn't ready, the error is a *media.Fault of kind
// "no-proxy" that says what is happening.
func (l *Library) PlayFootage(ctx context.Context, clip store.Clip) (Footage, error) {
	f, err := l.proxyGone(ctx, clip.Footage)
	if err != nil {
		return nil, err
	}
	if f.Proxy != clip.Footage.Proxy {
		if err := l.wantProxy(ctx, f, clip.ID); err != nil {
			return nil, err
		}
	}
	switch {
	case f.Proxy == store.ProxyReady:
		r, err := os.OpenRoot(filepath.Join(l.dir, mediaName))
		if err != nil {
			return nil, err
		}
		defer r.Close()
		file, _, err := openPlain(r, proxyName(f.ID))
		if err != nil {
			return nil, err
		}
		return file, nil
	case f.NeedsProxy == "":
		return l.openClip(ctx, clip)
	}
	return nil, l.noProxy(f)
}

// noProxy says why there is nothing to play, and what is happening.
func (l *Library) noProxy(f store.Footage) error {
	fault := &media.Fault{Kind: "no-proxy"}
	j, underway := l.ProxyJob(f.ID)
	switch {
	case underway && j.State == jobRunning:
		fault.Message, fault.Hint = "A copy of this film that browsers can play is being made.", "The film is shown when it is done."
	case underway:
		fault.Message, fault.Hint = "A copy of this film that browsers can play will be made when the copies before it are done.", "The film is shown then."
	case f.Proxy == store.ProxyFailed:
		fault.Message, fault.Hint = "The copy of this film that browsers can play could not be made.", strings.TrimSpace(f.ProxySays)
	case f.Proxy == store.ProxyStopped:
		fault.Message, fault.Hint = "The copy of this film that browsers can play was stopped.", "Start it again on the page of its session."
	default:
		fault.Message, fault.Hint = f.NeedsProxy, "Start it on the page of its session."
	}
	return fault
}

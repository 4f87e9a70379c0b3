package library

import (
	"context"
	"errors"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// KindProxy is the kind of the jobs that make proxies.
const KindProxy = "proxy"

// startProxy begins the job that makes the proxy of footage and returns its id;
// clipID, which may be "", is a clip of it. l.proxying is held.
func (l *Library) startProxy(f store.Footage, clipID string) string {
	job := Job{Kind: KindProxy, Title: "Making a copy of " + nameOf(f) + " that browsers can play", ClipID: clipID, FootageID: f.ID}
	return l.jobs.start(job, func(ctx context.Context, t *task) (string, error) {
		message, err := l.makeProxy(ctx, f.ID, func(done float64, message string) { l.jobs.progress(t, done, message) })
		switch {
		case err == nil:
			return message, nil
		case l.ctx.Err() != nil:
			return "It was stopped; it begins anew when the library is opened next.", err
		case ctx.Err() != nil:
			return "It was stopped. It can be started again on the page of its session.", errors.Join(err, l.proxyState(f.ID, store.ProxyStopped, ""))
		}
		message = l.words("make a proxy of "+nameOf(f), err)
		var fault *media.Fault
		if errors.As(err, &fault) && fault.Kind == "unreadable" { // the footage isn't there: wanted until it is
			return message, err
		}
		return message, errors.Join(err, l.proxyState(f.ID, store.ProxyFailed, message))
	})
}

// proxyState notes what became of a proxy, also when the job's ctx has ended.
func (l *Library) proxyState(footageID string, state store.ProxyState, says string) error {
	done, err := l.begin()
	if err != nil {
		return err
	}
	defer done()
	return l.store.SetProxy(context.WithoutCancel(l.ctx), footageID, state, says)
}

// makeProxy makes the proxy of footage once its frame table is there, or can't be,
// and returns what to say of it.
func (l *Library) makeProxy(ctx context.Context, footageID string, progress func(done float64, message string)) (string, error) {
	f, table, err := l.framed(ctx, footageID, progress)
	if err != nil {
		return "", err
	}
	file, err := l.find(ctx, f)
	if err != nil {
		return "", err
	}
	path := file.Name()
	if err := file.Close(); err != nil {
		return "", err
	}
	want := media.ProxyWant{Base: f.ProxyBase}
	if f.Frames == store.FramesReady {
		want.Table = media.FrameTable(table)
	}
	made, err := l.maker().Proxy(ctx, path, l.proxyPath(f.ID), want, func(done float64) { progress(done, "") })
	var fault *media.Fault
	if errors.As(err, &fault) && fault.Kind == "other-times" {
		// The file's own times are of no use. If nobody has coded by them yet, the
		// copy's are the clip's from now on.
		coded, codedErr := l.store.Coded(ctx, f.ID)
		if coded || codedErr != nil {
			return "", errors.Join(err, codedErr)
		}
		made, err = l.maker().Proxy(ctx, path, l.proxyPath(f.ID), media.ProxyWant{}, func(done float64) { progress(done, "") })
	}
	if err != nil {
		return "", err
	}
	if err := l.keepProxy(ctx, f.ID, made); err != nil {
		return "", err
	}
	message := "The film can be watched and coded."
	if made.Says != "" {
		message += " " + made.Says
	}
	return message, nil
}

// framed returns footage and its frame table once that was read, or found to be
// unreadable.
func (l *Library) framed(ctx context.Context, footageID string, progress func(done float64, message string)) (store.Footage, store.FrameTable, error) {
	f, table, err := l.store.Footage(ctx, footageID)
	if err != nil || f.Frames != store.FramesWanted {
		return f, table, err
	}
	if j, ok := l.jobs.open(kindFrames, footageID); ok {
		progress(0, "It begins when the frames have been read.")
		if err := l.jobs.wait(ctx, j.ID); err != nil {
			return f, table, err
		}
	}
	if f, table, err = l.store.Footage(ctx, footageID); err != nil || f.Frames != store.FramesWanted {
		return f, table, err
	}
	// Nobody reads them, or the file couldn't be reached: try, so as to know why. That
	// the file has no times is noted, and stands in nobody's way.
	if _, err := l.readFrames(ctx, store.Clip{Footage: f}, nil); err != nil {
		again, table, readErr := l.store.Footage(ctx, footageID)
		if readErr != nil || again.Frames == store.FramesWanted {
			return f, table, errors.Join(err, readErr)
		}
		return again, table, nil
	}
	return l.store.Footage(ctx, footageID)
}

// keepProxy notes that the proxy of footage is there, with the frame table that it
// may bring, and brings the footage's readings up to date.
func (l *Library) keepProxy(ctx context.Context, footageID string, made media.ProxyMade) error {
	done, err := l.begin()
	if err != nil {
		return err
	}
	defer done()
	l.framing.Lock()
	defer l.framing.Unlock()
	row := store.ProxyDone{Says: made.Says, Base: made.Base}
	if made.Table != nil {
		t := store.FrameTable(*made.Table)
		row.Table = &t
	}
	ids, err := l.store.ReadingsOf(ctx, footageID, "")
	if err != nil {
		return err
	}
	if err := l.changing(ctx, ids, func() error { return l.store.FinishProxy(ctx, footageID, row) }); err != nil {
		if errors.Is(err, store.ErrTimeline) {
			return annotate.Problems{{Field: "proxy", Message: "The copy that was made again tells other times than the first one, by which this clip was coded. What was coded is kept.",
				Hint: "Bring the old copy back from a backup of the library's folder media."}}
		}
		return err
	}
	return nil
}

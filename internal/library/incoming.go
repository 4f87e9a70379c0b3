package library

import (
	"context"
	"errors"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// again begins what is still wanted of footage that is added again: its frames and
// its copy, where the jobs that were to make them have failed. What was damaged may
// have been copied anew.
func (a *addition) again(ctx context.Context, f *store.Footage, clips []store.Clip, moved bool) error {
	if f.Frames == store.FramesFailed {
		if err := a.lib.store.WantFrames(ctx, f.ID); err != nil {
			return err
		}
		f.Frames = store.FramesWanted
	} else if !moved && !f.Missing {
		return nil
	}
	c := store.Clip{Footage: *f}
	if len(clips) > 0 {
		c.ID, c.DogID, c.SessionID = clips[0].ID, clips[0].DogID, clips[0].SessionID
	}
	return a.lib.foundAgain(ctx, c)
}

// knownInbox deals with known footage that is to go into the inbox.
func (a *addition) knownInbox(ctx context.Context, f store.Footage, clips []store.Clip, out AddedFile) (AddedFile, error) {
	if len(clips) > 0 {
		out.ClipID = clips[0].ID
	}
	state, away, err := a.lib.store.InInbox(ctx, f.ID)
	if err != nil && !errors.Is(err, annotate.ErrNotFound) {
		return out, err
	}
	there := err == nil
	switch {
	case there && !away:
		out.Inbox, out.Again = true, !out.Moved
		return out, nil
	case a.req.Known:
	case len(clips) > 0:
		out.Again = !out.Moved
		return out, nil
	case there && state == store.InboxLeftOut:
		out.Away = true
		return out, nil
	}
	a.add(f, false)
	out.Inbox = true
	return out, nil
}

// storeInbox puts what was read into the inbox, then starts reading frames and
// taking pictures.
func (a *addition) storeInbox(ctx context.Context) error {
	rows := store.InboxAddition{Folders: a.folders}
	var all []store.Footage
	for _, c := range a.clips {
		if c.fresh {
			rows.Footage = append(rows.Footage, c.footage)
		}
		rows.Put = append(rows.Put, c.footage.ID)
		all = append(all, c.footage)
	}
	if err := a.lib.store.AddToInbox(ctx, rows); err != nil {
		return err
	}
	a.lib.places.forget()
	a.lib.startStills(all)
	for _, c := range a.clips {
		if c.fresh {
			a.lib.startFrames(store.Clip{Footage: c.footage})
		}
		if err := a.lib.wantProxy(ctx, c.footage, ""); err != nil {
			return err
		}
	}
	return nil
}

package library

import (
	"context"
	"errors"
	"slices"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// ImportReading stores a reading made elsewhere for a clip, as one new reading,
// and returns its id: its own unless that is taken or unfit for an address. It
// fails with annotate.Problems where it breaks a rule, also the rule that all of
// it lies within the clip.
//
// Its clip and dog are the library's from now on; handler, venue and side are its
// own where it has them. It begins at revision 1, with every event at that
// revision: the import itself can't be undone.
func (l *Library) ImportReading(ctx context.Context, clipID string, r *annotate.Reading) (string, error) {
	done, err := l.begin()
	if err != nil {
		return "", err
	}
	defer done()
	clip, err := l.store.Clip(ctx, clipID)
	if err != nil {
		return "", err
	}
	in := *r
	f := clip.Footage
	end := f.Duration
	if f.Frames != store.FramesReady && r.Clip.Fingerprint == f.Fingerprint {
		end = max(end, r.Clip.Duration) // it may know the frames of this very file
	}
	in.Clip = annotate.Clip{File: nameOf(f), Fingerprint: f.Fingerprint, Duration: end, RecordedAt: f.RecordedAt}
	if err := in.Validate().Err(); err != nil {
		return "", err
	}
	in.Revision, in.History = 1, annotate.History{}
	in.Events = slices.Clone(r.Events)
	for i := range in.Events {
		in.Events[i].Rev = 1
	}
	annotate.SortEvents(in.Events)
	if !fitsAddress(in.ID) {
		in.ID = newID()
	}
	err = l.store.AddReading(ctx, clipID, &in)
	if errors.Is(err, store.ErrTaken) {
		in.ID = newID()
		err = l.store.AddReading(ctx, clipID, &in)
	}
	if err != nil {
		return "", err
	}
	return in.ID, nil
}

// fitsAddress reports whether an id can stand in an address as it is.
func fitsAddress(id string) bool {
	if id == "" || len(id) > 64 {
		return false
	}
	for i := range len(id) {
		c := id[i]
		if !('a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || c == '-' || c == '_') {
			return false
		}
	}
	return true
}

// FindClips returns the clips whose footage has a fingerprint, or failing that a
// file name (the last part of a path).
func (l *Library) FindClips(ctx context.Context, fingerprint, file string) ([]store.Clip, error) {
	if fingerprint != "" {
		clips, err := l.store.ClipsOf(ctx, fingerprint)
		if err != nil || len(clips) > 0 {
			return clips, err
		}
	}
	if file == "" {
		return nil, nil
	}
	return l.store.ClipsNamed(ctx, file)
}

package library

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// addition is one call of Add under way.
type addition struct {
	lib    *Library
	req    AddRequest
	dog    store.Dog
	newDog bool

	inbox   bool // no dog: into the inbox
	clips   []added
	byPrint map[string]int // fingerprint to index in clips
	folders []string
	report  AddReport
}

// added is a clip to be stored; its session isn't known before all are read.
type added struct {
	id      string
	footage store.Footage
	fresh   bool   // the footage is new to the library
	back    bool   // the clip lies in the bin, and comes back
	stays   string // the session that it is in, "" if it needs one
}

func (l *Library) newAddition(ctx context.Context, req AddRequest) (*addition, error) {
	a := &addition{lib: l, req: req, byPrint: map[string]int{}, inbox: req.Dog == ""}
	if a.inbox {
		return a, nil
	}
	var err error
	a.dog, err = l.store.DogNamed(ctx, req.Dog)
	if errors.Is(err, annotate.ErrNotFound) {
		a.newDog = true
		a.dog = store.Dog{ID: newID(), Name: req.Dog, Side: "left"}
		err = nil
	}
	return a, err
}

// file reads one file and notes what came of it. The error is of the library or
// of ctx; what is wrong with the file stands in the report.
func (a *addition) file(ctx context.Context, f found) error {
	out := AddedFile{Path: f.path, Problem: f.problem}
	var err error
	if f.problem == "" {
		if out, err = a.read(ctx, f); err != nil {
			return err
		}
	}
	a.report.Files = append(a.report.Files, out)
	return nil
}

func (a *addition) read(ctx context.Context, f found) (AddedFile, error) {
	out := AddedFile{Path: f.path}
	print, size, err := printOf(f)
	if err != nil {
		a.lib.cfg.Log.Info("fingerprint", "path", f.path, "err", err)
		out.Problem = unreachable(err)
		return out, nil
	}
	if i, ok := a.byPrint[print]; ok { // a second copy in the same call
		out.ClipID, out.Inbox, out.Again = a.clips[i].id, a.inbox, true
		return out, nil
	}
	footage, err := a.lib.store.FootageWith(ctx, print)
	switch {
	case err == nil:
		return a.known(ctx, f, footage)
	case !errors.Is(err, annotate.ErrNotFound):
		return out, err
	}
	path := filepath.Join(f.root, filepath.FromSlash(f.below))
	p, err := a.lib.cfg.Prober.Probe(ctx, path)
	if ctx.Err() != nil {
		return out, ctx.Err()
	}
	if err != nil {
		out.Problem = a.lib.words("probe "+path, err)
		return out, nil
	}
	footage = footageOf(f, print, size, p)
	out.ClipID, out.Inbox = a.add(footage, true), a.inbox
	out.Problem = strings.TrimSpace(footage.NeedsProxy + " " + footage.Silent)
	a.folder(f.root)
	return out, nil
}

// known deals with a file whose footage is in the library.
func (a *addition) known(ctx context.Context, f found, footage store.Footage) (AddedFile, error) {
	out := AddedFile{Path: f.path}
	a.folder(f.root)
	if !samePlace(f, footage) {
		old, err := a.lib.openAt(footage, footage.Root, footage.Path)
		if err == nil {
			err = old.Close()
		} else {
			out.Moved = true
			err = a.lib.moved(ctx, footage.ID, f.root, f.below)
			footage.Root, footage.Path = f.root, f.below
		}
		if err != nil {
			return out, err
		}
	} else if footage.Missing {
		if err := a.lib.store.SetMissing(ctx, footage.ID, false); err != nil {
			return out, err
		}
	}
	clips, err := a.lib.store.ClipsOf(ctx, footage.Fingerprint)
	if err != nil {
		return out, err
	}
	if err := a.again(ctx, &footage, clips, out.Moved); err != nil {
		return out, err
	}
	if a.inbox {
		return a.knownInbox(ctx, footage, clips, out)
	}
	for _, c := range clips {
		if c.DogID == a.dog.ID {
			out.ClipID, out.Again = c.ID, !out.Moved
			return out, nil
		}
	}
	places, err := a.lib.store.PlacesOf(ctx, footage.ID)
	if err != nil {
		return out, err
	}
	if p, ok := inBin(places, a.dog.ID); ok {
		out.ClipID, out.Back = p.ID, true
		a.bringBack(footage, p)
		return out, nil
	}
	out.ClipID = a.add(footage, false) // so far of other dogs only
	return out, nil
}

// inBin returns the place that footage has with a dog in the bin, rather one that is
// in a session which isn't.
func inBin(places []store.ClipPlace, dogID string) (p store.ClipPlace, ok bool) {
	for _, q := range places {
		if q.DogID == dogID && !q.Live && (!ok || q.SessionLive && !p.SessionLive) {
			p, ok = q, true
		}
	}
	return p, ok
}

// bringBack has a clip come back from the bin, with its readings: into its session,
// or, where that lies in the bin, into one as a new clip would go.
func (a *addition) bringBack(f store.Footage, p store.ClipPlace) {
	c := added{id: p.ID, footage: f, back: true}
	if p.SessionLive {
		c.stays = p.SessionID
	}
	a.byPrint[f.Fingerprint] = len(a.clips)
	a.clips = append(a.clips, c)
}

// samePlace reports whether a file lies where footage was last.
func samePlace(f found, footage store.Footage) bool {
	return filepath.Join(f.root, filepath.FromSlash(f.below)) == filepath.Join(footage.Root, filepath.FromSlash(footage.Path))
}

// add takes footage up and returns the id of its new clip, "" for the inbox.
func (a *addition) add(f store.Footage, fresh bool) (clipID string) {
	c := added{footage: f, fresh: fresh}
	if !a.inbox {
		c.id = newID()
	}
	a.byPrint[f.Fingerprint] = len(a.clips)
	a.clips = append(a.clips, c)
	return c.id
}

func (a *addition) folder(path string) {
	if !slices.Contains(a.folders, path) {
		a.folders = append(a.folders, path)
	}
}

// store puts the clips into sessions and stores all of it at once, then starts
// reading frames.
func (a *addition) store(ctx context.Context) error {
	if len(a.clips) == 0 && (a.newDog || len(a.folders) == 0) {
		return nil
	}
	if a.inbox {
		return a.storeInbox(ctx)
	}
	rows := store.Addition{Dog: a.dog, NewDog: a.newDog, Folders: a.folders}
	sessions, err := a.sessions(ctx, &rows)
	if err != nil {
		return err
	}
	for i, c := range a.clips {
		if c.fresh {
			rows.Footage = append(rows.Footage, c.footage)
		}
		clip := store.NewClip{ID: c.id, SessionID: sessions[i], FootageID: c.footage.ID}
		if c.back {
			rows.Back = append(rows.Back, clip)
		} else {
			rows.Clips = append(rows.Clips, clip)
		}
	}
	if err := a.lib.store.Add(ctx, rows); err != nil {
		return err
	}
	a.lib.places.forget()
	for _, c := range a.clips {
		if c.back {
			if err := a.lib.foundAgain(ctx, store.Clip{ID: c.id, DogID: a.dog.ID, Footage: c.footage}); err != nil {
				return err
			}
		}
		if c.fresh {
			a.lib.startFrames(store.Clip{ID: c.id, DogID: a.dog.ID, Footage: c.footage})
		} else {
			a.lib.jobs.claim(c.footage.ID, c.id) // of footage that was in the inbox
		}
		if err := a.lib.wantProxy(ctx, c.footage, c.id); err != nil {
			return err
		}
	}
	return nil
}

// sessions returns the id of each clip's session, and adds the new ones to rows.
func (a *addition) sessions(ctx context.Context, rows *store.Addition) ([]string, error) {
	there, err := a.lib.store.SessionExtents(ctx, a.dog.ID)
	if err != nil {
		return nil, err
	}
	ids := make([]string, 0, len(there))
	old := make([]extent, 0, len(there))
	for _, s := range there {
		ids = append(ids, s.ID)
		old = append(old, extent{s.Start, s.End})
	}
	fresh := func() string {
		s := store.Session{ID: newID(), DogID: a.dog.ID}
		rows.Sessions = append(rows.Sessions, s)
		return s.ID
	}
	of := make([]string, len(a.clips))
	var dated []extent
	var which []int
	undated := ""
	for i, c := range a.clips {
		if c.stays != "" {
			of[i] = c.stays
			continue
		}
		at := c.footage.RecordedAt
		if at == nil {
			if undated == "" {
				undated = fresh()
			}
			of[i] = undated
			continue
		}
		dated = append(dated, extent{*at, at.Add(time.Duration(c.footage.Length()) * time.Microsecond)})
		which = append(which, i)
	}
	place, made := group(old, dated, a.req.Gap)
	for range made {
		ids = append(ids, fresh())
	}
	for k, i := range which {
		of[i] = ids[place[k]]
	}
	return of, nil
}

// printOf takes the fingerprint of a file.
func printOf(f found) (print string, size int64, err error) {
	r, err := os.OpenRoot(f.root)
	if err != nil {
		return "", 0, err
	}
	defer r.Close()
	file, info, err := openPlain(r, f.below)
	if err != nil {
		return "", 0, err
	}
	defer file.Close()
	print, err = fingerprint(file, info.Size())
	return print, info.Size(), err
}

// footageOf is what is stored of a file that was probed.
func footageOf(f found, print string, size int64, p media.Probe) store.Footage {
	proxy := store.ProxyNone
	if p.NeedsProxy != "" {
		proxy = store.ProxyWanted
	}
	return store.Footage{
		ID: newID(), Fingerprint: print, Root: f.root, Path: f.below, Size: size,
		Format: p.Format, Video: p.Video, Audio: p.Audio, Width: p.Width, Height: p.Height, Rotation: p.Rotation,
		FrameRate: p.FrameRate, Variable: p.Variable, Duration: p.Duration, Start: p.Start,
		RecordedAt: p.RecordedAt, RecordedBy: p.RecordedBy, RecordedZone: p.RecordedZone,
		NeedsProxy: p.NeedsProxy, Silent: p.Silent, Frames: store.FramesWanted, Proxy: proxy,
	}
}

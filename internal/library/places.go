package library

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sync"
	"time"

	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// Footage is an open file of footage.
type Footage interface {
	io.ReadSeekCloser
	io.ReaderAt
	Name() string
}

// places remembers which files were seen to be the footage they should be, and
// what was looked for in vain, so that not every request reads and searches.
type places struct {
	mu     sync.Mutex
	known  map[string]place     // by footage
	absent map[string]time.Time // by footage: when it was looked for
	search sync.Mutex           // one search at a time
}

// forget forgets what was looked for in vain: there is more to look at now.
func (p *places) forget() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.absent = nil
}

// place is a file as it was when its fingerprint was found right.
type place struct {
	root, below string
	size        int64
	changed     time.Time
}

// Limits of a search: how many names it looks at, and how long one that found
// nothing counts.
const (
	searchNames = 200_000
	searchAgain = 10 * time.Second
)

// OpenFootage opens a clip's file for reading; it looks for a moved file in the
// folders known to the library first, by fingerprint. Where it can't be found the
// error is a *media.Fault that says where it was.
func (l *Library) OpenFootage(ctx context.Context, clipID string) (Footage, error) {
	clip, err := l.store.Clip(ctx, clipID)
	if err != nil {
		return nil, err
	}
	return l.openClip(ctx, clip)
}

// openClip is OpenFootage for a clip as the database has it.
func (l *Library) openClip(ctx context.Context, clip store.Clip) (Footage, error) {
	f, err := l.find(ctx, clip.Footage)
	if err != nil {
		return nil, err
	}
	if clip.Footage.Missing {
		if err := l.foundAgain(ctx, clip); err != nil {
			return nil, errors.Join(err, f.Close())
		}
	}
	return f, nil
}

// find opens footage where it is now.
func (l *Library) find(ctx context.Context, f store.Footage) (*os.File, error) {
	file, err := l.openAt(f, f.Root, f.Path)
	if err == nil {
		if f.Missing {
			err = l.note(l.store.SetMissing(ctx, f.ID, false))
		}
		if err != nil {
			return nil, errors.Join(err, file.Close())
		}
		return file, nil
	}
	if l.lookedFor(f.ID) {
		return nil, absent(f, err)
	}
	l.places.search.Lock()
	defer l.places.search.Unlock()
	if l.lookedFor(f.ID) { // by who held the search before
		return nil, absent(f, err)
	}
	file, root, below, searchErr := l.search(ctx, f)
	if searchErr != nil {
		return nil, searchErr
	}
	if file == nil {
		l.places.mu.Lock()
		if l.places.absent == nil {
			l.places.absent = map[string]time.Time{}
		}
		l.places.absent[f.ID] = l.cfg.Now()
		l.places.mu.Unlock()
		if !f.Missing {
			if noted := l.note(l.store.SetMissing(ctx, f.ID, true)); noted != nil {
				return nil, noted
			}
		}
		return nil, absent(f, err)
	}
	if err := l.note(l.moved(ctx, f.ID, root, below)); err != nil {
		return nil, errors.Join(err, file.Close())
	}
	return file, nil
}

// moved notes that footage was found at another place, where it may have another
// name.
func (l *Library) moved(ctx context.Context, footageID, root, below string) error {
	if err := l.store.MoveFootage(ctx, footageID, root, below); err != nil {
		return err
	}
	ids, err := l.store.ReadingsOf(ctx, footageID, "")
	if err != nil {
		return err
	}
	return l.refresh(ctx, ids)
}

// note passes over that nothing can be noted in a library open for reading.
func (l *Library) note(err error) error {
	if errors.Is(err, store.ErrReadOnly) {
		return nil
	}
	return err
}

// lookedFor reports whether footage was looked for in vain just now.
func (l *Library) lookedFor(id string) bool {
	l.places.mu.Lock()
	defer l.places.mu.Unlock()
	at, ok := l.places.absent[id]
	return ok && l.cfg.Now().Sub(at) < searchAgain
}

func absent(f store.Footage, cause error) error {
	return &media.Fault{Kind: "unreadable",
		Message: fmt.Sprintf("%s is not where it was, in %s, nor in the folders that clips were added from.", nameOf(f), filepath.Join(f.Root, filepath.FromSlash(path.Dir(f.Path)))),
		Hint:    "Connect its drive, or add the folder that it was moved to; what was coded is kept either way.", Cause: cause}
}

// errOther says that a file at footage's place is another one.
var errOther = errors.New("another file")

// openAt opens the file at a place if it is the footage. Nothing but a plain file
// below root is opened, whatever links there are.
func (l *Library) openAt(f store.Footage, root, below string) (*os.File, error) {
	r, err := os.OpenRoot(root)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	file, info, err := openPlain(r, below)
	if err != nil {
		return nil, err
	}
	here := place{root, below, info.Size(), info.ModTime()}
	l.places.mu.Lock()
	same := l.places.known[f.ID] == here
	l.places.mu.Unlock()
	if same {
		return file, nil
	}
	if info.Size() != f.Size {
		return nil, errors.Join(errOther, file.Close())
	}
	print, err := fingerprint(file, info.Size())
	if err == nil && print != f.Fingerprint {
		err = errOther
	}
	if err != nil {
		return nil, errors.Join(err, file.Close())
	}
	l.places.mu.Lock()
	defer l.places.mu.Unlock()
	if l.places.known == nil {
		l.places.known = map[string]place{}
	}
	l.places.known[f.ID] = here
	delete(l.places.absent, f.ID)
	return file, nil
}

// openPlain opens a plain file below a folder.
func openPlain(r *os.Root, below string) (*os.File, fs.FileInfo, error) {
	name := filepath.FromSlash(below)
	info, err := r.Stat(name) // opening a pipe would wait for its other end
	if err != nil {
		return nil, nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, nil, errOther
	}
	file, err := r.Open(name)
	if err != nil {
		return nil, nil, err
	}
	if info, err = file.Stat(); err != nil {
		return nil, nil, errors.Join(err, file.Close())
	}
	return file, info, nil
}

// errEnough ends a search that has looked at enough names.
var errEnough = errors.New("enough")

// search looks for footage in the known folders and below them: for files of its
// size, and of those the one with its fingerprint. It returns a nil file where
// there is none.
func (l *Library) search(ctx context.Context, f store.Footage) (file *os.File, root, below string, err error) {
	folders, err := l.store.Folders(ctx)
	if err != nil {
		return nil, "", "", err
	}
	names := 0
	for _, folder := range folders {
		r, err := os.OpenRoot(folder)
		if err != nil {
			continue // its drive isn't connected
		}
		err = fs.WalkDir(r.FS(), ".", func(name string, d fs.DirEntry, err error) error {
			names++
			switch {
			case ctx.Err() != nil:
				return ctx.Err()
			case names > searchNames:
				return errEnough
			case err != nil && d != nil && d.IsDir():
				return fs.SkipDir
			case err != nil || name == ".":
				return nil
			case hidden(d.Name()) && d.IsDir():
				return fs.SkipDir
			case !d.Type().IsRegular():
				return nil
			}
			info, err := d.Info()
			if err != nil || info.Size() != f.Size {
				return nil
			}
			found, err := l.openAt(f, folder, name)
			if err != nil {
				return nil // of the same size, but not this one
			}
			file, root, below = found, folder, name
			return fs.SkipAll
		})
		closed := r.Close()
		if file != nil {
			return file, root, below, closed
		}
		if errors.Is(err, errEnough) {
			l.cfg.Log.Warn("a search for moved footage ended early", "name", nameOf(f), "names", names)
			break
		}
		if err := errors.Join(err, closed); err != nil {
			return nil, "", "", err
		}
	}
	return nil, "", "", nil
}

package library

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/google/uuid"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// Prober reads footage. media.Tools is the real one; the demo brings facts that
// were read when it was made.
type Prober interface {
	Probe(ctx context.Context, path string) (media.Probe, error)
	Frames(ctx context.Context, path string, progress func(done float64)) (media.FrameTable, error)
}

// Config is what a library needs from outside.
type Config struct {
	Dir         string             // the library's folder; made if missing unless ReadOnly
	Prober      Prober             // nil: footage can't be added, and says why
	Now         func() time.Time   // nil: time.Now
	Log         *slog.Logger       // nil: nothing is logged
	ReadOnly    bool               // change nothing; another process may be writing
	DefaultBook *annotate.Codebook // the book of a library that has none yet; nil: none
}

// Library is an open library. Its methods may be called by many at once.
type Library struct {
	cfg   Config
	dir   string
	id    string
	store *store.Store
	lock  *lock // nil where only reading

	shelf    *shelf
	watchers watchers
	jobs     *runner
	places   places
	adding   sync.Mutex   // one addition at a time: the next one has to know its sessions
	proxying sync.Mutex   // held while a proxy is begun: there is one for each footage
	facts    sync.RWMutex // held while what dogs, sessions and the bin say reaches the readings in memory
	framing  sync.Mutex   // held from looking for a frame table until what follows from that is stored

	ctx    context.Context // ends when the library is closed
	stop   context.CancelFunc
	use    sync.RWMutex // read-held by what writes, so that Close waits for it
	closed bool
}

// databaseName is the name of the database in a library's folder.
const databaseName = "library.db"

// Open opens or makes the library in cfg.Dir and starts what was left to do. It
// fails with *InUse where another process writes to it, unless cfg.ReadOnly.
func Open(ctx context.Context, cfg Config) (*Library, error) {
	if cfg.Now == nil {
		cfg.Now = time.Now
	}
	if cfg.Log == nil {
		cfg.Log = slog.New(slog.DiscardHandler)
	}
	dir, err := filepath.Abs(cfg.Dir)
	if err != nil {
		return nil, fmt.Errorf("library: folder %s: %w", cfg.Dir, err)
	}
	l := &Library{cfg: cfg, dir: dir, shelf: newShelf()}
	l.ctx, l.stop = context.WithCancel(context.WithoutCancel(ctx))
	l.jobs = newRunner(l.ctx, cfg.Log, func(j Job) { l.watchers.tell(Notice{Job: &j}) })
	if err := l.open(ctx); err != nil {
		return nil, fmt.Errorf("library: open %s: %w", dir, errors.Join(err, l.Close()))
	}
	return l, nil
}

func (l *Library) open(ctx context.Context) (err error) {
	database := filepath.Join(l.dir, databaseName)
	if l.cfg.ReadOnly {
		if _, err := os.Stat(database); errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("there is no library yet; `afterwalk add` makes one: %w", err)
		}
	} else {
		if err := os.MkdirAll(filepath.Join(l.dir, mediaName), 0o700); err != nil {
			return err
		}
		if l.lock, err = takeLock(l.dir); err != nil {
			return err
		}
	}
	if l.store, err = store.Open(ctx, database, store.Options{ReadOnly: l.cfg.ReadOnly, Now: l.cfg.Now}); err != nil {
		return err
	}
	if l.id, err = l.store.Fact(ctx, store.FactID); err != nil || l.cfg.ReadOnly {
		return err
	}
	if l.id == "" {
		l.id = newID()
		if err := l.store.SetFact(ctx, store.FactID, l.id); err != nil {
			return err
		}
	}
	if err := l.provideBook(ctx); err != nil {
		return err
	}
	if err := l.purge(ctx); err != nil {
		return err
	}
	if err := l.resumeFrames(ctx); err != nil {
		return err
	}
	if err := l.resumeProxies(ctx); err != nil {
		return err
	}
	return l.resumeInbox(ctx)
}

// newID returns an id: a UUID of version 7, so that newer ones sort after older.
func newID() string { return uuid.Must(uuid.NewV7()).String() }

// errClosed says that a library is used after Close.
var errClosed = errors.New("library: it is closed")

// begin is called by what writes, and done when it has written; in between, Close
// waits.
func (l *Library) begin() (done func(), err error) {
	l.use.RLock()
	if l.closed {
		l.use.RUnlock()
		return nil, errClosed
	}
	return l.use.RUnlock, nil
}

// Close waits for running writes, stops jobs and closes the database.
func (l *Library) Close() error {
	l.stop()
	l.jobs.close()
	l.use.Lock()
	defer l.use.Unlock()
	if l.closed {
		return nil
	}
	l.closed = true
	l.watchers.close()
	var errs []error
	if l.store != nil {
		errs = append(errs, l.store.Close())
	}
	if l.lock != nil {
		errs = append(errs, l.lock.release())
	}
	return errors.Join(errs...)
}

// ID returns the library's own id.
func (l *Library) ID() string { return l.id }

// Dir returns the library's folder, an absolute path.
func (l *Library) Dir() string { return l.dir }

// Addr returns the address it was last served at ("" if never).
func (l *Library) Addr(ctx context.Context) (string, error) {
	return l.store.Fact(ctx, store.FactAddr)
}

// SetAddr remembers the address it is served at, and tells it to whoever tries to
// open the library for writing meanwhile.
func (l *Library) SetAddr(ctx context.Context, addr string) error {
	done, err := l.begin()
	if err != nil {
		return err
	}
	defer done()
	if err := l.store.SetFact(ctx, store.FactAddr, addr); err != nil {
		return err
	}
	return l.lock.say(addr)
}

// Backup writes a checked copy of the database to path, which must not exist.
func (l *Library) Backup(ctx context.Context, path string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return fmt.Errorf("library: backup: %w", err)
	}
	return l.store.Backup(ctx, path)
}

// Check compares the database with itself, and each journal with its events.
func (l *Library) Check(ctx context.Context) (CheckReport, error) {
	c, err := l.store.Check(ctx)
	return CheckReport(c), err
}

// CheckReport lists what is wrong; nothing if Problems is empty.
type CheckReport struct {
	Readings, Edits, Events int
	Problems                []string
}

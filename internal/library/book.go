package library

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"time"

	"afterwalk/annotate"
	"afterwalk/annotate/caption"
	"afterwalk/internal/store"
	"afterwalk/internal/wire"
)

// BookVersion is a version of the library's book.
type BookVersion struct {
	Book     *annotate.Codebook // not to be changed
	AddedAt  time.Time
	Readings int                   // that use it, those in the bin left out
	Changes  []annotate.BookChange // from the version before; nil for the first
}

// Version returns its number.
func (v BookVersion) Version() int { return v.Book.Version }

// Books returns the versions of the library's book, the newest first.
func (l *Library) Books(ctx context.Context) ([]BookVersion, error) {
	rows, err := l.store.Books(ctx)
	if err != nil {
		return nil, err
	}
	list := make([]BookVersion, len(rows))
	for i, r := range rows {
		list[i] = BookVersion{Book: r.Book, AddedAt: r.AddedAt, Readings: r.Readings}
		if i+1 < len(rows) {
			list[i].Changes = r.Book.Changes(rows[i+1].Book)
		}
	}
	return list, nil
}

// BookVersion returns one version of the library's book. Callers must not change
// it.
func (l *Library) BookVersion(ctx context.Context, version int) (*annotate.Codebook, error) {
	return l.store.Book(ctx, version)
}

// ForeignBooks returns how many readings use a book that came with their file.
func (l *Library) ForeignBooks(ctx context.Context) (int, error) { return l.store.ForeignBooks(ctx) }

// CodeUses returns by code how many events of how many readings carry it.
func (l *Library) CodeUses(ctx context.Context) (map[string]store.CodeUse, error) {
	return l.store.CodeUses(ctx)
}

// NewCodeID returns an id for a new code, made from its name, that no version of
// the book has and that isn't among used.
func (l *Library) NewCodeID(ctx context.Context, name string, used []string) (string, error) {
	versions, err := l.store.Books(ctx)
	if err != nil {
		return "", err
	}
	taken := map[string]bool{}
	for _, id := range used {
		taken[id] = true
	}
	for _, v := range versions {
		for _, lane := range v.Book.Lanes {
			for _, code := range lane.Codes {
				taken[code.ID] = true
			}
		}
	}
	return annotate.NewCodeID(name, func(id string) bool { return taken[id] }), nil
}

// CheckBook returns everything that keeps a book from being saved.
func CheckBook(book *annotate.Codebook) annotate.Problems {
	return append(book.CheckOwn(), caption.CheckBook(book)...)
}

// BookConflict says that a book was changed from a version that isn't the newest
// any more. It matches [annotate.ErrConflict].
type BookConflict struct {
	Base   *annotate.Codebook // what the changes started from; nil where there is no such version
	Newest *annotate.Codebook
}

// Error says what happened.
func (c *BookConflict) Error() string {
	return fmt.Sprintf("version %d of the book was saved in the meantime", c.Newest.Version)
}

// Is reports whether target is annotate.ErrConflict.
func (c *BookConflict) Is(target error) bool { return target == annotate.ErrConflict }

// SaveBook stores a book that was changed from the version base as the next
// version, and returns its number. Readings keep the version that they use; new
// ones take the newest. The book's own id and version are put in place of what it
// brings. Nothing is stored, and base returned, where it has the content of base.
// It fails with annotate.Problems where it can't be the library's book, and with
// *BookConflict if base isn't the newest version.
func (l *Library) SaveBook(ctx context.Context, base int, book *annotate.Codebook) (version int, err error) {
	done, err := l.begin()
	if err != nil {
		return 0, err
	}
	defer done()
	if err := CheckBook(book).Err(); err != nil {
		return 0, err
	}
	newest, err := l.store.NewestBook(ctx)
	if errors.Is(err, annotate.ErrNotFound) { // a library without any: this is its first
		newest, err = &annotate.Codebook{ID: newID()}, nil
	}
	switch {
	case err != nil:
		return 0, err
	case base != newest.Version:
		return 0, l.bookConflict(ctx, base)
	case SameBook(book, newest):
		return base, nil
	}
	next := *book
	next.ID, next.Version = newest.ID, newest.Version+1
	err = l.store.AddBook(ctx, &next)
	if errors.Is(err, store.ErrTaken) { // another one was saved since we looked
		return 0, l.bookConflict(ctx, base)
	}
	if err != nil {
		return 0, err
	}
	l.watchers.tell(Notice{Book: next.Version})
	return next.Version, nil
}

// bookConflict says that base isn't the newest version.
func (l *Library) bookConflict(ctx context.Context, base int) error {
	newest, err := l.store.NewestBook(ctx)
	if err != nil {
		return err
	}
	c := &BookConflict{Newest: newest}
	if c.Base, err = l.store.Book(ctx, base); err != nil && !errors.Is(err, annotate.ErrNotFound) {
		return err
	}
	return c
}

// SameBook reports whether two books have the same content, id and version aside.
func SameBook(a, b *annotate.Codebook) bool {
	x, y := *a, *b
	x.ID, x.Version, y.ID, y.Version = "", 0, "", 0
	// As text, an empty list is a missing one where that means the same.
	s, errS := wire.FromCodebook(&x).MarshalJSON()
	t, errT := wire.FromCodebook(&y).MarshalJSON()
	return errS == nil && errT == nil && string(s) == string(t) || reflect.DeepEqual(x, y)
}

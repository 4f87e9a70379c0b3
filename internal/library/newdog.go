package library

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// NewDog makes a dog without clips, worked on the left, and returns its id. It
// fails with annotate.Problems for a name that can't be, also for one that another
// dog has.
func (l *Library) NewDog(ctx context.Context, name string) (string, error) {
	done, err := l.begin()
	if err != nil {
		return "", err
	}
	defer done()
	name = strings.TrimSpace(name)
	if err := newName(name); err != nil {
		return "", err
	}
	l.adding.Lock() // clips may be coming in for a new dog of the same name
	defer l.adding.Unlock()
	d := store.Dog{ID: newID(), Name: name, Side: "left"}
	_, err = l.store.DogNamed(ctx, name)
	switch {
	case err == nil:
		return "", annotate.Problems{{Field: "name", Message: "There is a dog of that name.", Hint: "Open it, or give this one another name."}}
	case !errors.Is(err, annotate.ErrNotFound):
		return "", err
	}
	err = l.store.Add(ctx, store.Addition{Dog: d, NewDog: true})
	return d.ID, err
}

// newName returns what is wrong with a dog's name, nil if nothing is.
func newName(name string) error {
	p := annotate.Problem{Field: "name"}
	switch n := utf8.RuneCountInString(name); {
	case name == "":
		p.Message, p.Hint = "The dog's name is missing.", "Write the name that the dog is called by."
	case n > nameLimit:
		p.Message, p.Hint = fmt.Sprintf("The dog's name is too long: %d characters, at most %d are kept.", n, nameLimit), "Shorten it."
	case !utf8.ValidString(name) || strings.ContainsFunc(name, unicode.IsControl):
		p.Message, p.Hint = "The dog's name has signs in it that can't be shown.", "Type it anew."
	default:
		return nil
	}
	return annotate.Problems{p}
}

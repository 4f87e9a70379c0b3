package library

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// Choice is what footage of the inbox is to be.
type Choice struct {
	State store.InboxState // sorted: to Dogs; otherwise Dogs is empty
	Dogs  []DogChoice
}

// DogChoice is a dog that footage is a clip of.
type DogChoice struct {
	ID     string         // of a dog that is there, or
	Name   string         // its name; a new name makes a new dog
	Window *annotate.Span // where the dog is in it; nil: in all of it. Windows of two dogs may overlap
}

// Sorting says what one footage is to be.
type Sorting struct {
	FootageID string
	Choice
}

// Sort says what one footage of the inbox is, all of it: what it was before no
// longer counts. It returns the id of the act that takes this back, "" where
// nothing changes.
//
// A clip goes into its dog's session by recording time, as group says with the
// pause of the settings; one without it joins those that came in together with it,
// or begins a session. Sessions that are there are never grouped anew; one that is
// left empty goes. A clip of that dog stays, with its readings; one in the bin
// comes back. It fails with annotate.Problems for a choice that can't be, for a
// clip with readings that would have to go, and for a window that leaves out what
// was coded; then nothing was changed.
func (l *Library) Sort(ctx context.Context, footageID string, c Choice) (actID string, err error) {
	return l.SortAll(ctx, []Sorting{{footageID, c}})
}

// SortAll is Sort for several footage, as one act: all of it or nothing.
func (l *Library) SortAll(ctx context.Context, list []Sorting) (actID string, err error) {
	done, err := l.begin()
	if err != nil {
		return "", err
	}
	defer done()
	l.adding.Lock() // sessions are chosen by what is there
	defer l.adding.Unlock()
	l.facts.Lock()
	defer l.facts.Unlock()
	l.framing.Lock() // readings begin where the dog comes in
	defer l.framing.Unlock()
	s := sorter{lib: l, dogs: map[string]store.Dog{}, undated: map[undatedKey]string{}}
	if err := s.prepare(ctx, list); err != nil {
		return "", err
	}
	if len(s.plan.Footage) == 0 {
		return "", nil
	}
	footage := footageOfPlan(s.plan)
	readings, err := l.readingsOf(ctx, footage)
	if err != nil {
		return "", err
	}
	act := store.Act{ID: newID(), Kind: ActSort, Title: s.title()}
	if err := l.changing(ctx, readings, func() error { return l.store.Sort(ctx, s.plan, act) }); err != nil {
		return "", l.sortWords(err)
	}
	return act.ID, l.claim(ctx, footage)
}

func footageOfPlan(p store.SortPlan) []string {
	var ids []string
	for _, f := range p.Footage {
		ids = append(ids, f.ID)
	}
	return ids
}

// readingsOf returns the readings of some footage.
func (l *Library) readingsOf(ctx context.Context, footage []string) ([]string, error) {
	var all []string
	for _, id := range footage {
		ids, err := l.store.ReadingsOf(ctx, id, "")
		if err != nil {
			return nil, err
		}
		all = append(all, ids...)
	}
	return all, nil
}

// claim tells the jobs that are about footage which clip it is now.
func (l *Library) claim(ctx context.Context, footage []string) error {
	for _, id := range footage {
		item, err := l.store.InboxItem(ctx, id)
		if err != nil {
			return err
		}
		if len(item.Clips) > 0 {
			l.jobs.claim(id, item.Clips[0].ID)
		}
	}
	return nil
}

// sorter works out what sorting changes.
type sorter struct {
	lib     *Library
	plan    store.SortPlan
	dogs    map[string]store.Dog // by id, and by name as names are compared
	undated map[undatedKey]string
	titles  []string
}

type undatedKey struct {
	dog string
	at  time.Time
}

// prepare checks what is asked for and fills the plan with what changes.
func (s *sorter) prepare(ctx context.Context, list []Sorting) error {
	if len(list) == 0 {
		return annotate.Problems{{Field: "footage", Message: "No clip is chosen.", Hint: "Choose one first."}}
	}
	set, err := s.lib.Settings(ctx)
	if err != nil {
		return err
	}
	var needs []homeless
	seen := map[string]bool{}
	for _, one := range list {
		if seen[one.FootageID] {
			return annotate.Problems{{Field: "footage", Message: "A clip is in the list twice.", Hint: "Leave one of them out."}}
		}
		seen[one.FootageID] = true
		item, err := s.lib.store.InboxItem(ctx, one.FootageID)
		if err != nil {
			return err
		}
		to, err := s.one(ctx, item, one.Choice)
		if err != nil {
			return err
		}
		if unchanged(item, to) {
			continue
		}
		places, err := s.lib.store.PlacesOf(ctx, item.Footage.ID)
		if err != nil {
			return err
		}
		for i := range to.Clips {
			// As the store does it: the first place of that dog, those outside the bin first.
			k := slices.IndexFunc(places, func(p store.ClipPlace) bool { return p.DogID == to.Clips[i].DogID })
			if k < 0 || !places[k].SessionLive {
				needs = append(needs, homeless{len(s.plan.Footage), i, item})
			}
		}
		s.plan.Footage = append(s.plan.Footage, to)
		s.titles = append(s.titles, s.titleOf(item, to))
	}
	return s.house(ctx, needs, set.Gap)
}

// one turns a choice for one footage into what it is to be.
func (s *sorter) one(ctx context.Context, item store.InboxItem, c Choice) (store.SortedFootage, error) {
	out := store.SortedFootage{ID: item.Footage.ID, State: c.State}
	name := nameOf(item.Footage)
	switch c.State {
	case store.InboxWaiting, store.InboxLeftOut:
		if len(c.Dogs) > 0 {
			return out, annotate.Problems{{Field: "state", Message: fmt.Sprintf("%s can't be a dog's and %s at once.", name, c.State), Hint: "Choose one of the two."}}
		}
	case store.InboxSorted:
		if len(c.Dogs) == 0 {
			return out, annotate.Problems{{Field: "dogs", Message: fmt.Sprintf("No dog is chosen for %s.", name), Hint: "Choose one, or leave the clip out."}}
		}
	default:
		return out, annotate.Problems{{Field: "state", Message: fmt.Sprintf("There is no state %q.", c.State), Hint: "A clip waits, is sorted, or is left out."}}
	}
	for _, d := range c.Dogs {
		dog, err := s.dog(ctx, d)
		if err != nil {
			return out, err
		}
		if slices.ContainsFunc(out.Clips, func(c store.SortedClip) bool { return c.DogID == dog.ID }) {
			return out, annotate.Problems{{Field: "dogs", Message: fmt.Sprintf("%s is chosen twice for %s.", dog.Name, name), Hint: "A dog has one part of a clip: give it from where the dog comes in first to where it goes out last."}}
		}
		w, err := windowIn(item.Footage, d.Window)
		if err != nil {
			return out, err
		}
		out.Clips = append(out.Clips, store.SortedClip{NewClip: store.NewClip{ID: newID(), FootageID: item.Footage.ID, Window: w}, DogID: dog.ID})
	}
	return out, nil
}

// dog finds the dog that is meant, or makes a new one.
func (s *sorter) dog(ctx context.Context, c DogChoice) (store.Dog, error) {
	if c.ID != "" {
		if d, ok := s.dogs[c.ID]; ok {
			return d, nil
		}
		d, err := s.lib.store.Dog(ctx, c.ID)
		if errors.Is(err, annotate.ErrNotFound) {
			return d, annotate.Problems{{Field: "dogs", Message: "This dog isn't there any more, or lies in the bin. Nothing was changed.", Hint: "Reload the page to see how things stand."}}
		}
		s.dogs[c.ID] = d
		return d, err
	}
	name := strings.TrimSpace(c.Name)
	if err := newName(name); err != nil {
		return store.Dog{}, err
	}
	key := store.NameKey(name)
	if d, ok := s.dogs["name "+key]; ok {
		return d, nil
	}
	d, err := s.lib.store.DogNamed(ctx, name)
	if errors.Is(err, annotate.ErrNotFound) {
		d, err = store.Dog{ID: newID(), Name: name, Side: "left"}, nil
		s.plan.Dogs = append(s.plan.Dogs, d)
	}
	s.dogs["name "+key], s.dogs[d.ID] = d, d
	return d, err
}

// unchanged reports whether footage is already what it is to be.
func unchanged(item store.InboxItem, to store.SortedFootage) bool {
	if item.State != to.State || len(item.Clips) != len(to.Clips) {
		return false
	}
	for _, c := range item.Clips {
		i := slices.IndexFunc(to.Clips, func(t store.SortedClip) bool { return t.DogID == c.DogID })
		if i < 0 || !sameSpan(c.Window, to.Clips[i].Window) {
			return false
		}
	}
	return true
}

func sameSpan(a, b *annotate.Span) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a == *b
}

// sortWords is the error of a sorting that is refused, in words.
func (l *Library) sortWords(err error) error {
	var coded *store.Coded
	var outside *store.Outside
	switch {
	case errors.As(err, &coded):
		return annotate.Problems{{Field: "dogs", Message: fmt.Sprintf("This clip of %s has been coded already. Nothing was changed.", coded.Dog),
			Hint: "If the coding is not wanted, put that clip into the bin on the page of its session; then sort again."}}
	case errors.As(err, &outside):
		return outsideWords(outside)
	}
	return err
}

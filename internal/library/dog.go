package library

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// What a dog's facts may be at most.
const (
	notesLimit = 20_000       // characters
	wearLimit  = 24 * 60 * 60 // seconds
)

// SetDog sets a dog's name, side, devices, ceilings, wear limit and notes. It
// fails with annotate.Problems for what can't be right, also for the name of
// another dog: then the two may be merged. A new name is an act, which can be
// taken back.
//
// The fields of the problems are "name", "side", "notes", "wear_min",
// "device-0-name", "device-0-channel", "device-0-max" (counted from 0) and
// "ceiling SCALE".
func (l *Library) SetDog(ctx context.Context, d store.Dog) error {
	done, err := l.begin()
	if err != nil {
		return err
	}
	defer done()
	d.Name = strings.TrimSpace(d.Name)
	if err := checkDog(d).Err(); err != nil {
		return err
	}
	l.adding.Lock() // clips may be coming in for a new dog of the same name
	defer l.adding.Unlock()
	l.facts.Lock()
	defer l.facts.Unlock()
	before, err := l.store.Dog(ctx, d.ID)
	if err != nil {
		return err
	}
	a := store.Act{ID: newID(), Kind: ActRename, Title: fmt.Sprintf("%s is called %s now.", before.Name, d.Name)}
	err = l.store.SetDog(ctx, d, a)
	if errors.Is(err, store.ErrTaken) {
		return annotate.Problems{{Field: "name", Message: "Another dog has this name. Nothing was changed.", Hint: "Choose another one, or merge the two."}}
	}
	if err != nil {
		return err
	}
	return l.refreshDog(ctx, d.ID)
}

// refreshDog brings a dog's readings in memory up to date.
func (l *Library) refreshDog(ctx context.Context, id string) error {
	ids, err := l.store.ReadingsBelow(ctx, "dog", id)
	if err != nil {
		return err
	}
	return l.refresh(ctx, ids)
}

// checkDog returns all that is wrong with a dog's facts.
func checkDog(d store.Dog) annotate.Problems {
	var p annotate.Problems
	add := func(field, message, hint string) {
		p = append(p, annotate.Problem{Field: field, Message: message, Hint: hint})
	}
	var name annotate.Problems
	if errors.As(newName(d.Name), &name) {
		p = append(p, name...)
	}
	if d.Side != "left" && d.Side != "right" {
		add("side", "The side that the dog works on is neither left nor right.", "Choose one of the two.")
	}
	if n := utf8.RuneCountInString(d.Notes); n > notesLimit {
		add("notes", fmt.Sprintf("The notes are too long: %d characters, at most %d are kept.", n, notesLimit), "Shorten them.")
	} else if !utf8.ValidString(d.Notes) || strings.ContainsRune(d.Notes, 0) {
		add("notes", "The notes have signs in them that can't be stored.", "Type them anew.")
	}
	if w := d.WearLimitS; w != nil && !(*w >= 0 && *w <= wearLimit) {
		add("wear_min", "The collar time of a day is less than none, or more than 24 hours.", "Give it in minutes, or leave it empty if no collar is used.")
	}
	return append(append(p, checkDevices(d.Devices)...), checkCeilings(d)...)
}

// level reports whether a number can be one of a device's own levels.
func level(v float64) bool { return v >= 0 && !math.IsInf(v, 0) } // not a number isn't at least 0

func checkDevices(devices []store.Device) annotate.Problems {
	var p annotate.Problems
	for i, v := range devices {
		add := func(part, message, hint string) {
			p = append(p, annotate.Problem{Field: fmt.Sprintf("device-%d-%s", i, part), Message: message, Hint: hint})
		}
		switch {
		case strings.TrimSpace(v.Name) == "":
			add("name", "A device has no name.", "Write what is printed on it, or take it out.")
		case newName(v.Name) != nil:
			add("name", fmt.Sprintf("The name of a device is longer than %d characters, or has signs in it that can't be shown.", nameLimit), "Type it anew, and shorter.")
		case slices.ContainsFunc(devices[:i], func(o store.Device) bool {
			return annotate.Scale(o.Channel, o.Name) == annotate.Scale(v.Channel, v.Name)
		}):
			add("name", fmt.Sprintf("The device %q is there twice.", v.Name), "Take one of the two out, or name them apart.")
		}
		switch {
		case strings.TrimSpace(v.Channel) == "":
			add("channel", fmt.Sprintf("What the device %q does isn't said.", v.Name), "Choose its channel.")
		case newName(v.Channel) != nil || strings.Contains(v.Channel, "@"):
			add("channel", fmt.Sprintf("The channel of the device %q can't be one.", v.Name), "Choose one from the codebook.")
		}
		if v.LevelMax != nil && !level(*v.LevelMax) {
			add("max", fmt.Sprintf("The highest level of the device %q is no level: it is below 0 or no number.", v.Name), "Give the device's own number.")
		}
	}
	return p
}

func checkCeilings(d store.Dog) annotate.Problems {
	var p annotate.Problems
	scales := make([]string, 0, len(d.Ceilings))
	for scale := range d.Ceilings {
		scales = append(scales, scale)
	}
	slices.Sort(scales)
	for _, scale := range scales {
		add := func(message, hint string) {
			p = append(p, annotate.Problem{Field: "ceiling " + scale, Message: message, Hint: hint})
		}
		v := d.Ceilings[scale]
		switch i := slices.IndexFunc(d.Devices, func(o store.Device) bool { return annotate.Scale(o.Channel, o.Name) == scale }); {
		case strings.TrimSpace(scale) == "" || !utf8.ValidString(scale):
			add("A ceiling is for nothing.", "Choose what it is for, or take it out.")
		case !level(v):
			add(fmt.Sprintf("The ceiling of %s is no level: it is below 0 or no number.", scale), "Give the device's own number.")
		case i >= 0 && d.Devices[i].LevelMax != nil && v > *d.Devices[i].LevelMax:
			add(fmt.Sprintf("The ceiling of %s lies above the device's own highest level.", scale), "A ceiling is the level that is not gone beyond with this dog.")
		}
	}
	return p
}

// undoRename gives a dog its old name back.
func (l *Library) undoRename(ctx context.Context, a store.Act) error {
	l.facts.Lock()
	defer l.facts.Unlock()
	id, err := l.store.UndoRename(ctx, a)
	switch {
	case errors.Is(err, store.ErrTaken):
		return refused("Another dog has the old name by now. Nothing was changed.", "Give that one another name first, or merge the two.")
	case errors.Is(err, store.ErrChanged):
		return refused("The dog has been given yet another name since. Nothing was changed.", "Set the name that you want on the dog's page.")
	case errors.Is(err, annotate.ErrNotFound):
		return refused("The dog isn't there any more, or lies in the bin. Nothing was changed.", "Put it back from the bin first.")
	case err != nil:
		return err
	}
	return l.refreshDog(ctx, id)
}

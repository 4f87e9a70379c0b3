package demo

import (
	"context"
	"fmt"

	"afterwalk/annotate"
	"afterwalk/internal/demo/outing"
	"afterwalk/internal/library"
	"afterwalk/internal/store"
)

// fill adds to a library what is not there yet. films are the paths in the order
// of [outing.Clips].
func fill(ctx context.Context, lib *library.Library, films []string) error {
	clips := make([]string, len(films)) // ids; "" for the film that is of no outing
	k := 0
	for _, o := range outing.Outings() {
		for range o.Clips {
			report, err := lib.Add(ctx, library.AddRequest{Dog: o.Dog, Paths: films[k : k+1]}, nil)
			if err != nil {
				return err
			}
			if len(report.Files) != 1 || report.Files[0].ClipID == "" {
				return fmt.Errorf("%s was not added: %+v", films[k], report)
			}
			clips[k] = report.Files[0].ClipID
			k++
		}
	}
	if err := leaveUnsorted(ctx, lib, films[k:]); err != nil {
		return err
	}
	if err := lib.WaitFrames(ctx); err != nil {
		return err
	}
	if err := describeDogs(ctx, lib); err != nil {
		return err
	}
	if err := describe(ctx, lib, clips); err != nil {
		return err
	}
	book, err := lib.Book(ctx)
	if err != nil {
		return err
	}
	for i, s := range stories() {
		if clips[i] == "" {
			continue
		}
		if err := addReadings(ctx, lib, clips[i], s, book); err != nil {
			return err
		}
	}
	return discard(ctx, lib, clips)
}

// leaveUnsorted puts films into the inbox.
func leaveUnsorted(ctx context.Context, lib *library.Library, films []string) error {
	_, err := lib.Add(ctx, library.AddRequest{Paths: films}, nil)
	return err
}

// discarded is the clip that somebody began to read by mistake.
const discarded = "tansy-alder-2"

// discard puts a reading that was begun by mistake into the bin.
func discard(ctx context.Context, lib *library.Library, clips []string) error {
	there, err := lib.BinContents(ctx)
	if err != nil || len(there) > 0 {
		return err
	}
	for i, s := range stories() {
		if s.Name != discarded {
			continue
		}
		id, err := lib.NewReading(ctx, clips[i], outing.Quill)
		if err != nil {
			return err
		}
		if _, err := lib.Bin(ctx, "reading", id); err != nil {
			return err
		}
	}
	return nil
}

// dogs are facts of the dogs as a trainer would note them down. The ceilings are what was
// agreed for that dog, no advice.
var dogs = map[string]store.Dog{
	outing.Tansy: {
		Devices: []store.Device{{Name: outing.ToneCollar, Channel: "tone"}},
		Notes:   "Spaniel mix, five years, worked on the left. Works for food, a ball is better still. Soft: a word is plenty.",
	},
	outing.Bramble: {
		Devices:    []store.Device{{Name: outing.GreyCollar, Channel: "stim", LevelMax: new(20.0)}},
		Ceilings:   map[string]float64{annotate.Scale("stim", outing.GreyCollar): 6},
		WearLimitS: new(2 * 60 * 60.0),
		Notes:      "Lurcher, three years, from a rescue; worked on the right, her owner's left arm is weak. Chases. Collar only with the owner's and the vet's word; skin checked each time.",
	},
}

// describeDogs fills in what is known of each dog.
func describeDogs(ctx context.Context, lib *library.Library) error {
	list, err := lib.Dogs(ctx)
	if err != nil {
		return err
	}
	for _, d := range list {
		known := dogs[d.Name]
		d.Side, d.Devices, d.Ceilings, d.WearLimitS, d.Notes = outing.Side(d.Name), known.Devices, known.Ceilings, known.WearLimitS, known.Notes
		if err := lib.SetDog(ctx, d.Dog); err != nil {
			return fmt.Errorf("describe %s: %w", d.Name, err)
		}
	}
	return nil
}

// describe fills in what is known of each session.
func describe(ctx context.Context, lib *library.Library, clips []string) error {
	k := 0
	for _, o := range outing.Outings() {
		clip, err := lib.Clip(ctx, clips[k])
		if err != nil {
			return err
		}
		k += len(o.Clips)
		session, err := lib.Session(ctx, clip.SessionID)
		if err != nil {
			return err
		}
		session.Venue, session.Handler, session.Line, session.Device = o.Venue, o.Handler, o.Line, o.Device
		session.Plan, session.Notes = o.Plan, o.Notes
		if err := lib.SetSession(ctx, session); err != nil {
			return err
		}
	}
	return nil
}

// addReadings stores the readings of a clip, unless an earlier attempt came that
// far.
func addReadings(ctx context.Context, lib *library.Library, clipID string, s Story, book *annotate.Codebook) error {
	there, err := lib.Readings(ctx, clipID)
	if err != nil {
		return err
	}
	for _, c := range s.Codings[min(len(there), len(s.Codings)):] {
		reading, err := s.Reading(c, book)
		if err != nil {
			return err
		}
		if _, err := lib.ImportReading(ctx, clipID, reading); err != nil {
			return fmt.Errorf("reading of %s by %s: %w", s.Name, c.Reader, err)
		}
	}
	return nil
}

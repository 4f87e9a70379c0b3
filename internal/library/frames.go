package library

import (
	"context"
	"errors"
	"fmt"

	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// resumeFrames starts reading the frame tables that are still wanted.
func (l *Library) resumeFrames(ctx context.Context) error {
	clips, err := l.store.ClipsWanting(ctx)
	if err != nil {
		return err
	}
	for _, c := range clips {
		l.startFrames(c)
	}
	return nil
}

// startFrames begins the job that reads a clip's frame table. Without a prober
// the table stays wanted.
func (l *Library) startFrames(c store.Clip) {
	if l.cfg.Prober == nil {
		return
	}
	job := Job{Kind: kindFrames, Title: "Reading the frames of " + nameOf(c.Footage), ClipID: c.ID, FootageID: c.Footage.ID}
	l.jobs.start(job, func(ctx context.Context, t *task) (string, error) {
		message, err := l.readFrames(ctx, c, func(done float64) { l.jobs.progress(t, done, "") })
		if ctx.Err() != nil {
			return "It was stopped; it goes on when the library is opened next.", ctx.Err()
		}
		if err != nil {
			message = l.words("read frames of "+nameOf(c.Footage), err)
		}
		return message, err
	})
}

// foundAgain begins what is still wanted of a clip whose file is there again: its
// frame table and its proxy. The jobs that were to make them have failed meanwhile.
func (l *Library) foundAgain(ctx context.Context, c store.Clip) error {
	if l.cfg.ReadOnly {
		return nil
	}
	if _, underway := l.jobs.open(kindFrames, c.Footage.ID); !underway && c.Footage.Frames == store.FramesWanted {
		l.startFrames(c)
	}
	return l.wantProxy(ctx, c.Footage, c.ID)
}

// readFrames reads a clip's frame table and stores it. Where the file says that
// it has none, that is stored; where it can't be reached, the table stays wanted.
func (l *Library) readFrames(ctx context.Context, c store.Clip, progress func(done float64)) (string, error) {
	file, err := l.find(ctx, c.Footage)
	if err != nil {
		return "", err
	}
	path := file.Name()
	if err := file.Close(); err != nil {
		return "", err
	}
	t, err := l.cfg.Prober.Frames(ctx, path, progress)
	if ctx.Err() != nil {
		return "", ctx.Err()
	}
	if err == nil && len(t.PTS) == 0 {
		err = &media.Fault{Kind: "damaged", Message: "No frame of the picture can be read.", Hint: "Copy the file from the camera again."}
	}
	if err != nil {
		var fault *media.Fault
		if errors.As(err, &fault) && fault.Kind != "unreadable" && fault.Kind != "no-tools" {
			return "", errors.Join(err, l.store.FailFrames(ctx, c.Footage.ID, fault.Error()))
		}
		return "", err
	}
	if err := l.keepFrames(ctx, c, t); err != nil {
		return "", err
	}
	message := fmt.Sprintf("%d frames.", len(t.PTS))
	if t.Warning != "" {
		message += " " + t.Warning
	}
	return message, nil
}

// keepFrames stores a frame table, and brings the readings of its footage up to
// date with the clip's length and start.
func (l *Library) keepFrames(ctx context.Context, c store.Clip, t media.FrameTable) error {
	done, err := l.begin()
	if err != nil {
		return err
	}
	defer done()
	l.framing.Lock()
	defer l.framing.Unlock()
	ids, err := l.store.ReadingsOf(ctx, c.Footage.ID, "")
	if err != nil {
		return err
	}
	return l.changing(ctx, ids, func() error { return l.store.SetFrames(ctx, c.Footage.ID, store.FrameTable(t)) })
}

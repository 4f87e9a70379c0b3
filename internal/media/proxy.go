package media

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"afterwalk/annotate"
)

// ProxyWant says what times a proxy has to keep.
type ProxyWant struct {
	// Table is the footage's frame table, which the proxy has to match. Without
	// frames the footage has no usable times, and the proxy defines the timeline.
	Table FrameTable
	// Base, if not nil, says that Table was defined by an earlier proxy with this
	// base: the new one has to tell exactly the same.
	Base *annotate.Micros
}

// free reports whether the proxy has a timeline of its own.
func (w ProxyWant) free() bool { return len(w.Table.PTS) == 0 || w.Base != nil }

// ProxyMade is what came of a proxy.
type ProxyMade struct {
	Says string // what differs from the footage, for the person; "" if nothing
	// Table, if not nil, is when each frame is shown from now on, where that isn't
	// the footage's own table.
	Table *FrameTable
	Base  *annotate.Micros // where the proxy defines the timeline: what its time 0 stands for
}

// unfinished begins the names of proxies that are being made.
const unfinished = ".making-"

// Proxy writes a copy of the file at path that browsers can play to the file to,
// an MP4, and compares its frame table with the one that is wanted. The file is
// written whole or not at all; one that was there is replaced. It lies beside to
// under another name until then, see [ClearUnfinished].
//
// progress, if not nil, is called now and then with the share that is done, 0…1,
// never falling. The error is a [Fault] where something is wrong with the file,
// the disk or ffmpeg; of kind "other-times" where frames are not at their times
// (a caller may then let the proxy define the timeline); ctx's own error where ctx
// ended.
func (t *Tools) Proxy(ctx context.Context, path, to string, want ProxyWant, progress func(done float64)) (ProxyMade, error) {
	if progress == nil {
		progress = func(float64) {}
	}
	s, err := t.source(ctx, path)
	if err != nil {
		return ProxyMade{}, err
	}
	scratch, err := os.CreateTemp(filepath.Dir(to), unfinished+"*.mp4")
	if err != nil {
		return ProxyMade{}, unwritable(err)
	}
	defer os.Remove(scratch.Name()) // gone already where all went well
	if err := scratch.Close(); err != nil {
		return ProxyMade{}, unwritable(err)
	}
	e := encoding{tools: t, source: s, path: path, to: scratch.Name(), frames: len(want.Table.PTS), last: want.Table.End, progress: progress}
	made, err := e.make(ctx, want)
	if err != nil {
		return ProxyMade{}, err
	}
	if ctx.Err() != nil {
		return ProxyMade{}, ctx.Err()
	}
	if err := settle(scratch.Name(), to); err != nil {
		return ProxyMade{}, unwritable(err)
	}
	progress(1)
	return made, nil
}

// make writes the proxy and looks at its times.
func (e *encoding) make(ctx context.Context, want ProxyWant) (ProxyMade, error) {
	e.timing = timing{free: want.free(), toZero: want.free() && e.source.Format == "avi"}
	var base *annotate.Micros
	if e.timing.free {
		at, err := e.begins(ctx)
		if err != nil {
			return ProxyMade{}, err
		}
		base = &at
	}
	says, err := e.encode(ctx)
	if err != nil {
		return ProxyMade{}, err
	}
	made, err := e.tools.Frames(ctx, e.to, nil)
	if err != nil {
		return ProxyMade{}, undecoded(ctx, err)
	}
	out := ProxyMade{Base: base}
	var differs string
	switch {
	case !e.timing.free:
		if out.Table, differs, err = tableOf(want.Table, made); err != nil {
			return ProxyMade{}, err
		}
	case want.Base != nil && (*want.Base != *base || !slices.Equal(want.Table.PTS, made.PTS)):
		return ProxyMade{}, &Fault{Kind: "other-timeline", Message: "The copy that was made again doesn't show the frames at the same times as the first one, by which this clip was coded. It was thrown away; what was coded is kept.",
			Hint:  "Another version of ffmpeg may have made the first one: bring the old copy back from a backup, or go back to that version and try again.",
			Cause: fmt.Errorf("media: proxy: %d frames from %d µs on, want %d from %d µs on", len(made.PTS), *base, len(want.Table.PTS), zero(want.Base))}
	default:
		made.Warning = want.Table.Warning
		out.Table = &made
	}
	out.Says = strings.TrimSpace(says + " " + differs)
	return out, nil
}

func zero(us *annotate.Micros) annotate.Micros {
	if us == nil {
		return 0
	}
	return *us
}

// begins returns what time 0 of a proxy with a timeline of its own stands for in
// its source: the time at which ffmpeg decodes the first frame where that is moved
// to 0, else the start of the container.
func (e *encoding) begins(ctx context.Context) (annotate.Micros, error) {
	if !e.timing.toZero {
		return e.source.Start, nil
	}
	absolute, err := filepath.Abs(e.path)
	if err != nil {
		return 0, unreadable(err)
	}
	args := append(guarded(), "-select_streams", "V:0", "-read_intervals", "%+#60", "-of", "csv=p=0", "-show_entries", "frame=best_effort_timestamp", input(absolute))
	var answer []byte
	messages, err := run(ctx, e.tools.answer, e.tools.FFprobe, args, func(r io.Reader) (err error) {
		answer, err = io.ReadAll(io.LimitReader(r, answerLimit))
		return err
	})
	if err != nil {
		return 0, probeFault(ctx, messages, err)
	}
	for line := range strings.Lines(string(answer)) {
		if tick, ok := integer([]byte(strings.TrimRight(line, ",\r\n"))); ok && e.source.base.valid() {
			us, _ := e.source.base.micros(tick)
			return us, nil
		}
	}
	return 0, nil
}

// undecoded says of a proxy without frames what that means for its footage.
func undecoded(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return &Fault{Kind: "damaged", Message: "No frame of the picture could be decoded, so no copy that browsers play can be made.",
		Hint: "Copy the file from the camera again.", Cause: err}
}

// settle gives a finished file its name once it is on the disk.
func settle(from, to string) error {
	f, err := os.OpenFile(from, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(from, to)
}

// ClearUnfinished removes what is left in a folder of proxies whose making was cut
// short by a crash.
func ClearUnfinished(dir string) error {
	entries, err := os.ReadDir(dir)
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), unfinished) && e.Type().IsRegular() {
			err = errors.Join(err, os.Remove(filepath.Join(dir, e.Name())))
		}
	}
	return err
}

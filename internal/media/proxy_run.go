package media

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"io"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"afterwalk/annotate"
)

// Limits of making a proxy.
const (
	proxyReserve = 200 << 20        // bytes of the disk that are left free
	proxyUsual   = 512 << 10        // bytes that a second of film usually takes
	proxyMost    = 3 << 20          // bytes that a second of film takes at most, three times what the encoder is held to
	proxyStuck   = 5 * time.Minute  // longest wait for a further frame
	proxyLongest = 30 * time.Minute // however short the film is
	proxySlow    = 60               // times as long as the film, besides
)

// What ends a run before its time.
var (
	errNoRoom  = errors.New("the disk is filling up")
	errTooLong = errors.New("it takes too long")
	errTooBig  = errors.New("it grows beyond measure")
)

// encoding is one proxy under way.
type encoding struct {
	tools    *Tools
	source   source
	timing   timing
	path, to string
	frames   int             // how many are expected; 0 if not known
	last     annotate.Micros // where the picture ends; 0 if not known
	progress func(done float64)
	told     float64
}

// length returns how long the film is, as far as anybody says.
func (e *encoding) length() time.Duration {
	return time.Duration(max(e.source.Duration, e.last-e.source.Start, 0)) * time.Microsecond
}

// encode runs ffmpeg. A sound track that ffmpeg can't decode is left out, and says
// says so.
func (e *encoding) encode(ctx context.Context) (says string, err error) {
	need := int64(e.length().Seconds()*proxyUsual) + proxyReserve
	if free, ok := e.tools.room(filepath.Dir(e.to)); ok && free < need {
		return "", noRoom(need-free, nil)
	}
	tonemap := e.source.transfer == "smpte2084" && e.tools.tonemaps(ctx)
	messages, err := e.once(ctx, true, tonemap)
	if err != nil && ctx.Err() == nil && soundless(messages, err) {
		says = "The sound is coded as " + called(e.source.Audio) + ", which this computer's ffmpeg can't read: the copy is silent."
		messages, err = e.once(ctx, false, tonemap)
	}
	if err != nil {
		return "", proxyFault(ctx, messages, err, e)
	}
	return says, nil
}

// once runs ffmpeg once, within limits.
func (e *encoding) once(ctx context.Context, sound, tonemap bool) (messages string, err error) {
	absolute, err := filepath.Abs(e.path)
	if err != nil {
		return "", unreadable(err)
	}
	limited, stop := context.WithTimeoutCause(ctx, proxyLongest+proxySlow*e.length(), errTooLong)
	defer stop()
	messages, err = runLow(limited, e.tools.stuck, e.tools.FFmpeg, proxyArgs(e.source, absolute, e.to, e.timing, sound, tonemap), e.watch)
	if ctx.Err() == nil && limited.Err() != nil {
		err = context.Cause(limited)
	}
	return messages, err
}

// watch reads ffmpeg's progress, tells it on, and ends the run where it gets stuck
// or takes too much of the disk.
func (e *encoding) watch(r io.Reader) error {
	most := int64(e.length().Seconds()*proxyMost) + proxyReserve
	moved := time.Now()
	var furthest report
	return readProgress(r, func(p report) error {
		if p.frame > furthest.frame || p.at > furthest.at || p.size > furthest.size {
			furthest, moved = p, time.Now()
		}
		switch {
		case time.Since(moved) > e.tools.stuck:
			return errTooLong
		case p.size > most:
			return errTooBig
		}
		if free, ok := e.tools.room(filepath.Dir(e.to)); ok && free < proxyReserve/2 {
			return errNoRoom
		}
		if share := min(1, e.share(p)) * 0.99; share > e.told {
			e.told = share
			e.progress(share)
		}
		return nil
	})
}

// share returns how much of the film is done.
func (e *encoding) share(p report) float64 {
	switch {
	case e.frames > 0:
		return float64(p.frame) / float64(e.frames)
	case e.source.Frames > 0:
		return float64(p.frame) / float64(e.source.Frames)
	case e.source.Duration > 0 && p.at > 0:
		return float64(p.at) / float64(e.source.Duration)
	}
	return 0
}

// report is one block of ffmpeg's progress.
type report struct {
	frame int64 // frames written
	at    int64 // media time, µs
	size  int64 // bytes written
}

// readProgress reads the blocks of key=value lines that ffmpeg's -progress writes
// and calls each with every one. Lines that say nothing of use are passed over.
func readProgress(r io.Reader, each func(report) error) error {
	in := bufio.NewScanner(r)
	var p report
	for in.Scan() {
		key, value, _ := bytes.Cut(in.Bytes(), []byte{'='})
		n, err := strconv.ParseInt(string(bytes.TrimSpace(value)), 10, 64)
		switch {
		case string(key) == "progress":
			if err := each(p); err != nil {
				return err
			}
		case err != nil || n < 0:
		case string(key) == "frame":
			p.frame = n
		case string(key) == "out_time_us":
			p.at = n
		case string(key) == "total_size":
			p.size = n
		}
	}
	return in.Err()
}

// soundless reports whether ffmpeg gave up because of the sound.
func soundless(messages string, err error) bool {
	if errors.Is(err, errTooLong) || errors.Is(err, errTooBig) || errors.Is(err, errNoRoom) {
		return false
	}
	for line := range strings.Lines(messages) {
		if strings.Contains(line, "matches no streams") || strings.Contains(line, "Decod") && strings.Contains(line, "not found for input stream #0:") {
			return !strings.Contains(line, "hevc") && !strings.Contains(line, "h264")
		}
		if strings.Contains(line, "Error while opening decoder for input stream") || strings.Contains(line, "abuffer") || strings.Contains(line, "sample rate not set") {
			return true
		}
	}
	return false
}

// tonemaps reports whether this ffmpeg has the filters that bring high dynamic
// range down.
func (t *Tools) tonemaps(ctx context.Context) bool {
	var list []byte
	_, err := run(ctx, t.answer, t.FFmpeg, []string{"-hide_banner", "-v", "error", "-filters"}, func(r io.Reader) (err error) {
		list, err = io.ReadAll(io.LimitReader(r, answerLimit))
		return err
	})
	return err == nil && bytes.Contains(list, []byte(" zscale ")) && bytes.Contains(list, []byte(" tonemap "))
}

package media

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"afterwalk/annotate"
)

// frameArgs returns the arguments of the call that lists the packets of the
// picture, one for each frame, and after them the facts of its track. Nothing is
// decoded. V leaves out cover pictures.
func frameArgs(absolute string) []string {
	return append(guarded(), "-select_streams", "V:0", "-of", "csv=p=1",
		"-show_entries", "packet=pts,duration,pos,flags:stream=time_base,avg_frame_rate,start_pts,duration_ts,nb_frames",
		input(absolute))
}

// Frames reads when each frame of the file at path is shown. It reads the whole
// file once, a second or so for twenty minutes of film. progress, if not nil, is
// called now and then with the share that is done, 0…1, never falling.
//
// Frames that are never shown (before or after an edit list's part) are not in
// the table; the file's start time is not subtracted. The error is a [Fault]
// where something is wrong with the file, ctx's own error where ctx ended. A
// table that is cut off but usable has a Warning.
func (t *Tools) Frames(ctx context.Context, path string, progress func(done float64)) (FrameTable, error) {
	size, err := sniff(path)
	if err != nil {
		return FrameTable{}, err
	}
	absolute, err := filepath.Abs(path)
	if err != nil {
		return FrameTable{}, unreadable(err)
	}
	if progress == nil {
		progress = func(float64) {}
	}
	var list packetList
	messages, err := run(ctx, t.idle, t.FFprobe, frameArgs(absolute), func(r io.Reader) error {
		return list.read(r, func(pos int64) { progress(min(1, float64(pos)/float64(size))) })
	})
	if err != nil {
		return FrameTable{}, probeFault(ctx, messages, err)
	}
	if list.untimed > 0 && isAVI(path) {
		list.pts = nil // those that are there are times of decoding
	}
	table, err := list.table()
	if err != nil {
		return FrameTable{}, err
	}
	if cut := list.cutOff(table, messages); cut != "" {
		table.Warning = cut
	}
	progress(1)
	return table, nil
}

// table turns packets into frames. The error is a [Fault].
func (l *packetList) table() (FrameTable, error) {
	if len(l.pts) == 0 {
		if l.untimed > 0 {
			return FrameTable{}, &Fault{Kind: "no-timestamps", Message: "The file doesn't say when its frames are shown, so it can't be coded frame by frame.",
				Hint: "It needs a proxy: a copy that browsers can play and that has times."}
		}
		if !l.base.valid() {
			return FrameTable{}, &Fault{Kind: "no-picture", Message: "There is no picture in the file.", Hint: "Choose a video file."}
		}
		return FrameTable{}, &Fault{Kind: "damaged", Message: "No frame of the picture can be read.", Hint: "Copy the file from the camera again."}
	}
	if !l.base.valid() {
		return FrameTable{}, &Fault{Kind: "no-timestamps", Message: "The file doesn't say how long a tick of its clock is.",
			Hint: "It needs a proxy: a copy that browsers can play and that has times.", Cause: errors.New("media: no time base")}
	}
	pts := l.sorted()
	table := FrameTable{PTS: make([]annotate.Micros, 0, len(pts))}
	for _, tick := range pts {
		us, ok := l.base.micros(tick)
		if !ok {
			return FrameTable{}, &Fault{Kind: "damaged", Message: "The file's times are beyond all measure.", Hint: "Copy it from the camera again.",
				Cause: fmt.Errorf("media: tick %d of %d/%d s", tick, l.base.num, l.base.den)}
		}
		if n := len(table.PTS); n == 0 || us > table.PTS[n-1] {
			table.PTS = append(table.PTS, us)
		}
	}
	last := table.PTS[len(table.PTS)-1]
	end, ok := l.base.micros(pts[len(pts)-1] + l.lastLength(pts))
	if !ok || end <= last {
		end = last + 1
	}
	table.End = end
	if l.untimed > 0 {
		table.Warning = fmt.Sprintf("%d frames have no time of their own and are left out; stepping passes over them.", l.untimed)
	}
	return table, nil
}

// cutOff says that the file ends before its time, "" if it doesn't. Messages of
// ffprobe say so plainly for some containers; a track that has both fewer frames
// and a shorter time than it announces is cut off as well. Fewer frames alone
// are not: an edit list may leave some out.
func (l *packetList) cutOff(table FrameTable, messages string) string {
	said := strings.Contains(messages, "partial file") || strings.Contains(messages, "File ended prematurely")
	announced := annotate.Micros(0)
	if l.duration > 0 && l.base.valid() {
		if us, ok := l.base.micros(l.start + l.duration); ok {
			announced = us
		}
	}
	short := announced > table.End+annotate.Second/2
	if !said && !(short && l.announced > 0 && l.packets < l.announced) {
		return ""
	}
	if short {
		return fmt.Sprintf("The file is cut off: it should run to %s, but its picture ends at %s. What is there can be coded; copy it from the camera again if you can.",
			clock(announced), clock(table.End))
	}
	return "The file is cut off: its end is missing. What is there can be coded; copy it from the camera again if you can."
}

// clock writes a time as m:ss.
func clock(t annotate.Micros) string {
	s := int64(t / annotate.Second)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

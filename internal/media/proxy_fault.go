package media

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strings"
)

// proxyFault turns a failed run of ffmpeg into what the person is told.
func proxyFault(ctx context.Context, messages string, err error, e *encoding) error {
	const kept = " Nothing of it was kept, and the film is untouched."
	has := func(words ...string) bool {
		for _, w := range words {
			if strings.Contains(messages, w) {
				return true
			}
		}
		return false
	}
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.Is(err, errNoRoom) || has("No space left on device", "disk full"):
		return noRoom(0, err)
	case errors.Is(err, errTooBig):
		return &Fault{Kind: "endless", Message: "The copy grew far beyond what a film of this length takes, so it was stopped." + kept,
			Hint: "Turn the film into an MP4 (H.264) with a converter of your choice, and add that.", Cause: err}
	case errors.Is(err, errTooLong) || errors.Is(err, errSilent):
		return &Fault{Kind: "endless", Message: "Making the copy took far longer than a film of this length should, so it was stopped." + kept,
			Hint: "If the film is on a slow or distant drive, copy it to this computer and add it there; then try again.", Cause: err}
	case has("Unknown encoder 'libx264'"):
		return &Fault{Kind: "no-tools", Message: "This computer's ffmpeg can't write H.264 (it was built without libx264), so the copy can't be made.",
			Hint: "Install a complete ffmpeg (on Fedora the package ffmpeg of RPM Fusion), then try again.", Cause: err}
	case has("Unrecognized option", "Option not found"):
		return &Fault{Kind: "no-tools", Message: "This computer's ffmpeg is too old to make the copy.",
			Hint: "Install version 5.1 or newer, then try again.", Cause: err}
	case has("not found for input stream", "Unknown decoder"):
		return &Fault{Kind: "no-tools", Message: fmt.Sprintf("This computer's ffmpeg can't read %s, so the copy can't be made.", called(e.source.Video)),
			Hint: "Install a complete ffmpeg (on Fedora the package ffmpeg of RPM Fusion), then try again.", Cause: err}
	case has("exceeds maximum", "max_pixels", "Picture size"):
		return &Fault{Kind: "damaged", Message: fmt.Sprintf("The picture claims to be larger than anything that is read here (%d × %d), so the copy can't be made.", e.source.Width, e.source.Height),
			Hint: "Copy the file from the camera again.", Cause: err}
	}
	return undecoded(ctx, err)
}

// noRoom says that the disk has too little room; short, if not 0, by how much.
func noRoom(short int64, cause error) error {
	f := &Fault{Kind: "no-room", Message: "There is too little room on the disk for the copy that browsers play. Nothing of it was kept.",
		Hint: "Make room on the disk of the library, then try again.", Cause: cause}
	if short > 0 {
		f.Hint = fmt.Sprintf("Make room on the disk of the library, %d MB at least, then try again.", short>>20+1)
	}
	return f
}

// unwritable says that the proxy can't be stored.
func unwritable(err error) error {
	f := &Fault{Kind: "unwritable", Message: "The copy that browsers play can't be stored in the library's folder.",
		Hint: "See that the folder is there and can be written to, then try again.", Cause: err}
	if errors.Is(err, fs.ErrNotExist) {
		f.Message = "The library's folder media, where the copies that browsers play are kept, is gone."
		f.Hint = "See that the drive of the library is connected, then start afterwalk again."
	}
	return f
}

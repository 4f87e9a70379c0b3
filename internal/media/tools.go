package media

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"time"
)

// FolderVar is the environment variable that names a folder with ffmpeg and
// ffprobe, for those who keep them off the search path.
const FolderVar = "AFTERWALK_FFMPEG"

// Tools are the programs that read footage, and how long they may take.
type Tools struct {
	FFmpeg, FFprobe string // paths of the programs

	answer time.Duration                          // longest wait for a whole short answer
	idle   time.Duration                          // longest silence while a long answer streams
	stuck  time.Duration                          // longest wait for a further frame of a proxy
	room   func(dir string) (free int64, ok bool) // of a folder's disk, for proxies
}

// Find returns ffmpeg and ffprobe from the folder that [FolderVar] names, or,
// where that is not set, from the search path. A [Fault] of kind "no-tools" says
// which is missing and how to get it.
func Find() (*Tools, error) {
	return find(os.Getenv(FolderVar), runtime.GOOS)
}

func find(folder, system string) (*Tools, error) {
	t := &Tools{answer: 60 * time.Second, idle: 90 * time.Second, stuck: proxyStuck, room: roomAt}
	for _, p := range []struct {
		name string
		path *string
	}{{"ffmpeg", &t.FFmpeg}, {"ffprobe", &t.FFprobe}} {
		name := p.name
		if folder != "" {
			name = filepath.Join(folder, p.name)
		}
		path, err := exec.LookPath(name)
		if err != nil {
			return nil, noTools(p.name, folder, system, err)
		}
		*p.path = path
	}
	return t, nil
}

// noTools says that a program is missing and how to get it on a system.
func noTools(program, folder, system string, cause error) *Fault {
	f := &Fault{Kind: "no-tools", Cause: cause,
		Message: "The program " + program + ", which reads footage, was not found on this computer."}
	if folder != "" {
		f.Message = "The program " + program + ", which reads footage, was not found in the folder that " + FolderVar + " names."
		f.Hint = "Set " + FolderVar + " to the folder that holds ffmpeg and ffprobe, or unset it."
		return f
	}
	switch system {
	case "darwin":
		f.Hint = "Install it with `brew install ffmpeg`, then start afterwalk again."
	case "windows":
		f.Hint = "Install it with `winget install ffmpeg`, open a new window and start afterwalk again."
	default:
		f.Hint = "Install it with `sudo apt install ffmpeg` (Debian, Ubuntu), `sudo dnf install ffmpeg-free` (Fedora) or `sudo pacman -S ffmpeg` (Arch), then start afterwalk again."
	}
	f.Hint += " If it is there but not on the search path, set " + FolderVar + " to its folder."
	return f
}

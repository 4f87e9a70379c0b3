package library

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// videoEndings are the file name endings that are taken for videos in a folder.
// Some of them can't be read; those are named with the reason, not passed over.
var videoEndings = []string{
	".mp4", ".m4v", ".mov", ".qt", ".webm", ".mkv", ".avi", ".ts", ".mts", ".m2ts", ".m2t", ".3gp", ".3g2",
	".mpg", ".mpeg", ".wmv", ".asf", ".flv", ".ogv", ".vob", ".mxf", ".dv", ".rm",
}

// VideoName reports whether a file's name ends as those of videos do.
func VideoName(name string) bool {
	return slices.Contains(videoEndings, strings.ToLower(filepath.Ext(name)))
}

// hidden reports whether a name is one that systems and cameras keep to
// themselves: ".Trashes", "._clip.mp4".
func hidden(name string) bool { return strings.HasPrefix(name, ".") }

// found is a file that may be added, or why not.
type found struct {
	path    string // as it is shown: absolute
	root    string // folder that was chosen, or the chosen file's folder; links resolved
	below   string // path below root, slash-separated
	problem string // why it can't be added, "" if it may
}

// walk lists the files that the chosen paths stand for: a file as it is, whatever
// its name; of a folder all videos in it and below it, in order of their names.
// Hidden files and folders, and the library's own folder, are passed over. Links
// inside a folder are not followed, so a walk ends and stays inside; one that
// leads to a video or a folder is named. No file stands there twice.
func (l *Library) walk(ctx context.Context, paths []string) ([]found, error) {
	var list []found
	seen := map[string]bool{}
	add := func(f found) {
		key := filepath.Join(f.root, filepath.FromSlash(f.below))
		if f.problem != "" {
			key = f.path
		}
		if !seen[key] {
			seen[key] = true
			list = append(list, f)
		}
	}
	for _, path := range paths {
		path, err := filepath.Abs(path)
		if err != nil {
			add(found{path: path, problem: unreachable(err)})
			continue
		}
		real, err := filepath.EvalSymlinks(path)
		var info fs.FileInfo
		if err == nil {
			info, err = os.Stat(real)
		}
		switch {
		case err != nil:
			add(found{path: path, problem: unreachable(err)})
		case info.IsDir():
			if err := l.walkFolder(ctx, real, add); err != nil {
				return nil, err
			}
		case !info.Mode().IsRegular():
			add(found{path: path, problem: "This is neither a file nor a folder."})
		default:
			add(found{path: path, root: filepath.Dir(real), below: filepath.Base(real)})
		}
	}
	return list, ctx.Err()
}

func (l *Library) walkFolder(ctx context.Context, root string, add func(found)) error {
	own := l.dir
	if real, err := filepath.EvalSymlinks(l.dir); err == nil {
		own = real
	}
	return filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err != nil {
			add(found{path: path, problem: unreachable(err)})
			if d != nil && d.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		switch {
		case path == root:
			return nil
		case d.IsDir():
			if hidden(d.Name()) || path == own {
				return fs.SkipDir
			}
		case hidden(d.Name()):
		case d.Type()&fs.ModeSymlink != 0:
			if f, ok := linked(path, d.Name()); ok {
				add(f)
			}
		case d.Type().IsRegular() && VideoName(d.Name()):
			below, err := filepath.Rel(root, path)
			if err != nil {
				return err
			}
			add(found{path: path, root: root, below: filepath.ToSlash(below)})
		}
		return nil
	})
}

// linked names a link that leads to what would be added if it were no link.
func linked(path, name string) (found, bool) {
	info, err := os.Stat(path)
	switch {
	case err == nil && info.IsDir():
		return found{path: path, problem: "This is a link to a folder; links are not followed. Choose that folder itself if you want its clips."}, true
	case VideoName(name):
		return found{path: path, problem: "This is a link to another place; links are not followed. Choose the file that it leads to."}, true
	}
	return found{}, false
}

// unreachable says why a path can't be read.
func unreachable(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "There is no such file or folder. It may have been moved or renamed, or its drive is not connected."
	case errors.Is(err, fs.ErrPermission):
		return "This computer's user may not read it. Change its permissions, or copy it to a folder of your own."
	}
	return "It can't be read. See that its drive is connected."
}

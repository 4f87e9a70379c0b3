package server

import (
	"os"
	"path/filepath"
	"runtime"
)

// Place is a folder that the chooser may show, with everything below it.
type Place struct{ Name, Path string }

// Places returns the home folder and what is mounted where systems mount cards,
// phones and drives.
func Places() []Place {
	var list []Place
	if home, err := os.UserHomeDir(); err == nil {
		list = append(list, Place{Name: "Home", Path: home})
	}
	if runtime.GOOS == "windows" {
		for drive := 'A'; drive <= 'Z'; drive++ {
			if root := string(drive) + `:\`; isFolder(root) {
				list = append(list, Place{Name: "Drive " + string(drive), Path: root})
			}
		}
		return list
	}
	user := filepath.Base(os.Getenv("USER"))
	for _, parent := range []string{"/media/" + user, "/run/media/" + user, "/mnt", "/Volumes"} {
		entries, err := os.ReadDir(parent)
		if err != nil {
			continue
		}
		for _, e := range entries {
			// On macOS the start volume stands among the others as a link to "/".
			if path := filepath.Join(parent, e.Name()); e.IsDir() {
				list = append(list, Place{Name: e.Name(), Path: path})
			}
		}
	}
	return list
}

// isFolder reports whether a folder is there, a link to one included.
func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

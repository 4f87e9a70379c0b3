package demo

import (
	"embed"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"github.com/google/renameio/v2/maybe"
)

//go:embed footage/alder-lane-2026-05-02.mp4 footage/mill-meadow-2026-05-09.mp4
//go:embed footage/alder-lane.json footage/mill-meadow.json footage/facts.json
var built embed.FS

// Stories returns what is known of the outings, by date.
func Stories() []Story { return slices.Clone(stories()) }

var stories = sync.OnceValue(func() []Story {
	list := make([]Story, 2)
	read("alder-lane.json", &list[0])
	read("mill-meadow.json", &list[1])
	return list
})

// facts returns what ffprobe said of the films.
var facts = sync.OnceValue(func() (list []Fact) {
	read("facts.json", &list)
	return list
})

// read reads a built-in file of JSON.
func read(name string, into any) {
	text, err := built.ReadFile("footage/" + name)
	if err == nil {
		err = json.Unmarshal(text, into)
	}
	if err != nil {
		panic(fmt.Sprintf("demo: the built-in file %s: %v", name, err))
	}
}

// unpack writes the films that are not there into a folder, which is made, and
// returns their paths in the order of the stories.
func unpack(folder string) (paths []string, err error) {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return nil, err
	}
	for _, s := range stories() {
		path := filepath.Join(folder, s.File)
		paths = append(paths, path)
		if _, err := os.Stat(path); err == nil {
			continue
		}
		film, err := built.ReadFile("footage/" + s.File)
		if err != nil {
			return nil, err
		}
		if err := maybe.WriteFile(path, film, 0o644); err != nil {
			return nil, err
		}
	}
	return paths, nil
}

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

	"afterwalk/internal/demo/outing"
)

//go:embed footage/*.mp4 footage/*.json
var built embed.FS

// Stories returns what is known of the clips, in the order of [outing.Clips].
func Stories() []Story { return slices.Clone(stories()) }

var stories = sync.OnceValue(func() []Story {
	clips := outing.Clips()
	list := make([]Story, len(clips))
	for i, c := range clips {
		read(c.Name+".json", &list[i])
	}
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

package chart

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/google/go-cmp/cmp"

	"afterwalk/internal/browser"
	"afterwalk/ui"
)

// The strip that is drawn here and the strip on the desk are one picture: the desk's
// own module says where its rows lie.
func TestRowsAsOnTheDesk(t *testing.T) {
	static, err := fs.Sub(ui.Files(), "static")
	if err != nil {
		t.Fatal(err)
	}
	mux := http.NewServeMux()
	mux.Handle("/assets/", http.StripPrefix("/assets/", http.FileServerFS(static)))
	mux.HandleFunc("/{$}", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprint(w, "<!doctype html><title>rows</title>")
	})
	site := httptest.NewServer(mux)
	defer site.Close()
	ctx := browser.ForTest(t)
	if err := chromedp.Do(ctx, chromedp.Navigate(site.URL)); err != nil {
		t.Fatal(err)
	}
	type rows struct {
		Left, Right, Height                                                    float64
		Named                                                                  bool
		Axis, Ticks, Top, BehindLabel, CueLabel, Cue, Above, Moves, Leg, Depth float64
		Half, Below, Rewards, Ground                                           float64
		Rungs                                                                  []float64
		Bottom, Signs, Outside                                                 float64
		Context                                                                []struct {
			Lane string
			Y    float64
		}
		Bands map[string][]float64
		Over  map[string]bool
	}
	kinds := []string{"ahead", "behind", "wide", "crowding", "own"}
	for _, tt := range []struct {
		width   float64
		rankMax int
		side    string
		signs   bool
		context []string
	}{
		{1232, 6, "left", true, []string{"line", "who"}}, {960, 9, "right", false, nil}, {959, 8, "left", true, []string{"line"}},
		{600, 1, "right", true, nil}, {599, 0, "left", false, []string{"a", "b", "c"}},
	} {
		given, err := json.Marshal(map[string]any{"width": tt.width, "rankMax": tt.rankMax, "side": tt.side, "signs": tt.signs, "context": append([]string{}, tt.context...), "kinds": kinds})
		if err != nil {
			t.Fatal(err)
		}
		text, err := chromedp.Run(ctx, chromedp.Evaluate[string](fmt.Sprintf(`import("/assets/js/strip/rows.js").then(m => {
			const given = %s, r = m.layoutRows(given);
			r.bands = Object.fromEntries(given.kinds.map(k => [k, m.errorBand(r, k)]));
			r.over = Object.fromEntries(given.kinds.map(k => [k, m.labelledAbove(r, k)]));
			return JSON.stringify(r);
		})`, given), chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatal(err)
		}
		var want rows
		if err := json.Unmarshal([]byte(text), &want); err != nil {
			t.Fatal(err)
		}
		r := layRows(tt.width, tt.rankMax, tt.side, tt.signs, tt.context)
		got := rows{
			r.left, r.right, r.height, r.named, r.axis, r.ticks, r.top, r.behindLabel, r.cueLabel, r.cue, r.above, r.moves, r.leg, r.depth,
			r.half, r.below, r.rewards, r.ground, r.rungs, r.bottom, r.signs, r.outside, want.Context[:0:0], map[string][]float64{}, map[string]bool{},
		}
		for _, c := range r.context {
			got.Context = append(got.Context, struct {
				Lane string
				Y    float64
			}{c.lane, c.y})
		}
		for _, k := range kinds {
			top, bottom := r.errorBand(k)
			got.Bands[k], got.Over[k] = []float64{top, bottom}, r.labelledAbove(k)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("width %v, %d ranks, %s (-desk +here):\n%s", tt.width, tt.rankMax, tt.side, diff)
		}
	}
}

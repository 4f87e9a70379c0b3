package server

import (
	"strings"
	"testing"
)

func TestMakeProxy(t *testing.T) {
	f := newFixture(t, facts{})
	clip := f.add(t, "Tansy", "hevc.mp4", 100)
	p := f.page(t, "/sessions/"+clip.SessionID)
	p.sound(t)
	form := p.one(t, "#clip-"+clip.ID+" form[action=/clips/"+clip.ID+"/proxy]")
	if got := text(form); !strings.HasPrefix(got, "Make a copy that plays here") {
		t.Errorf("the button says %q", got)
	}
	// This library has no tools to make one: that is said, with what to do.
	if w := f.send("POST", attr(form, "action"), ""); w.Code < 400 || !strings.Contains(w.Body.String(), "Install ffmpeg") {
		t.Errorf("without tools = %d %s", w.Code, w.Body)
	}
	if w := f.send("POST", "/clips/none/proxy", ""); w.Code != 404 {
		t.Errorf("no clip = %d, want 404", w.Code)
	}
	fine := f.add(t, "Tansy", "walk.mp4", 200)
	if got := f.page(t, "/sessions/"+fine.SessionID).all("form[action=/clips/" + fine.ID + "/proxy]"); len(got) > 0 {
		t.Error("a clip that every browser plays offers a copy")
	}
}

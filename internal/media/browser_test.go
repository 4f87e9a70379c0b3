package media_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"

	"afterwalk/internal/browser"
	"afterwalk/internal/media/mediatest"
)

const page = `<!doctype html><title>clip</title><video muted></video><canvas></canvas><script>
const read = ` + mediatest.ReadIndexJS + `;
const video = document.querySelector('video');
async function load(url) {
  const first = new Promise((done) => video.requestVideoFrameCallback(done)); // or the first seek would take it for its own
  video.src = url;
  await new Promise((done, failed) => { video.onloadeddata = done; video.onerror = () => failed(new Error(video.error.message)); });
  await first;
  return video.videoWidth + '×' + video.videoHeight;
}
async function seek(to) {
  const shown = new Promise((done, failed) => {
    video.requestVideoFrameCallback((_, about) => done([about.mediaTime, read(document.querySelector('canvas'), video)]));
    setTimeout(() => failed(new Error('no frame was shown')), 10000);
  });
  const sought = new Promise((done) => { video.onseeked = done; });
  video.currentTime = to;
  await sought;
  return shown;
}
</script>`

// The table's times are what the browser calls mediaTime, to the microsecond,
// and its order is the order of the pictures: seeking to the middle of frame k's
// interval shows the k-th number.
func TestTableIsTheBrowsersTimeline(t *testing.T) {
	tools := mediatest.Tools(t)
	ctx := browser.ForTest(t)
	files := map[string]string{}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if path, ok := files[r.URL.Path]; ok {
			http.ServeFile(w, r, path)
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprint(w, page)
	}))
	defer server.Close()
	for _, name := range mediatest.Playable() {
		files["/"+name] = mediatest.Make(t, name).Path
	}
	if err := chromedp.Do(ctx, chromedp.Navigate(server.URL)); err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(1, 2))
	for _, name := range mediatest.Playable() {
		clip := mediatest.Make(t, name)
		table, err := tools.Frames(t.Context(), clip.Path, nil)
		if err != nil {
			t.Fatal(err)
		}
		n := len(table.PTS)
		if _, err := chromedp.Run(ctx, chromedp.Evaluate[string](fmt.Sprintf("load('/%s')", name), chromedp.EvalAwaitPromise)); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		shown := 0 // after loading
		wrong := 0
		for _, k := range append([]int{n - 1, 1, n / 2}, random.Perm(n)[:12]...) {
			if k == shown {
				continue
			}
			end := table.End
			if k+1 < n {
				end = table.PTS[k+1]
			}
			middle := (table.PTS[k] + end).Seconds() / 2
			got, err := chromedp.Run(ctx, chromedp.Evaluate[[2]float64](fmt.Sprintf("seek(%.7f)", middle), chromedp.EvalAwaitPromise))
			if err != nil {
				t.Fatalf("%s, frame %d: %v", name, k, err)
			}
			// Where a file starts late, the browser may at first stop short of a
			// seek beyond the length it knows; the frame it names is the one shown
			// even then.
			for i, pts := range table.PTS {
				if int(got[1]) == clip.First+i {
					if off := math.Abs(got[0]*1e6 - float64(pts)); off > 1.001 {
						t.Errorf("%s: frame %d is at %d µs in the table, at %.1f µs in the browser", name, i, pts, got[0]*1e6)
					}
					shown = i
				}
			}
			if int(got[1]) != clip.First+k {
				wrong++
				if name != "start15" || wrong > 1 {
					t.Errorf("%s: the middle of frame %d shows number %v, want %d", name, k, got[1], clip.First+k)
				}
			}
		}
	}
}

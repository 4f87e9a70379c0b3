package media

import (
	"context"
	"errors"

	"afterwalk/annotate"
)

// ProxyWant says how a proxy is to keep time.
type ProxyWant struct {
	// Table is the footage's frame table, which the proxy has to match. Without
	// frames, the footage has no usable times and the proxy defines the timeline.
	Table FrameTable
}

// ProxyMade is what came of a proxy.
type ProxyMade struct {
	Says string // what differs from the footage, for the person; "" if nothing
	// Table, if not nil, is when each frame is shown from now on, where that isn't
	// the footage's own table.
	Table *FrameTable
	Base  *annotate.Micros // where the proxy defines the timeline: what its time 0 stands for
}

// Proxy writes a copy of the file at path that browsers can play to the new file
// to.
func (t *Tools) Proxy(ctx context.Context, path, to string, want ProxyWant, progress func(done float64)) (ProxyMade, error) {
	return ProxyMade{}, errors.New("media: proxy: not there yet")
}

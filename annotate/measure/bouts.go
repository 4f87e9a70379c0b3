package measure

import (
	"afterwalk/annotate"
)

// bout is an unbroken time out of heel position, or off task.
type bout struct {
	span annotate.Span
	// open: its true end was not seen, or it is not the dog's: the heel work ended.
	open bool
	// onset: its start is a beginning that was seen.
	onset bool
}

// findBouts returns the bouts of the spans within heel work, in order: the
// components of (spans ∩ heel), hidden time not taken out, after closing the
// gaps that lie in one component of heel and are at most join long or wholly
// hidden. Those with no seen part are dropped, where a gap that was closed is
// part of its bout.
//
// A bout is open if it ends with its heel work or touches hidden time with its
// end. It has no onset if its start lies in hidden time or at its end, or where
// a span of its own kind that was cut on the left reaches its start or ends there.
// That the heel work was cut takes no onset away.
func findBouts(spans []event, heel, hidden annotate.Set, join annotate.Micros) []bout {
	joined := joinGaps(union(spans, nil).Intersect(heel), func(gap annotate.Span) bool {
		return heel.Covers(gap) && (gap.Len() <= join || hidden.Covers(gap))
	})
	cutUntil, anyCut := annotate.Micros(0), false
	for i := range spans {
		if spans[i].cutLeft {
			cutUntil, anyCut = max(cutUntil, spans[i].span.End), true
		}
	}
	bouts := make([]bout, 0, len(joined))
	for _, span := range joined {
		if hidden.Covers(span) {
			continue
		}
		work, _ := heel.Component(span.Start)
		_, startHidden := hidden.Touching(span.Start)
		_, endHidden := hidden.Touching(span.End)
		bouts = append(bouts, bout{
			span:  span,
			open:  span.End == work.End || endHidden,
			onset: !startHidden && !(anyCut && span.Start <= cutUntil),
		})
	}
	return bouts
}

// joinGaps returns the components of s with those gaps closed that close says
// yes to.
func joinGaps(s annotate.Set, close func(annotate.Span) bool) annotate.Set {
	var out annotate.Set
	for _, c := range s {
		if n := len(out); n > 0 && close(annotate.Span{Start: out[n-1].End, End: c.Start}) {
			out[n-1].End = c.End
			continue
		}
		out = append(out, c)
	}
	return out
}

package store

import (
	"context"
	"fmt"

	"afterwalk/annotate"
)

// HiddenBy returns the outermost thing in the bin that hides a dog, session, clip
// or reading (kind "dog", "session", "clip", "reading"): itself or what it lies
// in. It fails with annotate.ErrNotFound for what isn't hidden or isn't there.
func (s *Store) HiddenBy(ctx context.Context, kind, id string) (byKind, byID string, err error) {
	from := map[string]string{
		"dog":     `dogs d LEFT JOIN sessions s ON FALSE LEFT JOIN clips c ON FALSE LEFT JOIN readings r ON FALSE WHERE d.id = ?`,
		"session": `sessions s JOIN dogs d ON d.id = s.dog_id LEFT JOIN clips c ON FALSE LEFT JOIN readings r ON FALSE WHERE s.id = ?`,
		"clip":    `clips c JOIN sessions s ON s.id = c.session_id JOIN dogs d ON d.id = s.dog_id LEFT JOIN readings r ON FALSE WHERE c.id = ?`,
		"reading": `readings r JOIN clips c ON c.id = r.clip_id JOIN sessions s ON s.id = c.session_id JOIN dogs d ON d.id = s.dog_id WHERE r.id = ?`,
	}[kind]
	if from == "" {
		return "", "", fmt.Errorf("store: hidden %s %s: %w", kind, id, annotate.ErrNotFound)
	}
	var which *int
	var dog, session, clip, reading *string
	err = s.read.QueryRowContext(ctx, `
		SELECT CASE WHEN d.binned_at IS NOT NULL THEN 0 WHEN s.binned_at IS NOT NULL THEN 1
		            WHEN c.binned_at IS NOT NULL THEN 2 WHEN r.binned_at IS NOT NULL THEN 3 END,
		       d.id, s.id, c.id, r.id
		FROM `+from, id).Scan(&which, &dog, &session, &clip, &reading)
	if err = translate(err); err == nil && which == nil {
		err = annotate.ErrNotFound
	}
	if err != nil {
		return "", "", fmt.Errorf("store: hidden %s %s: %w", kind, id, err)
	}
	ids := []*string{dog, session, clip, reading}
	return []string{"dog", "session", "clip", "reading"}[*which], *ids[*which], nil
}

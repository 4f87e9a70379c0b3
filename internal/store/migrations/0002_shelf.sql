-- What stands around the desk: facts of dogs and sessions, the bin, what can be
-- taken back, playable copies, the inbox, and the words that are searched.

-- +goose Up
PRAGMA user_version = 2;

-- Dogs and clips are laid out anew: a name, and the place of footage with a dog,
-- are free again when what has them lies in the bin. What refers to them refers to
-- nothing in between, so that is looked at when all of it is done.
PRAGMA defer_foreign_keys = ON;

CREATE TABLE dogs_before AS SELECT * FROM dogs;
DROP TABLE dogs;

CREATE TABLE dogs (
  id           TEXT PRIMARY KEY,
  name         TEXT NOT NULL CHECK (name <> ''),
  name_key     TEXT NOT NULL, -- the name as names are compared
  side         TEXT NOT NULL CHECK (side IN ('left', 'right')),
  ceilings     TEXT NOT NULL CHECK (json_valid(ceilings)),
  wear_limit_s REAL CHECK (wear_limit_s >= 0),
  devices      TEXT NOT NULL CHECK (json_valid(devices)), -- [{"device","channel","level_max"}]
  notes        TEXT NOT NULL,
  binned_at    INTEGER, -- NULL: not in the bin
  created_at   INTEGER NOT NULL
) STRICT;

CREATE UNIQUE INDEX dogs_by_name ON dogs (name_key) WHERE binned_at IS NULL;

INSERT INTO dogs (id, name, name_key, side, ceilings, wear_limit_s, devices, notes, created_at)
SELECT id, name, name_key, side, ceilings, wear_limit_s, '[]', '', created_at FROM dogs_before ORDER BY rowid;
DROP TABLE dogs_before;

CREATE TABLE clips_before AS SELECT * FROM clips;
DROP TABLE clips;

CREATE TABLE clips (
  id              TEXT PRIMARY KEY,
  session_id      TEXT NOT NULL,
  dog_id          TEXT NOT NULL,
  footage_id      TEXT NOT NULL REFERENCES footage (id),
  window_start_us INTEGER, -- where the dog is in the clip; NULL: in all of it
  window_end_us   INTEGER,
  binned_at       INTEGER,
  added_at        INTEGER NOT NULL,
  CHECK ((window_start_us IS NULL) = (window_end_us IS NULL)),
  FOREIGN KEY (session_id, dog_id) REFERENCES sessions (id, dog_id)
) STRICT;

CREATE UNIQUE INDEX clips_once ON clips (dog_id, footage_id) WHERE binned_at IS NULL;
CREATE INDEX clips_by_session ON clips (session_id);
CREATE INDEX clips_by_footage ON clips (footage_id);

INSERT INTO clips (id, session_id, dog_id, footage_id, added_at)
SELECT id, session_id, dog_id, footage_id, added_at FROM clips_before ORDER BY rowid;
DROP TABLE clips_before;

ALTER TABLE sessions ADD COLUMN line TEXT NOT NULL DEFAULT '';   -- the leash or long line that was used
ALTER TABLE sessions ADD COLUMN device TEXT NOT NULL DEFAULT ''; -- one of the dog's devices, by name
ALTER TABLE sessions ADD COLUMN binned_at INTEGER;

ALTER TABLE readings ADD COLUMN binned_at INTEGER;

-- The copy that a browser can play, in the library's folder, named by the footage.
ALTER TABLE footage ADD COLUMN proxy TEXT NOT NULL DEFAULT '' CHECK (proxy IN ('', 'wanted', 'ready', 'failed', 'stopped')); -- '': none is needed
ALTER TABLE footage ADD COLUMN proxy_base_us INTEGER; -- where the copy defines the timeline: what stands for its time 0 in the original
ALTER TABLE footage ADD COLUMN proxy_says TEXT NOT NULL DEFAULT ''; -- what went wrong, or what differs
UPDATE footage SET proxy = 'wanted' WHERE needs_proxy <> '';
CREATE INDEX footage_proxy_wanted ON footage (id) WHERE proxy = 'wanted';

-- What isn't in the bin, nor below something that is.
CREATE VIEW live_dogs AS SELECT * FROM dogs WHERE binned_at IS NULL;
CREATE VIEW live_sessions AS
  SELECT s.* FROM sessions s JOIN dogs d ON d.id = s.dog_id
  WHERE s.binned_at IS NULL AND d.binned_at IS NULL;
CREATE VIEW live_clips AS
  SELECT c.* FROM clips c JOIN sessions s ON s.id = c.session_id JOIN dogs d ON d.id = c.dog_id
  WHERE c.binned_at IS NULL AND s.binned_at IS NULL AND d.binned_at IS NULL;
CREATE VIEW live_readings AS
  SELECT r.* FROM readings r JOIN clips c ON c.id = r.clip_id JOIN sessions s ON s.id = c.session_id JOIN dogs d ON d.id = c.dog_id
  WHERE r.binned_at IS NULL AND c.binned_at IS NULL AND s.binned_at IS NULL AND d.binned_at IS NULL;

CREATE TABLE acts ( -- what was done outside readings and can be taken back
  id        TEXT PRIMARY KEY,
  at        INTEGER NOT NULL,
  kind      TEXT NOT NULL, -- bin, merge, rename, sort, …
  title     TEXT NOT NULL, -- for the person: what was done
  payload   TEXT NOT NULL CHECK (json_valid(payload)), -- what taking it back needs
  undone_at INTEGER
) STRICT;

CREATE INDEX acts_by_kind ON acts (kind, at);

CREATE TABLE inbox ( -- footage that came in without a dog
  footage_id TEXT PRIMARY KEY REFERENCES footage (id),
  added_at   INTEGER NOT NULL,
  state      TEXT NOT NULL CHECK (state IN ('waiting', 'sorted', 'left out')),
  closed_at  INTEGER -- put away; NULL: shown in the inbox
) STRICT;

CREATE INDEX inbox_open ON inbox (added_at) WHERE closed_at IS NULL;

-- Everything that a person typed, as it stands in the tables it belongs to.
CREATE VIEW texts AS
            SELECT 'dog' AS kind, id AS ref, '' AS below, 'name' AS field, name AS text FROM dogs
  UNION ALL SELECT 'dog', id, '', 'device', (SELECT group_concat(json_extract(value, '$.device'), ', ') FROM json_each(dogs.devices)) FROM dogs WHERE devices <> '[]'
  UNION ALL SELECT 'dog', id, '', 'notes', notes FROM dogs WHERE notes <> ''
  UNION ALL SELECT 'session', id, '', 'venue', venue FROM sessions WHERE venue <> ''
  UNION ALL SELECT 'session', id, '', 'handler', handler FROM sessions WHERE handler <> ''
  UNION ALL SELECT 'session', id, '', 'line', line FROM sessions WHERE line <> ''
  UNION ALL SELECT 'session', id, '', 'device', device FROM sessions WHERE device <> ''
  UNION ALL SELECT 'session', id, '', 'plan', plan FROM sessions WHERE plan <> ''
  UNION ALL SELECT 'session', id, '', 'notes', notes FROM sessions WHERE notes <> ''
  UNION ALL SELECT 'footage', id, '', 'file', name FROM footage WHERE name <> ''
  UNION ALL SELECT 'reading', id, '', 'reader', reader FROM readings WHERE reader <> ''
  UNION ALL SELECT 'reading', id, '', 'venue', venue FROM readings WHERE venue <> ''
  UNION ALL SELECT 'reading', id, '', 'handler', handler FROM readings WHERE handler <> ''
  UNION ALL SELECT 'event', id, reading_id, 'note', note FROM events WHERE note <> ''
  UNION ALL SELECT 'event', id, reading_id, 'device', CAST(json_extract(details, '$.device') AS TEXT) FROM events WHERE instr(details, '"device":') AND json_extract(details, '$.device') <> ''
  UNION ALL SELECT 'event', id, reading_id, 'who', CAST(json_extract(details, '$.who') AS TEXT) FROM events WHERE instr(details, '"who":') AND json_extract(details, '$.who') <> '';

-- The same, a row for each text, and its words. Triggers keep them so.
CREATE TABLE typed (
  id    INTEGER PRIMARY KEY, -- newer texts have higher ones
  kind  TEXT NOT NULL, -- dog, session, footage, reading, event
  ref   TEXT NOT NULL, -- id of that; an event's is below its reading's
  below TEXT NOT NULL, -- id of the reading for an event, '' for others
  field TEXT NOT NULL, -- name, venue, notes, …
  text  TEXT NOT NULL CHECK (text <> ''),
  UNIQUE (kind, below, ref, field)
) STRICT;

CREATE VIRTUAL TABLE typed_words USING fts4(content="typed", text, tokenize=unicode61 "remove_diacritics=2", prefix="2,4");

INSERT INTO typed (kind, ref, below, field, text)
SELECT t.kind, t.ref, t.below, t.field, t.text
FROM texts t
LEFT JOIN dogs d ON t.kind = 'dog' AND d.id = t.ref
LEFT JOIN sessions s ON t.kind = 'session' AND s.id = t.ref
LEFT JOIN footage f ON t.kind = 'footage' AND f.id = t.ref
LEFT JOIN readings r ON t.kind IN ('reading', 'event') AND r.id = iif(t.kind = 'event', t.below, t.ref)
LEFT JOIN events e ON t.kind = 'event' AND e.reading_id = t.below AND e.id = t.ref
ORDER BY COALESCE(d.created_at, s.created_at, f.added_at, r.created_at), t.kind <> 'reading', COALESCE(e.rev, 0), t.ref;

INSERT INTO typed_words (typed_words) VALUES ('rebuild');

-- +goose StatementBegin
CREATE TRIGGER typed_in AFTER INSERT ON typed
BEGIN
  INSERT INTO typed_words (docid, text) VALUES (NEW.id, NEW.text);
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER typed_changes BEFORE UPDATE OF text ON typed WHEN NEW.text <> OLD.text
BEGIN
  DELETE FROM typed_words WHERE docid = OLD.id;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER typed_changed AFTER UPDATE OF text ON typed WHEN NEW.text <> OLD.text
BEGIN
  INSERT INTO typed_words (docid, text) VALUES (NEW.id, NEW.text);
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER typed_out BEFORE DELETE ON typed
BEGIN
  DELETE FROM typed_words WHERE docid = OLD.id;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER dogs_typed AFTER INSERT ON dogs
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'dog' AND ref = NEW.id;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER dogs_retyped AFTER UPDATE OF name, notes, devices ON dogs
BEGIN
  DELETE FROM typed WHERE kind = 'dog' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'dog' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'dog' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER dogs_untyped AFTER DELETE ON dogs
BEGIN
  DELETE FROM typed WHERE kind = 'dog' AND below = '' AND ref = OLD.id;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER sessions_typed AFTER INSERT ON sessions
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'session' AND ref = NEW.id;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER sessions_retyped AFTER UPDATE OF venue, handler, line, device, plan, notes ON sessions
BEGIN
  DELETE FROM typed WHERE kind = 'session' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'session' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'session' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER sessions_untyped AFTER DELETE ON sessions
BEGIN
  DELETE FROM typed WHERE kind = 'session' AND below = '' AND ref = OLD.id;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER footage_typed AFTER INSERT ON footage
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'footage' AND ref = NEW.id;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER footage_retyped AFTER UPDATE OF name ON footage
BEGIN
  DELETE FROM typed WHERE kind = 'footage' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'footage' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'footage' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER footage_untyped AFTER DELETE ON footage
BEGIN
  DELETE FROM typed WHERE kind = 'footage' AND below = '' AND ref = OLD.id;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER readings_typed AFTER INSERT ON readings
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'reading' AND ref = NEW.id;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER readings_retyped AFTER UPDATE OF reader, venue, handler ON readings
BEGIN
  DELETE FROM typed WHERE kind = 'reading' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'reading' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'reading' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER readings_untyped AFTER DELETE ON readings
BEGIN
  DELETE FROM typed WHERE kind = 'reading' AND below = '' AND ref = OLD.id;
END;
-- +goose StatementEnd

-- Events come and go with every key: what most of them lack must cost next to
-- nothing, so these triggers are small and look before they do anything.

-- +goose StatementBegin
CREATE TRIGGER events_typed AFTER INSERT ON events
WHEN NEW.note <> '' OR instr(NEW.details, '"device":') OR instr(NEW.details, '"who":')
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT 'event', NEW.id, NEW.reading_id, t.field, CAST(t.text AS TEXT)
  FROM (SELECT 'note' AS field, NEW.note AS text UNION ALL SELECT 'device', json_extract(NEW.details, '$.device') UNION ALL SELECT 'who', json_extract(NEW.details, '$.who')) t
  WHERE t.text <> '';
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER events_retyped AFTER UPDATE OF note, details ON events
WHEN NEW.note <> OLD.note
  OR NEW.details <> OLD.details AND json_extract(NEW.details, '$.device', '$.who') <> json_extract(OLD.details, '$.device', '$.who')
BEGIN
  DELETE FROM typed WHERE kind = 'event' AND below = NEW.reading_id AND ref = NEW.id AND field NOT IN (
    SELECT t.field
    FROM (SELECT 'note' AS field, NEW.note AS text UNION ALL SELECT 'device', json_extract(NEW.details, '$.device') UNION ALL SELECT 'who', json_extract(NEW.details, '$.who')) t
    WHERE t.text <> '');
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT 'event', NEW.id, NEW.reading_id, t.field, CAST(t.text AS TEXT)
  FROM (SELECT 'note' AS field, NEW.note AS text UNION ALL SELECT 'device', json_extract(NEW.details, '$.device') UNION ALL SELECT 'who', json_extract(NEW.details, '$.who')) t
  WHERE t.text <> ''
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER events_untyped AFTER DELETE ON events
WHEN OLD.note <> '' OR instr(OLD.details, '"device":') OR instr(OLD.details, '"who":')
BEGIN
  DELETE FROM typed WHERE kind = 'event' AND below = OLD.reading_id AND ref = OLD.id;
END;
-- +goose StatementEnd

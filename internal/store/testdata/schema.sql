CREATE INDEX acts_by_kind ON acts (kind, at);

CREATE UNIQUE INDEX books_own ON books (id, version) WHERE own = 1;

CREATE INDEX clips_by_footage ON clips (footage_id);

CREATE INDEX clips_by_session ON clips (session_id);

CREATE UNIQUE INDEX clips_once ON clips (dog_id, footage_id) WHERE binned_at IS NULL;

CREATE UNIQUE INDEX dogs_by_name ON dogs (name_key) WHERE binned_at IS NULL;

CREATE INDEX footage_by_name ON footage (name);

CREATE INDEX footage_proxy_wanted ON footage (id) WHERE proxy = 'wanted';

CREATE INDEX footage_wanted ON footage (id) WHERE frames = 'wanted';

CREATE INDEX inbox_open ON inbox (added_at) WHERE closed_at IS NULL;

CREATE INDEX readings_by_clip ON readings (clip_id);

CREATE INDEX sessions_by_dog ON sessions (dog_id);

CREATE TABLE acts ( -- what was done outside readings and can be taken back
  id        TEXT PRIMARY KEY,
  at        INTEGER NOT NULL,
  kind      TEXT NOT NULL, -- bin, merge, rename, sort, …
  title     TEXT NOT NULL, -- for the person: what was done
  payload   TEXT NOT NULL CHECK (json_valid(payload)), -- what taking it back needs
  undone_at INTEGER
) STRICT;

CREATE TABLE beginnings ( -- what a reading was before the first row of its journal
  reading_id TEXT PRIMARY KEY REFERENCES readings (id),
  version    INTEGER NOT NULL, -- of payload
  payload    TEXT NOT NULL CHECK (json_valid(payload))
) STRICT;

CREATE TABLE books ( -- versions of codebooks, known by their content
  hash     TEXT PRIMARY KEY, -- SHA-256 of content, hexadecimal
  id       TEXT NOT NULL,
  version  INTEGER NOT NULL,
  content  TEXT NOT NULL CHECK (json_valid(content)),
  own      INTEGER NOT NULL CHECK (own IN (0, 1)), -- the library's, not one that came with a reading
  added_at INTEGER NOT NULL
) STRICT;

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

CREATE TABLE events ( -- of each reading as it is now
  reading_id TEXT NOT NULL REFERENCES readings (id),
  id         TEXT NOT NULL,
  code       TEXT NOT NULL,
  start_us   INTEGER NOT NULL,
  end_us     INTEGER, -- NULL: open
  rev        INTEGER NOT NULL,
  note       TEXT NOT NULL,
  details    TEXT NOT NULL CHECK (json_valid(details)),
  extra      TEXT CHECK (json_valid(extra)), -- unknown fields, if any
  PRIMARY KEY (reading_id, id)
) STRICT, WITHOUT ROWID;

CREATE TABLE facts ( -- of the library: id, addr
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE folders ( -- known to the library: moved files are looked for there
  path     TEXT PRIMARY KEY,
  added_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE footage (
  id            TEXT PRIMARY KEY,
  fingerprint   TEXT NOT NULL UNIQUE,
  root          TEXT NOT NULL, -- folder it was added from
  path          TEXT NOT NULL, -- below root, slash-separated
  name          TEXT NOT NULL, -- last part of path
  size          INTEGER NOT NULL CHECK (size >= 0),
  format        TEXT NOT NULL,
  video         TEXT NOT NULL,
  audio         TEXT NOT NULL,
  width         INTEGER NOT NULL,
  height        INTEGER NOT NULL,
  rotation      INTEGER NOT NULL,
  frame_rate    REAL NOT NULL,
  variable      INTEGER NOT NULL CHECK (variable IN (0, 1)),
  duration_us   INTEGER NOT NULL,
  start_us      INTEGER NOT NULL,
  recorded_at   INTEGER,
  recorded_by   TEXT NOT NULL,
  recorded_zone TEXT NOT NULL,
  needs_proxy   TEXT NOT NULL,
  silent        TEXT NOT NULL,
  warning       TEXT NOT NULL,
  frames        TEXT NOT NULL CHECK (frames IN ('wanted', 'ready', 'failed')),
  missing       INTEGER NOT NULL CHECK (missing IN (0, 1)),
  added_at      INTEGER NOT NULL
, proxy TEXT NOT NULL DEFAULT '' CHECK (proxy IN ('', 'wanted', 'ready', 'failed', 'stopped')), proxy_base_us INTEGER, proxy_says TEXT NOT NULL DEFAULT '') STRICT;

CREATE TABLE frame_tables (
  footage_id TEXT PRIMARY KEY REFERENCES footage (id),
  packed     BLOB NOT NULL
) STRICT;

CREATE TABLE inbox ( -- footage that came in without a dog
  footage_id TEXT PRIMARY KEY REFERENCES footage (id),
  added_at   INTEGER NOT NULL,
  state      TEXT NOT NULL CHECK (state IN ('waiting', 'sorted', 'left out')),
  closed_at  INTEGER -- put away; NULL: shown in the inbox
) STRICT;

CREATE TABLE journal ( -- one row for each edit
  reading_id TEXT NOT NULL REFERENCES readings (id),
  revision   INTEGER NOT NULL CHECK (revision > 0),
  edit_id    TEXT NOT NULL UNIQUE,
  at         INTEGER NOT NULL,
  version    INTEGER NOT NULL, -- of payload
  payload    TEXT NOT NULL CHECK (json_valid(payload)),
  PRIMARY KEY (reading_id, revision)
) STRICT, WITHOUT ROWID;

CREATE TABLE readings (
  id              TEXT PRIMARY KEY,
  clip_id         TEXT NOT NULL REFERENCES clips (id),
  reader          TEXT NOT NULL,
  handler         TEXT NOT NULL, -- '' and the like: as the session says
  venue           TEXT NOT NULL,
  side            TEXT NOT NULL CHECK (side IN ('', 'left', 'right')), -- '': as the dog's
  mirrored        INTEGER NOT NULL CHECK (mirrored IN (0, 1)),
  window_start_us INTEGER NOT NULL,
  window_end_us   INTEGER NOT NULL,
  chosen          TEXT NOT NULL,
  coded           TEXT CHECK (json_valid(coded)), -- NULL: all lanes
  finished_at     INTEGER, -- NULL: not finished
  agreed          INTEGER NOT NULL CHECK (agreed IN (0, 1)),
  book            TEXT NOT NULL REFERENCES books (hash),
  revision        INTEGER NOT NULL CHECK (revision >= 0),
  extra           TEXT NOT NULL CHECK (json_valid(extra)), -- unknown fields of its file
  created_at      INTEGER NOT NULL,
  updated_at      INTEGER NOT NULL
, binned_at INTEGER) STRICT;

CREATE TABLE sessions (
  id         TEXT PRIMARY KEY,
  dog_id     TEXT NOT NULL REFERENCES dogs (id),
  venue      TEXT NOT NULL,
  handler    TEXT NOT NULL,
  plan       TEXT NOT NULL,
  notes      TEXT NOT NULL,
  created_at INTEGER NOT NULL, line TEXT NOT NULL DEFAULT '', device TEXT NOT NULL DEFAULT '', binned_at INTEGER,
  UNIQUE (id, dog_id)
) STRICT;

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

CREATE TRIGGER books_never_change BEFORE UPDATE OF hash, id, version, content ON books
BEGIN
  SELECT RAISE(ABORT, 'a version of a codebook never changes');
END;

CREATE TRIGGER dogs_retyped AFTER UPDATE OF name, notes, devices ON dogs
BEGIN
  DELETE FROM typed WHERE kind = 'dog' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'dog' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'dog' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;

CREATE TRIGGER dogs_typed AFTER INSERT ON dogs
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'dog' AND ref = NEW.id;
END;

CREATE TRIGGER dogs_untyped AFTER DELETE ON dogs
BEGIN
  DELETE FROM typed WHERE kind = 'dog' AND below = '' AND ref = OLD.id;
END;

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

CREATE TRIGGER events_typed AFTER INSERT ON events
WHEN NEW.note <> '' OR instr(NEW.details, '"device":') OR instr(NEW.details, '"who":')
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT 'event', NEW.id, NEW.reading_id, t.field, CAST(t.text AS TEXT)
  FROM (SELECT 'note' AS field, NEW.note AS text UNION ALL SELECT 'device', json_extract(NEW.details, '$.device') UNION ALL SELECT 'who', json_extract(NEW.details, '$.who')) t
  WHERE t.text <> '';
END;

CREATE TRIGGER events_untyped AFTER DELETE ON events
WHEN OLD.note <> '' OR instr(OLD.details, '"device":') OR instr(OLD.details, '"who":')
BEGIN
  DELETE FROM typed WHERE kind = 'event' AND below = OLD.reading_id AND ref = OLD.id;
END;

CREATE TRIGGER footage_retyped AFTER UPDATE OF name ON footage
BEGIN
  DELETE FROM typed WHERE kind = 'footage' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'footage' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'footage' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;

CREATE TRIGGER footage_typed AFTER INSERT ON footage
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'footage' AND ref = NEW.id;
END;

CREATE TRIGGER footage_untyped AFTER DELETE ON footage
BEGIN
  DELETE FROM typed WHERE kind = 'footage' AND below = '' AND ref = OLD.id;
END;

CREATE TRIGGER journal_is_never_rewritten BEFORE UPDATE ON journal
BEGIN
  SELECT RAISE(ABORT, 'the journal is never rewritten');
END;

CREATE TRIGGER readings_retyped AFTER UPDATE OF reader, venue, handler ON readings
BEGIN
  DELETE FROM typed WHERE kind = 'reading' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'reading' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'reading' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;

CREATE TRIGGER readings_typed AFTER INSERT ON readings
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'reading' AND ref = NEW.id;
END;

CREATE TRIGGER readings_untyped AFTER DELETE ON readings
BEGIN
  DELETE FROM typed WHERE kind = 'reading' AND below = '' AND ref = OLD.id;
END;

CREATE TRIGGER sessions_retyped AFTER UPDATE OF venue, handler, line, device, plan, notes ON sessions
BEGIN
  DELETE FROM typed WHERE kind = 'session' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'session' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'session' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;

CREATE TRIGGER sessions_typed AFTER INSERT ON sessions
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'session' AND ref = NEW.id;
END;

CREATE TRIGGER sessions_untyped AFTER DELETE ON sessions
BEGIN
  DELETE FROM typed WHERE kind = 'session' AND below = '' AND ref = OLD.id;
END;

CREATE TRIGGER typed_changed AFTER UPDATE OF text ON typed WHEN NEW.text <> OLD.text
BEGIN
  INSERT INTO typed_words (docid, text) VALUES (NEW.id, NEW.text);
END;

CREATE TRIGGER typed_changes BEFORE UPDATE OF text ON typed WHEN NEW.text <> OLD.text
BEGIN
  DELETE FROM typed_words WHERE docid = OLD.id;
END;

CREATE TRIGGER typed_in AFTER INSERT ON typed
BEGIN
  INSERT INTO typed_words (docid, text) VALUES (NEW.id, NEW.text);
END;

CREATE TRIGGER typed_out BEFORE DELETE ON typed
BEGIN
  DELETE FROM typed_words WHERE docid = OLD.id;
END;

CREATE VIEW live_clips AS
  SELECT c.* FROM clips c JOIN sessions s ON s.id = c.session_id JOIN dogs d ON d.id = c.dog_id
  WHERE c.binned_at IS NULL AND s.binned_at IS NULL AND d.binned_at IS NULL;

CREATE VIEW live_dogs AS SELECT * FROM dogs WHERE binned_at IS NULL;

CREATE VIEW live_readings AS
  SELECT r.* FROM readings r JOIN clips c ON c.id = r.clip_id JOIN sessions s ON s.id = c.session_id JOIN dogs d ON d.id = c.dog_id
  WHERE r.binned_at IS NULL AND c.binned_at IS NULL AND s.binned_at IS NULL AND d.binned_at IS NULL;

CREATE VIEW live_sessions AS
  SELECT s.* FROM sessions s JOIN dogs d ON d.id = s.dog_id
  WHERE s.binned_at IS NULL AND d.binned_at IS NULL;

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

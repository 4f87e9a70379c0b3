-- A library of version 2. Written by it; never to be changed.
PRAGMA application_id = 1635216491;
PRAGMA user_version = 2;
PRAGMA foreign_keys = OFF;
CREATE TABLE goose_db_version (
		id INTEGER PRIMARY KEY AUTOINCREMENT,
		version_id INTEGER NOT NULL,
		is_applied INTEGER NOT NULL,
		tstamp TIMESTAMP DEFAULT (datetime('now'))
	);
CREATE TABLE facts ( -- of the library: id, addr
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
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
CREATE TABLE books ( -- versions of codebooks, known by their content
  hash     TEXT PRIMARY KEY, -- SHA-256 of content, hexadecimal
  id       TEXT NOT NULL,
  version  INTEGER NOT NULL,
  content  TEXT NOT NULL CHECK (json_valid(content)),
  own      INTEGER NOT NULL CHECK (own IN (0, 1)), -- the library's, not one that came with a reading
  added_at INTEGER NOT NULL
) STRICT;
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
CREATE TABLE beginnings ( -- what a reading was before the first row of its journal
  reading_id TEXT PRIMARY KEY REFERENCES readings (id),
  version    INTEGER NOT NULL, -- of payload
  payload    TEXT NOT NULL CHECK (json_valid(payload))
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
CREATE TABLE journal ( -- one row for each edit
  reading_id TEXT NOT NULL REFERENCES readings (id),
  revision   INTEGER NOT NULL CHECK (revision > 0),
  edit_id    TEXT NOT NULL UNIQUE,
  at         INTEGER NOT NULL,
  version    INTEGER NOT NULL, -- of payload
  payload    TEXT NOT NULL CHECK (json_valid(payload)),
  PRIMARY KEY (reading_id, revision)
) STRICT, WITHOUT ROWID;
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
CREATE TABLE acts ( -- what was done outside readings and can be taken back
  id        TEXT PRIMARY KEY,
  at        INTEGER NOT NULL,
  kind      TEXT NOT NULL, -- bin, merge, rename, sort, …
  title     TEXT NOT NULL, -- for the person: what was done
  payload   TEXT NOT NULL CHECK (json_valid(payload)), -- what taking it back needs
  undone_at INTEGER
) STRICT;
CREATE TABLE inbox ( -- footage that came in without a dog
  footage_id TEXT PRIMARY KEY REFERENCES footage (id),
  added_at   INTEGER NOT NULL,
  state      TEXT NOT NULL CHECK (state IN ('waiting', 'sorted', 'left out')),
  closed_at  INTEGER -- put away; NULL: shown in the inbox
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
INSERT INTO goose_db_version VALUES (1, 0, 1, '2026-11-25 07:01:59');
INSERT INTO goose_db_version VALUES (2, 1, 1, '2026-11-25 07:01:59');
INSERT INTO goose_db_version VALUES (3, 2, 1, '2026-11-25 07:01:59');
INSERT INTO sessions VALUES ('session', 'dog', 'Alder Lane', 'I. Varga', 'heel', 'windy', 1778346000003000, '5 m', 'buzzer', NULL);
INSERT INTO sessions VALUES ('bs', 'dog', 'Mill Meadow', '', '', '', 1778346000018000, '10 m', '', 1778346000031000);
INSERT INTO folders VALUES ('/films', 1778346000002000);
INSERT INTO footage VALUES ('footage', 'v1-abc', '/films', 'may/clip 1.mp4', 'clip 1.mp4', 1234, 'mov,mp4', 'h264', 'aac', 1280, 720, 90, 29.97, 1, 60000000, 20000, 1778339100000000, 'quicktime', '+02:00', '', 'The sound is AC-3.', '', 'ready', 0, 1778346000004000, '', NULL, '');
INSERT INTO footage VALUES ('heavy', 'heavy', '/films', 'heavy.mov', 'heavy.mov', 0, '', '', '', 0, 0, 0, 0.0, 0, 5000000, 0, NULL, '', '', 'HEVC', '', '', 'failed', 0, 1778346000019000, 'ready', 40000, 'All frames.');
INSERT INTO footage VALUES ('new', 'new', '/films', 'new.mp4', 'new.mp4', 0, '', '', '', 0, 0, 0, 0.0, 0, 5000000, 0, NULL, '', '', 'HEVC', '', '', 'wanted', 0, 1778346000024000, 'wanted', NULL, '');
INSERT INTO frame_tables VALUES ('footage', X'0103C0B802D78402D68402B3E8C81C');
INSERT INTO books VALUES ('851e93b6bfbc9ab1003f18f7715f0225b320e640ca1fd73b7c678f471ac35c76', 'test', 1, '{"id":"test","version":1,"name":"Test","help_rank":1,"ladder":[{"channel":"voice","rank":1}],"house":{},"lanes":[{"name":"Position","exclusive":true,"codes":[{"id":"ahead","name":"ahead","key":"w","role":"error","shape":"span","kind":"ahead","definition":{"starts":""},"texts":{"coder":"","handler":"","owner":""}},{"id":"behind","name":"behind","key":"s","role":"error","shape":"span","kind":"behind","definition":{"starts":""},"texts":{"coder":"","handler":"","owner":""}}]},{"name":"Remarks","exclusive":false,"codes":[{"id":"remark","name":"remark","key":"","role":"remark","shape":"either","definition":{"starts":""},"texts":{"coder":"","handler":"","owner":""}}]}]}', 1, 1778346000006000);
INSERT INTO readings VALUES ('reading', 'clip', 'P. Quill', '', '', '', 0, 20000, 5000000, 'picked', '["Position"]', 1778346000016000, 0, '851e93b6bfbc9ab1003f18f7715f0225b320e640ca1fd73b7c678f471ac35c76', 8, '{}', 1778346000008000, 1778346000016000, NULL);
INSERT INTO readings VALUES ('second', 'clip', 'P. Quill', '', '', '', 0, 20000, 20001, '', NULL, NULL, 0, '851e93b6bfbc9ab1003f18f7715f0225b320e640ca1fd73b7c678f471ac35c76', 0, '{}', 1778346000029000, 1778346000029000, 1778346000030000);
INSERT INTO beginnings VALUES ('reading', 1, '{"revision":0,"window":{"start_us":20000,"end_us":53367},"chosen":"","coded":null,"finished":false,"book":"851e93b6bfbc9ab1003f18f7715f0225b320e640ca1fd73b7c678f471ac35c76","events":[]}');
INSERT INTO beginnings VALUES ('second', 1, '{"revision":0,"window":{"start_us":20000,"end_us":20001},"chosen":"","coded":null,"finished":false,"book":"851e93b6bfbc9ab1003f18f7715f0225b320e640ca1fd73b7c678f471ac35c76","events":[]}');
INSERT INTO events VALUES ('reading', 'a', 'ahead', 1000000, 2500000, 2, 'lead & <pull>', '{}', NULL);
INSERT INTO events VALUES ('reading', 'b', 'remark', 3000000, 3000000, 3, '', '{"level":0,"taps":2,"wind":{"from":"NW","a<b":1}}', '{"colour":"grün 🐕"}');
INSERT INTO journal VALUES ('reading', 1, 'reading-edit-1', 1778346000009000, 1, '{"v":1,"edit":"reading-edit-1","revision":1,"changes":[{"id":"a","before":null,"after":{"id":"a","code":"ahead","start_us":1000000,"end_us":null,"details":{},"note":"","rev":1}}]}');
INSERT INTO journal VALUES ('reading', 2, 'reading-edit-2', 1778346000010000, 1, '{"v":1,"edit":"reading-edit-2","revision":2,"changes":[{"id":"a","before":{"id":"a","code":"ahead","start_us":1000000,"end_us":null,"details":{},"note":"","rev":1},"after":{"id":"a","code":"ahead","start_us":1000000,"end_us":2500000,"details":{},"note":"lead & <pull>","rev":2}}]}');
INSERT INTO journal VALUES ('reading', 3, 'reading-edit-3', 1778346000011000, 1, '{"v":1,"edit":"reading-edit-3","revision":3,"changes":[{"id":"b","before":null,"after":{"id":"b","code":"remark","start_us":3000000,"end_us":3000000,"details":{"level":0,"taps":2,"wind":{"from":"NW","a<b":1}},"note":"","rev":3,"colour":"grün 🐕"}}]}');
INSERT INTO journal VALUES ('reading', 4, 'reading-edit-4', 1778346000012000, 1, '{"v":1,"edit":"reading-edit-4","revision":4,"changes":[{"id":"c","before":null,"after":{"id":"c","code":"behind","start_us":4000000,"end_us":null,"details":{},"note":"","rev":4}}]}');
INSERT INTO journal VALUES ('reading', 5, 'reading-edit-5', 1778346000013000, 1, '{"v":1,"edit":"reading-edit-5","revision":5,"changes":[{"id":"c","before":{"id":"c","code":"behind","start_us":4000000,"end_us":null,"details":{},"note":"","rev":4},"after":null}],"reach_us":5000000}');
INSERT INTO journal VALUES ('reading', 6, 'reading-edit-6', 1778346000014000, 1, '{"v":1,"edit":"reading-edit-6","revision":6,"changes":[],"facts_before":{"chosen":"","coded":null,"finished":false},"facts_after":{"chosen":"picked","coded":["Position"],"finished":true}}');
INSERT INTO journal VALUES ('reading', 7, 'reading-edit-7', 1778346000015000, 1, '{"v":1,"edit":"reading-edit-7","revision":7,"changes":[],"facts_before":{"chosen":"picked","coded":["Position"],"finished":true},"facts_after":{"chosen":"","coded":null,"finished":false},"undo":"reading-edit-6"}');
INSERT INTO journal VALUES ('reading', 8, 'reading-edit-8', 1778346000016000, 1, '{"v":1,"edit":"reading-edit-8","revision":8,"changes":[],"facts_before":{"chosen":"","coded":null,"finished":false},"facts_after":{"chosen":"picked","coded":["Position"],"finished":true},"redo":"reading-edit-7"}');
INSERT INTO dogs VALUES ('dog', 'Tansy of Alder', 'tansy of alder', 'left', '{"collar":20}', 1800.0, '[{"device":"buzzer","channel":"collar","level_max":100}]', 'slow to sit', NULL, 1778346000001000);
INSERT INTO clips VALUES ('clip', 'session', 'dog', 'footage', 20000, 30000000, NULL, 1778346000005000);
INSERT INTO clips VALUES ('heavy', 'bs', 'dog', 'heavy', NULL, NULL, NULL, 1778346000021000);
INSERT INTO acts VALUES ('merge', 1778346000022000, 'merge', 'Bramble was merged into Tansy.', '{"from":{"binned_at":null,"ceilings":"{\"collar\":20}","created_at":1778346000017000,"devices":"[]","id":"bramble","name":"Bramble","name_key":"bramble","notes":"slow to sit","side":"right","wear_limit_s":null},"into":"dog","before":{"ceilings":"{\"collar\":30}","devices":"[]","notes":"","wear_limit_s":null},"after":{"ceilings":"{\"collar\":20}","devices":"[]","notes":"slow to sit","wear_limit_s":null},"sessions":["bs"],"gone":[{"clip":{"added_at":1778346000020000,"binned_at":null,"dog_id":"bramble","footage_id":"footage","id":"bc","session_id":"bs","window_end_us":null,"window_start_us":null},"kept":"clip","readings":null,"before":{"window_end_us":null,"window_start_us":null},"after":{"window_end_us":null,"window_start_us":null}}],"hidden":null}', NULL);
INSERT INTO acts VALUES ('rename', 1778346000023000, 'rename', 'Tansy is called Tansy of Alder now.', '{"id":"dog","from":"Tansy","to":"Tansy of Alder"}', NULL);
INSERT INTO acts VALUES ('away', 1778346000027000, 'sort', '1 film was put away.', '{"before":{"inbox":[{"added_at":1778346000025000,"closed_at":null,"footage_id":"heavy","state":"sorted"}]},"after":{"inbox":[{"added_at":1778346000025000,"closed_at":1778346000026000,"footage_id":"heavy","state":"sorted"}]}}', NULL);
INSERT INTO acts VALUES ('bin reading second', 1778346000030000, 'bin', 'second is in the bin.', '{"kind":"reading","id":"second"}', NULL);
INSERT INTO acts VALUES ('bin session bs', 1778346000031000, 'bin', 'bs is in the bin.', '{"kind":"session","id":"bs"}', NULL);
INSERT INTO acts VALUES ('bin dog dog', 1778346000032000, 'bin', 'dog is in the bin.', '{"kind":"dog","id":"dog"}', 1778346000033000);
INSERT INTO inbox VALUES ('heavy', 1778346000025000, 'sorted', 1778346000026000);
INSERT INTO inbox VALUES ('new', 1778346000025000, 'waiting', NULL);
INSERT INTO typed VALUES (1, 'dog', 'dog', '', 'name', 'Tansy of Alder');
INSERT INTO typed VALUES (2, 'session', 'session', '', 'venue', 'Alder Lane');
INSERT INTO typed VALUES (3, 'session', 'session', '', 'handler', 'I. Varga');
INSERT INTO typed VALUES (4, 'footage', 'footage', '', 'file', 'clip 1.mp4');
INSERT INTO typed VALUES (5, 'reading', 'reading', '', 'reader', 'P. Quill');
INSERT INTO typed VALUES (6, 'event', 'a', 'reading', 'note', 'lead & <pull>');
INSERT INTO typed VALUES (9, 'session', 'bs', '', 'venue', 'Mill Meadow');
INSERT INTO typed VALUES (10, 'session', 'bs', '', 'line', '10 m');
INSERT INTO typed VALUES (11, 'footage', 'heavy', '', 'file', 'heavy.mov');
INSERT INTO typed VALUES (12, 'dog', 'dog', '', 'notes', 'slow to sit');
INSERT INTO typed VALUES (13, 'dog', 'dog', '', 'device', 'buzzer');
INSERT INTO typed VALUES (14, 'session', 'session', '', 'line', '5 m');
INSERT INTO typed VALUES (15, 'session', 'session', '', 'device', 'buzzer');
INSERT INTO typed VALUES (16, 'session', 'session', '', 'plan', 'heel');
INSERT INTO typed VALUES (17, 'session', 'session', '', 'notes', 'windy');
INSERT INTO typed VALUES (18, 'footage', 'new', '', 'file', 'new.mp4');
INSERT INTO typed VALUES (19, 'reading', 'second', '', 'reader', 'P. Quill');
INSERT INTO typed_words (typed_words) VALUES ('rebuild');
CREATE INDEX sessions_by_dog ON sessions (dog_id);
CREATE INDEX footage_by_name ON footage (name);
CREATE INDEX footage_wanted ON footage (id) WHERE frames = 'wanted';
CREATE UNIQUE INDEX books_own ON books (id, version) WHERE own = 1;
CREATE TRIGGER books_never_change BEFORE UPDATE OF hash, id, version, content ON books
BEGIN
  SELECT RAISE(ABORT, 'a version of a codebook never changes');
END;
CREATE INDEX readings_by_clip ON readings (clip_id);
CREATE TRIGGER journal_is_never_rewritten BEFORE UPDATE ON journal
BEGIN
  SELECT RAISE(ABORT, 'the journal is never rewritten');
END;
CREATE UNIQUE INDEX dogs_by_name ON dogs (name_key) WHERE binned_at IS NULL;
CREATE UNIQUE INDEX clips_once ON clips (dog_id, footage_id) WHERE binned_at IS NULL;
CREATE INDEX clips_by_session ON clips (session_id);
CREATE INDEX clips_by_footage ON clips (footage_id);
CREATE INDEX footage_proxy_wanted ON footage (id) WHERE proxy = 'wanted';
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
CREATE INDEX acts_by_kind ON acts (kind, at);
CREATE INDEX inbox_open ON inbox (added_at) WHERE closed_at IS NULL;
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
CREATE TRIGGER typed_in AFTER INSERT ON typed
BEGIN
  INSERT INTO typed_words (docid, text) VALUES (NEW.id, NEW.text);
END;
CREATE TRIGGER typed_changes BEFORE UPDATE OF text ON typed WHEN NEW.text <> OLD.text
BEGIN
  DELETE FROM typed_words WHERE docid = OLD.id;
END;
CREATE TRIGGER typed_changed AFTER UPDATE OF text ON typed WHEN NEW.text <> OLD.text
BEGIN
  INSERT INTO typed_words (docid, text) VALUES (NEW.id, NEW.text);
END;
CREATE TRIGGER typed_out BEFORE DELETE ON typed
BEGIN
  DELETE FROM typed_words WHERE docid = OLD.id;
END;
CREATE TRIGGER dogs_typed AFTER INSERT ON dogs
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'dog' AND ref = NEW.id;
END;
CREATE TRIGGER dogs_retyped AFTER UPDATE OF name, notes, devices ON dogs
BEGIN
  DELETE FROM typed WHERE kind = 'dog' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'dog' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'dog' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;
CREATE TRIGGER dogs_untyped AFTER DELETE ON dogs
BEGIN
  DELETE FROM typed WHERE kind = 'dog' AND below = '' AND ref = OLD.id;
END;
CREATE TRIGGER sessions_typed AFTER INSERT ON sessions
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'session' AND ref = NEW.id;
END;
CREATE TRIGGER sessions_retyped AFTER UPDATE OF venue, handler, line, device, plan, notes ON sessions
BEGIN
  DELETE FROM typed WHERE kind = 'session' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'session' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'session' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;
CREATE TRIGGER sessions_untyped AFTER DELETE ON sessions
BEGIN
  DELETE FROM typed WHERE kind = 'session' AND below = '' AND ref = OLD.id;
END;
CREATE TRIGGER footage_typed AFTER INSERT ON footage
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'footage' AND ref = NEW.id;
END;
CREATE TRIGGER footage_retyped AFTER UPDATE OF name ON footage
BEGIN
  DELETE FROM typed WHERE kind = 'footage' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'footage' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'footage' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;
CREATE TRIGGER footage_untyped AFTER DELETE ON footage
BEGIN
  DELETE FROM typed WHERE kind = 'footage' AND below = '' AND ref = OLD.id;
END;
CREATE TRIGGER readings_typed AFTER INSERT ON readings
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'reading' AND ref = NEW.id;
END;
CREATE TRIGGER readings_retyped AFTER UPDATE OF reader, venue, handler ON readings
BEGIN
  DELETE FROM typed WHERE kind = 'reading' AND below = '' AND ref = NEW.id
    AND field NOT IN (SELECT field FROM texts WHERE kind = 'reading' AND ref = NEW.id);
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT kind, ref, below, field, text FROM texts WHERE kind = 'reading' AND ref = NEW.id
  ON CONFLICT (kind, below, ref, field) DO UPDATE SET text = excluded.text;
END;
CREATE TRIGGER readings_untyped AFTER DELETE ON readings
BEGIN
  DELETE FROM typed WHERE kind = 'reading' AND below = '' AND ref = OLD.id;
END;
CREATE TRIGGER events_typed AFTER INSERT ON events
WHEN NEW.note <> '' OR instr(NEW.details, '"device":') OR instr(NEW.details, '"who":')
BEGIN
  INSERT INTO typed (kind, ref, below, field, text)
  SELECT 'event', NEW.id, NEW.reading_id, t.field, CAST(t.text AS TEXT)
  FROM (SELECT 'note' AS field, NEW.note AS text UNION ALL SELECT 'device', json_extract(NEW.details, '$.device') UNION ALL SELECT 'who', json_extract(NEW.details, '$.who')) t
  WHERE t.text <> '';
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
CREATE TRIGGER events_untyped AFTER DELETE ON events
WHEN OLD.note <> '' OR instr(OLD.details, '"device":') OR instr(OLD.details, '"who":')
BEGIN
  DELETE FROM typed WHERE kind = 'event' AND below = OLD.reading_id AND ref = OLD.id;
END;

PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE session (
    id        INTEGER PRIMARY KEY AUTOINCREMENT,             -- the order of the sessions; no number is given twice
    started   TEXT NOT NULL CHECK (datetime(started) IS NOT NULL), -- ISO 8601 with offset; a label, not an order
    source    TEXT NOT NULL,
    invented  INTEGER NOT NULL CHECK (invented IN (0, 1)),   -- 1: the player is the demo's
    horn      TEXT NOT NULL,
    fingering TEXT NOT NULL,
    a4_hz     REAL NOT NULL CHECK (a4_hz > 0),
    against   TEXT NOT NULL CHECK (against IN ('tempered', 'pure', 'measured')),
    exercise  TEXT NOT NULL,
    version   TEXT NOT NULL
) STRICT;
INSERT INTO session VALUES(1,'2026-05-04T18:03:12+02:00','microphone clip-on',0,'alto','Bb3',440.0,'tempered','partials','0.1.0');
INSERT INTO session VALUES(3,'2026-05-05T07:00:00.250000-03:30','recording tief ♭.wav',0,'tenor','C4',442.50000000000000001,'measured','rungs','0.1.1');
INSERT INTO session VALUES(4,'2026-05-06T00:00:00+00:00','demo',1,'baritone','B3',415.0,'pure',replace(replace('it''s \r\n two lines','\r',char(13)),'\n',char(10)),'0.2.0');
CREATE TABLE IF NOT EXISTS "attempt" (
    session           INTEGER NOT NULL REFERENCES session (id),
    number            INTEGER NOT NULL CHECK (number >= 1),
    t                 REAL NOT NULL,
    wanted            INTEGER NOT NULL CHECK (wanted >= 1),
    outcome           TEXT NOT NULL CHECK (outcome IN ('spoke', 'cracked', 'split', 'other', 'nothing', 'restarted')),
    tone_start        REAL,
    tone_end          REAL,
    partial           INTEGER CHECK (partial >= 1),
    hz                REAL CHECK (hz > 0),
    cents             REAL,
    spread_cents      REAL,
    attack_t          REAL,
    attack_known_at   REAL,
    attack_kind       TEXT CHECK (attack_kind IN ('tongued', 'air', 'unsure')),
    attack_rise_ms    REAL,
    attack_confidence REAL,
    speak_ms          REAL,
    path              TEXT CHECK (path IS NULL OR json_valid(path)), -- [[partial or null, seconds], ...]
    split             REAL CHECK (split BETWEEN 0 AND 1),
    level_dbfs        REAL,
    push_db           REAL, -- loudest level before the tone spoke, dB re its steady level
    unsteady_db       REAL, -- half the range of the middle 80 per cent of its levels, dB
    clipped           REAL CHECK (clipped BETWEEN 0 AND 1), -- share of it cut off at full scale

    asked_exercise    TEXT,
    asked_fingering   TEXT,                                            -- the written fundamental that was to be fingered
    task              TEXT CHECK (task IN ('play', 'usual', 'slur')),
    partials          TEXT CHECK (partials IS NULL OR json_valid(partials)), -- [n, ...]: one, or those of a slur
    start_wanted      TEXT CHECK (start_wanted IN ('any', 'tongued', 'air')),
    hold_s            REAL CHECK (hold_s >= 0),
    swell             INTEGER CHECK (swell IN (0, 1)),
    cold              INTEGER CHECK (cold IN (0, 1)),                  -- 1: before any practising on that day
    beside_fingering  TEXT,                                            -- the overtone a usual fingering is set against
    beside_partial    INTEGER CHECK (beside_partial >= 1),
    interval          TEXT CHECK (interval IN ('unison', 'fifth', 'octave', 'twelfth')),
    complete          INTEGER CHECK (complete IN (0, 1)),              -- 1: right and complete, as judged then
    difference_cents  REAL,                                            -- the overtone above the consonance over it
    guess             TEXT CHECK (guess IN ('flat', 'in tune', 'sharp')),
    sung_hz           REAL CHECK (sung_hz > 0),
    sung_cents        REAL,
    sung_spread_cents REAL,
    swell_db          REAL,                                            -- rise and fall again: the smaller of the two
    PRIMARY KEY (session, number),

    -- Every tone has these; where nothing sounded, all fields of the tone are empty together.
    CHECK ((tone_start IS NULL) = (tone_end IS NULL)),
    CHECK ((tone_start IS NULL) = (path IS NULL)),
    CHECK ((tone_start IS NULL) = (split IS NULL)),
    CHECK ((tone_start IS NULL) = (level_dbfs IS NULL)),
    CHECK (
        tone_start IS NOT NULL
        OR coalesce(partial, hz, cents, spread_cents, attack_t, speak_ms) IS NULL
    ),
    CHECK ((attack_t IS NULL) = (attack_known_at IS NULL)),
    CHECK ((attack_t IS NULL) = (attack_kind IS NULL)),
    CHECK ((attack_t IS NULL) = (attack_rise_ms IS NULL)),
    CHECK ((attack_t IS NULL) = (attack_confidence IS NULL)),

    -- What was asked is known as a whole, or not at all.
    CHECK ((asked_exercise IS NULL) = (asked_fingering IS NULL)),
    CHECK ((asked_exercise IS NULL) = (task IS NULL)),
    CHECK ((asked_exercise IS NULL) = (partials IS NULL)),
    CHECK ((asked_exercise IS NULL) = (start_wanted IS NULL)),
    CHECK ((asked_exercise IS NULL) = (hold_s IS NULL)),
    CHECK ((asked_exercise IS NULL) = (swell IS NULL)),
    CHECK ((asked_exercise IS NULL) = (cold IS NULL)),
    CHECK ((asked_exercise IS NULL) = (complete IS NULL)),
    CHECK ((beside_fingering IS NULL) = (beside_partial IS NULL)),
    CHECK ((beside_fingering IS NULL) = (interval IS NULL)),
    CHECK ((sung_hz IS NULL) = (sung_cents IS NULL)),
    CHECK ((sung_hz IS NULL) = (sung_spread_cents IS NULL))
) STRICT, WITHOUT ROWID;
INSERT INTO attempt VALUES(1,1,12.5,3,'cracked',10.499999999999999999,12.749999999999999999,4,415.10000000000002273,-7.25,2.5,10.499999999999999999,10.560000000000000497,'air',34.5,0.8000000000000000444,120.5,'[[2, 0.25], [null, 0.125]]',0.0625,-21.5,-33.25,0.75,0.125,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO attempt VALUES(1,2,0.0010000000000000000208,1,'nothing',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO attempt VALUES(1,4,333333.33333333331394,16,'split',0.0,0.33333333333333331482,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'[]',1.0,0.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO attempt VALUES(3,1,12.5,3,'other',10.499999999999999999,12.749999999999999999,4,415.10000000000002273,-7.25,2.5,10.499999999999999999,10.560000000000000497,'unsure',34.5,0.8000000000000000444,120.5,'[[2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [2, 0.0625], [3, 0.5]]',0.0625,-21.5,-33.25,0.75,0.125,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO attempt VALUES(3,2,12.5,3,'cracked',10.499999999999999999,12.749999999999999999,4,415.10000000000002273,-7.25,2.5,10.499999999999999999,10.560000000000000497,'air',34.5,0.8000000000000000444,120.5,'[[2, 0.25], [null, 0.125]]',0.0625,-21.5,-33.25,0.75,0.125,'compare','F5','usual','[1]','air',8.5,1,0,'Bb3',3,'twelfth',1,-3.5,'in tune',207.5,-14.249999999999999999,5.5,6.25);
INSERT INTO attempt VALUES(3,3,0.0010000000000000000208,1,'nothing',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'slurs','C4','slur','[2, 3, 2]','tongued',0.0,0,1,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO attempt VALUES(3,4,12.5,1,'restarted',10.499999999999999999,12.749999999999999999,1,415.10000000000002273,-7.25,2.5,10.499999999999999999,10.560000000000000497,'tongued',34.5,0.8000000000000000444,120.5,'[[2, 0.25], [null, 0.125]]',0.0625,-21.5,NULL,NULL,NULL,'slurs','C4','slur','[2, 3, 2]','tongued',0.0,0,1,NULL,NULL,NULL,0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO attempt VALUES(4,1,12.5,1,'spoke',10.499999999999999999,12.749999999999999999,1,415.10000000000002273,-7.25,2.5,10.499999999999999999,10.560000000000000497,'tongued',34.5,0.8000000000000000444,120.5,'[[2, 0.25], [null, 0.125]]',0.0625,-21.5,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO attempt VALUES(4,2,12.5,1,'spoke',10.499999999999999999,12.749999999999999999,1,415.10000000000002273,-7.25,2.5,10.499999999999999999,10.560000000000000497,'tongued',34.5,0.8000000000000000444,120.5,'[[2, 0.25], [null, 0.125]]',0.0625,-21.5,NULL,NULL,NULL,'compare','F5','play','[1]','air',8.5,1,0,'Bb3',3,'unison',1,-3.5,'flat',207.5,-14.249999999999999999,5.5,6.25);
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('session',7);
CREATE TRIGGER session_stays_on_delete BEFORE DELETE ON session
BEGIN SELECT RAISE(ABORT, 'the log keeps its sessions'); END;
CREATE TRIGGER session_stays_on_update BEFORE UPDATE ON session
BEGIN SELECT RAISE(ABORT, 'the log keeps its sessions'); END;
CREATE INDEX attempt_by_outcome ON attempt (session, outcome);
CREATE TRIGGER attempt_stays_on_delete BEFORE DELETE ON attempt
BEGIN SELECT RAISE(ABORT, 'the log keeps its tries'); END;
CREATE TRIGGER attempt_stays_on_update BEFORE UPDATE ON attempt
BEGIN SELECT RAISE(ABORT, 'the log keeps its tries'); END;
COMMIT;
PRAGMA application_id = 1097621860;
PRAGMA user_version = 3;

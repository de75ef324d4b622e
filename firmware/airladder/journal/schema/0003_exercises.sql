-- What was asked for, and all that was found beside the tone. Empty in tries that were kept before this step.
-- The table is made anew, since the outcomes that it takes are more now; every row goes along as it was.

CREATE TABLE attempt_new (
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

INSERT INTO attempt_new (
    session, number, t, wanted, outcome, tone_start, tone_end, partial, hz, cents, spread_cents, attack_t,
    attack_known_at, attack_kind, attack_rise_ms, attack_confidence, speak_ms, path, split, level_dbfs, push_db,
    unsteady_db, clipped
)
SELECT
    session, number, t, wanted, outcome, tone_start, tone_end, partial, hz, cents, spread_cents, attack_t,
    attack_known_at, attack_kind, attack_rise_ms, attack_confidence, speak_ms, path, split, level_dbfs, push_db,
    unsteady_db, clipped
FROM attempt;

DROP TABLE attempt;
ALTER TABLE attempt_new RENAME TO attempt;

-- Counting outcomes for the list of sessions reads this and not the wide rows: ten years stay quick on a slow card.
CREATE INDEX attempt_by_outcome ON attempt (session, outcome);

CREATE TRIGGER attempt_stays_on_delete BEFORE DELETE ON attempt
BEGIN SELECT RAISE(ABORT, 'the log keeps its tries'); END;
CREATE TRIGGER attempt_stays_on_update BEFORE UPDATE ON attempt
BEGIN SELECT RAISE(ABORT, 'the log keeps its tries'); END;

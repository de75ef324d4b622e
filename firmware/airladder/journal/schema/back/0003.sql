-- From form 3 back to 2: without what was asked, and what was found beside the tone.

INSERT INTO temp.dropped
SELECT 'tries with what was asked', count(*) FROM attempt WHERE asked_exercise IS NOT NULL
UNION ALL
SELECT 'tries with findings beside the tone', count(*) FROM attempt
WHERE coalesce(difference_cents, guess, sung_hz, swell_db) IS NOT NULL
UNION ALL
SELECT 'tries called restarted, now other', count(*) FROM attempt WHERE outcome = 'restarted';

CREATE TABLE attempt_old (
    session           INTEGER NOT NULL REFERENCES session (id),
    number            INTEGER NOT NULL CHECK (number >= 1),
    t                 REAL NOT NULL,
    wanted            INTEGER NOT NULL CHECK (wanted >= 1),
    outcome           TEXT NOT NULL CHECK (outcome IN ('spoke', 'cracked', 'split', 'other', 'nothing')),
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
    CHECK ((attack_t IS NULL) = (attack_confidence IS NULL))
) STRICT, WITHOUT ROWID;

ALTER TABLE attempt_old ADD COLUMN push_db REAL;     -- loudest level before the tone spoke, dB re its steady level
ALTER TABLE attempt_old ADD COLUMN unsteady_db REAL; -- half the range of the middle 80 per cent of its levels, dB
ALTER TABLE attempt_old ADD COLUMN clipped REAL CHECK (clipped BETWEEN 0 AND 1); -- share of it cut off at full scale

INSERT INTO attempt_old (
    session, number, t, wanted, outcome, tone_start, tone_end, partial, hz, cents, spread_cents, attack_t,
    attack_known_at, attack_kind, attack_rise_ms, attack_confidence, speak_ms, path, split, level_dbfs, push_db,
    unsteady_db, clipped
)
SELECT
    session, number, t, wanted, iif(outcome = 'restarted', 'other', outcome), tone_start, tone_end, partial, hz,
    cents, spread_cents, attack_t, attack_known_at, attack_kind, attack_rise_ms, attack_confidence, speak_ms,
    path, split, level_dbfs, push_db, unsteady_db, clipped
FROM attempt;

DROP TABLE attempt;
ALTER TABLE attempt_old RENAME TO attempt;

CREATE INDEX attempt_by_outcome ON attempt (session, outcome);

CREATE TRIGGER attempt_stays_on_delete BEFORE DELETE ON attempt
BEGIN SELECT RAISE(ABORT, 'the log keeps its tries'); END;
CREATE TRIGGER attempt_stays_on_update BEFORE UPDATE ON attempt
BEGIN SELECT RAISE(ABORT, 'the log keeps its tries'); END;

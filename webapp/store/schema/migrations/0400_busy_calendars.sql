-- From where a person's busy times come and how far they reach: an uploaded file, or a calendar's own address.
CREATE TABLE busy_calendars (
    kitchen_id TEXT NOT NULL REFERENCES kitchens ON DELETE CASCADE,
    person     INTEGER NOT NULL,
    reach      INTEGER NOT NULL,                -- until which instant it was read
    read_at    INTEGER NOT NULL,                -- when it was last found right; 0 = not known
    address    TEXT NOT NULL DEFAULT '',        -- encrypted with the server's key; '' = an uploaded file
    host       TEXT NOT NULL DEFAULT '',        -- of the address, to be shown
    zone       TEXT NOT NULL DEFAULT '',        -- the kitchen's when it was read
    etag       TEXT NOT NULL DEFAULT '',        -- ETag and Last-Modified of what was read
    modified   TEXT NOT NULL DEFAULT '',
    notes      TEXT NOT NULL DEFAULT '[]',      -- what was left out, in plain sentences
    problem    TEXT NOT NULL DEFAULT '',        -- why it could not be fetched; empty: all is well
    tries      INTEGER NOT NULL DEFAULT 0,      -- that failed, one after the other
    next_try   INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (kitchen_id, person)
) STRICT;
-- Of files read before only the last stretch is known.
INSERT INTO busy_calendars (kitchen_id, person, reach, read_at)
    SELECT kitchen_id, person, max(ends), 0 FROM busy GROUP BY kitchen_id, person;

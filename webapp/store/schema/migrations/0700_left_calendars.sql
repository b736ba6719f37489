-- Calendars that are being left: nothing more is written there, and the login is kept until our events are out.

CREATE TABLE left_calendars (
    left_id      INTEGER PRIMARY KEY,
    kitchen_id   TEXT NOT NULL REFERENCES kitchens ON DELETE CASCADE,
    calendar_url TEXT NOT NULL,
    name         TEXT NOT NULL,
    login        TEXT NOT NULL,             -- as in caldav_accounts; empty: forgotten, what stands there still stays
    since        INTEGER NOT NULL,
    next_try     INTEGER NOT NULL DEFAULT 0,
    tries        INTEGER NOT NULL DEFAULT 0,
    problem      TEXT NOT NULL DEFAULT ''   -- why the last try did not get everything out
) STRICT;
CREATE INDEX left_of_kitchen ON left_calendars (kitchen_id);

CREATE TABLE left_events (                  -- as in caldav_events: what may still stand there
    left_id     INTEGER NOT NULL REFERENCES left_calendars ON DELETE CASCADE,
    uid         TEXT NOT NULL,
    url         TEXT NOT NULL,
    etag        TEXT NOT NULL,
    fingerprint TEXT NOT NULL,
    body        TEXT NOT NULL,
    ends        INTEGER NOT NULL,
    hands_off   TEXT NOT NULL,
    title       TEXT NOT NULL,
    plan_start  INTEGER NOT NULL,
    their_start INTEGER NOT NULL,
    PRIMARY KEY (left_id, uid)
) STRICT;

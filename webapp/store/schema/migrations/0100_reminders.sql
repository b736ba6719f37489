-- What rings: the history of every calendar event, feeds, calendar accounts, push messages.

-- A counter per kitchen, stepped by the triggers below whenever anything changes that a calendar shows.
CREATE TABLE calendar_versions (
    kitchen_id TEXT PRIMARY KEY REFERENCES kitchens ON DELETE CASCADE,
    version    INTEGER NOT NULL,
    drawn      INTEGER NOT NULL DEFAULT 0   -- the version for which calendar_entries are up to date
) STRICT;

CREATE TRIGGER calendar_plan_added AFTER INSERT ON plans BEGIN
    INSERT INTO calendar_versions (kitchen_id, version) SELECT kitchen_id, 1 FROM bakes WHERE bake_id = NEW.bake_id
    ON CONFLICT (kitchen_id) DO UPDATE SET version = version + 1;
END;
CREATE TRIGGER calendar_event_added AFTER INSERT ON events BEGIN
    INSERT INTO calendar_versions (kitchen_id, version) SELECT kitchen_id, 1 FROM bakes WHERE bake_id = NEW.bake_id
    ON CONFLICT (kitchen_id) DO UPDATE SET version = version + 1;
END;
CREATE TRIGGER calendar_bake_dropped AFTER UPDATE OF dropped_at ON bakes BEGIN
    UPDATE calendar_versions SET version = version + 1 WHERE kitchen_id = NEW.kitchen_id;
END;
CREATE TRIGGER calendar_bake_deleted AFTER DELETE ON bakes BEGIN
    UPDATE calendar_versions SET version = version + 1 WHERE kitchen_id = OLD.kitchen_id;
END;
CREATE TRIGGER calendar_kitchen_changed AFTER UPDATE OF settings ON kitchens BEGIN
    UPDATE calendar_versions SET version = version + 1 WHERE kitchen_id = NEW.kitchen_id;
END;

CREATE TABLE calendar_entries (             -- one calendar event: what it says now, and how often that changed
    bake_id     TEXT NOT NULL REFERENCES bakes ON DELETE CASCADE,
    step_id     TEXT NOT NULL,
    place       INTEGER NOT NULL,           -- order within the bake
    sequence    INTEGER NOT NULL,
    changed_at  INTEGER NOT NULL,
    fingerprint TEXT NOT NULL,
    entry       TEXT NOT NULL,              -- reminders/ics.py Entry
    PRIMARY KEY (bake_id, step_id)
) STRICT;

CREATE TABLE calendar_drawn (               -- from what the entries of a bake were made
    bake_id TEXT PRIMARY KEY REFERENCES bakes ON DELETE CASCADE,
    stamp   TEXT NOT NULL
) STRICT;

CREATE TABLE feeds (                        -- at most one per kitchen; a revoked key is simply gone
    kitchen_id TEXT PRIMARY KEY REFERENCES kitchens ON DELETE CASCADE,
    key_hash   TEXT NOT NULL UNIQUE,        -- SHA-256 of the key
    sealed_key TEXT NOT NULL,               -- the key, encrypted with the server's own, to show the address again
    made_at    INTEGER NOT NULL,
    read_at    INTEGER                      -- about when a calendar last fetched it (to the hour)
) STRICT;

CREATE TABLE caldav_accounts (
    kitchen_id   TEXT PRIMARY KEY REFERENCES kitchens ON DELETE CASCADE,
    calendar_url TEXT NOT NULL,
    name         TEXT NOT NULL,             -- of the calendar, as its server says
    login        TEXT NOT NULL,             -- user name and password, encrypted with the server's key
    origin       TEXT NOT NULL,             -- under which the phone knows us, for links in the events
    saved_at     INTEGER NOT NULL,
    synced       INTEGER NOT NULL DEFAULT -1, -- calendar_versions.version that the calendar shows
    good_at      INTEGER,                   -- when everything was last written
    next_try     INTEGER NOT NULL DEFAULT 0,
    tries        INTEGER NOT NULL DEFAULT 0,
    problem      TEXT NOT NULL DEFAULT ''   -- what the person should know; empty: all is well
) STRICT;

CREATE TABLE caldav_events (                -- outlives its bake, so that the event can still be taken out
    kitchen_id  TEXT NOT NULL REFERENCES kitchens ON DELETE CASCADE,
    uid         TEXT NOT NULL,
    url         TEXT NOT NULL,
    etag        TEXT NOT NULL,
    fingerprint TEXT NOT NULL,              -- of what was written last
    body        TEXT NOT NULL,              -- what was written last, to tell our own change from somebody else's
    ends        INTEGER NOT NULL,
    hands_off   TEXT NOT NULL DEFAULT '',   -- why we leave it alone from now on: changed | removed | taken
    title       TEXT NOT NULL DEFAULT '',
    PRIMARY KEY (kitchen_id, uid)
) STRICT;

CREATE TABLE push_subscriptions (
    subscription_id TEXT PRIMARY KEY,
    kitchen_id      TEXT NOT NULL REFERENCES kitchens ON DELETE CASCADE,
    phone_id        TEXT NOT NULL REFERENCES phones ON DELETE CASCADE,
    endpoint        TEXT NOT NULL UNIQUE,
    p256dh          TEXT NOT NULL,
    auth            TEXT NOT NULL,
    made_at         INTEGER NOT NULL
) STRICT;
CREATE INDEX push_of_kitchen ON push_subscriptions (kitchen_id);

CREATE TABLE push_due (                     -- one message to one phone at one instant: never sent twice
    subscription_id TEXT NOT NULL REFERENCES push_subscriptions ON DELETE CASCADE,
    topic           TEXT NOT NULL,          -- the same for every message about one step
    due_at          INTEGER NOT NULL,
    not_after       INTEGER NOT NULL,       -- no use sending it later than this
    payload         TEXT NOT NULL,
    state           TEXT NOT NULL DEFAULT 'due', -- due | claimed | sent | missed | refused
    tries           INTEGER NOT NULL DEFAULT 0,
    next_try        INTEGER NOT NULL,
    PRIMARY KEY (subscription_id, topic, due_at)
) STRICT;
CREATE INDEX push_by_time ON push_due (state, next_try);

CREATE TABLE push_drawn (                   -- the calendar version from which a kitchen's messages were made
    kitchen_id TEXT PRIMARY KEY REFERENCES kitchens ON DELETE CASCADE,
    version    INTEGER NOT NULL
) STRICT;

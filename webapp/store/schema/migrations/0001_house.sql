-- A kitchen, the phones that may open it, its larder, its bakes and what happened to them.
-- Records are stored as JSON text in the shape of webapp/records.py; columns beside them are what questions are asked by.

CREATE TABLE kitchens (
    kitchen_id TEXT PRIMARY KEY,
    made_at    INTEGER NOT NULL,
    settings   TEXT NOT NULL            -- core/kitchen.py Kitchen
) STRICT;

CREATE TABLE phones (
    phone_id   TEXT PRIMARY KEY,
    kitchen_id TEXT NOT NULL REFERENCES kitchens ON DELETE CASCADE,
    key_hash   TEXT NOT NULL UNIQUE,    -- SHA-256 of the 256-bit key in the phone's cookie; the key itself is never kept
    name       TEXT NOT NULL,
    joined_at  INTEGER NOT NULL,
    seen_at    INTEGER NOT NULL
) STRICT;
CREATE INDEX phones_of_kitchen ON phones (kitchen_id);

CREATE TABLE join_codes (
    code_hash  TEXT PRIMARY KEY,
    kitchen_id TEXT NOT NULL REFERENCES kitchens ON DELETE CASCADE,
    expires_at INTEGER NOT NULL
) STRICT;

CREATE TABLE bakes (
    bake_id    TEXT PRIMARY KEY,
    kitchen_id TEXT NOT NULL REFERENCES kitchens ON DELETE CASCADE,
    made_at    INTEGER NOT NULL,
    wished_at  INTEGER NOT NULL,        -- when the wish below was made
    changed_at INTEGER NOT NULL,        -- when anything of the bake changed, a journal line too
    wish       TEXT NOT NULL,           -- core/kitchen.py Wish
    dropped_at INTEGER                  -- given up: kept, so that calendars can say so
) STRICT;
CREATE INDEX bakes_of_kitchen ON bakes (kitchen_id, changed_at);

CREATE TABLE offers (                   -- what the planner proposed for the present wish
    bake_id    TEXT NOT NULL REFERENCES bakes ON DELETE CASCADE,
    place      INTEGER NOT NULL,        -- 0 is the planner's first choice
    plan       TEXT NOT NULL,           -- core/plan/plan.py Plan
    PRIMARY KEY (bake_id, place)
) STRICT;

CREATE TABLE plans (                    -- what was picked, every revision; the highest one holds
    bake_id    TEXT NOT NULL REFERENCES bakes ON DELETE CASCADE,
    revision   INTEGER NOT NULL,
    picked_at  INTEGER NOT NULL,
    title      TEXT NOT NULL,
    begins     INTEGER NOT NULL,
    supper     INTEGER NOT NULL,
    plan       TEXT NOT NULL,
    PRIMARY KEY (bake_id, revision)
) STRICT;

CREATE TABLE events (                   -- the journal; append-only
    bake_id     TEXT NOT NULL REFERENCES bakes ON DELETE CASCADE,
    event_id    TEXT NOT NULL,
    at          INTEGER NOT NULL,
    received_at INTEGER NOT NULL,
    kind        TEXT NOT NULL,
    event       TEXT NOT NULL,          -- core/plan/event.py Event
    PRIMARY KEY (bake_id, event_id)
) STRICT;

CREATE TABLE larder (                   -- own formulas and topping sets, every version
    kitchen_id TEXT NOT NULL REFERENCES kitchens ON DELETE CASCADE,
    shelf      TEXT NOT NULL,           -- formula | toppings
    key        TEXT NOT NULL,
    version    INTEGER NOT NULL,
    saved_at   INTEGER NOT NULL,
    gone       INTEGER NOT NULL DEFAULT 0,
    body       TEXT NOT NULL,
    PRIMARY KEY (kitchen_id, shelf, key, version)
) STRICT;

CREATE TABLE busy (                     -- stretches read from the person's own calendar; titles are never kept
    kitchen_id TEXT NOT NULL REFERENCES kitchens ON DELETE CASCADE,
    starts     INTEGER NOT NULL,
    ends       INTEGER NOT NULL,
    PRIMARY KEY (kitchen_id, starts, ends)
) STRICT;

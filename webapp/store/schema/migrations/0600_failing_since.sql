-- Since when a calendar cannot be written, and when that was last tried.
ALTER TABLE caldav_accounts ADD COLUMN failing_since INTEGER NOT NULL DEFAULT 0; -- 0: all is well
ALTER TABLE caldav_accounts ADD COLUMN tried_at INTEGER NOT NULL DEFAULT 0;      -- of the last failure
UPDATE caldav_accounts SET failing_since = coalesce(good_at, saved_at) WHERE problem != '';

-- Events that were once taken for somebody else's are sought again: many of them came from a file of ours.
UPDATE caldav_accounts SET synced = -1
    WHERE kitchen_id IN (SELECT kitchen_id FROM caldav_events WHERE hands_off = 'taken');

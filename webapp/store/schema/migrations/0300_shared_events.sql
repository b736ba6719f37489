-- Events that a person changed are merged, not left alone; an account knows why and when it last failed.

ALTER TABLE caldav_events ADD COLUMN plan_start INTEGER NOT NULL DEFAULT 0;  -- ours, when theirs was asked about
ALTER TABLE caldav_events ADD COLUMN their_start INTEGER NOT NULL DEFAULT 0; -- where somebody moved it, 0 = nowhere
-- hands_off is from now on: moved (their start, asked about) | kept (their start, answered) | removed | taken
UPDATE caldav_events SET hands_off = '' WHERE hands_off = 'changed';

ALTER TABLE caldav_accounts ADD COLUMN tried INTEGER NOT NULL DEFAULT -1;  -- calendar_versions.version of the last failure
ALTER TABLE caldav_accounts ADD COLUMN refused INTEGER NOT NULL DEFAULT 0; -- user name and password were not accepted
ALTER TABLE caldav_accounts ADD COLUMN alarms TEXT NOT NULL DEFAULT '';    -- read back after writing: live | lost

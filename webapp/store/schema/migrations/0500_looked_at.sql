-- A calendar is looked at between our writings, so that a start that somebody changes there is noticed soon.
ALTER TABLE caldav_accounts ADD COLUMN look_next INTEGER NOT NULL DEFAULT 0; -- when to look again
ALTER TABLE caldav_accounts ADD COLUMN tag TEXT NOT NULL DEFAULT '';         -- the calendar's own, when last looked at

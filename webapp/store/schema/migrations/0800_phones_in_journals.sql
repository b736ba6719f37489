-- By which random name a phone writes its lines of a journal: so that another phone can be told whose they are.
ALTER TABLE phones ADD COLUMN says_as TEXT NOT NULL DEFAULT '';

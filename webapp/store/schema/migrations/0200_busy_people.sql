-- Busy stretches belong to one person of the kitchen, by place in its list; those read before are the first person's.
CREATE TABLE busy_of (
    kitchen_id TEXT NOT NULL REFERENCES kitchens ON DELETE CASCADE,
    person     INTEGER NOT NULL,
    starts     INTEGER NOT NULL,
    ends       INTEGER NOT NULL,
    PRIMARY KEY (kitchen_id, person, starts, ends)
) STRICT;
INSERT INTO busy_of SELECT kitchen_id, 0, starts, ends FROM busy;
DROP TABLE busy;
ALTER TABLE busy_of RENAME TO busy;

-- Which unit whoever started the run had chosen to compare it with; empty where there was none. What
-- is there already is read from the documents again.
ALTER TABLE record ADD COLUMN reference TEXT NOT NULL DEFAULT '';
UPDATE record SET modified = -1;

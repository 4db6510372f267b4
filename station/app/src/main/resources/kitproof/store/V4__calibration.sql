-- How the bench stood to its calibration; null where nothing was told of it. What is there already
-- is read from the documents again.
ALTER TABLE record ADD COLUMN calibrated INTEGER;
ALTER TABLE record ADD COLUMN calibration TEXT NOT NULL DEFAULT '';
UPDATE record SET modified = -1;

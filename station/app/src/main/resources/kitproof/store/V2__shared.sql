-- One index for the records of several folders. What was in the old tables is read from the
-- documents again.
DROP VIEW attempt;
DROP TABLE result;
DROP TABLE record;

CREATE TABLE record (
  id         BIGINT       PRIMARY KEY,  -- when it began, then bits of a digest of folder and run
  folder     VARCHAR(64)  NOT NULL,     -- empty in an index that lies beside its records
  run        VARCHAR(400) NOT NULL,
  document   VARCHAR(400) NOT NULL,
  bytes      BIGINT       NOT NULL,
  modified   BIGINT       NOT NULL,
  shop       TEXT         NOT NULL,
  station    TEXT         NOT NULL,
  unit       TEXT         NOT NULL,
  batch      TEXT         NOT NULL,
  product    TEXT         NOT NULL,
  revision   TEXT         NOT NULL,
  plan       TEXT         NOT NULL,
  verdict    TEXT         NOT NULL,
  reason     TEXT         NOT NULL,
  started    BIGINT       NOT NULL,     -- milliseconds since 1970, UTC
  ended      BIGINT       NOT NULL,
  UNIQUE (folder, run)
);
CREATE INDEX record_of_unit ON record (product, unit, started);
CREATE INDEX record_of_batch ON record (batch, started);

CREATE TABLE result (
  record     BIGINT           NOT NULL REFERENCES record (id) ON DELETE CASCADE,
  place      INTEGER          NOT NULL,
  step       TEXT             NOT NULL,
  name       TEXT             NOT NULL,
  conditions TEXT             NOT NULL,
  value      DOUBLE PRECISION,
  unit       TEXT             NOT NULL,
  low        DOUBLE PRECISION,
  high       DOUBLE PRECISION,
  outcome    TEXT             NOT NULL,
  detail     TEXT             NOT NULL,
  PRIMARY KEY (record, place)
);

CREATE INDEX result_failed ON result (record, name) WHERE outcome IN ('fail', 'in the guard band');

-- The runs of a unit in order of time, the first of them attempt 1, whichever station it was.
CREATE VIEW attempt AS
SELECT id, run, product, unit, batch, station, verdict, reason, started,
       ROW_NUMBER() OVER (PARTITION BY product, unit ORDER BY started, run) AS number,
       ROW_NUMBER() OVER (PARTITION BY product, unit ORDER BY started DESC, run DESC) AS from_last
FROM record;

-- What the documents say, laid out for questions. Everything here can be made again from them.
CREATE TABLE record (
  run        VARCHAR(400) PRIMARY KEY,
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
  started    BIGINT       NOT NULL,
  ended      BIGINT       NOT NULL
);
CREATE INDEX record_of_unit ON record (product, unit, started);
CREATE INDEX record_of_batch ON record (batch, started);

CREATE TABLE result (
  run        VARCHAR(400)     NOT NULL REFERENCES record (run) ON DELETE CASCADE,
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
  PRIMARY KEY (run, place)
);
CREATE INDEX result_of_name ON result (name, conditions);

-- The runs of a unit in order of time, the first of them attempt 1.
CREATE VIEW attempt AS
SELECT run, product, unit, batch, verdict, reason, started,
       ROW_NUMBER() OVER (PARTITION BY product, unit ORDER BY started, run) AS number,
       ROW_NUMBER() OVER (PARTITION BY product, unit ORDER BY started DESC, run DESC) AS from_last
FROM record;

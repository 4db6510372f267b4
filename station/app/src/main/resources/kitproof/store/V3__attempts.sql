-- An attempt of a unit is a run that ended as pass, fail or aborted. One that ended in error says
-- something of the station only, and has no number.
DROP VIEW attempt;

-- The attempts of a unit in order of time, from 1, whichever station it was.
CREATE VIEW attempt AS
SELECT id, run, product, unit, batch, station, verdict, reason, started,
       ROW_NUMBER() OVER (PARTITION BY product, unit ORDER BY started, run) AS number,
       ROW_NUMBER() OVER (PARTITION BY product, unit ORDER BY started DESC, run DESC) AS from_last
FROM record
WHERE verdict IN ('pass', 'fail', 'aborted');

-- Seconds from the end of the challenge to the reply, spoken replies if there are any; quantiles
-- by linear interpolation (type 7 of Hyndman and Fan, The American Statistician 50, 1996), by item.
WITH single AS (
    SELECT * EXCLUDE milliseconds, unnest(milliseconds) AS ms
    FROM times
    WHERE source = 'voice' OR NOT EXISTS (SELECT 1 FROM times WHERE source = 'voice')
)
SELECT
    max(challenge) AS challenge,
    max(list_title) AS list,
    aircraft,
    count(*) AS replies,
    quantile_cont(ms, 0.5) / 1000 AS median,
    quantile_cont(ms, 0.25) / 1000 AS quartile_1,
    quantile_cont(ms, 0.75) / 1000 AS quartile_3,
    quantile_cont(ms, 0.05) / 1000 AS p5,
    quantile_cont(ms, 0.95) / 1000 AS p95,
    list_id || '/' || item_id AS id
FROM single
GROUP BY list_id, item_id, aircraft
HAVING count(*) >= 5
ORDER BY median DESC, list, challenge, aircraft

-- Each cause, over everything; intervals take sessions whole.
SELECT
    cause,
    sum(met)::BIGINT AS met,
    sum(hits)::BIGINT AS hits,
    sum(hits) / sum(met) AS rate,
    whole_low(sum(hits), sum(met), sum(hits_hits), sum(hits_met), sum(met_met), sum(sessions)) AS low,
    whole_high(sum(hits), sum(met), sum(hits_hits), sum(hits_met), sum(met_met), sum(sessions)) AS high
FROM clusters
GROUP BY cause
ORDER BY hits DESC, cause

-- Each phase of flight; intervals take sessions whole.
WITH summed AS (
    SELECT
        phase,
        cause,
        sum(sessions) AS sessions,
        sum(met)::BIGINT AS met,
        sum(hits)::BIGINT AS hits,
        sum(hits_hits) AS hits_hits,
        sum(hits_met) AS hits_met,
        sum(met_met) AS met_met
    FROM clusters
    GROUP BY phase, cause
)
SELECT
    CASE WHEN phase = '' THEN '(not known)' ELSE phase END AS phase,
    max(met) AS met,
    max(hits) FILTER (cause = 'any deviation') AS deviations,
    deviations / max(met) AS rate,
    max(whole_low(hits, met, hits_hits, hits_met, met_met, sessions))
        FILTER (cause = 'any deviation') AS low,
    max(whole_high(hits, met, hits_hits, hits_met, met_met, sessions))
        FILTER (cause = 'any deviation') AS high,
    max(hits) FILTER (cause = 'omitted') AS omitted,
    max(hits) FILTER (cause = 'wrong reply') AS wrong,
    max(hits) FILTER (cause = 'said, not set') AS not_set,
    max(hits) FILTER (cause = 'out of order') AS out_of_order,
    max(hits) FILTER (cause = 'unclear') AS unclear,
    max(hits) FILTER (cause = 'slow') AS slow,
    max(hits) FILTER (cause = 'within a second') AS within_a_second
FROM summed
GROUP BY summed.phase
ORDER BY low DESC, phase

-- Each cause, over everything.
WITH sums AS (
    SELECT
        sum(met)::BIGINT AS met,
        sum(deviations)::BIGINT AS "any deviation",
        sum(omitted)::BIGINT AS omitted,
        sum(wrong)::BIGINT AS "wrong reply",
        sum(too_fast)::BIGINT AS "too fast to have looked",
        sum(not_set)::BIGINT AS "said, not set",
        sum(out_of_order)::BIGINT AS "out of order",
        sum(unclear)::BIGINT AS unclear,
        sum(slow)::BIGINT AS slow
    FROM counts
)
SELECT
    cause,
    met,
    hits,
    hits / met AS rate,
    wilson_low(hits, met) AS low,
    wilson_high(hits, met) AS high
FROM (UNPIVOT sums ON COLUMNS(* EXCLUDE met) INTO NAME cause VALUE hits)
ORDER BY hits DESC, cause

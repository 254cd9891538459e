-- How alike the items of one session are: sums over sessions, which are never cut in two, so that those
-- of parts of the data can be put under one another. From them come intervals that take sessions whole.
WITH one AS (
    SELECT
        aircraft,
        list_id,
        list_title,
        phase,
        month,
        session_id,
        count(*) AS n,
        count(*) FILTER (omitted OR wrong OR not_set OR out_of_order) AS "any deviation",
        count(*) FILTER (omitted) AS omitted,
        count(*) FILTER (wrong) AS "wrong reply",
        count(*) FILTER (not_set) AS "said, not set",
        count(*) FILTER (out_of_order) AS "out of order",
        count(*) FILTER (unclear > 0) AS unclear,
        count(*) FILTER (slow) AS slow,
        count(*) FILTER (too_fast) AS "within a second"
    FROM items
    WHERE met AND drill = ''
    GROUP BY ALL
)
SELECT
    aircraft,
    list_id,
    list_title,
    phase,
    month,
    cause,
    count(*) AS sessions,
    sum(n)::BIGINT AS met,
    sum(hits)::BIGINT AS hits,
    sum(hits * hits)::BIGINT AS hits_hits,
    sum(hits * n)::BIGINT AS hits_met,
    sum(n * n)::BIGINT AS met_met
FROM (
    UNPIVOT one
    ON COLUMNS(* EXCLUDE (aircraft, list_id, list_title, phase, month, session_id, n))
    INTO NAME cause VALUE hits
)
GROUP BY ALL

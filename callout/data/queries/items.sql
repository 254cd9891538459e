-- Each item, aircraft apart: how often something went wrong where it could have, surely bad ones
-- first. A session meets an item once, so these intervals are Wilson's.
SELECT
    max(challenge) AS challenge,
    max(list_title) AS list,
    aircraft,
    sum(met)::BIGINT AS met,
    sum(deviations)::BIGINT AS deviations,
    sum(deviations) / sum(met) AS rate,
    wilson_low(sum(deviations), sum(met)) AS low,
    wilson_high(sum(deviations), sum(met)) AS high,
    sum(omitted)::BIGINT AS omitted,
    sum(wrong)::BIGINT AS wrong,
    sum(not_set)::BIGINT AS not_set,
    sum(out_of_order)::BIGINT AS out_of_order,
    sum(unclear)::BIGINT AS unclear,
    sum(slow)::BIGINT AS slow,
    sum(within_a_second)::BIGINT AS within_a_second,
    list_id || '/' || item_id AS id
FROM counts
GROUP BY list_id, item_id, aircraft
ORDER BY low DESC, list, challenge, aircraft

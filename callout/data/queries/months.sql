-- Month by month.
SELECT
    month,
    sum(met)::BIGINT AS met,
    sum(deviations)::BIGINT AS deviations,
    sum(deviations) / sum(met) AS rate,
    wilson_low(sum(deviations), sum(met)) AS low,
    wilson_high(sum(deviations), sum(met)) AS high,
    sum(omitted)::BIGINT AS omitted,
    sum(wrong)::BIGINT AS wrong,
    sum(too_fast)::BIGINT AS too_fast,
    sum(not_set)::BIGINT AS not_set,
    sum(out_of_order)::BIGINT AS out_of_order,
    sum(unclear)::BIGINT AS unclear,
    sum(slow)::BIGINT AS slow
FROM counts
GROUP BY month
ORDER BY month

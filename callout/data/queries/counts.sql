-- How often each item was met and what went wrong there, aircraft apart. Counts of parts of the data
-- can be put under one another: the queries below add them up. A reply within a second is no deviation.
SELECT
    aircraft,
    list_id,
    list_title,
    item_id,
    challenge,
    phase,
    month,
    count(*) AS met,
    count(*) FILTER (omitted OR wrong OR not_set OR out_of_order) AS deviations,
    count(*) FILTER (omitted) AS omitted,
    count(*) FILTER (wrong) AS wrong,
    count(*) FILTER (not_set) AS not_set,
    count(*) FILTER (out_of_order) AS out_of_order,
    count(*) FILTER (unclear > 0) AS unclear,
    count(*) FILTER (slow) AS slow,
    count(*) FILTER (too_fast) AS within_a_second
FROM items
WHERE met AND drill = ''
GROUP BY ALL

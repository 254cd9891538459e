-- Reply times in whole milliseconds, as journals keep them. Lists of parts of the data can be put
-- under one another: quantiles are then worked out from every single time, and are exact.
SELECT
    aircraft,
    list_id,
    list_title,
    item_id,
    challenge,
    phase,
    month,
    source,
    list(round(reply_seconds * 1000)::INTEGER) AS milliseconds
FROM items
WHERE reply_seconds > 0 AND drill = ''
GROUP BY ALL

-- The Wilson score interval at 95 %: Wilson (1927); Newcombe, Statistics in Medicine 17:857-872
-- (1998), method 3. 1.959963984540054 is the two-sided 95 % point of the normal distribution.
CREATE TEMP MACRO wilson_low(hits, total) AS CASE WHEN total > 0 THEN greatest(0.0,
    (hits / total + 3.841458820694124 / (2 * total)
     - 1.959963984540054 * sqrt(hits / total * (1 - hits / total) / total
                                + 3.841458820694124 / (4.0 * total * total)))
    / (1 + 3.841458820694124 / total)) ELSE 0.0 END;

CREATE TEMP MACRO wilson_high(hits, total) AS CASE WHEN total > 0 THEN least(1.0,
    (hits / total + 3.841458820694124 / (2 * total)
     + 1.959963984540054 * sqrt(hits / total * (1 - hits / total) / total
                                + 3.841458820694124 / (4.0 * total * total)))
    / (1 + 3.841458820694124 / total)) ELSE 1.0 END;

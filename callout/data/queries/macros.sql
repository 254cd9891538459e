-- The Wilson score interval at z: Wilson (1927); Newcombe, Statistics in Medicine 17:857-872
-- (1998), method 3. 1.959963984540054 is the two-sided 95 % point of the normal distribution.
CREATE TEMP MACRO score_low(hits, total, z) AS CASE WHEN total > 0 THEN greatest(0.0,
    (hits / total + z * z / (2 * total)
     - z * sqrt(hits / total * (1 - hits / total) / total + z * z / (4.0 * total * total)))
    / (1 + z * z / total)) ELSE 0.0 END;

CREATE TEMP MACRO score_high(hits, total, z) AS CASE WHEN total > 0 THEN least(1.0,
    (hits / total + z * z / (2 * total)
     + z * sqrt(hits / total * (1 - hits / total) / total + z * z / (4.0 * total * total)))
    / (1 + z * z / total)) ELSE 1.0 END;

CREATE TEMP MACRO wilson_low(hits, total) AS score_low(hits, total, 1.959963984540054);

CREATE TEMP MACRO wilson_high(hits, total) AS score_high(hits, total, 1.959963984540054);

-- The two-sided 95 % point of Student's t: series of Abramowitz and Stegun 26.7.5.
CREATE TEMP MACRO t_95(n) AS CASE n WHEN 1 THEN 12.7062 WHEN 2 THEN 4.3027 ELSE
    1.959963984540054 + 2.372271230298562 / n + 2.8224986157396112 / (n * n) + 2.555849679507722 / (n * n * n)
    + 1.5895340533938225 / (n * n * n * n) END;

-- Variance over that of unrelated trials, and the interval at the number of trials that are worth
-- as much: Dean and Pagano, Survey Methodology 41:189 (2015).
CREATE TEMP MACRO alike(hits, met, hits_hits, hits_met, met_met, sessions) AS greatest(1.0,
    sessions / (sessions - 1.0)
    * (hits_hits - 2.0 * hits / met * hits_met + (hits / met) * (hits / met) * met_met)
    / (hits * (met - hits) / met));

CREATE TEMP MACRO whole_low(hits, met, hits_hits, hits_met, met_met, sessions) AS
    CASE WHEN sessions = met OR sessions < 2 OR hits = 0 OR hits = met THEN wilson_low(hits, met)
    ELSE score_low(
        hits / alike(hits, met, hits_hits, hits_met, met_met, sessions),
        met / alike(hits, met, hits_hits, hits_met, met_met, sessions),
        t_95(sessions - 1)) END;

CREATE TEMP MACRO whole_high(hits, met, hits_hits, hits_met, met_met, sessions) AS
    CASE WHEN sessions = met OR sessions < 2 OR hits = 0 OR hits = met THEN wilson_high(hits, met)
    ELSE score_high(
        hits / alike(hits, met, hits_hits, hits_met, met_met, sessions),
        met / alike(hits, met, hits_hits, hits_met, met_met, sessions),
        t_95(sessions - 1)) END;

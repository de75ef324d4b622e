-- Cents of the partials that were asked for and spoke, in the first and in the newest sessions of each player: for every
-- whole cent its weight, where every player weighs 1 in all, however much he or she practises.
WITH ends AS (
    SELECT device, max(place) AS newest FROM sessions GROUP BY device
),
counted AS (
    SELECT tries.device, against, wanted, CAST(floor(cents + 0.5) AS INT) AS cent, count(*) AS tones,
        CASE WHEN tries.place > ends.newest - $sessions THEN 'newest' ELSE 'first' END AS stage
    FROM tries JOIN ends ON ends.device = tries.device
    WHERE NOT invented AND coalesce(task, 'play') = 'play' AND outcome IN ('spoke', 'cracked')
        AND cents IS NOT NULL AND (tries.place <= $sessions OR tries.place > ends.newest - $sessions)
    GROUP BY tries.device, against, wanted, CAST(floor(cents + 0.5) AS INT),
        CASE WHEN tries.place > ends.newest - $sessions THEN 'newest' ELSE 'first' END
),
whole AS (
    SELECT device, against, wanted, stage, sum(tones) AS tones FROM counted
    GROUP BY device, against, wanted, stage HAVING sum(tones) >= $tones
),
many AS (
    SELECT against, wanted, stage, count(*) AS players FROM whole GROUP BY against, wanted, stage
    HAVING count(*) >= $least
)
SELECT many.against, many.stage, many.wanted, many.players, counted.cent AS value,
    sum(CAST(counted.tones AS DOUBLE) / CAST(whole.tones AS DOUBLE)) AS weight
FROM counted
JOIN whole ON whole.device = counted.device AND whole.against = counted.against AND whole.wanted = counted.wanted
    AND whole.stage = counted.stage
JOIN many ON many.against = counted.against AND many.wanted = counted.wanted AND many.stage = counted.stage
GROUP BY many.against, many.stage, many.wanted, many.players, counted.cent
ORDER BY many.against, many.stage, many.wanted, value

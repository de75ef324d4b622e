-- Time until the partial stood, by how it began, in the newest sessions of each player: for every ten milliseconds the
-- weight, where every player weighs 1 in all.
WITH ends AS (
    SELECT device, max(place) AS newest FROM sessions GROUP BY device
),
counted AS (
    SELECT tries.device, attack_kind, wanted, CAST(floor(speak_ms / 10) AS INT) AS tenth, count(*) AS tones
    FROM tries JOIN ends ON ends.device = tries.device
    WHERE NOT invented AND coalesce(task, 'play') = 'play' AND outcome IN ('spoke', 'cracked')
        AND attack_kind IN ('tongued', 'air') AND speak_ms IS NOT NULL AND tries.place > ends.newest - $sessions
    GROUP BY tries.device, attack_kind, wanted, CAST(floor(speak_ms / 10) AS INT)
),
whole AS (
    SELECT device, attack_kind, wanted, sum(tones) AS tones FROM counted
    GROUP BY device, attack_kind, wanted HAVING sum(tones) >= $tones
),
many AS (
    SELECT attack_kind, wanted, count(*) AS players FROM whole GROUP BY attack_kind, wanted HAVING count(*) >= $least
)
SELECT many.attack_kind, many.wanted, many.players, counted.tenth * 10 + 5 AS value,
    sum(CAST(counted.tones AS DOUBLE) / CAST(whole.tones AS DOUBLE)) AS weight
FROM counted
JOIN whole ON whole.device = counted.device AND whole.attack_kind = counted.attack_kind
    AND whole.wanted = counted.wanted
JOIN many ON many.attack_kind = counted.attack_kind AND many.wanted = counted.wanted
GROUP BY many.attack_kind, many.wanted, many.players, counted.tenth
ORDER BY many.attack_kind, many.wanted, value

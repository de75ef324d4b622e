-- Where a tongued start or one by air alone was asked for, in the newest sessions: in how many of a player's tries the
-- partial spoke; of these shares the middle half of the players, and the median.
WITH ends AS (
    SELECT device, max(place) AS newest FROM sessions GROUP BY device
),
shares AS (
    SELECT tries.device, start_wanted, wanted,
        CAST(sum(CASE WHEN outcome IN ('spoke', 'cracked') THEN 1 ELSE 0 END) AS DOUBLE) / count(*) AS spoke
    FROM tries JOIN ends ON ends.device = tries.device
    WHERE NOT invented AND task = 'play' AND start_wanted IN ('tongued', 'air')
        AND tries.place > ends.newest - $sessions
    GROUP BY tries.device, start_wanted, wanted HAVING count(*) >= $tones
)
SELECT start_wanted, wanted, count(*) AS players,
    percentile_cont(0.25) WITHIN GROUP (ORDER BY spoke) AS low,
    percentile_cont(0.5) WITHIN GROUP (ORDER BY spoke) AS middle,
    percentile_cont(0.75) WITHIN GROUP (ORDER BY spoke) AS high
FROM shares GROUP BY start_wanted, wanted HAVING count(*) >= $least ORDER BY start_wanted, wanted

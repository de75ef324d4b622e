-- Of the players who practise on a fingering, how many know each partial: known as the coach of each says.
WITH here AS (
    SELECT horn, fingering, count(DISTINCT device) AS players FROM rungs GROUP BY horn, fingering
)
SELECT rungs.horn, rungs.fingering, rungs.partial, here.players,
    sum(CASE WHEN rungs.known THEN 1 ELSE 0 END) AS known
FROM rungs JOIN here ON here.horn = rungs.horn AND here.fingering = rungs.fingering
WHERE here.players >= $least
GROUP BY rungs.horn, rungs.fingering, rungs.partial, here.players
ORDER BY rungs.horn, rungs.fingering, rungs.partial

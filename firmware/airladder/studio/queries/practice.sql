-- How many players practised in a month, and on how many of its days: the middle half of them, and the median.
WITH months AS (
    SELECT device, month, count(DISTINCT date) AS days FROM sessions WHERE NOT invented GROUP BY device, month
)
SELECT month, count(*) AS players,
    percentile_cont(0.25) WITHIN GROUP (ORDER BY days) AS low,
    percentile_cont(0.5) WITHIN GROUP (ORDER BY days) AS middle,
    percentile_cont(0.75) WITHIN GROUP (ORDER BY days) AS high
FROM months GROUP BY month HAVING count(*) >= $least ORDER BY month

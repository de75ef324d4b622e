-- What there is, in one row. What the demo invented is no practice.
WITH days AS (
    SELECT device, date, count(*) AS sessions, sum(tries) AS tries,
        sum(CASE WHEN date_known THEN 0 ELSE 1 END) AS guessed
    FROM sessions WHERE NOT invented GROUP BY device, date
)
SELECT count(DISTINCT device) AS players, count(*) AS days, sum(sessions) AS sessions, sum(tries) AS tries,
    sum(guessed) AS guessed, min(date) AS first_date, max(date) AS last_date
FROM days

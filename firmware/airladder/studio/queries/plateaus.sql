-- Where players stood still for a long while, and what the detour over the shorter fingerings did.
SELECT horn, fingering, partial, count(DISTINCT device) AS players, count(*) AS plateaus,
    sum(CASE WHEN helped THEN 1 ELSE 0 END) AS helped,
    sum(CASE WHEN NOT helped THEN 1 ELSE 0 END) AS not_helped,
    sum(CASE WHEN over AND helped IS NULL THEN 1 ELSE 0 END) AS untold,
    sum(CASE WHEN over THEN 0 ELSE 1 END) AS under_way
FROM plateaus GROUP BY horn, fingering, partial HAVING count(DISTINCT device) >= $least
ORDER BY horn, fingering, partial

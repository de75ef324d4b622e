"""The sections with a plot: what each shows, in words, and the columns of the table beside it."""

from __future__ import annotations

from airladder.report import standing
from airladder.report.parts import BAR, DASHED, DOT, FEW, LINE, Plotted
from airladder.report.tables import Column

_FINGERING, _WHEN = Column("Fingering"), Column("When", whole=True)
_ON = (_FINGERING, Column("Partial", whole=True))
_MEASURED = (Column("Median", number=True), Column("Middle half", number=True), Column("Of", number=True))
_SPOKE, _TRUE_SHARE = Column("Spoke", number=True), Column("True share", number=True)

_DAYS = Plotted(
    "by-day",
    "Days",
    "What was practised",
    "A square is a day, and the deeper its colour, the longer the practice. Over many years a square is a month, and "
    "the number in it its hours (′ minutes).",
    "What was practised, the newest first",
    (_WHEN, Column("Minutes", number=True), Column("Tries", number=True), Column("Reached", number=True)),
    standing.months,
    many=False,
)
_LADDERS = Plotted(
    "ladders",
    "Ladders",
    "How surely each partial speaks",
    "The tries at single partials, on the ladder of each fingering. From few tries little is known, and the bar is "
    "long: in 95 of 100 such cases the true share lies on it.",
    "How surely each partial speaks, in numbers",
    (*_ON, _SPOKE, _TRUE_SHARE, Column("How many"), Column("The coach, today")),
    standing.ladders,
    ((DOT, "share of the tries in which it spoke"), (FEW, "the same from fewer than ten"), (BAR, "true share")),
)
_GROWTH = Plotted(
    "growth",
    "Over time",
    "The rungs over time",
    "A rung is the thicker, the more surely it spoke in that month (up to 60 days: on that day). A thin stroke was "
    "tried and did not speak; pale stands on fewer than ten tries.",
    "The rungs over time, in numbers",
    (*_ON, _WHEN, _SPOKE, Column("Right when cold", number=True)),
    standing.growth,
)
_CENTS = Plotted(
    "cents",
    "Cents",
    "Cents by partial",
    "Flat below the line, sharp above it. A dot is the median of the tones of a month or a day, its bar the middle "
    "half of them: the shorter, the steadier. The seventh partial is 31 cents flat by nature.",
    "Cents of the partials that spoke",
    (*_ON, _WHEN, *_MEASURED),
    standing.cents,
    ((DOT, "median"), (FEW, "from fewer than ten tones"), (BAR, "middle half")),
)
_COMPARED = Plotted(
    "compared",
    "Usual fingerings",
    "Overtone against usual fingering",
    "How far the overtone was from the same note by its usual fingering, or from the consonance above a lower one: "
    "sharp to the right. A thin stroke is the median of an earlier quarter of a year (up to 60 days: of a day).",
    "Overtone against usual fingering, cents",
    (_FINGERING, Column("Partial and usual fingering", whole=True), _WHEN, *_MEASURED),
    standing.compared,
    ((DOT, "the newest median"), (FEW, "from fewer than ten tones"), (BAR, "its middle half")),
)
_STARTS = Plotted(
    "starts",
    "Starts",
    "Tongued against air",
    "Where a tongued start, or one by air alone, was asked for: in how many tries the partial spoke. The less is "
    "known, the longer the line. Quarters of a year are counted whole.",
    "Starts that were asked for",
    (*_ON, Column("Start"), _SPOKE, _TRUE_SHARE, Column("As asked", number=True)),
    standing.starts,
    ((LINE, "tongued"), (DASHED, "by air")),
)
_SPEAK = Plotted(
    "speak",
    "Time to speak",
    "Time to speak",
    "From the start of a note until its partial stood, in milliseconds, by how it was begun: the tones of a quarter "
    "of a year (up to 60 days: of a day). Short times have more room than long ones.",
    "Time until the partial stood, ms",
    (*_ON, _WHEN, Column("Start"), *_MEASURED),
    standing.speak,
    ((LINE, "tongued, median"), (DASHED, "by air, median"), (BAR, "middle half")),
)
FUNDAMENTALS = Plotted(
    "fundamentals",
    "Fundamentals",
    "Measured fundamentals",
    "The low notes themselves as they were measured, in cents from the tempered note.",
    "Measured fundamentals, in numbers",
    (_FINGERING, _WHEN, Column("Median, Hz", number=True), *_MEASURED),
    standing.fundamentals,
    ((DOT, "median"), (FEW, "from fewer than ten tones"), (BAR, "middle half")),
)

PLOTS = (_DAYS, _LADDERS, _GROWTH, _CENTS, _COMPARED, _STARTS, _SPEAK)
"""In the order in which they are read, before the coach; `FUNDAMENTALS` come after it."""

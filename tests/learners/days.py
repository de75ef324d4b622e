"""Days of practice written short, for tests: no player stands behind them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from hypothesis import strategies as st

from airladder.practice.coach.history import Day, History, Rung, Tally

LOW = "Bb3"
SHORT = "F4"
RUNG: Rung = (LOW, 3)
SOME_DAY = date(2026, 1, 1).toordinal()


def day(*tallies: tuple[str, int, int, int] | Tally, label: int = SOME_DAY) -> Day:
    """A day of (fingering, partial, tries, right) each."""
    return Day(label, tuple(t if isinstance(t, Tally) else Tally(*t) for t in tallies))


def days(rung: Rung, results: Iterable[tuple[int, int]]) -> History:
    """One day for each (tries, right) at one rung."""
    return tuple(day((*rung, *result), label=SOME_DAY + n) for n, result in enumerate(results))


def detour(count: int) -> History:
    """So many days on a short fingering."""
    return days((SHORT, 3), [(6, 3)] * count)


@st.composite
def tallies(draw: st.DrawFn, fingerings: tuple[str, ...] = (LOW, "B3", "D4", SHORT, "A4", "?")) -> Tally:
    """Any tally that a log can hold."""
    cold_right, cold_wrong, right, wrong = (draw(st.integers(0, 6)) for _ in range(4))
    return Tally(
        fingering=draw(st.sampled_from(fingerings)),
        partial=draw(st.integers(1, 16)),
        tries=cold_right + cold_wrong + right + wrong,
        right=cold_right + right,
        cold=cold_right + cold_wrong,
        cold_right=cold_right,
    )


@st.composite
def histories(draw: st.DrawFn, longest: int = 40) -> History:
    """Days of anything, under labels of any order."""
    made = draw(
        st.lists(st.tuples(st.dates().map(date.toordinal), st.lists(tallies(), max_size=6)), max_size=longest)
    )
    return tuple(Day(label, tuple(found)) for label, found in made)


def stretch(
    rung: Rung, tries: tuple[int, int], share: tuple[float, float], longest: int
) -> st.SearchStrategy[History]:
    """Some days at a rung, with tries and shares between these bounds."""

    def results(count: int) -> st.SearchStrategy[History]:
        right = st.integers(round(share[0] * count), round(share[1] * count))
        return st.lists(right, min_size=1, max_size=longest).map(
            lambda found: days(rung, [(count, n) for n in found])
        )

    return st.integers(*tries).flatmap(results)


def ways() -> st.SearchStrategy[History]:
    """Stretches of sticking, gaining, detours taken and not, so that whole ways come about often."""
    kinds = (
        stretch(RUNG, (6, 12), (0.0, 0.2), 30),
        stretch(RUNG, (6, 12), (0.4, 1.0), 8),
        stretch(RUNG, (1, 6), (0.0, 1.0), 30),
        stretch((SHORT, 3), (1, 6), (0.0, 1.0), 6),
        stretch(("B3", 3), (1, 12), (0.0, 0.3), 20),
    )
    stuck = st.just(days(RUNG, [(8, 1)] * 10))
    whole = st.tuples(stuck, kinds[3], st.one_of(kinds[:3])).map(lambda parts: sum(parts, ()))
    return st.lists(st.one_of(whole, *kinds), max_size=6).map(lambda parts: sum(parts, ()))

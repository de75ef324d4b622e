"""From a wish to an exercise: the things that are asked for, one after another.

Conventions
-----------
What the horn or the tube cannot give is refused, never dropped in silence; but where the wish leaves the choice of
partials open, only those are chosen that can be given.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from airladder.faults import BadInput
from airladder.music.names import pretty
from airladder.music.series import Series
from airladder.music.usual import LOW, Interval, usual
from airladder.practice.ask import Ask, Beside, Start, Task
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.exercises.catalogue import Usual, catalogue
from airladder.practice.exercises.wish import Wish

MOST_REPEATS, MOST_TRIES, LONGEST_SECONDS = 20, 10, 600.0
_USUAL_TOP = 6
"""Where a wish names no partials they end here, or below on a short tube."""


def built(wish: Wish) -> Exercise:
    """The exercise that is wished for.

    Raises
    ------
    BadInput : for what the fingering cannot give, and for numbers out of bounds.
    """
    _check(wish)
    usual_here = catalogue()[wish.kind]
    asks = _FAMILIES[wish.kind](wish, _model(wish, usual_here))
    return Exercise(wish.kind, wish.series, tuple(asks) * wish.repeats, wish.against)


def _model(wish: Wish, here: Usual) -> Ask:
    """What all asks of the exercise have in common."""
    return Ask(
        Task.PLAY,
        wish.series,
        start=wish.start or Start.ANY,
        hold=here.hold if wish.hold is None else wish.hold,
        swell=wish.swell,
        tries=wish.tries or here.tries,
        hush=here.hush if wish.hush is None else wish.hush,
        guess=here.guess if wish.guess is None else wish.guess,
        feedback=wish.feedback or here.feedback,
    )


def _check(wish: Wish) -> None:
    top, fingering = wish.series.top_partial, pretty(wish.series.fingering.written)
    for partial in wish.partials:
        if not 1 <= partial <= top:
            raise BadInput(
                f"Partial {partial} of {fingering} was asked for; wanted 1 to {top}, the highest asked for on it."
            )
    _within("repeats", wish.repeats, 1, MOST_REPEATS)
    _within("tries", wish.tries, 1, MOST_TRIES)
    _within("hold", wish.hold, 0.0, LONGEST_SECONDS)
    _within("hush", wish.hush, 0.0, LONGEST_SECONDS)


def _within(name: str, value: float | None, low: float, high: float) -> None:
    if value is not None and not low <= value <= high:
        raise BadInput(f"{name} of {value:g} was asked for; wanted {low:g} to {high:g}.")


def _each(model: Ask, partials: Iterable[int]) -> list[Ask]:
    return [replace(model, partials=(partial,)) for partial in partials]


def _chosen(wish: Wish) -> Sequence[int]:
    return wish.partials or range(2, min(_USUAL_TOP, wish.series.top_partial) + 1)


def _cold(wish: Wish, model: Ask) -> list[Ask]:
    return _each(replace(model, cold=True), wish.partials or (1,))


def _fundamental(wish: Wish, model: Ask) -> list[Ask]:
    if set(wish.partials) - {1}:
        raise BadInput("The fundamental is partial 1; leave partials out, or ask for a long tone.")
    return _each(model, (1,))


def _rising(wish: Wish, model: Ask) -> list[Ask]:
    return _each(model, sorted(_chosen(wish)))


def _falling(wish: Wish, model: Ask) -> list[Ask]:
    return _each(model, sorted(_chosen(wish), reverse=True))


def _skipping(wish: Wish, model: Ask) -> list[Ask]:
    """Two up, one down, as 2 4 3 5 4 6: of three rungs or fewer the outer ones come first."""
    rungs = sorted(_chosen(wish))
    order = rungs[:1] + [rung for low, high in pairwise(rungs[1:]) for rung in (high, low)]
    return _each(model, order if len(rungs) > 2 else rungs[::-1])


def _heard(wish: Wish, model: Ask) -> list[Ask]:
    asks = []
    for played in _each(model, _chosen(wish)):
        asks += [Ask(Task.SING, wish.series, played.partials), played]
    return asks


def _compared(wish: Wish, model: Ask, intervals: Sequence[Interval]) -> list[Ask]:
    asks = []
    for partial in _chosen(wish):
        low = [(interval, found) for interval in intervals if (found := usual(wish.series, partial, interval))]
        if wish.partials:
            _refuse_none(wish, partial, low, intervals)
        if low:
            asks.append(replace(model, partials=(partial,), guess=False))
        for interval, found in low:
            beside = Beside(wish.series, partial, interval)
            asks.append(replace(model, task=Task.USUAL, series=found, partials=(1,), beside=beside, start=Start.ANY))
    if not asks:
        raise BadInput(
            f"Nothing on {pretty(wish.series.fingering.written)} has such a usual fingering; name partials."
        )
    return asks


def _refuse_none(
    wish: Wish, partial: int, found: Sequence[tuple[Interval, Series]], intervals: Sequence[Interval]
) -> None:
    """A partial that was named must have its usual fingering, or all of those that were named."""
    if found and (not wish.intervals or len(found) == len(intervals)):
        return
    missing = [interval.value for interval in intervals if interval not in [each for each, _ in found]]
    raise BadInput(
        f"Partial {partial} ({pretty(wish.series.written_name(partial))}) has no usual fingering at the "
        f"{' or '.join(missing)}; choose another partial or interval."
    )


def _unison(wish: Wish, model: Ask) -> list[Ask]:
    return _compared(wish, model, (Interval.UNISON,))


def _low(wish: Wish, model: Ask) -> list[Ask]:
    return _compared(wish, model, wish.intervals or LOW)


def _starts(wish: Wish, model: Ask) -> list[Ask]:
    if wish.start is not None:
        return _each(model, _chosen(wish))
    order = (Start.TONGUED, Start.AIR) if not wish.mixed else _MIXED
    return [replace(ask, start=start) for ask in _each(model, _chosen(wish)) for start in order]


_MIXED = (Start.AIR, Start.TONGUED, Start.TONGUED, Start.AIR)
"""Mixed so that nobody can count along, and the same each time so that it can be replayed."""


def _slurred(wish: Wish, model: Ask) -> list[Ask]:
    if len(wish.partials) == 1:
        raise BadInput(f"A slur over partial {wish.partials[0]} alone was asked for; wanted two partials or more.")
    if any(low == high for low, high in pairwise(wish.partials)):
        raise BadInput("A slur from a partial to itself was asked for; wanted steps to another one.")
    slurs = [wish.partials] if wish.partials else _usual_slurs(min(4, wish.series.top_partial))
    return [replace(model, task=Task.SLUR, partials=slur, hold=0.0) for slur in slurs]


def _usual_slurs(top: int) -> list[tuple[int, ...]]:
    """Between neighbours, over a gap, and back to the fundamental."""
    neighbours = [(low, low + 1) for low in range(2, top)]
    return [*neighbours, (2, top), (top, 1)]


def _long(wish: Wish, model: Ask) -> list[Ask]:
    return _each(model, wish.partials or (2,))


def _free(wish: Wish, model: Ask) -> list[Ask]:
    return [Ask(Task.FREE, wish.series, hold=model.hold)]


def _rest(wish: Wish, model: Ask) -> list[Ask]:
    return [Ask(Task.REST, wish.series, hold=model.hold)]


_FAMILIES: dict[Kind, Callable[[Wish, Ask], list[Ask]]] = {
    Kind.COLD: _cold,
    Kind.FUNDAMENTAL: _fundamental,
    Kind.RISING: _rising,
    Kind.FALLING: _falling,
    Kind.SKIPPING: _skipping,
    Kind.HEAR: _heard,
    Kind.COMPARE: _unison,
    Kind.LOW: _low,
    Kind.STARTS: _starts,
    Kind.SLURS: _slurred,
    Kind.LONG: _long,
    Kind.FREE: _free,
    Kind.REST: _rest,
}

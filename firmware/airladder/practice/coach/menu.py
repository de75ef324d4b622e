"""The parts of a day's practice, each an exercise and the reason for it.

What is to be asked how often follows from the aims; the exercises themselves are built elsewhere (`exercises`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import cycle, islice

from airladder.music.names import pretty
from airladder.music.usual import LOW, usual
from airladder.practice.ask import Ask
from airladder.practice.coach.history import History
from airladder.practice.coach.material import Material, Player
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.setting import Setting


@dataclass(frozen=True)
class Part:
    """An exercise of the plan.

    Attributes
    ----------
    exercise : what is practised
    reason : why, in one sentence for the player
    rank : what goes first where the minutes do not suffice: the highest rank
    """

    exercise: Exercise
    reason: str
    rank: int = 1


def cold(here: Material, setting: Setting, last: dict[int, int]) -> Part:
    """One try each at the fundamental, at rungs that have not been asked for longest, and at the new one."""
    never = 1 + max(last.values(), default=0)
    longest = sorted(here.known, key=lambda n: (-last.get(n, never), -n))
    rungs = {1, here.top, *longest[: max(0, here.aims.cold_rungs - 2)]}
    wish = Wish(Kind.COLD, here.series, tuple(sorted(rungs)), against=setting.against)
    return Part(built(wish), "Before any practising: what stayed since the last time?", rank=0)


def fundamental(here: Material, setting: Setting) -> Part:
    """The low note as a long tone."""
    wish = Wish(Kind.FUNDAMENTAL, here.series, tries=1, against=setting.against)
    return Part(built(wish), "The low note, long and easy: all partials stand on it.", rank=2)


def block(here: Material, setting: Setting, tries: int) -> Part:
    """The new rung, some tries in a row."""
    asks = tuple(_ask(here, setting, here.top) for _ in range(tries))
    name = f"partial {here.top} ({pretty(here.series.written_name(here.top))})"
    reason = f"The next rung is {name}: a few tries in a row, to find it."
    return Part(Exercise(Kind.RISING, here.series, asks, setting.against), reason, rank=1)


def rotation(here: Material, setting: Setting, new: int, known: int) -> Part:
    """The new rung, `new` times, among `known` tries at rungs that speak: never the same twice in a row."""
    steady = list(islice(cycle(here.known), known))
    order: list[int] = []
    for index, partial in enumerate(steady):
        order.append(partial)
        if new * (index + 1) // max(1, len(steady)) > new * index // max(1, len(steady)):
            order.append(here.top)
    asks = tuple(_ask(here, setting, partial) for partial in order)
    reason = "The same rungs in changing order: each has to be heard anew." if known else "The new rung once more."
    return Part(Exercise(Kind.SKIPPING, here.series, asks, setting.against), reason, rank=2)


def rest(here: Material) -> Part:
    """A moment without the horn."""
    return Part(
        built(Wish(Kind.REST, here.series, hold=here.aims.rest)), "Horn down, breathe: the lip is a muscle.", rank=3
    )


def _ask(here: Material, setting: Setting, partial: int) -> Ask:
    wish = Wish(
        Kind.RISING,
        here.series,
        (partial,),
        tries=1,
        hush=here.aims.hush,
        feedback=here.feedback(partial),
        against=setting.against,
    )
    return built(wish).asks[0]


def of_the_day(here: Material, setting: Setting, history: History, count: int) -> list[Part]:
    """So many of the other exercises, on rungs that speak: those that were practised longest ago come first."""
    parts = [part for maker in _TURNS if (part := maker(here, setting)) is not None]
    last = {name: index for index, day in enumerate(history) for name in day.exercises}
    return sorted(parts, key=lambda part: last.get(part.exercise.name, -1))[:count]


def _compare(here: Material, setting: Setting) -> Part | None:
    suits = [n for n in here.known if usual(here.series, n) is not None]
    if not suits:
        return None
    wish = _wish(here, setting, Kind.COMPARE, suits[-2:])
    return Part(built(replace(wish, guess=here.aims.guesses > 0)), "How far are overtone and usual fingering apart?")


def _low(here: Material, setting: Setting) -> Part | None:
    above = [n for n in here.known if usual(here.series, n) is None] or list(here.known[-1:])
    found = [n for n in above if any(usual(here.series, n, interval) for interval in LOW)]
    if not found:
        return None
    wish = _wish(here, setting, Kind.LOW, found[-1:])
    return Part(
        built(replace(wish, guess=here.aims.guesses > 0)), "A consonance below shows what the pitch leans on."
    )


def _starts(here: Material, setting: Setting) -> Part | None:
    return Part(built(_wish(here, setting, Kind.STARTS, here.known[-2:])), "With the tongue, and with the air alone.")


def _slurs(here: Material, setting: Setting) -> Part | None:
    top = here.known[-1]
    if top < 2:
        return None
    asks = [built(_wish(here, setting, Kind.SLURS, steps)).asks[0] for steps in _slurs_up_to(top)]
    exercise = Exercise(Kind.SLURS, here.series, tuple(asks), setting.against)
    return Part(exercise, "From rung to rung in one breath: the throat leads, the tongue rests.")


def _slurs_up_to(top: int) -> list[tuple[int, ...]]:
    """The highest step between neighbours, a gap where there is one, and back to the fundamental."""
    steps: list[tuple[int, ...]] = [(top - 1, top)]
    if top >= 4:
        steps.append((top - 2, top))
    return [*steps, (top, 1)]


def _long(here: Material, setting: Setting) -> Part | None:
    wish = _wish(here, setting, Kind.LONG, here.known[-1:])
    return Part(built(wish), "One partial, held: steady first, everything else later.")


def _hear(here: Material, setting: Setting) -> Part | None:
    return Part(
        built(_wish(here, setting, Kind.HEAR, here.known[:2])), "Sing it or imagine it first: the ear chooses."
    )


_TURNS: tuple[Callable[[Material, Setting], Part | None], ...] = (_compare, _starts, _hear, _slurs, _long, _low)


def _wish(here: Material, setting: Setting, kind: Kind, partials: Sequence[int]) -> Wish:
    return Wish(kind, here.series, tuple(partials), tries=2, hush=here.aims.hush, against=setting.against)


def short(here: Material, setting: Setting) -> Part:
    """Partials of a short fingering, rising."""
    partials = tuple(range(2, here.top + 1)) or (1,)
    exercise = built(_wish(here, setting, Kind.RISING, partials))
    name = pretty(here.series.fingering.written)
    return Part(exercise, f"The shorter tube of {name} speaks more easily up there, and feels like the top.", rank=1)


def expected(parts: Sequence[Part], player: Player) -> tuple[float, int]:
    """How many of the first tries of these parts should come out right, and how many there are."""
    asks = [ask for part in parts for ask in part.exercise.asks if ask.is_judged]
    shares = [player.on(ask.series).share(ask.partials[-1]) if ask.beside is None else 1.0 for ask in asks]
    return sum(shares), len(asks)


def most(here: Material, others: tuple[float, int]) -> int:
    """How often the new rung may be asked for so that enough comes out right, within the bounds of the aims."""
    aims, (right, tries) = here.aims, others
    lacking = aims.least_success - here.share(here.top)
    if lacking <= 0.0:
        return aims.new_tries
    bearable = int((right - aims.least_success * tries) / lacking)
    return max(aims.least_new, min(aims.new_tries, bearable))

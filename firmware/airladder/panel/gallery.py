"""Sample screens from invented states: for the tests, for the pictures in the README, for `airladder screens`.

Every state here is made up; nobody played it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

from PIL import Image

from airladder.hearing.events import Attack, Reading, Tone
from airladder.hearing.events import Kind as Start
from airladder.music.fingerings import fingering_named
from airladder.music.horns import horn_named
from airladder.music.series import HIGHEST_PARTIAL, Series
from airladder.pages.box import Box
from airladder.panel import notices, screens, views
from airladder.panel.charting import chart
from airladder.panel.contact import sheet
from airladder.panel.exercise_samples import exercise_samples
from airladder.panel.mapping import examples, explore
from airladder.panel.page_samples import page_samples
from airladder.practice.ask import Ask, Task
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.judge import Outcome
from airladder.practice.overload import SENTENCE
from airladder.practice.routine import Routine
from airladder.practice.state import Phase, State

Sample = State | Box | Callable[[], Image.Image]
"""A state or a box to be drawn, or something that makes a picture."""

ALL = "all-screens"
"""The sheet with every screen on it."""

MAP = "map"
"""The map of all situations and presses."""

_GLASS, _LIGHT = 12, 236


def samples() -> Mapping[str, Sample]:
    """All sample screens by name, in the order of a practice."""
    practice = {**_climbing(), **_results(), **exercise_samples(_sounding(3, 7.0)), **_others(), **_notices()}
    return {**page_samples(_state(Phase.WANTED)), **practice}


def picture(sample: Sample) -> Image.Image:
    """The 128 x 64 picture of a sample."""
    if isinstance(sample, Box):
        return views.picture(sample)
    return screens.draw(sample) if isinstance(sample, State) else sample()


def enlarged(image: Image.Image, scale: int = 5, margin: int = 20) -> Image.Image:
    """A picture for people: each pixel a light square of `scale` - 1 on dark glass, with a margin round all."""
    width, height = image.size
    big = image.convert("L").point([_GLASS] + [_LIGHT] * 255)
    big = big.resize((width * scale, height * scale), Image.Resampling.NEAREST)
    for x in range(0, big.width, scale):
        big.paste(_GLASS, (x, 0, x + 1, big.height))
    for y in range(0, big.height, scale):
        big.paste(_GLASS, (0, y, big.width, y + 1))
    framed = Image.new("L", (big.width + 2 * margin, big.height + 2 * margin), _GLASS)
    framed.paste(big, (margin, margin))
    return framed


def together() -> Image.Image:
    """Every sample on one sheet."""
    return sheet({name: picture(sample) for name, sample in samples().items()})


def write(folder: Path) -> list[Path]:
    """Save every sample, enlarged, as PNG in `folder`, one sheet of all, and the map; the files written."""
    folder.mkdir(parents=True, exist_ok=True)
    large = {name: enlarged(picture(sample)) for name, sample in samples().items()} | {ALL: together()}
    for name, image in large.items():
        image.save(folder / f"{name}.png")
    drawn = folder / f"{MAP}.svg"
    drawn.write_text(chart(explore(*examples())), encoding="utf-8")
    return [*(folder / f"{name}.png" for name in large), drawn]


def _series(fingering: str = "Bb3", horn: str = "alto") -> Series:
    player = horn_named(horn)
    return Series(player, fingering_named(player, fingering))


def _rising(series: Series, top: int = 6) -> Exercise:
    return Exercise(Kind.RISING, series, tuple(Ask(Task.PLAY, series, (n,)) for n in range(1, top + 1)))


def _state(phase: Phase, place: int = 2, reached: int = 2) -> State:
    """A practice at `place` whose first `reached` rungs have spoken."""
    routine = Routine("partials rising", (_rising(_series()),))
    tries = tuple(
        Attempt(n, 6.0 * n, n, Outcome.SPOKE, _tone(n), Asked("rising", "Bb3", partials=(n,)))
        for n in range(1, reached + 1)
    )
    return State(routine, phase, now=30.0, since=28.0, place=place, attempts=tries, kept=len(tries))


def _tone(partial: int | None, cents: float | None = 4.0, kind: Start = "tongued", **changed: object) -> Tone:
    attack = Attack(24.0, 24.05, kind, 22.0, 0.9)
    tone = Tone(24.0, 27.0, partial, 415.3, cents, 3.2, attack, 240.0, ((partial, 2.7),), 0.0, -22.0)
    return replace(tone, **changed)  # type: ignore[arg-type]  # names are checked by the dataclass itself


def _sounding(partial: int | None, cents: float | None, held: float = 2.4, **changed: object) -> State:
    state = _state(Phase.SOUNDING)
    hz = 350.0 if partial is None else state.exercise.series.pure_hz(partial)
    reading = replace(Reading(30.0, hz, partial, cents, -20.0, 0.97), **changed)  # type: ignore[arg-type]
    return replace(state, reading=reading, held_since=30.0 - held)


def _judged(outcome: Outcome, tone: Tone | None, split: tuple[int, ...] = ()) -> State:
    state = _state(Phase.RESULT)
    asked = Asked("rising", "Bb3", partials=(3,))
    attempt = Attempt(len(state.attempts) + 1, 28.0, 3, outcome, tone, asked)
    reading = Reading(27.0, 415.0, tone.partial, tone.cents, -24.0, 0.8, split) if tone else None
    return replace(state, attempts=(*state.attempts, attempt), reading=reading)


def _climbing() -> dict[str, Sample]:
    return {
        "wanted-first": _state(Phase.WANTED, 0, 0),
        "wanted": _state(Phase.WANTED),
        "sounding-in-tune": _sounding(3, 0.6, 4.2),
        "sounding-sharp": _sounding(3, 12.0),
        "sounding-flat": _sounding(3, -34.0, 0.8),
        "sounding-far-off": _sounding(3, -128.0, 0.3),
        "sounding-another": _sounding(2, 7.0, 1.1),
        "sounding-beyond": _sounding(9, -21.0, 0.4),
        "sounding-split": _sounding(3, -18.0, 0.5, split=(2, 3)),
        "sounding-split-apart": _sounding(None, None, split=(4, 5)),
        "sounding-between": _sounding(None, None),
    }


def _results() -> dict[str, Sample]:
    way = ((2, 0.3), (None, 0.1), (3, 2.1))
    return {
        "spoke": _judged(Outcome.SPOKE, _tone(3, -12.0)),
        "cracked": _judged(Outcome.CRACKED, _tone(3, 9.0, "air", path=way, speak_ms=640.0)),
        "split": _judged(Outcome.SPLIT, _tone(3, -23.0, split=0.6, spread_cents=17.0), (2, 3)),
        "another-partial": _judged(Outcome.OTHER, _tone(2, 3.0, "unsure")),
        "nothing-stood": _judged(Outcome.NOTHING, _tone(None, None, spread_cents=None, speak_ms=None)),
        "nothing": _judged(Outcome.NOTHING, None),
    }


def _others() -> dict[str, Sample]:
    done = replace(_state(Phase.DONE, 5, 5), kept=5)
    tube = _series()
    listening = Exercise(Kind.FREE, tube, (Ask(Task.FREE, tube, hold=math.inf),))
    free = replace(_sounding(4, 5.0, 3.1), routine=Routine("listening", (listening,)), phase=Phase.FREE, place=0)
    free = replace(free, attempts=())
    high = Routine("high ones", (_rising(_series("C#4", "tenor"), HIGHEST_PARTIAL),))
    top = replace(_sounding(13, 41.0, 12.6), routine=high, place=12, attempts=())
    return {
        "done": done,
        "free": free,
        "free-silent": replace(free, reading=None),
        "high-wanted": replace(top, phase=Phase.WANTED),
        "high-sounding": top,
    }


def _notices() -> dict[str, Sample]:
    gone = "The microphone 'clip' has gone. Plug it in again; your practice waits for it here."
    full = "The disk is full: new tries are not kept."
    return {
        "trouble-wanted": replace(_state(Phase.WANTED), troubles=(("microphone", gone),)),
        "trouble-sounding": replace(_sounding(3, 4.0), troubles=(("log", full),)),
        "trouble-too-loud": replace(_sounding(3, 4.0), troubles=(("level", SENTENCE),)),
        "fault": _fault,
        "farewell": notices.draw_farewell,
    }


def _fault() -> Image.Image:
    return notices.draw_fault(
        "No microphone 'clip' was found; wanted one of: codec, loopback. Plug one in, or name it in the settings."
    )

"""What the demo's invented player is asked for in a state of the session."""

from __future__ import annotations

from airladder.practice.ask import Start
from airladder.practice.state import Phase, State
from airladder.virtualhorn.player import Wanted

_AWAITS = (Phase.WANTED, Phase.SOUNDING, Phase.RESULT, Phase.OFFER)


def wanted_in(state: State) -> Wanted | None:
    """What is to be played; None when nothing is, for singing and resting too."""
    ask = state.ask
    if state.phase not in _AWAITS or not ask.is_judged:
        return None
    return Wanted(
        series=ask.series,
        partials=ask.partials,
        kind="air" if ask.start is Start.AIR else "tongued",
        hold=ask.hold,
        tries=state.tries,
        number=state.place,
    )

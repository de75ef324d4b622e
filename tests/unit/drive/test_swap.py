"""The rule of the two drives, tried on a small world with a computer that comes and goes whenever it likes."""

from __future__ import annotations

from dataclasses import dataclass, field

from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.drive.swap import Deed, Event, State, step

ACTS = st.lists(st.sampled_from(["plug", "unplug", "write", "look", "build", "do first", "do last"]), max_size=60)


@dataclass
class World:
    """A computer, two drives, and somebody who does the deeds, late and in any order.

    Attributes
    ----------
    plugged : whether the computer has the drives at this very moment, seen or not
    there : whether the incoming drive is in its place
    unread : how often the computer has written to it since it was read
    newest, shown : the number of the newest drive to go out, and of the one in its place
    """

    state: State = field(default_factory=State)
    waiting: list[Deed] = field(default_factory=list)
    plugged: bool = False
    there: bool = True
    unread: int = 1
    newest: int = 1
    shown: int = 0

    def tell(self, event: Event) -> None:
        """Tell the rule of an event."""
        self.state, deeds = step(self.state, event)
        self.waiting += deeds
        assert self.waiting.count(Deed.TAKE) <= 1
        assert self.waiting.count(Deed.CHANGE) <= 1

    def act(self, what: str) -> None:
        """Let something happen."""
        match what:
            case "plug" | "unplug":
                self.plugged = what == "plug"
            case "write" if self.plugged and self.there and self.state.held:
                self.unread += 1
            case "look":
                self.tell(Event.HELD if self.plugged else Event.FREE)
            case "build":
                self.newest += 1
                self.tell(Event.BUILT)
            case "do first" | "do last" if self.waiting:
                self.do(self.waiting.pop(0 if what == "do first" else -1))

    def do(self, deed: Deed) -> None:
        """Do a deed, if the kernel lets us, and answer."""
        match deed:
            case Deed.CHANGE if self.plugged:
                self.tell(Event.CHANGE_HELD)
            case Deed.CHANGE:
                self.shown = self.newest
                self.tell(Event.CHANGED)
            case Deed.TAKE if self.plugged:
                self.tell(Event.TAKE_HELD)
            case Deed.TAKE:
                assert self.there  # what is not in its place cannot be taken away a second time
                self.there, self.unread = False, 0
                self.tell(Event.TAKEN)
            case Deed.OFFER:
                self.there = True
                self.tell(Event.OFFERED)


@settings(max_examples=1000, deadline=None)
@given(ACTS)
def test_whatever_happened_all_is_read_and_the_newest_shown_when_the_computer_has_gone(acts: list[str]) -> None:
    world = World()
    for what in ["build", *acts, "unplug"]:
        world.act(what)
    for _ in range(6):
        world.act("look")
        for _ in range(4):
            world.act("do first")
    assert world.unread == 0
    assert world.shown == world.newest
    assert world.there
    assert world.waiting == []


@given(ACTS)
def test_while_the_computer_is_known_to_have_them_nothing_new_is_begun(acts: list[str]) -> None:
    world = World()
    for what in acts:
        before = list(world.waiting)
        world.act(what)
        if world.state.held:
            begun = [deed for deed in world.waiting if deed not in before]
            assert begun in ([], [Deed.OFFER])


def test_a_computer_that_only_looks_every_second_costs_nothing() -> None:
    state, deeds = step(State(written=False), Event.FREE)
    assert (state, deeds) == (State(written=False), ())
    held, deeds = step(state, Event.HELD)
    assert step(held, Event.HELD) == (held, ())


def test_what_was_written_before_the_start_is_taken_in_once() -> None:
    state, deeds = step(State(), Event.FREE)
    assert deeds == (Deed.TAKE,)
    assert step(state, Event.FREE) == (state, ())


def test_a_day_with_the_drive_in_the_computer() -> None:
    state = State(written=False)
    state, _ = step(state, Event.HELD)
    state, deeds = step(state, Event.BUILT)
    assert deeds == ()
    state, deeds = step(state, Event.BUILT)
    assert deeds == ()
    state, deeds = step(state, Event.FREE)
    assert deeds == (Deed.TAKE, Deed.CHANGE)
    state, deeds = step(state, Event.CHANGED)
    assert deeds == ()
    state, deeds = step(state, Event.TAKEN)
    assert deeds == (Deed.OFFER,)
    state, deeds = step(state, Event.OFFERED)
    assert deeds == ()
    assert state == State(written=False)


def test_a_refusal_is_not_tried_again_at_once_but_at_the_next_look() -> None:
    state, _ = step(State(), Event.FREE)
    state, deeds = step(state, Event.TAKE_HELD)
    assert deeds == ()
    assert step(state, Event.FREE)[1] == (Deed.TAKE,)


def test_a_drive_that_is_offered_while_the_computer_is_there_is_read_when_it_has_gone() -> None:
    state, _ = step(State(), Event.FREE)
    state, _ = step(state, Event.HELD)
    state, deeds = step(state, Event.TAKEN)
    assert deeds == (Deed.OFFER,)
    state, _ = step(state, Event.OFFERED)
    assert step(state, Event.FREE)[1] == (Deed.TAKE,)

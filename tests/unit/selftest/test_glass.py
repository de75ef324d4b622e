"""The screen, on a recorded bus: what it shows is looked at as a person would."""

from __future__ import annotations

import pytest
from gpiozero.pins.mock import MockFactory
from PIL import Image

from airladder.devices.pins import pin_map
from airladder.devices.recorded_bus import Recorder, recorded_bus
from airladder.practice.presses import Button
from airladder.selftest import pictures
from airladder.selftest.glass import PATIENCE_S, READ_S, Screen, patterns
from airladder.selftest.hands import Hands
from airladder.selftest.result import Result, Verdict
from jig import Jig, JigBus, KeysThatPress, no_contacts, no_wire
from oledwire import oled

AT = pin_map().addresses.display


class Eyes(Jig):
    """A jig whose screen hangs on a recorded bus, with a person who looks at it.

    Attributes
    ----------
    seen : the pictures on the glass when an answer was given
    """

    def __init__(self, factory: MockFactory, *, driven_as: str = "ssd1306", built: str = "ssd1306") -> None:
        self.glass: Recorder = recorded_bus(built)
        super().__init__(factory)
        self.stage = type(self.stage)(self.out, self.clock, display=oled(self.glass, driven_as, clock=self.clock))
        self.model = driven_as
        self.seen: list[Image.Image] = []

    def answers(self, *buttons: Button) -> None:
        """Each a while after its pattern came."""
        for n, button in enumerate(buttons):
            moment = READ_S * (n + 1) + 1.0 * n + 0.5
            self.clock.at(moment - 0.1, lambda: self.seen.append(self.glass.picture()))
            self.press(button, moment, 0.1)

    def check(self, bus: JigBus, *, person: bool = True) -> Result:
        """The check."""
        hands = self.hands if person else None
        return Screen(bus.wire, AT, (2, 3), self.model, hands, self.stage, self.clock, on_board=True).check()


@pytest.fixture
def eyes(factory: MockFactory) -> Eyes:
    return Eyes(factory)


def test_all_patterns_come_and_ok_to_each_is_well(eyes: Eyes) -> None:
    eyes.answers(*[Button.OK] * 4)
    found = eyes.check(JigBus({AT}))
    eyes.close()
    assert found.verdict is Verdict.OK
    assert found.says == "The screen answers at 0x3c, and was seen whole."
    wanted = [pattern.draw().image for pattern in patterns("ssd1306")]
    assert [picture.tobytes() for picture in eyes.seen] == [picture.tobytes() for picture in wanted]


@pytest.mark.parametrize(("driven_as", "built", "missing"), [("ssd1306", "sh1106", 0), ("sh1106", "ssd1306", 127)])
def test_the_wrong_controller_cuts_the_frame_and_back_says_what_to_set(
    factory: MockFactory, driven_as: str, built: str, missing: int
) -> None:
    eyes = Eyes(factory, driven_as=driven_as, built=built)
    eyes.answers(Button.BACK)
    found = eyes.check(JigBus({AT}))
    eyes.close()
    column = [eyes.seen[0].getpixel((missing, y)) for y in range(64)]
    assert not all(column)  # the frame's side is not to be seen there
    assert found.verdict is Verdict.FAILED
    assert f'set screen = "{built}" in the settings file' in found.says
    assert found.figures["pattern"] == "frame"


def test_the_right_controller_shows_all_four_sides(eyes: Eyes) -> None:
    eyes.answers(Button.OK)
    eyes.check(JigBus({AT}))
    eyes.close()
    frame = eyes.seen[0]
    assert all(frame.getpixel((x, y)) for x in range(128) for y in (0, 63))
    assert all(frame.getpixel((x, y)) for x in (0, 127) for y in range(64))


@pytest.mark.parametrize(
    ("turn", "name", "told"), [(1, "checker", "Torn"), (2, "all on", "Dark"), (3, "all off", "stay lit")]
)
def test_each_pattern_that_is_not_whole_says_what_it_means(eyes: Eyes, turn: int, name: str, told: str) -> None:
    eyes.answers(*[Button.OK] * turn, Button.BACK)
    found = eyes.check(JigBus({AT}))
    eyes.close()
    assert found.verdict is Verdict.FAILED
    assert f"The pattern '{name}' is not seen whole." in found.says
    assert told in found.says


def test_nobody_who_answers_is_a_failure_after_a_while(eyes: Eyes) -> None:
    found = eyes.check(JigBus({AT}))
    eyes.close()
    assert found.verdict is Verdict.FAILED
    assert found.says.startswith(f"Nobody answered within {PATIENCE_S:.0f} s")


@pytest.mark.parametrize(("button", "verdict"), [(Button.OK, Verdict.OK), (Button.BACK, Verdict.FAILED)])
def test_keys_of_the_terminal_answer_as_well_where_there_are_no_buttons(
    eyes: Eyes, button: Button, verdict: Verdict
) -> None:
    eyes.hands = Hands(no_contacts("No pins."), lambda post: KeysThatPress(post, button), eyes.clock)
    assert eyes.check(JigBus({AT})).verdict is verdict


def test_up_and_down_are_no_answer(eyes: Eyes) -> None:
    eyes.answers(Button.UP, Button.DOWN)
    found = eyes.check(JigBus({AT}))
    eyes.close()
    assert found.says.startswith("Nobody answered")
    assert eyes.clock.monotonic() >= READ_S + PATIENCE_S


def test_without_a_person_it_is_asked_of_the_bus_alone(eyes: Eyes) -> None:
    found = eyes.check(JigBus({AT}), person=False)
    assert found.verdict is Verdict.OK
    assert "takes a person" in found.says
    assert eyes.out.getvalue() == ""


def test_a_screen_at_its_other_address_is_found(eyes: Eyes) -> None:
    assert eyes.check(JigBus({0x3D}), person=False).figures["address"] == "0x3d"


def test_a_screen_that_does_not_answer_is_told_with_its_pins(eyes: Eyes) -> None:
    found = eyes.check(JigBus())
    assert found.verdict is Verdict.FAILED
    assert "SDA (GPIO2, header pin 3) and SCL (GPIO3, header pin 5)" in found.says


def test_a_screen_that_is_lost_while_it_is_written_to_is_told(eyes: Eyes) -> None:
    bus = JigBus({AT})
    eyes.answers(*[Button.OK] * 4)
    eyes.clock.at(10.0, bus.answering.clear)
    found = eyes.check(bus)
    eyes.close()
    assert found.verdict is Verdict.FAILED
    assert "stopped answering while it was written to" in found.says


def test_an_ordinary_computer_has_no_screen(jig: Jig) -> None:
    screen = Screen(no_wire(), AT, (2, 3), "ssd1306", jig.hands, jig.stage, jig.clock, on_board=False)
    assert screen.check().verdict is Verdict.NOT_THERE


def test_the_patterns_are_what_their_names_say() -> None:
    assert pictures.all_on().image.histogram()[255] == 128 * 64
    assert pictures.all_off().image.getbbox() is None
    checker = pictures.checker().image
    assert checker.histogram()[255] == 128 * 64 / 2
    assert [checker.getpixel(place) for place in ((0, 0), (7, 7), (8, 0), (0, 8), (8, 8), (127, 63))] == [
        255, 255, 0, 0, 255, 255,
    ]  # fmt: skip

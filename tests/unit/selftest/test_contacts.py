"""Buttons on mock pins, pressed as asked and otherwise."""

from __future__ import annotations

import pytest
from gpiozero.pins.mock import MockFactory

from airladder.practice.presses import ROW, Button
from airladder.selftest.contacts import PATIENCE_S, Pressed
from airladder.selftest.result import STOP_THE_SERVICE, Result, Verdict
from jig import BridgedPin, Jig, no_contacts

BACK, DOWN, UP, OK, FOOT = Button.BACK, Button.DOWN, Button.UP, Button.OK, Button.FOOT


def pressed(jig: Jig, *, on_board: bool = True) -> Pressed:
    return Pressed(jig.hands, jig.stage, jig.clock, jig.pins.buttons, on_board=on_board)


def row(jig: Jig) -> Result:
    return pressed(jig).row()


def test_four_good_buttons_are_well_and_their_bounce_is_measured(jig: Jig) -> None:
    for n, button in enumerate(ROW):
        jig.press(button, 1.0 + n, chatter=[0.001, 0.004] if button is UP else ())
    found = row(jig)
    assert found.verdict is Verdict.OK
    assert found.says == "All four buttons came, each by itself; UP bounces longest, 4.0 ms."
    assert found.figures["up"] == {"edges": 4, "bounce_ms": 4.0, "closings": 1}
    assert found.figures["ok"] == {"edges": 2, "bounce_ms": 0.0, "closings": 1}
    assert [line.strip() for line in jig.out.getvalue().splitlines()] == [
        f"Press {button.name}: Press {button.name} once, and let go." for button in ROW
    ]


def test_a_button_that_does_not_come_is_told_with_its_pins(jig: Jig) -> None:
    for n, button in enumerate([BACK, DOWN]):
        jig.press(button, 1.0 + n)
    jig.press(OK, 3.0 + PATIENCE_S)
    found = row(jig)
    assert found.verdict is Verdict.FAILED
    assert found.says == (
        "UP did not come within 20 s: look at the switch and its wires to GPIO5, header pin 29 and to ground."
    )


def test_crossed_wires_are_told_once_the_right_button_was_asked_for_again(jig: Jig) -> None:
    presses = [BACK, UP, UP, DOWN, DOWN, OK]  # the maker presses DOWN and it arrives as UP, twice; then the reverse
    for n, button in enumerate(presses):
        jig.press(button, 1.0 + n)
    found = row(jig)
    assert found.verdict is Verdict.FAILED
    assert found.says == (
        "DOWN (GPIO6, header pin 31) did not come, UP came in its place: their wires are crossed."
        " UP (GPIO5, header pin 29) did not come, DOWN came in its place: their wires are crossed."
    )
    assert found.figures["down"]["others"] == ["up"]


def test_a_slip_of_the_finger_is_no_fault(jig: Jig) -> None:
    for n, button in enumerate([OK, BACK, DOWN, UP, OK]):
        jig.press(button, 1.0 + n)
    assert row(jig).verdict is Verdict.OK
    assert "That was OK. Press BACK once, and let go." in jig.out.getvalue()


def test_two_buttons_that_come_together_touch(jig: Jig) -> None:
    jig.press(BACK, 1.0)
    jig.press(DOWN, 2.0)
    jig.press(OK, 2.001)
    for n, button in enumerate([UP, OK]):
        jig.press(button, 3.0 + n)
    found = row(jig)
    assert found.says == "DOWN (GPIO6, header pin 31) came together with OK: their wires touch."


def test_a_button_that_is_closed_from_the_beginning_is_stuck_and_spoils_no_other(
    jig: Jig, factory: MockFactory
) -> None:
    factory.pin(f"GPIO{jig.pins.buttons[DOWN]}", pin_class=BridgedPin)
    for n, button in enumerate([BACK, UP, OK]):
        jig.press(button, 1.0 + 10.0 * n)
    found = row(jig)
    assert found.verdict is Verdict.FAILED
    assert "DOWN (GPIO6, header pin 31) stays closed" in found.says
    assert "BACK" not in found.says
    assert "UP" not in found.says


def test_a_stuck_button_that_lets_go_while_another_is_waited_for_does_not_end_the_wait(
    jig: Jig, factory: MockFactory
) -> None:
    factory.pin(f"GPIO{jig.pins.buttons[DOWN]}", pin_class=BridgedPin)
    jig.turn(DOWN, False, 3.0)
    for n, button in enumerate([BACK, DOWN, UP, OK]):
        jig.press(button, 6.0 + n)
    assert row(jig).verdict is Verdict.OK


def test_a_contact_that_floats_and_never_comes_to_rest_ends_the_wait_and_is_told(jig: Jig) -> None:
    for n in range(900):
        jig.turn(BACK, n % 2 == 0, 1.0 + 0.05 * n)
    found = row(jig)
    assert found.verdict is Verdict.FAILED
    assert found.says.startswith("BACK (GPIO26, header pin 37) closed ")
    assert "times in one press: a bad joint, a worn switch, or no pull-up" in found.says


def test_a_button_that_jams_when_it_is_pressed_is_stuck(jig: Jig) -> None:
    jig.turn(BACK, True, 1.0)
    for n, button in enumerate([DOWN, UP, OK]):
        jig.press(button, 12.0 + n)
    found = row(jig)
    assert found.says.startswith("BACK (GPIO26, header pin 37) stays closed")
    assert found.says.count("GPIO") == 1


def test_long_chatter_is_a_bad_joint(jig: Jig) -> None:
    for n, button in enumerate(ROW):
        jig.press(button, 1.0 + n, 0.4, [0.01 * k for k in range(1, 9)] if button is OK else ())
    assert row(jig).says.startswith("OK (GPIO13, header pin 33) chattered for 80 ms")


def test_a_foot_switch_that_is_not_plugged_in_is_no_failure(jig: Jig) -> None:
    found = pressed(jig).foot()
    assert found.verdict is Verdict.NOT_THERE
    assert "GPIO16, header pin 36" in found.says
    assert jig.clock.monotonic() >= PATIENCE_S


def test_a_foot_switch_that_comes_is_well_and_one_that_is_crossed_is_not(jig: Jig) -> None:
    jig.press(FOOT, 1.0)
    assert pressed(jig).foot().verdict is Verdict.OK
    for n in range(2):
        jig.press(UP, jig.clock.monotonic() + 1.0 + n)
    found = pressed(jig).foot()
    assert found.verdict is Verdict.FAILED
    assert "UP came in its place" in found.says


@pytest.mark.parametrize(("on_board", "verdict"), [(True, Verdict.FAILED), (False, Verdict.NOT_THERE)])
def test_without_the_boards_pins_there_are_no_buttons(jig: Jig, on_board: bool, verdict: Verdict) -> None:
    jig.hands._contacts = no_contacts("The board's pins cannot be had (no board).")
    found = pressed(jig, on_board=on_board).row()
    assert (found.verdict, found.says) == (verdict, "The board's pins cannot be had (no board).")


def test_pins_that_the_service_has_are_told_with_what_to_do(jig: Jig, factory: MockFactory) -> None:
    service = Jig(factory)
    service.hands.open()
    found = row(jig)
    service.close()
    assert found.verdict is Verdict.FAILED
    assert "GPIO26 cannot be had" in found.says
    assert found.says.endswith(STOP_THE_SERVICE)


def test_after_close_the_pins_are_free(jig: Jig, factory: MockFactory) -> None:
    jig.hands.open()
    jig.close()
    other = Jig(factory)
    other.hands.open()
    assert other.hands.trouble is None
    other.close()

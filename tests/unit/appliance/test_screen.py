"""A screen that is not there hinders nobody, and is tried again."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from PIL import Image

from airladder.appliance.opening import model_in
from airladder.appliance.screen import RETRY_S, LateScreen
from airladder.devices.clock import StillClock
from airladder.faults import BadInput
from airladder.panel.opening import draw_opening
from stage import KeptPictures

BLANK = Image.new("1", (128, 64))


def test_it_is_tried_again_after_a_while_and_then_shows(caplog: pytest.LogCaptureFixture) -> None:
    clock, there, tries = StillClock(datetime(2026, 1, 1, tzinfo=UTC)), KeptPictures(), []

    def open_screen() -> KeptPictures:
        tries.append(clock.monotonic())
        if clock.monotonic() < 2 * RETRY_S:
            raise BadInput("The screen's I2C bus 1 cannot be opened.")
        return there

    screen = LateScreen(open_screen, clock)
    for _ in range(9):
        screen.show(BLANK)
        clock.sleep(RETRY_S / 4)
    assert tries == [0.0, RETRY_S, 2 * RETRY_S]
    assert len(there.pictures) == 1
    assert screen.trouble == ""
    assert caplog.text.count("cannot be opened") == 1


def test_while_it_is_missing_it_says_why_and_can_be_closed() -> None:
    def open_screen() -> KeptPictures:
        raise BadInput("no bus.")

    screen = LateScreen(open_screen, StillClock(datetime(2026, 1, 1, tzinfo=UTC)))
    screen.show(BLANK)
    screen.close()
    assert screen.trouble == "no bus."


@pytest.mark.parametrize(
    ("text", "model"),
    [
        ('screen = "sh1106"', "sh1106"),
        ('screen = "ssd1306"\nfrom_the_future = 3', "ssd1306"),
        ("screen = 3", "ssd1306"),
        ("screen = ", "ssd1306"),
        ('screen = "glass of 2099"', "ssd1306"),
    ],
)
def test_the_first_picture_needs_one_word_of_the_settings_and_no_more(tmp_path: Path, text: str, model: str) -> None:
    (tmp_path / "settings.toml").write_text(text)
    assert model_in(tmp_path / "settings.toml") == model


def test_without_settings_there_is_a_first_picture_too(tmp_path: Path) -> None:
    assert model_in(tmp_path / "none.toml") == "ssd1306"
    (tmp_path / "odd.toml").write_bytes(b"\xff\xfe")
    assert model_in(tmp_path / "odd.toml") == "ssd1306"


def test_the_first_picture_leaves_the_last_row_and_column_dark() -> None:
    picture = draw_opening("0.1.0")
    assert picture.size == (128, 64)
    box = picture.getbbox()
    assert box is not None
    assert box[2] < 128
    assert box[3] < 64

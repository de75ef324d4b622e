"""Shared by the tests of the screens: the way to redraw the agreed pictures, and where they lie.

`pytest tests/screens --redraw` draws them anew and fails on purpose, so that it is never left switched on.
"""

from __future__ import annotations

from pathlib import Path

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--redraw", action="store_true", help="draw the agreed screens anew, and fail")


@pytest.fixture
def redraw(pytestconfig: pytest.Config) -> bool:
    """Whether the agreed pictures are to be drawn anew; the option is known only when this folder is named."""
    return bool(pytestconfig.getoption("--redraw", default=False))


@pytest.fixture
def golden() -> Path:
    """The folder of the agreed pictures, each 128 x 64 pixels and 1 bit deep."""
    return Path(__file__).parent / "golden"

"""What the tests of the hardware need: KiCad, without which they fail, unless they may be left out."""

from __future__ import annotations

import os

import pytest

from making.into import MADE
from making.kicad import KicadFault, version
from making.schematic import VERSION
from making.symbols import LIBRARY


@pytest.fixture(scope="session")
def kicad() -> str:
    """KiCad's version; a test that asks for it needs kicad-cli, faketime and the libraries of symbols."""
    try:
        found = version()
        if not (LIBRARY / "Connector.kicad_sym").exists():
            raise KicadFault(f"KiCad's symbols are not in {LIBRARY}; install kicad-symbols or set KICAD9_SYMBOL_DIR")
    except KicadFault as fault:
        if os.environ.get("AIRLADDER_MAY_SKIP") == "1":
            pytest.skip(str(fault))
        pytest.fail(f"{fault} (or set AIRLADDER_MAY_SKIP=1 to leave such tests out)")
    return found


@pytest.fixture(scope="session")
def made_here(kicad: str) -> bool:
    """Whether this KiCad is the one that made/ was made with: only then can its bytes and libraries be compared."""
    return kicad == (MADE / VERSION).read_text("utf-8").strip()


@pytest.fixture(scope="session")
def same_kicad(kicad: str, made_here: bool) -> str:
    """KiCad's version; a test that asks for it compares bytes, and is left out where another KiCad would differ."""
    if not made_here:
        pytest.skip(f"KiCad is {kicad} here, made/ was made with another (made/{VERSION}): no bytes are compared")
    return kicad

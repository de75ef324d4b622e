"""The boot files against the netlist: what is pulled up, and which of the codec's pins the overlay speaks of."""

from __future__ import annotations

import re
from collections.abc import Iterator

from hardware.rules.built import COMPUTER, GROUND, Built
from hardware.rules.header import HEADER
from hardware.rules.links import Kind, links_of, walk
from install.bootlines import pulled_up

# The codec's pins as its driver calls them (sound/soc/codecs/wm8960.c of the kernel) -> as the module does.
ROUTED = {"LINPUT1": "LIN1", "LINPUT2": "LIN2", "MICB": "MICB", "HP_L": "HP_L", "HP_R": "HP_R"}


def pulled(built: Built) -> Iterator[str]:
    """config.txt pulls up the pins whose nets are only ever drawn low: by a switch, a foot switch or the gauge."""
    wanted = {bcm for bcm, pin in HEADER.items() if _drawn_low(built, built.net(COMPUTER, str(pin)))}
    found = pulled_up(built.config)
    if found != wanted:
        yield f"config.txt: pulls up {sorted(found)}; the netlist wants {sorted(wanted)}"


def routing(built: Built) -> Iterator[str]:
    """Every pin of the codec that the overlay's routing names is soldered to something, and no other audio pin is."""
    told = re.search(r"simple-audio-card,routing =([^;]*);", built.overlay)
    words = set(re.findall(r'"([^"]*)"', told[1])) if told else set()
    wanted = {ROUTED[word] for word in words & set(ROUTED)}
    found = {name for name in ROUTED.values() if any(built.net(*pin) for pin in built.named(name))}
    if found != wanted:
        yield f"airladder-codec.dts: routes {sorted(wanted)}; the codec is soldered at {sorted(found)}"


def _drawn_low(built: Built, net: str) -> bool:
    """Whether it leads to an open output, or through its resistor to a switch to ground or to a jack's tip."""
    if not net:
        return False
    reached = walk(built, net, lambda link: link.kind is Kind.RESISTOR and link.value <= 1000) - {GROUND}
    alert = any((ref, pin) in built.named("ALRT") for ref, pin in built.nets[net])
    jack = any(built.items[ref].part.key == "jack" for each in reached for ref, _ in built.nets[each])
    key = any(link.far(each) == GROUND for each in reached for link in links_of(built, each, Kind.CONTACT))
    return alert or jack or key

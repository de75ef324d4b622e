"""The computer's header: every signal that the firmware knows is on its pin, and nothing else is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

from airladder.devices.pins import PinMap
from airladder.selftest import header
from hardware.rules.built import COMPUTER, GROUND, Built
from hardware.rules.links import Kind, between, links_of

# Processor's number -> pin of the 40-pin header: the firmware's own table, and the two that no part of it may take.
# test_kicad_library.py holds it against KiCad's own symbols.
HEADER = {0: 27, 1: 28} | header.HEADER
SUPPLY = {1: "3V3", 17: "3V3", 2: "5V", 4: "5V"} | dict.fromkeys((6, 9, 14, 20, 25, 30, 34, 39), GROUND)
# What the processor's sound port does on its pins, and what pins.toml calls it (KiCad's symbol Raspberry_Pi_4).
SOUND = {"bit_clock": 18, "frame_clock": 19, "from_codec": 20, "to_codec": 21}
FORBIDDEN = {
    0: "the identity EEPROM",
    1: "the identity EEPROM",
    14: "the console",
    15: "the console",
    23: "another codec board",
    24: "another codec board",
    27: "another codec board",
}
KEYS = {"buttons.up": "SW1", "buttons.down": "SW2", "buttons.ok": "SW3", "buttons.back": "SW4"}
FOOT = "J4"
# Signal of pins.toml -> the name that its pin has on the modules.
ON_MODULES = {
    "i2c.sda": "SDA",
    "i2c.scl": "SCL",
    "i2s.bit_clock": "BCLK",
    "i2s.frame_clock": "LRCLK",
    "i2s.from_codec": "ADCDAT",
    "i2s.to_codec": "DACDAT",
    "power.battery_alert": "ALRT",
}


def signals(pins: PinMap) -> dict[str, int]:
    """Every signal that the firmware knows, as "i2c.sda", and the processor's number of its pin."""
    found = {f"buttons.{button.value}": pin for button, pin in pins.buttons.items()}
    for field in fields(pins):
        table = getattr(pins, field.name)
        if field.name not in ("buttons", "addresses"):
            found |= {f"{field.name}.{name.name}": getattr(table, name.name) for name in fields(table)}
    del found["i2c.bus"]
    return found


def net_of(built: Built, bcm: int) -> str:
    """The net on the header's pin of a number of the processor; empty when it is open."""
    return built.net(COMPUTER, str(HEADER[bcm]))


def pin_map(built: Built) -> Iterator[str]:
    """Every signal of pins.toml reaches what it is for."""
    for signal, bcm in signals(built.pins).items():
        net, where = net_of(built, bcm), f"{signal}, header pin {HEADER[bcm]}"
        if not net:
            yield f"{where}: is open; wanted a net, for the firmware uses GPIO{bcm}"
        elif signal in KEYS:
            yield from _key(built, net, where, KEYS[signal])
        elif signal == "buttons.foot":
            yield from _foot(built, net, where)
        elif signal in ON_MODULES:
            yield from _module(built, net, where, ON_MODULES[signal])
        elif signal == "power.switch_off":
            if not any(link.one == net for link in links_of(built, net, Kind.DIODE)):
                yield f"{where}: {net} has no diode's anode; wanted the one that leads to KILL"
        elif signal == "usb.cable":
            if not between(built, net, "VBUS", Kind.RESISTOR) or not between(built, net, GROUND, Kind.RESISTOR):
                yield f"{where}: {net} is no divider of VBUS; wanted a resistor to VBUS and one to GND"
        else:
            yield f"{where}: no rule knows what it must reach; wanted one in rules/header.py"


def nothing_unknown(built: Built) -> Iterator[str]:
    """The header has its supply where it is, and no net on a pin that pins.toml does not know."""
    known = {HEADER[bcm] for bcm in signals(built.pins).values()}
    for pin, net in sorted(built.pins_of(COMPUTER).items(), key=lambda pair: int(pair[0])):
        wanted = SUPPLY.get(int(pin))
        if wanted is None and int(pin) not in known:
            yield f"header pin {pin}: has {net}, which pins.toml does not know; wanted it open"
    for number, wanted in SUPPLY.items():
        if (net := built.net(COMPUTER, str(number))) != wanted:
            yield f"header pin {number}: has {net or 'nothing'}; wanted {wanted}"


def forbidden(built: Built) -> Iterator[str]:
    """Pins that are kept for others are used by nobody, and GPIO3, which wakes the board, only as SCL."""
    for signal, bcm in signals(built.pins).items():
        if bcm in FORBIDDEN:
            yield f"{signal}: pins.toml takes GPIO{bcm}, which is for {FORBIDDEN[bcm]}; wanted another"
        if bcm == 3 and signal != "i2c.scl":
            yield f"{signal}: pins.toml takes GPIO3; wanted it for i2c.scl only"
    for bcm, owner in FORBIDDEN.items():
        if net := net_of(built, bcm):
            yield f"header pin {HEADER[bcm]}: has {net}, but GPIO{bcm} is for {owner}; wanted it open"
    others = {built.name(ref, pin) for ref, pin in built.nets.get(net_of(built, 3), ()) if ref != COMPUTER} - {""}
    if others != {"SCL"}:
        yield f"header pin 5: leads to {sorted(others)} of the modules; wanted SCL only"


def sound_crossed(built: Built) -> Iterator[str]:
    """The codec's output is the processor's input and the other way round; the clocks are where the port has them."""
    for name, bcm in SOUND.items():
        if getattr(built.pins.i2s, name) != bcm:
            yield f"i2s.{name}: pins.toml says GPIO{getattr(built.pins.i2s, name)}; the sound port has GPIO{bcm}"
        wanted = built.named(ON_MODULES[f"i2s.{name}"])
        found = built.nets.get(net_of(built, bcm), frozenset()) & {
            pin for key in SOUND for pin in built.named(ON_MODULES[f"i2s.{key}"])
        }
        if found != wanted:
            yield f"header pin {HEADER[bcm]}, {name}: joins {sorted(found)} of the codec; wanted {sorted(wanted)}"


def _key(built: Built, net: str, where: str, switch: str) -> Iterator[str]:
    keys = [link.far(net) for link in links_of(built, net, Kind.RESISTOR) if 100 <= link.value <= 1000]
    if not any(between(built, key, GROUND, Kind.CONTACT) and built.net(switch, "1") == key for key in keys):
        yield f"{where}: {net} does not reach {switch} through 100-1000 ohm and then GND; wanted that"


def _foot(built: Built, net: str, where: str) -> Iterator[str]:
    tips = [link.far(net) for link in links_of(built, net, Kind.RESISTOR) if 100 <= link.value <= 1000]
    if built.net(FOOT, "T") not in tips or built.net(FOOT, "S") != GROUND:
        yield f"{where}: {net} does not reach the tip of {FOOT} through 100-1000 ohm; wanted that, its sleeve on GND"
    if not between(built, net, "3V3", Kind.RESISTOR) or not between(built, net, GROUND, Kind.CAPACITOR):
        yield f"{where}: {net} has no pull-up to 3V3 or no capacitor; wanted both, for the cable may be long"


def _module(built: Built, net: str, where: str, name: str) -> Iterator[str]:
    found = {(ref, pin) for ref, pin in built.nets[net] if ref != COMPUTER and built.name(ref, pin)}
    wanted = built.named(name)
    if found != wanted:
        yield f"{where}: {net} joins {sorted(found)} of the modules; wanted {sorted(wanted)}, their {name}"

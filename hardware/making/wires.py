"""The wire list as a page, made/wires.md: what to solder to what without the carrier board, step by step."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

from making.circuit import HARDWARE, Circuit, Item, load
from making.harness import End, Harness, Joint, Wire, harness
from making.into import folder_asked_for
from making.netlist import read

_HEAD = """# Wires

Made by `python -m making.wires` from the netlist and wires.toml. This is the way without the carrier board: modules
joined by wires, the small parts on pieces of perfboard. **Untested on hardware.** Read [SAFETY.md](../SAFETY.md)
first, then [ASSEMBLY.md](../ASSEMBLY.md); [the wiring picture](pictures/wiring.png) shows the same.

- Ends are *part.pin*, with the name that stands beside the pin. **Go by the name**: modules order their pins as they
  like.
- Cell unplugged, cable out, switch off while you solder. Tick each wire and measure it: less than 1 ohm end to end.
- Lengths are the most that is sensible; shorter is better. Twist HP_L and HP_R with their ground.
- Black is ground and goes out as a star: from the power module; for display, clock, buttons, foot switch and codec
  from the computer; for the sound from the codec alone. Add no second ground wire between two places.
- *shielded*: its shield goes to the ground of the end named first, and stays open at the other.
- JP1 is three free pads in a row: join 1 and 2 with a drop of solder (for the piezo 2 and 3 instead).
- A display whose first pin is VCC has the same wires, by their names.
"""

_PINS = {
    "AudioJack3_SwitchTR": {"T": "tip", "R": "ring", "S": "sleeve", "TN": "tip's switch", "RN": "ring's switch"},
    "D": {"1": "cathode", "2": "anode"},
    "D_Schottky": {"1": "cathode", "2": "anode"},
    "BSS138": {"1": "gate", "2": "source", "3": "drain"},
    "BSS84": {"1": "gate", "2": "source", "3": "drain"},
    "BAV99": {"1": "anode", "2": "cathode", "3": "middle"},
    "MCP6001-OT": {"1": "out", "2": "V-", "3": "+in", "4": "-in", "5": "V+"},
    "SW_SPDT": {"1": "on", "2": "middle", "3": "off"},
}
"""What stands in no file of ours: the pins of KiCad's symbols, by name."""


class Names:
    """What stands beside a pin.

    Parameters
    ----------
    circuit : the parts
    folder : where modules.toml is
    """

    def __init__(self, circuit: Circuit, folder: Path = HARDWARE) -> None:
        self._items = circuit.items
        with (folder / "modules.toml").open("rb") as file:
            self._modules = tomllib.load(file)

    def pin(self, end: End) -> str:
        """The name of a pin; empty where it has none."""
        ref, pin = end
        part = self._items[ref].part
        library, _, name = part.symbol.partition(":")
        if library == "box":
            return next(str(told[1]) for told in self._modules[name]["pins"] if str(told[0]) == pin)
        return part.polarity.get(pin, _PINS.get(name, {}).get(pin, ""))

    def end(self, end: End) -> str:
        """A pin in full, like A2.3 (SDA)."""
        name = self.pin(end)
        return f"{end[0]}.{end[1]}" + (f" ({name})" if name else "")


def page(some: Harness, circuit: Circuit) -> str:
    """The page as Markdown."""
    names = Names(circuit)
    blocks = [_HEAD, *_pieces(some, circuit, names), *_own_joints(some, names), *_steps(some, names)]
    return "\n".join(blocks)


def numbered(some: Harness) -> dict[str, Wire]:
    """W1, W2 ... in the order of soldering."""
    return {f"W{number}": wire for number, wire in enumerate(some.wires, 1)}


def _steps(some: Harness, names: Names) -> Iterator[str]:
    yield "## Wires, in the order of soldering\n"
    for number, title in enumerate(some.steps, 1):
        yield f"### {number}. {title}\n"
        yield "| Wire | Net | From | To | Colour | AWG | At most | done |\n|---|---|---|---|---|---|---|---|"
        for name, wire in numbered(some).items():
            if wire.step == number:
                start, goal = (names.end(end) for end in wire.ends)
                kind = f"{wire.colour}, shielded" if wire.shielded else wire.colour
                yield f"| {name} | {wire.net} | {start} | {goal} | {kind} | {wire.awg} | {wire.most} mm | |"
        yield ""


def _pieces(some: Harness, circuit: Circuit, names: Names) -> Iterator[str]:
    yield "## Pieces of perfboard, made first\n"
    yield "Each piece by itself: its parts, and which of their pins are joined. An end without a joint gets a wire.\n"
    for place in some.places.values():
        if place.name in circuit.items:
            continue
        yield f"### {place.title}" + (f" (option {place.option})" if place.option else "") + "\n"
        yield ", ".join(_part(circuit.items[ref], place.option) for ref in place.parts) + ".\n"
        yield "| Net | Joined |\n|---|---|"
        for joint in some.joints:
            if joint.place == place.name:
                yield f"| {joint.net} | {_joined(joint, names)} |"
        yield ""


def _own_joints(some: Harness, names: Names) -> Iterator[str]:
    yield "## At the modules' own pins\n"
    yield "Capacitors stand right at the pins. What a module joins by itself is only measured.\n"
    yield "| Place | Net | Joined |\n|---|---|---|"
    for joint in some.joints:
        if joint.place in {ref for ref, _ in joint.ends}:
            yield f"| {some.places[joint.place].title} | {joint.net} | {_joined(joint, names)} |"
    yield ""


def _part(item: Item, known: str) -> str:
    """Its name and value, and its option where the piece's own does not say it."""
    told = f"{item.ref} ({item.part.value})"
    return f"{told} only with option {item.option}" if item.option not in ("", known) else told


def _joined(joint: Joint, names: Names) -> str:
    told = " – ".join(names.end(end) for end in joint.ends)
    return f"{told}, by itself: measure" if joint.inside else told


def main() -> None:
    """Write wires.md from netlist.xml of the same folder."""
    made, circuit = folder_asked_for(main.__doc__), load()
    made.joinpath("wires.md").write_text(page(harness(circuit, read(made / "netlist.xml").nets), circuit), "utf-8")


if __name__ == "__main__":
    main()

"""Settings from a drive, set into those that are there: what the player changed, and nothing of the box's own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Any

from airladder.drive.bounded import values
from airladder.faults import BadInput

BOX_ONLY = ("log_folder", "screen", "microphone", "speaker")
"""What says where the log lies and what is soldered or plugged in: a drive that was lent must not move or mute it."""

_HEADING = "# Put together from the settings before (settings.old.toml) and those of the drive; may be edited.\n"


def changed(text: str, in_force: str, before: str | None = None) -> dict[str, Any]:
    """What the settings of a drive ask for: of a table only what differs.

    Parameters
    ----------
    text : as the player left them on the drive
    in_force : those of now
    before : as they were put on the drive, if that is known: what the player left so is no wish, though it was set
        otherwise on the box since

    Raises
    ------
    BadInput : when `text` is no TOML within bounds.
    """
    wanted = _differing(values(text), values(in_force))
    if before is not None:
        with suppress(BadInput):  # it is a stranger's too; without it all that differs is a wish
            wanted = _differing(wanted, values(before))
    return wanted


def _differing(new: Mapping[str, Any], old: Mapping[str, Any]) -> dict[str, Any]:
    differing: dict[str, Any] = {}
    for key, value in new.items():
        before = old.get(key)
        if isinstance(value, dict) and isinstance(before, dict):
            value = {inner: one for inner, one in value.items() if not _same(one, before.get(inner))}
            if value:
                differing[key] = value
        elif not _same(value, before):
            differing[key] = value
    return differing


def _same(one: Any, other: Any) -> bool:
    return one == other and isinstance(one, bool) == isinstance(other, bool)


def without_box_only(wanted: Mapping[str, Any]) -> tuple[dict[str, Any], list[str]]:
    """What of it a drive may change, and a sentence for each that it may not."""
    kept = {key: value for key, value in wanted.items() if key not in BOX_ONLY}
    refused = [
        f"{key}: a drive may not change it; it is set on the box itself."
        for key in BOX_ONLY
        if key in wanted
    ]  # fmt: skip
    return kept, refused


def for_the_drive(in_force: str) -> str:
    """The settings in force as a player finds them on the drive: without what a drive may not change."""
    lines = in_force.splitlines(keepends=True)
    return "".join(line for line in lines if line.partition("=")[0].strip() not in BOX_ONLY)


def merged(old: str, wanted: Mapping[str, Any]) -> str:
    """The settings file with `wanted` set in it, tables key by key.

    Raises
    ------
    BadInput : when the old file is no TOML, or a value is of a kind that no setting has.
    """
    together = values(old)
    for key, value in wanted.items():
        before = together.get(key)
        together[key] = {**before, **value} if isinstance(value, dict) and isinstance(before, dict) else value
    text = _HEADING + "".join(_lines(together))
    if values(text) != together:
        raise BadInput("its values cannot be set into the settings as they are; wanted plain ones.")
    return text


def _lines(table: Mapping[str, Any]) -> Iterator[str]:
    for key, value in table.items():
        if not isinstance(value, dict):
            yield f"{_key(key)} = {_value(value)}\n"
    for key, value in table.items():
        if isinstance(value, dict):
            yield f"\n[{_key(key)}]\n"
            yield from (f"{_key(inner)} = {_value(one)}\n" for inner, one in value.items())


def _key(key: str) -> str:
    return key if key.isascii() and key.replace("_", "").replace("-", "").isalnum() else _value(key)


def _value(value: Any) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case int() | float():
            return repr(value)
        case str():
            return '"' + "".join(_escaped(sign) for sign in value) + '"'
        case list():
            return "[" + ", ".join(_value(one) for one in value) + "]"
        case _:
            raise BadInput("a value is neither a number, a word, yes or no, nor a list; wanted one like 442.")


def _escaped(sign: str) -> str:
    if sign in '"\\':
        return f"\\{sign}"
    return sign if sign.isprintable() else f"\\U{ord(sign):08x}"

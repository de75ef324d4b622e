"""The settings file: read once, checked whole, and turned into one frozen value.

Conventions
-----------
TOML. Every fault of a file is told at once, each with the key and the nearest right word. A key nobody reads is a
fault too: a setting that is not heeded would be worse than none. Nothing keeps the file or a dictionary of it.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any, TypeVar

from airladder.faults import BadInput, did_you_mean
from airladder.music.fingerings import Fingering, fingering_named
from airladder.music.horns import HORNS, Horn, horn_named
from airladder.music.names import parse
from airladder.music.pitch import A4_HZ, checked_a4
from airladder.music.series import Against, Series
from airladder.pages.choices import Choices, Place
from airladder.places import SCREENS, log_folder, settings_path
from airladder.practice.coach.aims import Aims
from airladder.practice.coach.rules import Rules
from airladder.practice.ease import Limits
from airladder.practice.state import Aloud

MOST_CLIPS_MB = 4000


@dataclass(frozen=True)
class Settings:
    """Everything that can be set.

    Attributes
    ----------
    horn, fingering : what is played, and the fingered fundamental (written)
    a4 : Hz, 430 to 450
    against : what the cents are measured from
    microphone : the ALSA name of the capture device
    speaker : the ALSA name of the playback device
    aloud : how the box sounds the wanted pitch: silent, tone or drone
    place : where the microphone is: bell or stand
    screen : of the box, ssd1306 or sh1106
    clips, clips_mb : whether tones are kept as sound too, and how much of the disk they may take, MB
    log_folder : where the log and the report lie
    aims, rules, limits : what the coach aims at, by what it judges, and where something kinder is offered
    """

    horn: Horn = HORNS["alto"]
    fingering: Fingering = field(default=Fingering(parse("Bb3"), long=True))
    a4: float = A4_HZ
    against: Against = Against.TEMPERED
    microphone: str = "default"
    speaker: str = "default"
    aloud: Aloud = Aloud.TONE
    place: Place = Place.BELL
    screen: str = "ssd1306"
    clips: bool = False
    clips_mb: int = 200
    log_folder: Path = field(default_factory=log_folder)
    aims: Aims = field(default_factory=Aims)
    rules: Rules = field(default_factory=Rules)
    limits: Limits = field(default_factory=Limits)

    @property
    def series(self) -> Series:
        """The series of the fingered tube."""
        return Series(self.horn, self.fingering, self.a4)

    @property
    def choices(self) -> Choices:
        """What of it can be chosen on the box."""
        return Choices(self.horn, self.fingering, self.a4, self.against, self.aloud, self.place)

    def chosen(self, choices: Choices) -> Settings:
        """The settings with what was chosen on the box."""
        return replace(self, **{item.name: getattr(choices, item.name) for item in fields(choices)})

    @property
    def log(self) -> Path:
        """The log file."""
        return self.log_folder / "log.sqlite"

    @property
    def routines(self) -> Path:
        """Where the player's own routines lie."""
        return self.log_folder / "routines"

    @property
    def demo_log(self) -> Path:
        """The log of what the demo invented: it never mixes with practice."""
        return self.log_folder / "demo.sqlite"


def _text(value: Any) -> str:
    if not isinstance(value, str) or not value.strip():
        raise BadInput(f"{value!r} is no text; wanted a word in quotes.")
    return value


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadInput(f"{value!r} is no number; wanted one without quotes.")
    return float(value)


def _yes_or_no(value: Any) -> bool:
    if not isinstance(value, bool):
        raise BadInput(f"{value!r} is neither true nor false; wanted one of these, without quotes.")
    return value


def _megabytes(value: Any) -> int:
    number = _number(value)
    if not (number.is_integer() and 1 <= number <= MOST_CLIPS_MB):
        raise BadInput(f"{value!r} is no size for clips; wanted whole megabytes from 1 to {MOST_CLIPS_MB}.")
    return int(number)


Word = TypeVar("Word", Against, Aloud, Place)


def word_of(kind: type[Word], text: str) -> Word:
    """One of a few words; BadInput with the nearest one when it is none of them."""
    names = [word.value for word in kind]
    if text not in names:
        raise BadInput(f"'{text}' is {_NO_WORD[kind]}{did_you_mean(text, names)}")
    return kind(text)


_NO_WORD: dict[type[Any], str] = {
    Against: "nothing that cents are measured from",
    Aloud: "no way to sound a pitch",
    Place: "no place of a microphone",
}


def screen_named(text: str) -> str:
    """The kind of screen; BadInput with the nearest name when there is none."""
    if text not in SCREENS:
        raise BadInput(f"'{text}' is no screen that we drive{did_you_mean(text, SCREENS)}")
    return text


_READERS: dict[str, Callable[[Any], Any]] = {
    "horn": lambda value: horn_named(_text(value)),
    "fingering": _text,  # its horn must be known first: see `checked`
    "a4": lambda value: checked_a4(_number(value)),
    "against": lambda value: word_of(Against, _text(value)),
    "microphone": _text,
    "speaker": _text,
    "aloud": lambda value: word_of(Aloud, _text(value)),
    "place": lambda value: word_of(Place, _text(value)),
    "screen": lambda value: screen_named(_text(value)),
    "clips": _yes_or_no,
    "clips_mb": _megabytes,
    "log_folder": lambda value: Path(_text(value)).expanduser(),
    "aims": lambda value: tuned(Aims, value),
    "rules": lambda value: tuned(Rules, value),
    "limits": lambda value: tuned(Limits, value),
}

Tuned = TypeVar("Tuned", Aims, Rules, Limits)


def tuned(kind: type[Tuned], values: Any) -> Tuned:
    """The numbers of the coach, with those of a table in the settings file over the usual ones.

    Raises
    ------
    BadInput : names every key that does not exist, or what is wrong with its value.
    """
    if not isinstance(values, dict):
        raise BadInput(f"{values!r} is no table; wanted one, like [{kind.__name__.lower()}], with a number a line.")
    known = [item.name for item in fields(kind)]
    unknown = [f"{key}: no such number{did_you_mean(key, known)}" for key in values if key not in known]
    if unknown:
        raise BadInput(" ".join(unknown))
    return kind(**values)


def checked(values: dict[str, Any], where: str, base: Settings | None = None) -> Settings:
    """Settings from plain values, over those of `base`.

    Raises
    ------
    BadInput : names every fault at once; `where` says where the values were found.
    """
    settings, faults = heeded(values, base or Settings())
    if faults:
        count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        raise BadInput(f"{where} has {count}:\n  " + "\n  ".join(faults))
    return settings


def heeded(values: dict[str, Any], base: Settings) -> tuple[Settings, list[str]]:
    """Settings from those of the plain values that make sense, over `base`; and what is wrong with the others."""
    read: dict[str, Any] = {}
    faults: list[str] = []
    for key, value in values.items():
        try:
            if key not in _READERS:
                raise BadInput(f"no such setting{did_you_mean(key, _READERS)}")
            read[key] = _READERS[key](value)
        except BadInput as fault:
            faults.append(f"{key}: {fault}")
    horn = read.get("horn", base.horn)
    try:
        if not any(fault.startswith(("horn:", "fingering:")) for fault in faults):
            read["fingering"] = fingering_named(horn, read.get("fingering", str(base.fingering)))
    except BadInput as fault:
        faults.append(f"fingering: {fault}")
    return replace(base, **read), faults


def load(path: Path | None = None) -> Settings:
    """The settings of a file; those of the usual place, or the built-in ones, when none is named.

    Raises
    ------
    BadInput : when the named file is missing or unreadable, is no TOML, or has faults (all of them named).
    """
    usual = settings_path()
    if path is None and not usual.exists():
        return Settings()
    path = path or usual
    return checked(_values_in(path), str(path))


def load_what_can_be(path: Path | None = None) -> tuple[Settings, str]:
    """The settings as far as they make sense, and a sentence on what does not: the box is to come up anyway."""
    path = path or settings_path()
    if not path.exists():
        return Settings(), ""
    try:
        settings, faults = heeded(_values_in(path), Settings())
    except BadInput as fault:
        return Settings(), f"{fault} The built-in settings hold."
    if not faults:
        return settings, ""
    return settings, f"The settings file {path} holds but for: {'; '.join(faults)}"


def _values_in(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise BadInput(
            f"The settings file {path} cannot be read ({error.strerror}); name another or remove it."
        ) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BadInput(f'The settings file {path} is no TOML: {error}; wanted lines like: horn = "alto".') from None


def shown(settings: Settings) -> str:
    """The settings in force, as the TOML that would give them."""
    values = {item.name: getattr(settings, item.name) for item in fields(settings)}
    tables = {name: value for name, value in values.items() if isinstance(value, Aims | Rules | Limits)}
    lines = [f"{name} = {toml(value)}" for name, value in values.items() if name not in tables]
    for name, table in tables.items():
        numbers = {item.name: getattr(table, item.name) for item in fields(table)}
        lines += [
            "",
            f"[{name}]",
            *(f"{key} = {toml(value)}" for key, value in numbers.items() if value is not None),
        ]
    return "\n".join(lines) + "\n"


def toml(value: Any) -> str:
    """One value as it stands in a settings file."""
    match value:
        case Horn():
            return f'"{value.name}"'
        case Against() | Aloud() | Place():
            return f'"{value.value}"'
        case bool():
            return "true" if value else "false"
        case int() | float():
            return f"{value:g}"
        case _:
            return '"' + str(value).replace("\\", "\\\\").replace('"', '\\"') + '"'

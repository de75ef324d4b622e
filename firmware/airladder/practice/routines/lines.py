"""On which line of a TOML file each table and key stands: the standard library's reader does not say.

The text is known to be valid TOML already, so that only its shape is followed, never its meaning.

Conventions
-----------
Lines count from 1. A place is the way to it: ``("step", 2, "tries")`` is the key `tries` of the third `[[step]]`.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field

Place = tuple[str | int, ...]

DEEPEST = 4
"""Places deeper than this are not told apart: a routine has none, and a key of a thousand dots must cost nothing."""

_TOKEN = re.compile(
    r'''
    (?P<space> [ \t\r]+ | \#[^\n]* )
    | (?P<newline> \n )
    | (?P<text> """ (?: [^"\\] | \\[\s\S] | "{1,2}(?!") )* "{3,5}
              | \'\'\' (?: [^'] | '{1,2}(?!') )* '{3,5}
              | " (?: [^"\\\n] | \\. )* "
              | ' [^'\n]* ' )
    | (?P<mark> [\[\]{},=.] )
    | (?P<bare> [^\s\[\]{},=."'\#]+ )
    ''',
    re.VERBOSE,
)


@dataclass(frozen=True)
class _Token:
    kind: str
    text: str
    line: int


def _tokens(text: str) -> Iterator[_Token]:
    line = 1
    for match in _TOKEN.finditer(text):
        if match.lastgroup != "space":
            yield _Token(str(match.lastgroup), match.group(), line)
        line += match.group().count("\n")
    yield _Token("end", "", line)


def lines_of(text: str) -> dict[Place, int]:
    """The line on which each table, key and element of a list begins; a table of `[[...]]` begins at its header.

    Parameters
    ----------
    text : TOML that `tomllib` has read without a fault
    """
    scanner = _Scanner(list(_tokens(text)))
    scanner.scan()
    return scanner.lines


@dataclass
class _Open:
    """A list or an inline table that is not closed yet; `count` elements of a list are complete."""

    place: Place
    is_list: bool
    count: int = 0


@dataclass
class _Scanner:
    tokens: list[_Token]
    at: int = 0
    lines: dict[Place, int] = field(default_factory=dict)
    tables: dict[Place, int] = field(default_factory=dict)  # how many there are so far of each [[...]]

    def scan(self) -> None:
        """Note every place."""
        table: Place = ()
        while self.token.kind != "end":
            if self.token.kind == "newline":
                self.at += 1
            elif self._is("["):
                table = self._header()
            else:
                self._value(self._key(table))

    @property
    def token(self) -> _Token:
        """The one that is looked at."""
        return self.tokens[self.at]

    def _is(self, mark: str) -> bool:
        return self.token.kind == "mark" and self.token.text == mark

    def _note(self, place: Place) -> None:
        if len(place) <= DEEPEST:
            self.lines.setdefault(place, self.token.line)

    def _header(self) -> Place:
        """Past ``[a.b]`` or ``[[a.b]]``; the place of the table that begins."""
        opening = self.token
        self.at += 1
        many = self._is("[")
        self.at += many
        place = self._key(())
        self.at += 1 + many
        if many and len(place) <= DEEPEST:
            self.tables[place] = self.tables.get(place, 0) + 1
            place = self._newest(place)
            if len(place) <= DEEPEST:
                self.lines[place] = opening.line
        return place

    def _key(self, base: Place) -> Place:
        """Past a key, dotted or not, below `base`; its place."""
        place = base
        while True:
            place = _below(self._newest(place), _word(self.token))
            self._note(place)
            self.at += 1
            if not self._is("."):
                return place
            self.at += 1

    def _newest(self, place: Place) -> Place:
        return _below(place, self.tables[place] - 1) if place in self.tables else place

    def _value(self, current: Place) -> None:
        """Past ``= value``, noting what stands in it; without recursion, since lists may lie hundreds deep."""
        self.at += 1
        opened: list[_Open] = []
        while self.token.kind != "end" and (opened or self.token.kind != "newline"):
            if self.token.kind == "newline":
                self.at += 1
            elif self._is("]") or self._is("}"):
                opened.pop()
                self.at += 1
            elif self._is(","):
                opened[-1].count += 1
                current = self._entered(opened[-1])
            else:
                self._note(current)
                if self._is("[") or self._is("{"):
                    opened.append(_Open(current, self._is("[")))
                    current = self._entered(opened[-1])
                else:
                    self.at += 1

    def _entered(self, inside: _Open) -> Place:
        """Past an opening bracket or a comma, and past the key of an inline table; the place that comes next."""
        self.at += 1
        if inside.is_list:
            return _below(inside.place, inside.count)
        while self.token.kind == "newline":
            self.at += 1
        if self._is("}"):
            return inside.place
        place = self._key(inside.place)
        self.at += 1
        return place


def _below(place: Place, part: str | int) -> Place:
    return (*place, part)[: DEEPEST + 1]


def _word(token: _Token) -> str:
    """What a key says, without its quotes."""
    return next(iter(tomllib.loads(f"{token.text} = 0"))) if token.kind == "text" else token.text

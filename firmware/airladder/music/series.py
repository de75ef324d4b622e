"""The series of partials of one fingered tube, and what each partial is tuned against.

Conventions
-----------
Partials are numbered from 1, the fundamental (the trade's way of counting: partial 2 is the octave). The pure
series is n times the fundamental; the places are printed in Helmholtz/Ellis (1885) and in every handbook of
acoustics, e.g. A. Benade, Fundamentals of Musical Acoustics.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import cached_property

from airladder.music.fingerings import Fingering
from airladder.music.horns import Horn
from airladder.music.names import LETTERS, Name, lettered, parse
from airladder.music.pitch import A4_HZ, cents, note_hz, raised
from airladder.music.resonances import place_cents

HIGHEST_PARTIAL = 16
"""The highest partial that is told from its neighbours."""

MOST_ASKED = 12
"""The highest partial that an exercise asks for."""

HIGHEST_ASKED = parse("F7")
"""The highest written note that an exercise asks for: partial 12 of low B flat, near the end of what trained players
sound above the usual range (common practice)."""

SEMITONES = (0, 12, 19, 24, 28, 31, 34, 36, 38, 40, 42, 43, 44, 46, 47, 48)
"""Nearest tempered interval above the fundamental for partials 1 to 16, in semitones (Helmholtz/Ellis 1885)."""

_STEPS = (0, 7, 11, 14, 16, 18, 20, 21, 22, 23, 24, 25, 26, 27, 27, 28)
"""Letters above the fundamental's letter: octave, twelfth, fifteenth, seventeenth ... (common practice)."""


_ROOM_CENTS = 70.0  # how far beyond its places, the pure one and the tube's, a partial may be bent and still be meant
_ROOM_SHARE = 0.42  # high partials lie closer than that: never more than this share of the step to the next


class Against(Enum):
    """What the cents are measured from."""

    TEMPERED = "tempered"
    """The usual fingering of that pitch on a horn in tune: the nearest tempered note."""
    PURE = "pure"
    """n times the nominal fundamental."""
    MEASURED = "measured"
    """What this player sounded on this horn today: the usual fingering of the pitch, or else n times the
    fundamental."""


@dataclass(frozen=True)
class Series:
    """The partials of `fingering` on `horn` at a tuning of `a4_hz` (Hz)."""

    horn: Horn
    fingering: Fingering
    a4_hz: float = A4_HZ

    @property
    def fundamental_number(self) -> int:
        """The sounding note number of the nominal fundamental."""
        return self.horn.sounding(self.fingering.written.number)

    @property
    def fundamental_hz(self) -> float:
        """The nominal fundamental in Hz, as it sounds."""
        return note_hz(self.fundamental_number, self.a4_hz)

    def pure_hz(self, partial: int) -> float:
        """n times the nominal fundamental, in Hz."""
        return partial * self.fundamental_hz

    def tempered_hz(self, partial: int) -> float:
        """The tempered note nearest to the partial, in Hz: where its usual fingering is meant to sound."""
        return note_hz(self.fundamental_number + SEMITONES[partial - 1], self.a4_hz)

    def target_hz(
        self,
        partial: int,
        against: Against,
        measured_hz: float | None = None,
        usual_hz: float | None = None,
    ) -> float | None:
        """The frequency in Hz that counts as 0 cents.

        Parameters
        ----------
        partial : 1 to 16
        against : the kind of target
        measured_hz : the fundamental that was measured today, in Hz, if it was
        usual_hz : the usual fingering of the partial's pitch, measured today, in Hz, if it was

        Returns
        -------
        Hz, or None when the measured target is wanted and neither has been measured yet.
        """
        match against:
            case Against.TEMPERED:
                return self.tempered_hz(partial)
            case Against.PURE:
                return self.pure_hz(partial)
            case Against.MEASURED:
                return usual_hz or (None if measured_hz is None else partial * measured_hz)

    def written_name(self, partial: int) -> Name:
        """The written name of a partial, spelled in the key of its fundamental.

        The letter follows the interval (the third partial of B flat is F, of C sharp it is G sharp); names that
        players do not read with pleasure (E sharp, C flat, double accidentals) give way to the plain one.
        """
        written = self.fingering.written
        steps = 7 * written.octave + LETTERS.index(written.letter) + _STEPS[partial - 1]
        number = written.number + SEMITONES[partial - 1]
        return lettered(steps, number, flats=written.accidental < 0)

    @property
    def top_partial(self) -> int:
        """The highest partial that is asked for on this tube: 12 on low B flat, fewer on the shorter ones."""
        written = self.fingering.written.number
        return max(n for n in range(1, MOST_ASKED + 1) if written + SEMITONES[n - 1] <= HIGHEST_ASKED.number)

    def place_hz(self, partial: int) -> float:
        """Where the partial is expected to sound on the real, stretched tube, in Hz: what names are given by."""
        return self._places[partial - 1]

    def room_cents(self, partial: int) -> tuple[float, float]:
        """How far below and above its place a partial may be bent and still be taken for it, in cents.

        It reaches 70 cents beyond the place and the pure place, whichever lies further out, and never further than
        42 per cent of the way to the next place, so that something is left between them which is neither.
        """
        place = self.place_hz(partial)
        sharp = cents(place, self.pure_hz(partial))
        below = self.place_hz(partial - 1) if partial > 1 else place / 2.0
        above = self.place_hz(partial + 1) if partial < HIGHEST_PARTIAL else place * place / below
        return (
            min(_ROOM_CENTS + max(0.0, sharp), _ROOM_SHARE * cents(place, below)),
            min(_ROOM_CENTS + max(0.0, -sharp), _ROOM_SHARE * cents(above, place)),
        )

    def nearest(self, hz: float) -> tuple[int, float]:
        """The partial whose place lies nearest to `hz`, and the cents from that place up to `hz`."""
        off = [cents(hz, place) for place in self._places]
        nearest = min(range(HIGHEST_PARTIAL), key=lambda index: abs(off[index]))
        return nearest + 1, off[nearest]

    @cached_property
    def _places(self) -> tuple[float, ...]:
        written = self.fingering.written.number
        partials = range(1, HIGHEST_PARTIAL + 1)
        return tuple(raised(self.pure_hz(n), place_cents(self.horn, written, n)) for n in partials)

"""What can go wrong, each as one sentence for a person, with the exit code of the command line.

A sentence says what was found, what was wanted and what to do. The same sentence is shown on the panel,
printed by the command line, and pinned by a test.

Conventions
-----------
Exit codes: 0 all well; 1 nothing was heard; 2 a word of the command or of a settings file is wrong;
3 the sound cannot be had; 4 the log cannot be read or written.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable


class Fault(Exception):
    """Base of all expected failures; `str(fault)` is the sentence."""

    exit_code = 2


class BadInput(Fault, ValueError):
    """A word typed by a person (command line, settings file) is not one we know, or out of range."""


class SoundFault(Fault, OSError):
    """A recording or a microphone cannot be read."""

    exit_code = 3


class LogFault(Fault, OSError):
    """The log cannot be opened, read or written."""

    exit_code = 4


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """The tail of a sentence: the nearest known word, and all of them.

    Parameters
    ----------
    word : what was typed
    known : the words that would have been right, in the order to print them

    Returns
    -------
    A text that begins with a semicolon, such as ``"; did you mean alto? Known: soprano, alto."``
    """
    words = list(known)
    by_fold = {w.casefold(): w for w in words}
    near = difflib.get_close_matches(word.casefold(), list(by_fold), n=1, cutoff=0.5)
    guess = f"did you mean {by_fold[near[0]]}? " if near else ""
    return f"; {guess}Known: {', '.join(words)}."

"""Keys of a step that are wrong: each fault has its line, its key, what is wanted, and the nearest right word."""

from __future__ import annotations

import pytest

from unit.practice.routines.players import HEAD, Write, faults_of, player

OF_RISING = (
    "exercise, partials, within_reach, fingering, repeats, tries, start, guess, band, every, hush, hold, days."
)
OF_ALTO = "Known: Bb3, B3, C4, C#4, D4, Eb4, E4, F4, F#4, G4, G#4, A4."
MANY = "a number of more than 15 digits"


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("partials = 13", "partials: 13 is out of range; wanted a whole number from 1 to 12."),
        ('partials = "2-20"', "partials: 20 is out of range; wanted a whole number from 1 to 12."),
        ('partials = "6-2"', "partials: '6-2' runs downwards; wanted the lower number first."),
        (
            'partials = "all"',
            'partials: \'all\' names no partials; wanted numbers like [2, 3], or "2-6", "reach" or "top 3".',
        ),
        ("partials = []", "partials: an empty list; leave the key out, or name at least one."),
        (f"partials = {[2] * 33}", "partials: a list of 33; wanted at most 32."),
        (
            "partials = [2, true, 0]",
            (
                "partials: true is no whole number; wanted one from 1 to 12, without quotes."
                " 0 is out of range; wanted a whole number from 1 to 12."
            ),
        ),
        ("tries = 0", "tries: 0 is out of range; wanted a whole number from 1 to 10."),
        ("tries = true", "tries: true is no whole number; wanted one from 1 to 10, without quotes."),
        ('tries = "3"', "tries: '3' is no whole number; wanted one from 1 to 10, without quotes."),
        ("tries = 1.5", "tries: 1.5 is no whole number; wanted one from 1 to 10, without quotes."),
        (f"tries = {'9' * 900}", f"tries: {MANY} is out of range; wanted a whole number from 1 to 10."),
        ("repeats = 21", "repeats: 21 is out of range; wanted a whole number from 1 to 20."),
        ("hold = nan", "hold: nan is out of range; wanted a number from 0.5 to 60 seconds."),
        ("hold = inf", "hold: inf is out of range; wanted a number from 0.5 to 60 seconds."),
        ("hold = -1", "hold: -1 is out of range; wanted a number from 0.5 to 60 seconds."),
        ("hold = 1e300", "hold: 1e+300 is out of range; wanted a number from 0.5 to 60 seconds."),
        (f"hold = -{'9' * 900}", f"hold: {MANY} is out of range; wanted a number from 0.5 to 60 seconds."),
        ("hold = true", "hold: true is no number; wanted one from 0.5 to 60 seconds, without quotes."),
        ("hold = 1979-05-27", "hold: 1979-05-27 is no number; wanted one from 0.5 to 60 seconds, without quotes."),
        ("hush = -0.5", "hush: -0.5 is out of range; wanted a number from 0 to 30 seconds."),
        ("band = 51", "band: 51 is out of range; wanted a number from 0 to 50 cents."),
        ("every = 0", "every: 0 is out of range; wanted a whole number from 1 to 10."),
        ('guess = "yes"', "guess: 'yes' is neither true nor false; wanted one of them, without quotes."),
        ('start = "tonged"', "start: 'tonged' is no start; did you mean tongued? Known: any, tongued, air, mixed."),
        ('start = "mixed"', "start: 'mixed' is for 'starts' alone; wanted any, tongued or air."),
        ("start = {}", "start: a table is no text; wanted words in quotes."),
        ("days = 0", "days: 0 is out of range; wanted a whole number from 1 to 60."),
        ('days = "monday"', "days: 'monday' is no span; wanted numbers in brackets, or a text like \"1-3\"."),
        ("days = {}", "days: a table is no whole number; wanted one from 1 to 60, without quotes."),
        ('fingering = "H3"', f"fingering: 'H3' is no fingering; did you mean B3? {OF_ALTO}"),
        (
            'fingering = ["Bb3", "A3", "x"]',
            (
                f"fingering: 'A3' is no overtone fingering of the alto; did you mean B3? {OF_ALTO}"
                f" 'x' is no fingering; {OF_ALTO}"
            ),
        ),
        ("within_reach = true", "within_reach: it cuts `partials` down to the reach; name them, or leave it out."),
        ("trys = 3", f"trys: no such key; did you mean tries? Known: {OF_RISING}"),
        ('"ke y" = 3', f"'ke y': no such key; Known: {OF_RISING}"),
        ("a.b.c = 3", f"a: no such key; Known: {OF_RISING}"),
        ("swell = true", f"swell: it is not heeded here; leave it out. Heeded: {OF_RISING}"),
        ("seconds = 9", f"seconds: it is not heeded here; leave it out. Heeded: {OF_RISING}"),
    ],
)
def test_a_wrong_key_of_a_step_is_told_with_its_line(write: Write, line: str, sentence: str) -> None:
    path = write(f'{HEAD}[[step]] # one\nexercise = "rising"\n{line}\n')
    assert faults_of(path) == ["mine.toml has 1 fault:", f"line 6: {sentence}"]


@pytest.mark.parametrize(
    ("step", "sentence"),
    [
        (
            '"slurs"\npartials = 3',
            "partials: A slur over partial 3 alone was asked for; wanted two partials or more.",
        ),
        (
            '"starts"\nstart = "any"',
            "start: 'any' trains no start; wanted tongued, air or mixed, or leave it out for both in turn.",
        ),
        (
            '"compare"\npartials = 12',
            "partials: Partial 12 (F7) has no usual fingering at the unison; choose another partial or interval.",
        ),
        (
            '"compare low"\nbelow = ["third", "octav"]',
            (
                "below: 'third' is no interval below; Known: octave, fifth, twelfth."
                " 'octav' is no interval below; did you mean octave? Known: octave, fifth, twelfth."
            ),
        ),
        (
            '"rising"\nwithin_reach = true\npartials = "reach"',
            "within_reach: these partials are within reach already; leave it out.",
        ),
    ],
)
def test_what_does_not_go_together_is_told(write: Write, step: str, sentence: str) -> None:
    assert faults_of(write(f"{HEAD}[[step]]\nexercise = {step}\n")) == [
        "mine.toml has 1 fault:",
        f"line 6: {sentence}",
    ]


def test_a_partial_that_a_fingering_does_not_give_is_told_with_the_highest_that_it_does(write: Write) -> None:
    path = write(f'{HEAD}[[step]]\nexercise = "rising"\npartials = [\n  2,\n  12,\n]\nfingering = "long"\n')
    assert faults_of(path) == [
        "mine.toml has 4 faults:",
        "line 6: partials: Partial 12 of B3 was asked for; wanted 1 to 11, the highest asked for on it.",
        "line 6: partials: Partial 12 of C4 was asked for; wanted 1 to 10, the highest asked for on it.",
        "line 6: partials: Partial 12 of C♯4 was asked for; wanted 1 to 10, the highest asked for on it.",
        "line 6: partials: Partial 12 of D4 was asked for; wanted 1 to 9, the highest asked for on it.",
    ]


def test_a_fingering_that_only_another_horn_has_is_told(write: Write) -> None:
    path = write(f'{HEAD}[[step]]\nexercise = "rising"\nfingering = "A3"\n')
    assert faults_of(path, player("alto"))[1].startswith(
        "line 6: fingering: 'A3' is no overtone fingering of the alto;"
    )
    assert faults_of(write(f'{HEAD}[[step]]\nexercise = "rising"\nfingering = "A2"\n'), player("baritone"))[
        1
    ].startswith("line 6: fingering: 'A2' is no overtone fingering of the baritone;")


def test_all_faults_are_told_at_once_in_the_order_of_their_lines(write: Write) -> None:
    path = write(
        'version = 1\nname = ""\nabout = "x"\n\n[[step]]\ntrys = 2\nexercise = "risin"\nhold = 0\n\n'
        '[[step]]\nexercise = "rest"\ntries = 2\n[[step]]\nroutine = "../taste"\nhold = 3\n'
        '[[step]]\nroutine = "tast"\n'
    )
    told = faults_of(path)
    assert told[0] == "mine.toml has 8 faults:"
    assert [line.split(";")[0] for line in told[1:]] == [
        "line 2: name: '' is no text",
        "line 6: trys: no such key",
        "line 7: exercise: 'risin' is no exercise",
        "line 8: hold: 0 is out of range",
        "line 12: tries: it is not heeded here",
        "line 14: routine: '../taste' is no name of a routine",
        "line 15: hold: it is not heeded here",
        "line 17: routine: 'tast' is no routine that we know",
    ]

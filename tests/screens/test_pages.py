"""The pages round the practice: whatever the box, nothing is cut or covered, no label lies, every word is listed."""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS
from airladder.music.pitch import A4_HIGHEST_HZ, A4_LOWEST_HZ
from airladder.music.series import HIGHEST_PARTIAL, Against
from airladder.pages import going
from airladder.pages.box import Box
from airladder.pages.choices import ITEMS, Choices, Item, Place
from airladder.pages.date import FIRST_YEAR, LAST_YEAR, Part
from airladder.pages.effects import Step
from airladder.pages.glance import Glance, Offered
from airladder.pages.hands import WEEKS
from airladder.pages.meter import Meter
from airladder.pages.page import Page
from airladder.pages.step import LOW_BATTERY, step
from airladder.panel import fonts, gallery, page_words, views, words
from airladder.panel.canvas import SAFE_HEIGHT, SAFE_WIDTH
from airladder.panel.rounds import sheet, today
from airladder.panel.rounds.buttons import row
from airladder.practice.cautions import FIRST_RUN
from airladder.practice.coach.history import Day, Tally
from airladder.practice.coach.plan import Plan
from airladder.practice.exercise import Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.presses import ROW, Button, Press
from airladder.practice.routine import Routine
from airladder.practice.state import Aloud, State

SAMPLES = {name: sample for name, sample in gallery.samples().items() if isinstance(sample, Box)}
STATES = [sample for sample in gallery.samples().values() if isinstance(sample, State)]
WALK = (Page.SETUP, Page.CAUTIONS, Page.LEVEL)
ROUND = [page for page in Page if page is not Page.PRACTICE]
sentences = st.just("") | st.text(st.characters(min_codepoint=32, max_codepoint=0x2FFF), max_size=250)
dbfs = st.floats(-200, 20)


@st.composite
def choices(draw: st.DrawFn) -> Choices:
    horn = draw(st.sampled_from(list(HORNS.values())))
    return Choices(
        horn,
        draw(st.sampled_from(list(fingerings_of(horn).values()))),
        draw(st.floats(A4_LOWEST_HZ, A4_HIGHEST_HZ)),
        draw(st.sampled_from(Against)),
        draw(st.sampled_from(Aloud)),
        draw(st.sampled_from(Place)),
    )


@st.composite
def routines(draw: st.DrawFn, chosen: Choices) -> Routine:
    kinds = draw(st.lists(st.sampled_from(Kind), min_size=1, max_size=4))
    name = draw(st.text(st.characters(min_codepoint=32, max_codepoint=0xFF), min_size=1, max_size=20))
    return Routine(name, tuple(built(Wish(kind, chosen.series)) for kind in kinds))


@st.composite
def days(draw: st.DrawFn, today: int) -> Day:
    partials = draw(st.lists(st.integers(1, HIGHEST_PARTIAL), max_size=5, unique=True))
    date = draw(st.integers(0, 800_000) | st.integers(max(0, today - 40), today + 2))
    return Day(date, tuple(Tally("Bb3", partial, 3, draw(st.integers(0, 3))) for partial in partials))


@st.composite
def glances(draw: st.DrawFn, chosen: Choices) -> Glance:
    routine, today = draw(routines(chosen)), draw(st.integers(0, 800_000))
    offered = st.builds(Offered, st.text(max_size=20), sentences, st.sampled_from([None, routine]))
    return Glance(
        Plan(routine, ("",) * len(routine.exercises), tuple(draw(st.lists(sentences, max_size=3)))),
        tuple(draw(st.lists(days(today), max_size=30))),
        today,
        tuple(draw(st.lists(offered, max_size=4))),
    )


@st.composite
def boxes(draw: st.DrawFn, pages: Sequence[Page] = tuple(Page)) -> Box:
    """Any box at all, also such as no press would come to."""
    page, chosen = draw(st.sampled_from(pages)), draw(choices())
    in_walk = page in WALK and draw(st.booleans())
    glance = draw(st.none() | glances(chosen))
    sentence = draw(sentences)
    now = draw(st.floats(0, 1e6))
    box = Box(
        page,
        chosen,
        WALK[WALK.index(page) :] if in_walk else (),
        now=now,
        stirred=now,
        session=draw(st.sampled_from([None, *STATES])) if page in (Page.PRACTICE, Page.NIGHT) else None,
        practices=draw(st.integers(0, 3)),
        glance=glance,
        read=draw(st.integers(0, len(FIRST_RUN) - 1)),
        row=draw(st.integers(0, max(0, len(glance.routines) - 1) if glance else 0)),
        back=draw(st.sampled_from([0, WEEKS]) | st.integers(0, WEEKS)),
        meter=Meter(draw(st.just(-float("inf")) | st.just(now)), draw(dbfs), draw(dbfs), now, draw(dbfs)),
        output=draw(st.booleans()),
        troubles={"log": sentence} if sentence else {},
    )
    return replace(box, item=draw(st.sampled_from(going.items(box))))


@pytest.mark.parametrize("name", SAMPLES)
def test_nothing_on_a_sample_is_cut_or_covered(name: str) -> None:
    assert views.compose(SAMPLES[name]).flaws() == []


@settings(max_examples=400, deadline=None)
@given(boxes())
def test_nothing_is_cut_or_covered_whatever_the_box(box: Box) -> None:
    canvas = views.compose(box)
    assert canvas.flaws() == []
    assert (canvas.image.mode, canvas.image.size) == ("1", (128, 64))
    lit = canvas.image.getbbox()
    assert lit is None or (lit[2] <= SAFE_WIDTH and lit[3] <= SAFE_HEIGHT)


@settings(max_examples=200, deadline=None)
@given(boxes())
def test_each_label_fits_above_its_button(box: Box) -> None:
    for label in row(box):
        assert len(label) <= 6
        assert fonts.small().measure(label) <= 128 // len(ROW) - 1
        assert set(label) <= set(fonts.small().rows)


def after(box: Box, button: Button, *, held: bool = False) -> Step:
    """What a press does, apart from the note which button it was."""
    pressed, effects = step(box, Press(button, held, box.now))
    return replace(pressed, spent=None), effects


@settings(max_examples=400, deadline=None)
@given(boxes(ROUND), st.sampled_from(list(zip(range(4), ROW, strict=True))))
def test_a_button_without_a_label_does_nothing_and_one_with_a_label_does_something(
    box: Box, place: tuple[int, Button]
) -> None:
    index, button = place
    nothing = after(box, button) == (box, ())
    if not row(box)[index]:
        assert nothing
    else:
        assert not nothing or _is_as_far_as_it_goes(box, button)


def _is_as_far_as_it_goes(box: Box, button: Button) -> bool:
    """Pressed once more: A4 or the year at its end, or the place of the microphone that is chosen already."""
    if box.page is Page.SETUP and box.item is Item.A4:
        return box.choices.a4 == {Button.DOWN: A4_LOWEST_HZ, Button.UP: A4_HIGHEST_HZ}[button]
    if box.page is Page.DATE and box.part is Part.YEAR:
        return box.date.year == {Button.DOWN: FIRST_YEAR, Button.UP: LAST_YEAR}[button]
    return box.page is Page.LEVEL and button is {Place.BELL: Button.DOWN, Place.STAND: Button.UP}[box.choices.place]


@settings(max_examples=200, deadline=None)
@given(boxes(ROUND))
def test_the_signs_of_the_foot_switch_stand_where_it_does_the_same(box: Box) -> None:
    for button, label in zip(ROW, row(box), strict=True):
        sign = {Button.UP: words.PEDAL_HELD, Button.OK: words.PEDAL}.get(button)
        assert (sign is not None and label != "") == (words.PEDAL in label or words.PEDAL_HELD in label)
        if sign is not None and label:
            assert label.endswith(sign)
            assert after(box, Button.FOOT, held=button is Button.UP) == after(box, button)


@cache
def written() -> frozenset[str]:
    """Every word that stands in the two lists of words."""
    found = set()
    for module in (words, page_words):
        for node in ast.walk(ast.parse(inspect.getsource(module))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found |= set(re.findall(r"[^\W\d_]+", node.value))
    return frozenset(found)


def named(box: Box) -> str:
    """What is said on this box in words that come from elsewhere: the trade's names, and whole sentences."""
    sentences = [*box.troubles.values(), *FIRST_RUN, LOW_BATTERY, *HORNS]
    sentences += [one.value for one in (*Against, *Aloud)]
    if box.glance is not None:
        sentences += box.glance.plan.remarks
        sentences += [text for offered in box.glance.routines for text in (offered.called, offered.about)]
    return " ".join(sentences)


@settings(max_examples=300, deadline=None)
@given(boxes(ROUND))
def test_every_word_on_a_page_stands_in_the_list_of_words(box: Box) -> None:
    drawn = [thing for thing in views.compose(box).things() if thing not in ("the ladder", "the meter", "the days")]
    known, elsewhere = written(), named(box)
    for word in re.findall(r"[^\W\d_]+", " ".join(drawn)):
        assert word in known or word in elsewhere or word in "ABCDEFG", word


def test_every_page_has_its_labels_and_each_choice_its_explanation() -> None:
    assert set(page_words.ROWS) == set(Page) - {Page.PRACTICE}
    assert set(page_words.ITEMS) == set(ITEMS)
    assert set(page_words.AGAINST) == set(Against)
    assert set(page_words.ALOUD) == set(Aloud)


@given(sentences)
def test_every_word_of_a_long_text_comes_to_stand_on_the_screen_in_turn(text: str) -> None:
    pieces = sheet.parts(text)
    shown = [pieces[sheet.due(len(pieces), sheet.TURN_SECONDS * (n + 0.5))] for n in range(len(pieces))]
    assert "".join("".join(line for piece in shown for line in piece).split()) == "".join(text.split())
    assert all(len(piece) <= sheet.LINES for piece in shown)


def test_the_longest_remark_of_the_coach_is_read_in_full_within_a_quarter_of_a_minute() -> None:
    box = SAMPLES["today-plateau"]
    assert box.glance is not None
    remark = " ".join(box.glance.plan.remarks)
    assert len(remark) > 180
    seen = []
    for t in (0.5, 6.5, 12.5):
        seen += views.compose(replace(box, now=t)).things()
    assert set(remark.split()) <= set(" ".join(seen).split())
    assert page_words.LONG_MINUTES in seen


def test_the_ladder_of_today_shows_what_was_right_before() -> None:
    glance = SAMPLES["today"].glance
    assert glance is not None
    exercise = today.main_exercise(glance.plan.routine)
    assert max(exercise.rungs) == 4
    never, tried, right = (
        views.picture(Box(Page.TODAY, glance=replace(glance, days=days)))
        for days in ((), (Day(1, (Tally("Bb3", 3, 2, 0),)),), (Day(1, (Tally("Bb3", 3, 2, 1),)),))
    )
    assert never.tobytes() == tried.tobytes() != right.tobytes()


@given(st.integers(0, 27), st.booleans())
@settings(deadline=None, max_examples=60)
def test_one_day_stands_in_its_own_column_and_is_higher_where_it_was_right(ago: int, right: bool) -> None:
    glance = SAMPLES["days"].glance
    assert glance is not None
    chart = (15, 0, 127, 34)
    old = Day(glance.today - 100, ())
    empty = views.picture(Box(Page.DAYS, glance=replace(glance, days=(old,)))).crop(chart)
    day = Day(glance.today - ago, (Tally("Bb3", 3, 2, int(right)),))
    one = views.picture(Box(Page.DAYS, glance=replace(glance, days=(old, day)))).crop(chart)
    assert empty.getbbox() is None
    lit = one.getbbox()
    assert lit is not None
    assert (lit[0], lit[2]) == ((27 - ago) * 4, (27 - ago) * 4 + 3)
    assert lit[3] - lit[1] == (3 if right else 1)


def test_good_night_says_that_all_is_kept_only_where_it_is() -> None:
    kept, lost = (views.compose(SAMPLES[name]).things() for name in ("night-well-played", "night-not-kept"))
    assert page_words.ALL_KEPT[1] in kept
    assert page_words.ALL_KEPT[1] not in lost
    assert "2 tries are not kept yet:" in lost


@pytest.mark.parametrize(
    ("peak", "place", "word"),
    [
        (-40.0, Place.BELL, "too soft"),
        (-30.0, Place.STAND, "good"),
        (-30.0, Place.BELL, "too soft"),
        (-12.0, Place.BELL, "good"),
        (-8.0, Place.STAND, "too loud"),
        (-3.0, Place.BELL, "too loud"),
        (-55.0, Place.BELL, "play now"),
    ],
)
def test_the_level_is_told_in_a_word_for_bell_and_stand(peak: float, place: Place, word: str) -> None:
    box = Box(Page.LEVEL, Choices(place=place), meter=Meter(1.0, peak - 6.0, peak, 1.0, -62.0))
    assert word in views.compose(box).things()

"""The command: which checks, in which order, what is said, and with which exit code."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from pathlib import Path

import pytest
from gpiozero.pins.mock import MockFactory

from airladder.config import Settings
from airladder.devices.recorded_bus import recorded_bus
from airladder.faults import BadInput, Fault
from airladder.panel.canvas import Canvas
from airladder.selftest import command, pictures
from airladder.selftest.checks import ABOUT
from airladder.selftest.command import chosen, listed, run, selftest
from airladder.selftest.result import STOP_THE_SERVICE, Check, Result, Verdict, failed, not_there, skipped, well
from airladder.selftest.stage import Stage
from jig import Diary, Jig
from oledwire import oled


def passing(name: str = "one") -> Check:
    return Check(name, "something", lambda: well("It is well.", seen_ms=1.25, many=[1, 2], inner={"deep": None}))


def failing(name: str = "two") -> Check:
    return Check(name, "something", lambda: failed("It is not well."))


def said(*todo: Check, as_json: bool = False, **words: bool) -> tuple[int, list[str]]:
    out = io.StringIO()
    how = {"person": True, "served": False} | words
    code = run(todo, Stage(out, Diary(), as_json=as_json), **how)
    return code, out.getvalue().splitlines()


def test_each_check_is_a_line_with_its_figures_and_a_summary_ends_them() -> None:
    code, lines = said(passing(), failing())
    assert code == 1
    assert lines == [
        "ok         one         It is well. [seen_ms 1.25, many 1 2, inner.deep None]",
        "failed     two         It is not well.",
        "2 checks: 1 ok, 1 failed (two).",
    ]


def test_what_is_not_there_or_skipped_is_no_failure() -> None:
    code, lines = said(
        passing(),
        Check("two", "", lambda: not_there("None.")),
        Check("three", "", lambda: skipped("Left out.")),
    )
    assert code == 0
    assert lines[-1] == "3 checks: 1 ok, 1 not there (two), 1 skipped (three)."


def test_in_json_each_is_an_object_and_the_last_one_sums_up() -> None:
    code, lines = said(passing(), failing(), as_json=True)
    told = [json.loads(line) for line in lines]
    assert code == 1
    assert told == [
        {
            "event": "check",
            "check": "one",
            "result": "ok",
            "says": "It is well.",
            "figures": {"seen_ms": 1.25, "many": [1, 2], "inner": {"deep": None}},
        },
        {"event": "check", "check": "two", "result": "failed", "says": "It is not well.", "figures": {}},
        {"event": "summary", "ok": ["one"], "failed": ["two"], "not there": [], "skipped": []},
    ]


def test_questions_are_objects_too(factory: MockFactory) -> None:
    jig = Jig(factory, as_json=True)
    jig.stage.ask("Be quiet", "Make no sound.")
    assert jig.said == [{"event": "ask", "head": "Be quiet", "says": "Make no sound."}]


def test_without_hands_what_needs_them_is_left_out_and_not_begun() -> None:
    def begun() -> Result:
        raise AssertionError("it was begun")

    code, lines = said(Check("buttons", "", begun, by_hand=True), passing(), person=False)
    assert code == 0
    assert lines[0].startswith("skipped    buttons     This takes a person")


def test_what_the_service_has_fails_with_what_to_do_and_the_rest_goes_on() -> None:
    code, lines = said(Check("rate", "", lambda: well("No."), exclusive=True), passing(), served=True)
    assert code == 1
    assert lines[0] == f"failed     rate        {STOP_THE_SERVICE}"
    assert lines[1].startswith("ok")


@pytest.mark.parametrize("error", [Fault("Nothing goes."), OSError(5, "Input/output error")])
def test_an_error_of_one_check_is_its_failure_and_the_others_go_on(error: Exception) -> None:
    def breaks() -> Result:
        raise error

    code, lines = said(Check("bad", "", breaks), passing())
    assert code == 1
    assert lines[0].startswith("failed     bad")
    assert lines[1].startswith("ok         one")


def test_the_checks_that_are_named_are_done_in_the_order_of_a_bring_up() -> None:
    todo = [passing("a"), passing("b"), passing("c")]
    assert [check.name for check in chosen(["c", "a"], todo)] == ["a", "c"]
    assert chosen([], todo) == todo


def test_the_list_names_every_check() -> None:
    assert [line.split()[0] for line in listed()] == list(ABOUT)
    assert listed()[3] == "buttons     the four buttons, each pressed once (by hand)"


def test_a_check_that_does_not_exist_is_told_before_anything_is_touched(monkeypatch: pytest.MonkeyPatch) -> None:
    def touched(*words: object) -> object:
        raise AssertionError("something was opened")

    monkeypatch.setattr(command, "wire_on", touched)
    with pytest.raises(BadInput, match=r"^'buttens' is no check; did you mean buttons\? Known: board, supply, i2c, "):
        selftest(["buttens"], Settings(), out=io.StringIO())


def test_an_ordinary_computer_says_in_plain_words_what_it_lacks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO())
    out = io.StringIO()
    names = ["board", "i2c", "screen", "gauge", "log", "drive", "buttons"]
    code = selftest(names, replace(Settings(), log_folder=tmp_path), quick=True, hands=False, as_json=True, out=out)
    told = {one.get("check"): one for one in map(json.loads, out.getvalue().splitlines())}
    assert code == 0
    assert {told[name]["result"] for name in ("board", "log", "drive")} == {"ok"}
    assert told["buttons"]["result"] == "skipped"
    assert [*told] == [*[name for name in ABOUT if name in names], None]


def test_the_screen_of_the_box_shows_each_check_and_what_came_of_it() -> None:
    bus = recorded_bus("ssd1306")
    clock = Diary()
    seen: list[bytes] = []
    stage = Stage(io.StringIO(), clock, display=oled(bus, "ssd1306", clock=clock))

    def look() -> Result:
        seen.append(bus.picture().tobytes())
        return well("It is well.")

    check = Check("one", "something", look)
    clock.at(0.5, lambda: seen.append(bus.picture().tobytes()))
    run([check], stage, person=True, served=False)
    seen.append(bus.picture().tobytes())
    wanted = [
        pictures.asking("one", "something"),
        pictures.found("one", well("It is well.")),
        pictures.summary({"one": well("")}),
    ]
    assert seen == [canvas.image.tobytes() for canvas in wanted]


def long(words: str) -> str:
    return " ".join([words] * 40)


@pytest.mark.parametrize(
    "canvas",
    [
        *(pictures.asking(name, about) for name, about in ABOUT.items()),
        *(pictures.found(name, Result(verdict, long("a sentence"))) for name in ABOUT for verdict in Verdict),
        pictures.asking("Press BACK", "Press BACK once, and let go."),
        pictures.summary({name: failed("") for name in ABOUT}),
        pictures.summary({name: well("") for name in ABOUT}),
    ],
)
def test_nothing_on_the_screen_lies_on_another_or_leaves_it(canvas: Canvas) -> None:
    assert canvas.flaws() == []

"""Horn, fingering and time are chosen by form, by address, and by the keyboard alone."""

from __future__ import annotations

import pytest

from browser.conftest import Opener, labels, rows
from chromium import Tab


def chosen(tab: Tab) -> list[str]:
    found: list[str] = tab.ask(
        "['horn', 'fingering', 'time'].map((n) => document.getElementById('choose').elements[n].value)"
    )
    return found


def choose(tab: Tab, name: str, value: str) -> None:
    tab.ask(
        f"(() => {{ const s = document.querySelector('[name={name}]'); s.value = {value!r};"
        " s.dispatchEvent(new Event('change', {bubbles: true})); })()"
    )


def press(tab: Tab, key: str, code: str = "") -> None:
    tab.key(True, key, code or key)
    tab.key(False, key, code or key)


def test_the_page_opens_on_the_horn_of_the_newest_practice_and_a_year(read: Tab) -> None:
    assert chosen(read)[1:] == ["all", "12m"]
    assert read.ask("location.hash") == ""


def test_a_fingering_leaves_its_own_plots_and_rows(opened: Opener) -> None:
    tab = opened("#horn=alto")
    before = labels(tab, "ladders"), rows(tab, "cents")
    assert len(before[0]) > 3
    choose(tab, "fingering", "C4")
    assert [sentence.split(".")[0] for sentence in labels(tab, "ladders")] == ["Ladder of low C"]
    assert rows(tab, "cents") == [row for row in before[1] if row[0] == "Low C"] != []


def test_a_horn_has_its_own_fingerings_and_figures(opened: Opener) -> None:
    tab = opened("#horn=alto&fingering=Bb3&time=all")
    before = labels(tab, "ladders")
    choose(tab, "horn", "tenor")
    assert chosen(tab)[::2] == ["tenor", "all"]
    assert labels(tab, "ladders") != before


@pytest.mark.parametrize(("time", "ends"), [("30d", 3), ("2016", 2), ("all", 2)])
def test_a_time_leaves_what_was_in_it(opened: Opener, time: str, ends: int) -> None:
    """30 days are told day by day, such as "4 May 2017"; a year and the whole time month by month."""
    tab = opened("#horn=alto")
    choose(tab, "time", time)
    when = [row[2] for row in rows(tab, "growth")]
    assert {len(text.split()) for text in when} == {ends}
    if time == "2016":
        assert {text.split()[-1] for text in when} == {"2016"}


def test_the_choice_stands_in_the_address_and_is_found_there_again(opened: Opener) -> None:
    tab = opened("#horn=alto")
    choose(tab, "fingering", "B3")
    choose(tab, "time", "60d")
    fragment = tab.ask("location.hash")
    assert fragment == "#horn=alto&fingering=B3&time=60d"
    again = opened(fragment)
    assert chosen(again) == ["alto", "B3", "60d"]
    assert labels(again, "ladders") == labels(tab, "ladders")


def test_the_way_back_leads_to_the_choice_before(opened: Opener) -> None:
    tab = opened("#horn=alto&fingering=Bb3&time=12m")
    choose(tab, "fingering", "C4")
    tab.ask("history.back()")
    tab.until("document.querySelector('[name=fingering]').value === 'Bb3'")
    assert labels(tab, "ladders")[0].startswith("Ladder of low B flat")


def test_an_address_that_is_not_understood_shows_what_the_page_opens_on(opened: Opener, read: Tab) -> None:
    assert chosen(opened("#horn=<b>&fingering=H9&time=9999")) == chosen(read)


def test_a_link_within_the_page_changes_no_choice(opened: Opener) -> None:
    tab = opened("#horn=alto&fingering=C4&time=all")
    tab.ask("document.querySelector('nav a[href=\"#coach\"]').click()")
    tab.until("document.activeElement.id === 'coach-head'")
    tab.until("Math.abs(document.activeElement.getBoundingClientRect().y) < innerHeight / 2")
    assert tab.ask("location.hash") == "#horn=alto&fingering=C4&time=all"
    tab.ask("location.hash = '#speak'")  # as by hand
    tab.ask("new Promise((done) => setTimeout(done, 50))")
    assert chosen(tab) == ["alto", "C4", "all"]
    assert tab.complaints() == []


def test_a_screen_reader_hears_what_is_shown(opened: Opener) -> None:
    tab = opened("#horn=alto")
    choose(tab, "fingering", "C4")
    shown = "document.querySelector('#choose [role=status]').textContent"
    assert tab.ask(shown) == "Shown: alto, low C, the newest 12 months."


def test_all_of_it_goes_by_the_keyboard(opened: Opener) -> None:
    """Tab to each control, letters choose, Enter opens a table, and what has the focus is always seen to have it."""
    tab = opened("#horn=alto&fingering=all&time=12m")
    tab.ask("document.querySelector('nav li:last-child a').focus()")
    press(tab, "Tab")
    assert tab.ask("document.activeElement.name") == "horn"
    press(tab, "t", "KeyT")
    tab.until("document.querySelector('[name=horn]').value === 'tenor'")
    press(tab, "Tab")
    press(tab, "ArrowDown")
    tab.until("document.querySelector('[name=fingering]').selectedIndex === 1")
    press(tab, "Tab")
    press(tab, "Tab")
    assert tab.ask("document.activeElement.type") == "reset"
    assert tab.ask("getComputedStyle(document.activeElement).outline").endswith(" solid 2px")
    press(tab, "Enter")
    tab.until("document.querySelector('[name=fingering]').value === 'all'")
    press(tab, "Tab")
    assert tab.ask("document.activeElement.tagName") == "SUMMARY"
    press(tab, "Enter")
    tab.until("document.activeElement.parentElement.open")
    press(tab, "Tab")
    assert tab.ask("document.activeElement.className") == "wide-table"
    assert tab.complaints() == []


def test_focus_reaches_every_control_and_comes_out_again(opened: Opener) -> None:
    """No trap for the keyboard (WCAG 2.2, 2.1.2), and the order is that of the page (2.4.3)."""
    tab = opened()
    seen = []
    place = (
        "document.activeElement === document.body ? -1 : document.activeElement.getBoundingClientRect().y + scrollY"
    )
    for _ in range(60):
        press(tab, "Tab")
        seen.append(tab.ask(place))
        if seen[-1] == -1:
            break
    assert seen.pop() == -1
    controls = "[...document.querySelectorAll('a[href], select, button, summary, .wide-table')]"
    assert len(seen) == tab.ask(
        f"{controls}.filter((e) => e.checkVisibility({{contentVisibilityAuto: true}})).length"
    )
    assert seen == sorted(seen)

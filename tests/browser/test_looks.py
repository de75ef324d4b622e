"""The report on a phone, in the dark, on paper, without a script, and by the rules of axe-core."""

from __future__ import annotations

import base64
from importlib.resources import files

import pytest

from browser.conftest import Opener, labels
from chromium import Tab

SCHEMES = ("light", "dark")


def scheme(name: str) -> dict[str, str]:
    return {"prefers-color-scheme": name}


def open_all(tab: Tab) -> None:
    tab.ask("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    tab.ask("new Promise((done) => setTimeout(done, 200))")


AXE = """
axe.run({resultTypes: ["violations"]}).then((found) => ({
    passed: found.passes.length,
    serious: found.violations.filter((rule) => rule.impact === "serious" || rule.impact === "critical")
        .map((rule) => [rule.id, rule.nodes.slice(0, 3).map((node) => node.html.slice(0, 200))]),
}))
"""


@pytest.mark.parametrize(("light", "width"), [("light", 1100), ("dark", 1100), ("light", 360)])
def test_axe_finds_nothing_serious(opened: Opener, light: str, width: int) -> None:
    """The rules of axe-core (Deque Systems), as its package brings them."""
    tab = opened("#horn=alto&fingering=Bb3&time=30d", media=scheme(light), width=width)
    open_all(tab)
    tab.ask((files("axe_core_python") / "axe.min.js").read_text(encoding="utf-8") + "; 1")
    found = tab.ask(AXE)
    assert found["serious"] == []
    assert found["passed"] > 20


@pytest.mark.parametrize("light", SCHEMES)
def test_words_in_plots_stand_out_from_what_is_behind_them(opened: Opener, light: str) -> None:
    """Contrast of 4.5 at least (WCAG 2.2, 1.4.3, its formula of relative luminance); axe does not look into plots."""
    tab = opened(media=scheme(light))
    behind = [
        tab.ask(f"getComputedStyle(document.querySelector('{what}')).backgroundColor") for what in ("body", "select")
    ]
    fills = tab.ask(
        "[...new Set([...document.querySelectorAll('.drawn svg text')].map((e) => getComputedStyle(e).fill))]"
    )
    assert fills
    for fill in fills:
        for paper in behind:
            light_one, dark_one = sorted((luminance(fill), luminance(paper)), reverse=True)
            assert (light_one + 0.05) / (dark_one + 0.05) >= 4.5, (fill, paper)


def luminance(color: str) -> float:
    parts = [int(part) / 255 for part in color.removeprefix("rgb(").removesuffix(")").split(",")]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_dark_is_dark_and_light_is_light(opened: Opener) -> None:
    paper = "getComputedStyle(document.body).backgroundColor"
    papers = [opened(media=scheme(light)).ask(paper) for light in SCHEMES]
    assert luminance(papers[0]) > 0.9
    assert luminance(papers[1]) < 0.02


@pytest.mark.parametrize(("width", "fragment"), [(360, ""), (360, "#time=all"), (360, "#time=30d"), (800, "")])
def test_a_phone_scrolls_in_one_direction_only(opened: Opener, width: int, fragment: str) -> None:
    """WCAG 2.2, 1.4.10 wants that at 320 CSS pixels; wide tables may scroll by themselves."""
    tab = opened(fragment, width=width)
    open_all(tab)
    assert tab.ask("document.documentElement.scrollWidth") <= width
    assert (
        tab.ask(
            "Math.max(...[...document.querySelectorAll('.drawn svg')].map((e) => e.getBoundingClientRect().right))"
        )
        <= width
    )
    assert (
        tab.ask(
            "Math.min(...[...document.querySelectorAll('#choose select, #choose button')].map((e) => e.offsetHeight))"
        )
        >= 24
    )


@pytest.mark.parametrize("span", ["all", "12m", "30d"])
@pytest.mark.parametrize("width", [360, 390, 1100])
def test_no_word_of_a_plot_is_cut_off(opened: Opener, width: int, span: str) -> None:
    """An SVG cuts off what stands outside it."""
    tab = opened(f"#time={span}", width=width)
    outside = tab.ask(
        "[...document.querySelectorAll('.drawn svg text')].filter((e) => e.textContent.trim()).filter((e) => {"
        " const at = e.getBoundingClientRect(), svg = e.ownerSVGElement.getBoundingClientRect();"
        " return at.left < svg.left - 1 || at.right > Math.min(svg.right, innerWidth) + 1; })"
        ".map((e) => e.textContent)"
    )
    assert outside == []


def test_plots_are_drawn_anew_when_the_window_is_turned(opened: Opener) -> None:
    tab = opened(width=360)
    wide = "document.querySelector('#by-day svg').getBoundingClientRect().width"
    before = tab.ask(wide)
    tab.call("Emulation.setDeviceMetricsOverride", width=780, height=360, deviceScaleFactor=1, mobile=False)
    tab.until(f"{wide} > {before} + 100")


def test_it_goes_onto_paper_with_its_plots_as_lines(opened: Opener) -> None:
    tab = opened("#fingering=Bb3")
    paper = base64.b64decode(tab.call("Page.printToPDF", printBackground=False)["data"])
    assert paper.startswith(b"%PDF-")
    assert paper.count(b"/Type /Page\n") >= 3
    assert b"/Subtype /Image" not in paper  # vector all through
    tab.call("Emulation.setEmulatedMedia", media="print")
    hidden = tab.ask(
        "[...document.querySelectorAll('#choose select, #choose button')].every((e) => e.offsetHeight === 0)"
    )
    assert hidden
    assert tab.ask("document.querySelector('.now').offsetHeight") > 0
    assert tab.ask("getComputedStyle(document.querySelector('#ladders .drawn svg')).display") == "block"


def test_without_a_script_the_tables_stand_and_it_is_said(opened: Opener) -> None:
    tab = opened(script=False)
    tab.until("document.readyState === 'complete'")
    tree = tab.call("Accessibility.getFullAXTree")
    names = [node.get("name", {}).get("value", "") for node in tree["nodes"] if not node["ignored"]]
    assert any("here none is run" in name for name in names)
    assert "How surely each partial speaks" in names
    assert "What the plots show" not in names  # the form
    document = tab.call("DOM.getDocument", depth=-1)["root"]["nodeId"]
    for section in (
        "by-day",
        "ladders",
        "growth",
        "cents",
        "compared",
        "starts",
        "speak",
        "fundamentals",
        "sessions",
    ):
        found = tab.call("DOM.querySelectorAll", nodeId=document, selector=f"#{section} tbody tr")
        assert found["nodeIds"], section


def test_a_year_is_drawn_in_the_blink_of_an_eye(opened: Opener) -> None:
    """A change of the choice is answered within a second even on two slow cores."""
    tab = opened("#horn=alto")
    took = tab.ask(
        "(() => { const s = document.querySelector('[name=time]'); const t = performance.now(); s.value = 'all';"
        " s.dispatchEvent(new Event('change', {bubbles: true})); return performance.now() - t; })()"
    )
    assert took < 1000
    assert labels(tab, "cents")

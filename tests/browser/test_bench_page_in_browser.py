"""The bench page as a painter uses it, in a real browser."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

pytestmark = pytest.mark.browser

MINUTE = 60_000
SIZES = {"phone": (390, 844), "tablet": (1024, 768), "desktop": (1440, 900)}


def shown(page: Any) -> str:
    return page.locator("main > .screen:visible").get_attribute("id")


def shows(page: Any, name: str) -> None:
    """Wait until a screen is the one that is shown."""
    page.locator(f"#{name}").wait_for(state="visible")
    assert shown(page) == name


def becomes(page: Any, tell: Callable[[], float], wanted: Any) -> None:
    """Wait until a figure is so: a browser takes in wheels and fingers with its next frame."""
    for _ in range(600):
        if tell() == wanted:
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"{tell()} is not {wanted}")


def clocks(page: Any) -> list[str]:
    return [row.inner_text() for row in page.locator(".clocks li > span").all()]


def clocks_later(page: Any) -> list[str]:
    """The clocks a second later: a page that is loaded anew shows them with its next tick."""
    page.clock.run_for(1000)
    return clocks(page)


def test_every_step_is_shown_one_at_a_time(open_page) -> None:
    page = open_page()
    seen = [shown(page)]
    while page.locator("#next").is_enabled():
        page.locator("#next").click()
        assert page.locator("main > .screen:visible").count() == 1
        seen.append(shown(page))
    assert seen == ["front", "set-out", *(f"step-{n}" for n in range(1, 6)), "end"]
    page.go_back()
    shows(page, "step-5")
    for image in page.locator("main img").all():
        assert image.evaluate("i => i.complete && i.naturalWidth > 0")


def test_keys_turn_the_pages(open_page) -> None:
    page = open_page()
    page.keyboard.press("PageDown")
    page.keyboard.press("ArrowRight")
    shows(page, "step-1")
    assert page.evaluate("document.activeElement.id") == "step-1"
    page.keyboard.press("ArrowLeft")
    shows(page, "set-out")


def test_a_clock_runs_while_other_steps_are_done_and_rings(open_page) -> None:
    page = open_page(hash="#step-2")
    page.locator("#step-2 .deeds .tick").click()
    page.locator("#next").click()
    # charged 3 minutes after the wash it goes into, as the scene says
    page.clock.run_for(2 * MINUTE)
    assert any(re.fullmatch(r"until 3 bloom (1:0[01]|0:[2-5]\d)", told) for told in clocks(page))
    page.clock.run_for(MINUTE + 1000)
    assert "3 bloom now, into sky while it is wet" in clocks(page)
    assert page.locator(".spoken").inner_text() == "3 bloom now, into sky while it is wet"
    assert page.title().startswith("●")
    page.get_by_role("button", name="+5 min: until 3 bloom").or_(
        page.get_by_role("button", name="5 min more: until 3 bloom")
    ).click()
    page.clock.run_for(1000)
    assert not page.title().startswith("●")
    page.get_by_role("button", name="Clock off: until 3 bloom").click()
    assert [told for told in clocks(page) if "bloom" in told] == []


def test_bleach_rings_to_the_blot_and_blotting_stops_the_clock(open_page) -> None:
    page = open_page(hash="#step-4")
    on, blotted = (page.locator("#step-4 .deeds .tick").nth(n) for n in (0, 1))
    on.click()
    page.clock.run_for(1.5 * MINUTE + 1000)
    assert "blot 4 light now" in clocks(page)
    blotted.click()
    page.clock.run_for(1000)
    assert clocks(page) == []


def test_what_has_to_dry_first_is_told_as_it_stands(open_page) -> None:
    page = open_page(hash="#step-4")
    waits = page.locator("#step-4 .waits a").first
    assert "not laid yet" in waits.inner_text()
    waits.click()
    shows(page, "step-1")
    page.locator("#step-1 .deeds .tick").nth(0).click()
    page.locator("#step-1 .deeds .tick").nth(1).click()
    page.go_back()
    shows(page, "step-4")
    page.clock.run_for(1000)
    assert "still wet" in waits.inner_text()
    page.clock.fast_forward(24 * 60 * MINUTE)  # without each second's tick, as after a night
    page.clock.run_for(1000)
    assert "dry" in waits.inner_text()
    assert "wet" not in waits.inner_text()


def test_ticks_and_clocks_outlive_a_reload_and_can_be_taken_back(open_page) -> None:
    page = open_page(hash="#step-1")
    first = page.locator("#step-1 .deeds .tick").first
    first.click()
    page.reload()
    becomes(page, lambda: len(clocks_later(page)), 1)
    assert first.get_attribute("aria-pressed") == "true"
    page.locator("#next").click()
    page.locator("#undo").click()
    shows(page, "step-1")
    assert first.get_attribute("aria-pressed") == "false"
    assert clocks(page) == []
    assert page.locator("#undo").is_disabled()


@pytest.mark.parametrize("size", SIZES)
def test_however_many_clocks_run_the_step_stays_in_sight(open_page, size) -> None:
    """All washes of a day laid while others dry: what rings next is first, the rest is scrolled."""
    page = open_page(*SIZES[size], hash="#step-4")
    page.evaluate(
        "() => { const name = Object.keys(localStorage)[0], kept = JSON.parse(localStorage[name]);"
        "kept.clocks = [...Array(16).keys()].map((n) => ({ key: '1.1', ends: Date.now() + 60000 * "
        "(60 - n), label: `${n} a wash of a long name dries`, told: 'dry' }));"
        "localStorage[name] = JSON.stringify(kept); }"
    )
    page.reload()
    becomes(page, lambda: len(clocks_later(page)), 16)
    assert clocks(page)[0].startswith("15 a wash")
    high = SIZES[size][1]
    assert page.locator("header").bounding_box()["height"] < 0.3 * high
    page.locator("#step-4 .deeds .tick").first.tap()
    if size != "phone":  # the picture stands still beside the words, clear of the clocks
        top = page.locator("#step-4 figure").bounding_box()["y"]
        assert top >= page.locator("header").bounding_box()["height"]
    assert page.locator("#step-4 .deeds .tick").first.get_attribute("aria-pressed") == "true"
    off = page.get_by_role("button", name="Clock off: 0 a wash")
    off.focus()  # the last is reached by keys, and comes into sight
    row, box = off.bounding_box(), page.locator(".clocks").bounding_box()
    assert box["y"] <= row["y"] < box["y"] + box["height"]


def test_the_sheet_comes_closer_by_button_key_wheel_and_pinch(open_page) -> None:
    page = open_page(390, 844, hash="#step-4")
    pane, paper = (page.locator(f"#step-4 {one}") for one in (".window", ".paper"))

    def scale() -> float:
        found = re.search(r"scale\(([\d.]+)\)", paper.get_attribute("style") or "")
        return float(found[1]) if found else 1.0

    page.locator("#step-4 [data-do=closer]").click()
    assert scale() > 1.4
    # the place to paint, 8 mm across of 40, now stands in the middle and is well over a third wide
    page.locator("#step-4 [data-do=whole]").click()
    assert scale() == 1.0
    pane.focus()
    page.keyboard.press("+")
    assert scale() == 1.5
    page.keyboard.press("0")
    box = pane.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.wheel(0, -400)
    becomes(page, scale, pytest.approx(2.718, rel=0.01))
    page.keyboard.press("0")
    touch = page.context.new_cdp_session(page)
    for kind, apart in (("touchStart", 20), ("touchMove", 40), ("touchMove", 60), ("touchEnd", 0)):
        points = [{"x": x - apart, "y": y, "id": 0}, {"x": x + apart, "y": y, "id": 1}]
        sent = {"type": kind, "touchPoints": points if apart else []}
        touch.send("Input.dispatchTouchEvent", sent)
    becomes(page, scale, pytest.approx(3.0, rel=0.05))


def test_greys_are_the_luminance_of_the_colours(open_page) -> None:
    """Red (Y 0.2126) and green (Y 0.7152) of sRGB by IEC 61966-2-1: greys 127 and 220."""
    page = open_page()
    page.evaluate(
        "document.body.innerHTML += '<div id=patch style=\"position:fixed;inset:0;z-index:99;"
        'filter:url(#greys)"><div style="height:50%;background:#f00"></div>'
        '<div style="height:50%;background:#0f0"></div></div>\''
    )
    from io import BytesIO

    from PIL import Image

    picture = Image.open(BytesIO(page.screenshot())).convert("RGB")
    red, green = picture.getpixel((500, 100)), picture.getpixel((500, 700))
    assert max(abs(c - 127) for c in red) <= 1
    assert max(abs(c - 220) for c in green) <= 1


def test_greys_and_before_change_the_picture_and_back(open_page) -> None:
    page = open_page(hash="#step-2")
    stage = page.locator("#step-2 .stage")
    after = stage.get_attribute("src")
    page.locator("#step-2 [data-do=before]").click()
    assert stage.get_attribute("src") == page.locator("#step-1 .stage").get_attribute("src")
    page.locator("#step-2 [data-do=before]").click()
    assert stage.get_attribute("src") == after
    page.locator("#step-2 [data-do=veil]").click()
    assert not page.locator("#step-2 .veil").is_visible()


def test_without_a_script_all_steps_stand_below_each_other(chromium, page_file) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(page_file.as_uri())
    assert page.locator("main > .screen:visible").count() == 8
    context.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_a_page_a_step(open_page, paper: str) -> None:
    from io import BytesIO

    from pypdf import PdfReader

    pages = PdfReader(BytesIO(open_page().pdf(format=paper))).pages
    told = [page.extract_text() for page in pages]
    starts = [text[:30] for text in told]
    assert len(told) == 8, starts  # five steps, what comes before them, and the end
    for name in ("yellow", "sky", "bloom", "light", "soften"):
        assert any(re.match(rf"\s*\d\s*{name}", text) for text in told), told


# what is wide is so on either wall, and what is pale at any size
@pytest.mark.parametrize(("size", "dark"), [*((size, False) for size in SIZES), ("phone", True)])
def test_axe_finds_nothing_and_nothing_is_wider_than_the_screen(open_page, size, dark) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page = open_page(*SIZES[size], dark=dark)
    rules = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"]}
    for screen in ("front", "set-out", "step-2", "step-4", "end"):
        page.evaluate(f"location.hash = '{screen}'")
        shows(page, screen)
        if screen == "step-2":
            page.locator("#step-2 .deeds .tick").click()
        page.clock.run_for(1000)
        found = axe.run(page, options=rules)
        assert found.response["violations"] == [], found.generate_report()
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")

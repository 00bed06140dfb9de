"""A real browser: the system's Chromium, headless, driven through Playwright."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from small_scenes import BENCH, write_sketch

LONGEST_MS = 600_000
"""So long a step waits for what it needs, on a machine that others work on."""
ALONE = ("--no-sandbox", "--disable-gpu", "--disable-background-networking")
CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), ""
)


@pytest.fixture(scope="session")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bench page of a small scene with every kind of step."""
    from glaze.charts.content.lesson_words import lesson_words
    from glaze.charts.screen.bench_page import bench_page
    from glaze.painting.settle import resolve
    from glaze.planning.sheet.planner import plan_of
    from glaze.scene.file import load_scene

    folder = tmp_path_factory.mktemp("bench")
    write_sketch(folder / "sketch.png")
    (folder / "scene.toml").write_text(BENCH, encoding="utf-8")
    scene = load_scene(folder)
    file = folder / "painting.html"
    file.write_text(bench_page(plan_of(scene), resolve(scene), lesson_words("en")), "utf-8")
    return file


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """The browser; skipped, and said so, where there is none."""
    driver = pytest.importorskip("playwright.sync_api")
    if not CHROMIUM:
        pytest.skip("no Chromium on this machine: install Debian's package chromium")
    with driver.sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=list(ALONE), timeout=LONGEST_MS
        )
        yield browser
        browser.close()


@pytest.fixture
def open_page(chromium: Any, page_file: Path) -> Iterator[Any]:
    """Opens the page in a browser of its own with a clock that the test winds.

    Whatever it asks the network for, or complains of, fails the test.
    """
    asked: list[str] = []
    contexts = []

    def opened(width: int = 1024, height: int = 768, dark: bool = False, hash: str = "") -> Any:
        context = chromium.new_context(
            viewport={"width": width, "height": height},
            color_scheme="dark" if dark else "light",
            has_touch=True,
        )
        contexts.append(context)
        context.set_default_timeout(LONGEST_MS)
        page = context.new_page()
        page.on("console", lambda said: asked.append(f"{said.type}: {said.text}"))
        page.on("pageerror", lambda error: asked.append(str(error)))
        page.on("request", lambda r: r.url.startswith(("file:", "data:")) or asked.append(r.url))
        page.clock.install()
        page.goto(page_file.as_uri() + hash)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert asked == []

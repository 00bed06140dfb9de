"""The picture of the bench page. Wants Chromium."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from make import content
from PIL import Image
from playwright.sync_api import sync_playwright

from glaze.charts.content.lesson_words import lesson_words
from glaze.charts.screen.bench_page import bench_page
from glaze.painting.settle import resolve
from glaze.planning.sheet.planner import plan_of
from glaze.scene.file import load_scene
from glaze.sheet.memory import Memory

SCENE, STEP, DAY = Path(__file__).resolve().parents[2] / "scenes" / "lighthouse", 5, "2026-01-01"
TABLET, PHONE, GAP = (1024, 768), (390, 768), 24


def pictures() -> Iterator[tuple[str, bytes]]:
    """Name and content: a tablet and a phone side by side, at the same step."""
    scene, memory = load_scene(SCENE), Memory()
    plan = plan_of(scene, resolve(scene, even=True, memory=memory))
    text = bench_page(plan, resolve(scene, memory=memory), lesson_words(), DAY)
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "painting.html"
        page.write_text(text, "utf-8")
        shots = [_shot(page, size) for size in (TABLET, PHONE)]
    wide = sum(shot.width for shot in shots) + GAP
    sheet = Image.new("RGB", (wide, TABLET[1]), (202, 202, 202))
    sheet.paste(shots[0], (0, 0))
    sheet.paste(shots[1], (TABLET[0] + GAP, 0))
    yield "bench_page.png", content(sheet)


def _shot(page: Path, size: tuple[int, int]) -> Image.Image:
    with sync_playwright() as playwright:
        chromium = shutil.which("chromium")
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        shown = browser.new_page(viewport={"width": size[0], "height": size[1]})
        shown.goto(page.as_uri() + "#step-1")
        shown.clock.install()
        shown.locator("#step-1 .deeds .tick").click()
        for _ in range(STEP - 1):
            shown.locator("#next").click()
        shown.clock.run_for(1000)
        found = Image.open(BytesIO(shown.screenshot()))
        browser.close()
    return found.convert("RGB")

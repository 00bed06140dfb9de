"""The bench page: one file that asks for nothing, tells every step, and never bleach alone."""

import base64
import io
import json
import re
import tomllib
from dataclasses import replace
from pathlib import Path
from xml.etree.ElementTree import Element

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image
from small_scenes import BENCH, write_sketch

from glaze.charts.content.lesson_words import FOLDER, lesson_languages, lesson_words
from glaze.charts.screen.bench_page import bench_page
from glaze.charts.screen.bench_step import _strip, _warnings, strength_words
from glaze.charts.screen.stages import stages_of
from glaze.charts.screen.to_do import ticks_of
from glaze.cli.plan_command import plan as plan_command
from glaze.materials.words import form_of
from glaze.painting.settle import resolve
from glaze.patch.band import Band
from glaze.picture.file import picture_from_linear
from glaze.pipeline import after_each, render
from glaze.planning.sheet.order import Risk
from glaze.planning.sheet.planner import plan_of
from glaze.scene.file import load_scene
from glaze.sheet.rect import Rect


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    return both_of(tmp_path_factory.mktemp("bench"), BENCH)


def both_of(folder: Path, text: str):
    """A scene's plan and painting."""
    write_sketch(folder / "sketch.png")
    (folder / "scene.toml").write_text(text, encoding="utf-8")
    scene = load_scene(folder)
    return plan_of(scene), resolve(scene)


def texts(page: str) -> str:
    return re.sub(r"<[^>]+>", " ", page.split("<body>")[1].split("<script")[0])


def test_the_file_loads_nothing_and_is_well_below_5_mb(planned) -> None:
    page = bench_page(*planned, lesson_words("en"), "2026-11-26")
    assert len(page.encode()) < 5e6
    # whatever could be fetched stands in the file itself
    for address in re.findall(r'(?:src|href)="([^"]*)"|url\(([^)]*)\)', page):
        assert next(filter(None, address), "#").startswith(("data:", "#")), address
    assert not re.search(r"https?://(?!www\.w3\.org)", page)
    assert "default-src 'none'" in page
    assert "Two squares &amp; a &lt;glow&gt;" in page


def test_every_step_has_its_screen_its_drops_and_its_order(planned) -> None:
    plan, painting = planned
    page = bench_page(plan, painting, lesson_words("en"))
    told = texts(page)
    for step in plan.steps:
        assert f">{step.number}<" in page
        assert step.name in told
    # 0.5 ml is the least that can be stirred; 3 drops of 1/35 ml and one of 1/20 are 0.136 ml,
    # so four times the recipe
    assert "12 drops of Yellow" in told
    assert "4 drops of water" in told
    assert "from the well dusk" in told
    assert "3 drops of Blue" in told
    # 35 drops of ink and 20 of water are 1 ml: 20 / 20 over (3 + 1) / 35 is 8.75 parts of water,
    # 1 / 20 over 3 / 35 is 0.58
    strengths = [strength_words(plan, step, lesson_words("en")) for step in plan.steps[:2]]
    assert strengths == ["; 1 part + 0.6 parts water", "; 1 part + 8.8 parts water"]


def test_no_bleach_without_the_caution_and_no_word_of_it_without_bleach(planned, tmp_path) -> None:
    dry = both_of(tmp_path, BENCH.split('[[step]]\nlift = "light"')[0])
    for language in lesson_languages():
        words = lesson_words(language)
        lifted = texts(bench_page(*planned, words))
        for line in words.caution:
            assert line in lifted
        assert words.caution_line in lifted
        bleach = words("bench.bleach")
        assert bleach.lower() not in texts(bench_page(*dry, words)).lower()


def test_clocks_are_those_of_the_plan(planned) -> None:
    """Two coats share the drying of the plan; each touch of bleach rings at its own blot."""
    plan, _ = planned
    words = lesson_words("en")
    coats = ticks_of(plan, plan.steps[0], words)
    assert [len(deed.clocks) for deed in coats] == [1, 1]
    # by hand: both coats together are dry after what the plan says
    both = sum(deed.clocks[0].minutes for deed in coats)
    assert both == pytest.approx(plan.steps[0].minutes.dry)
    sky = ticks_of(plan, plan.steps[1], words)[0]
    assert sky.label == "laid"
    assert [deed.label for deed in ticks_of(plan, plan.steps[2], words)] == ["charged"]
    assert [round(clock.minutes, 2) for clock in sky.clocks][1:] == [3.0]
    assert sky.clocks[1].told == "3 bloom now, into sky while it is wet"
    light = ticks_of(plan, plan.steps[3], words)
    assert [deed.label for deed in light] == [
        "bleach on (touch 1 of 2)",
        "blotted (touch 1 of 2)",
        "bleach on (touch 2 of 2)",
        "blotted (touch 2 of 2)",
        "blotted, rinsed, blotted",
    ]
    assert [[c.minutes for c in d.clocks] for d in light[:4]] == [[1.5], [], [1.5], []]
    assert light[-1].dries
    assert light[-1].clocks[0].minutes == plan.steps[3].minutes.dry
    assert next(d.clocks[0].minutes for d in ticks_of(plan, plan.steps[4], words)) == 4.0


def test_a_translated_sentence_names_things_in_the_same_order() -> None:
    for language in lesson_languages():
        told = tomllib.loads((FOLDER / f"{language}.toml").read_text("utf-8"))
        for english, sentence in told["sentences"].items():
            assert re.findall(r"\{n?\}", sentence) == re.findall(r"\{n?\}", english), sentence


def test_sentences_of_the_plan_are_told_in_the_painters_language() -> None:
    german = lesson_words("de")
    assert form_of('Over dry "sky", "sea".')[0] == "Over dry {}."
    assert german.sentence('Over dry "sky", "sea".') == (
        'Über "sky", "sea", wenn es trocken ist.',
        "de",
    )
    assert german.sentence("Crosses 4 dry washes in one go, so they share it.")[0] == (
        "Geht in einem Zug über 4 trockene Lasuren; so haben alle sie gemeinsam."
    )
    unknown = "Nobody has written this one down."
    assert german.sentence(unknown) == (unknown, "en")


@pytest.mark.parametrize("name", ["lighthouse", "beetle", "kettle"])
def test_reasons_of_the_scenes_are_all_there_in_every_language(name: str) -> None:
    scene = load_scene(Path(__file__).parents[2] / "scenes" / name)
    # a quarter of the size has the same reasons: tried once, all 76
    for planned in plan_of(scene, resolve(scene, even=True, scale=0.25)).steps:
        for language in lesson_languages():
            assert lesson_words(language).sentence(planned.reason)[1] == language


def test_pictures_shrink_until_they_fit(planned, monkeypatch: pytest.MonkeyPatch) -> None:
    _, painting = planned
    full = stages_of(painting, lambda share: None)
    size = sum(stage.size for stage in full)
    monkeypatch.setattr("glaze.charts.screen.stages.MOST_BYTES", size // 4)
    less = sum(stage.size for stage in stages_of(painting, lambda share: None))
    assert less < size / 2


def test_the_sheet_after_each_step_is_that_of_a_painting_so_far(planned) -> None:
    """Each step is laid once; within 1 of 255 of a painting that ends there, laid anew."""
    _, painting = planned
    after = list(after_each(painting, Rect(3, 2, 33, 41)))
    assert len(after) == len(painting.steps) + 1 > 3
    for count, linear in enumerate(after):
        so_far = render(painting.until(count), Rect(3, 2, 33, 41)).rgb
        off = picture_from_linear(linear, painting.dpi).rgb.astype(int) - so_far
        assert np.abs(off).max() <= 1


def test_the_place_of_a_step_is_where_it_was_asked_for(planned) -> None:
    """`yellow` lies from 4 to 20 mm across and 4 to 28 mm down, as the scene says."""
    _, painting = planned
    yellow = stages_of(painting, lambda share: None)[1]
    assert yellow.box_mm == pytest.approx((4, 4, 20, 28), abs=0.35)
    assert yellow.veil.startswith("data:image/png")
    veil = Image.open(io.BytesIO(base64.b64decode(yellow.veil.partition(",")[2]))).convert("RGBA")
    through = 255 - np.asarray(veil)[..., 3].astype(int)
    per_mm = veil.width / painting.size_mm[0]
    at = lambda x, y: through[round(y * per_mm), round(x * per_mm)]  # noqa: E731
    assert at(12, 16) == 255  # nothing lies over the place
    assert 0 < at(30, 16) < 128  # the rest shows through, faintly


def test_values_stand_on_a_strip_of_greys_from_black_to_white() -> None:
    """Value 0 to 10 in eleven fields of 10 wide, so value 3 stands at 35. Value 5 sends back
    1.1914 x 5 - 0.22533 x 25 + 0.23352 x 125 - 0.020484 x 625 + 0.00081939 x 3125 = 19.27 % of
    the light [ASTM D1535-14], which is code 121 of 255 [IEC 61966-2-1]."""
    svg = _strip(Band(3.0, 5.5, 6.0, "assumed"), lesson_words("en"))
    fields = [e for e in svg if e.tag == "rect" and e.get("fill", "").startswith("rgb")]
    greys = {float(e.get("x")): int(re.findall(r"\d+", e.get("fill"))[0]) for e in fields}
    assert (greys[0.0], greys[50.0], greys[100.0]) == (0, 121, 255)
    (bar,) = (e for e in svg if e.get("class") == "bar")
    assert (float(bar.get("x")), float(bar.get("width"))) == (35.0, 30.0)
    (mark,) = (e for e in svg if e.get("class") == "mark")
    assert mark.get("d").startswith("M60.0 ")


def test_what_a_wet_step_risks_stands_on_the_screen_of_that_step(planned) -> None:
    plan, _ = planned
    told = 'The wet "sky" may drag "yellow" across its edge.'
    risk = Risk(step=1, other=0, kind="re-wet", level="slight", border_mm=9.0, text=told)
    risky = replace(plan, risks=(risk,))
    said = {s.name: [*_warnings(risky, s, lesson_words("en"))] for s in plan.steps}
    found = [name for name, lines in said.items() if told in ("".join(e.itertext()) for e in lines)]
    assert found == ["sky"]


def test_a_scene_without_steps_has_a_page_too(scene_folder) -> None:
    scene = load_scene(scene_folder(BENCH.split("[[step]]")[0]))
    page = bench_page(plan_of(scene), resolve(scene), lesson_words("en"))
    assert 'id="end"' in page
    assert "step-1" not in page


def test_the_command_writes_card_and_page_together(scene_folder, tmp_path: Path) -> None:
    folder = scene_folder(BENCH)
    page, card = tmp_path / "painting.html", tmp_path / "card.pdf"
    given = [str(folder), "--page", str(page), "--card", str(card), "--language", "fr"]
    done = CliRunner().invoke(plan_command, [*given, "--json"], catch_exceptions=False)
    assert json.loads(done.output)["page"] == [str(page)]
    told = page.read_text("utf-8")
    assert '<html lang="fr">' in told
    assert "encres inventées" in told
    assert "inks invented" not in told  # what the colours rest on is told in the page's language
    assert card.exists()


def test_elements_keep_text_between_them() -> None:
    from glaze.charts.screen.markup import tag

    made = tag("p", "one ", tag("b", "two"), " three", None, " four", class_="x", data_key="")
    assert isinstance(made, Element)
    assert "".join(made.itertext()) == "one two three four"
    assert made.attrib == {"class": "x"}


def test_the_lesson_gets_its_demonstration_as_a_page_and_none_without_bleach(
    tmp_path: Path, monkeypatch
) -> None:
    from glaze.charts.screen import demonstration_page
    from glaze.cli.lesson_command import lesson

    shown, draw = [], demonstration_page.page_pixels
    monkeypatch.setattr(
        demonstration_page,
        "page_pixels",
        lambda page, dpi: (shown.append(page), draw(page, dpi))[1],
    )
    given = ["-o", str(tmp_path / "lesson.pdf"), "--pupils", "12", "--language", "de"]
    CliRunner().invoke(lesson, given, catch_exceptions=False)
    page = (tmp_path / "lesson-demonstration.html").read_text("utf-8")
    words = lesson_words("de")
    for line in (*words.caution, words.caution_line, words("demonstration.intro")):
        assert line in texts(page)
    # the answers' wheel is the sheet that is bleached
    assert words("answers.wheel") in shown[0].title
    # the clock to the blot runs for the minute that the steps tell
    clock = json.loads(re.search(r'data-clocks="([^"]*)"', page)[1].replace("&quot;", '"'))
    assert [one["minutes"] for one in clock] == [1.0]
    assert "Wait" not in texts(page)
    given = ["-o", str(tmp_path / "dry.pdf"), "--no-bleach"]
    CliRunner().invoke(lesson, given, catch_exceptions=False)
    assert not list(tmp_path.glob("dry*.html"))

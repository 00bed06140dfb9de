"""Steps for a rough coloured by hand: how near they come, of what, and what they are.

Colours are judged by colour-science's CIEDE2000, from the written picture and the rough's pixels.
"""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from glaze.errors import InputError
from glaze.painting.settle import regions_of, resolve
from glaze.patch.layers import Lifted
from glaze.patch.trust import trusted
from glaze.pipeline import paint
from glaze.planning.rough.doubt import unsure, with_strips
from glaze.planning.rough.highlights import DRAWS, _lifted, stack_layers
from glaze.planning.rough.kept import keep
from glaze.planning.rough.laid import lay_rough
from glaze.planning.rough.measured import minded_pairs
from glaze.planning.rough.ordered import least_dragging
from glaze.planning.rough.propose import Proposal, propose
from glaze.planning.rough.told import shortfalls
from glaze.planning.sheet.planner import plan_of
from glaze.scene.file import load_scene
from glaze.scene.laid_out import table_of_scene
from glaze.scene.starter import sketch_scene
from glaze.step.wash_step import Wash
from tests.planning.rough.conftest import _houses, coloured, line_art

STEPS, WELLS = 12, 6


@pytest.fixture(scope="module")
def found(street: Path) -> Proposal:
    scene = sketch_scene(street / "sketch.png")
    return propose(scene, street / "rough.png", wells=WELLS, steps=STEPS)


@pytest.fixture(scope="module")
def kept(found: Proposal, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return keep(found, tmp_path_factory.mktemp("kept") / "street").parent


def _off(kept: Path, rough: Image.Image) -> np.ndarray:
    """CIEDE2000 of the painted scene from the rough, off the line, by colour-science."""
    import colour

    painted = Image.fromarray(paint(kept).rgb)
    labs = []
    for picture in (painted, rough):
        rgb = colour.cctf_decoding(np.asarray(picture) / 255, function="sRGB")
        labs.append(
            colour.XYZ_to_Lab(
                colour.RGB_to_XYZ(rgb, "sRGB"),
                colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"],
            )
        )
    off = colour.delta_E(*labs, method="CIE 2000")
    from scipy.ndimage import minimum_filter

    return off[minimum_filter(np.asarray(line_art()), 9) > 250]


def test_a_rough_is_come_near_to_with_few_steps_and_wells(found, kept):
    off = _off(kept, coloured())
    assert len(found.scene.steps) <= STEPS
    assert len(found.scene.wells) <= WELLS
    assert off.mean() < 3.0
    assert (off < 6.0).mean() > 0.95
    # what is told of itself is what the written picture shows
    assert found.mean == pytest.approx(off.mean(), abs=0.4)


def test_free_colours_for_every_area_are_the_bound(found):
    assert found.bound <= found.mean + 1e-9
    assert found.mean < 1.3 * found.bound + 1.5


def test_the_shadow_is_one_wash_over_all_houses(found):
    """Of the ten half walls in shade most lie under one and the same wash, unlike lit ones."""
    rows, columns = found.laid.number.shape
    home = np.full(rows * columns, -1)
    for n, piece in enumerate(found.easel.wanted.pieces):
        home[piece.at] = n
    home = home.reshape(rows, columns)
    per = found.laid.mm * 100 / 25.4
    shaded, lit = [], []
    for left, upper, right, lower in _houses():
        row = int((upper + lower) / 2 / per)
        for share, into in ((0.25, lit), (0.75, shaded)):
            piece = home[row, int((left + share * (right - left)) / per)]
            into.append(set(found.draft.stacks[piece]))
    washes = range(len(found.draft.mixes))
    best = max(sum(n in s for s in shaded) - sum(n in s for s in lit) for n in washes)
    assert best >= 4


def test_the_written_scene_paints_the_same_steps_again(found, kept):
    scene = load_scene(kept)
    assert [step.name for step in scene.steps] == [step.name for step in found.scene.steps]
    assert scene.areas.numbered
    for region in scene.regions.values():
        assert region.mask is None or (kept / region.mask).exists()


def test_nothing_is_planned_over_bleach_or_lighter_than_what_it_lies_on(found):
    plan = plan_of(found.scene, found.painting)
    assert plan.mistakes == ()


def test_where_it_differs_says_why_and_which_strips_settle_most(found):
    assert all(place.why.endswith(".") for place in shortfalls(found))
    doubt = unsure(found)
    assert 0 < doubt.share <= 1  # bottles of the palette are invented: a factor of three
    assert "strip" in doubt.text
    assert set(doubt.strips) <= set(found.painting.table.palette.inks)


def test_no_other_two_strips_would_settle_more_of_the_sheet(found):
    """Each pair of bottles known in turn, every stack by itself with all its draws."""
    doubt, stacks, table = unsure(found), found.draft.stacks, found.painting.table
    own = {stack: n for n, stack in enumerate(stacks) if stack}
    shares = [sum(found.easel.wanted.share[k] for k, s in enumerate(stacks) if s == o) for o in own]

    def left(names: tuple[str, ...]) -> float:
        known = with_strips(table, names)
        halves = [
            trusted(known, stack_layers(found.easel, found.draft, o, n)).band.half_width
            for o, n in own.items()
        ]
        return float(np.average(halves, weights=shares))

    pairs = {pair: left(pair) for pair in combinations(table.palette.inks, 2)}
    best = min(pairs, key=lambda pair: pairs[pair])
    assert len(doubt.strips) == 2
    # draws place the ends of bands within a tenth
    named = pairs[tuple(sorted(doubt.strips, key=list(table.palette.inks).index))]
    assert named <= 1.05 * pairs[best]
    assert named < left(()) - 0.1
    assert doubt.settled_steps == pytest.approx(named, rel=0.15)
    # every piece has its band, and where nothing is laid there is none
    assert np.array_equal(np.isnan(doubt.half_of), [not stack for stack in stacks])


def test_places_lifted_together_and_kept_are_as_each_lifted_alone(found):
    """One place with washes, another, and the first again, from what was kept of it."""
    draft, table = found.draft, found.easel.bottles.table
    one, other = [(n, stack) for n, stack in enumerate(draft.stacks) if stack][:2]
    for place, tries in zip([one, other, one], _lifted(found.easel, draft, [one, other, one]),
                            strict=True):  # fmt: skip
        assert len(tries) == 12  # four strengths, up to three touches
        layers = stack_layers(found.easel, draft, place[1], place[0])
        for plan, band in tries[::5]:
            alone = trusted(table, [*layers, Lifted(plan)], DRAWS).band
            told = (alone.low, alone.best, alone.high)
            assert (band.low, band.best, band.high) == pytest.approx(told, abs=0.05)


def test_a_rough_of_another_size_and_place_is_laid_by_its_lines(found, street, tmp_path):
    big = coloured().resize((900, 600), Image.Resampling.LANCZOS)
    page = Image.new("RGB", (1000, 700), "#f4f2ec")
    page.paste(big.rotate(2.0, expand=True, fillcolor="#f4f2ec"), (40, 35))
    page.save(tmp_path / "askew.png")
    areas = regions_of(sketch_scene(street / "sketch.png")).areas()
    laid = lay_rough(tmp_path / "askew.png", areas, found.painting.table)
    assert laid.how == "its lines"
    both = laid.seen & found.laid.seen
    apart = np.linalg.norm(laid.lab - found.laid.lab, axis=-1)[both]
    assert np.median(apart) < 2.5  # interpolated, and its white is the page's


def _still_life(size: tuple[int, int]) -> Image.Image:
    """Three fruits on a cloth: a rough of something else (invented)."""
    wide, high = size
    picture = Image.new("RGB", size, "#d8d0c0")
    pen = ImageDraw.Draw(picture)
    pen.polygon([(0, high), (wide, 0.7 * high), (wide, high)], "#8898a8")
    for x, y, code in ((0.25, 0.35, "#c86048"), (0.55, 0.6, "#d8b850"), (0.8, 0.3, "#68885c")):
        r = 0.16 * min(size)
        pen.ellipse([x * wide - r, y * high - r, x * wide + r, y * high + r], code)
    return picture


BAD = {
    "blank": (lambda: Image.new("RGB", (300, 200), "#f0eee8"), "one colour"),
    "black": (lambda: Image.new("RGB", (300, 200), "#050505"), "black"),
    "tiny": (lambda: coloured().resize((24, 16)), "pixels"),
    "another shape": (lambda: _still_life((200, 600)), "as wide as high"),
    "another drawing": (lambda: _still_life((600, 400)), "of this drawing"),
}


@pytest.mark.parametrize("case", BAD)
def test_a_rough_that_shows_nothing_of_the_sheet_is_refused_in_words(case, street, tmp_path):
    make, word = BAD[case]
    make().save(tmp_path / "rough.png")
    scene = sketch_scene(street / "sketch.png")
    with pytest.raises(InputError, match=word):
        lay_rough(tmp_path / "rough.png", regions_of(scene).areas(), table_of_scene(scene))


@pytest.mark.parametrize("kind", ["16 bits", "CMYK", "without lines"])
def test_other_kinds_of_files_are_read_as_the_same_rough(kind, found, street, tmp_path):
    file = tmp_path / ("rough.jpg" if kind == "CMYK" else "rough.tif")
    if kind == "16 bits":
        import tifffile

        tifffile.imwrite(file, np.asarray(coloured()).astype(np.uint16) * 257, photometric="rgb")
    elif kind == "CMYK":
        coloured().convert("CMYK").save(file, quality=97)
    else:
        coloured(lines=False).save(file)
    areas = regions_of(sketch_scene(street / "sketch.png")).areas()
    laid = lay_rough(file, areas, found.painting.table)
    apart = np.linalg.norm(laid.lab - found.laid.lab, axis=-1)[laid.seen & found.laid.seen]
    assert np.median(apart) < 1.5


def test_a_grey_rough_is_planned_for_its_values(street, tmp_path):
    coloured().convert("L").save(tmp_path / "grey.png")
    made = propose(sketch_scene(street / "sketch.png"), tmp_path / "grey.png", wells=3, steps=6)
    assert 1 <= len(made.scene.steps) <= 6
    assert made.mean < 3.0
    shown = made.predicted[np.isfinite(made.off)]
    # greys: the paper itself has a chroma of some 2
    assert np.quantile(np.hypot(shown[:, 1], shown[:, 2]), 0.9) < 6.0


def test_more_wells_or_steps_than_a_table_holds_are_refused(street):
    scene = sketch_scene(street / "sketch.png")
    with pytest.raises(InputError, match="wells"):
        propose(scene, street / "rough.png", wells=0)
    with pytest.raises(InputError, match="steps"):
        propose(scene, street / "rough.png", steps=99)


def test_stopped_it_keeps_the_best_so_far(street):
    asked: list[float] = []

    def stop(share: float) -> None:
        if share > 0.4 and not asked:
            asked.append(share)
            raise KeyboardInterrupt

    scene = sketch_scene(street / "sketch.png")
    made = propose(scene, street / "rough.png", wells=4, steps=8, progress=stop)
    assert made.stopped
    assert 1 <= len(made.scene.steps) <= 8


def test_steps_for_one_area_leave_all_others_bare(street):
    scene = sketch_scene(street / "sketch.png")
    made = propose(scene, street / "rough.png", wells=3, steps=3, only=[3])
    areas = {piece.area for piece in made.easel.wanted.pieces}
    assert areas == {3}
    number = made.laid.number
    bare = made.easel.bottles.paper_lab
    elsewhere = (number != 3) & (number > 0) & made.laid.seen
    assert np.abs(made.predicted[elsewhere] - bare).max() < 0.5
    with pytest.raises(InputError, match="no area 99"):
        propose(scene, street / "rough.png", only=[99])


def test_the_order_drags_less_than_light_under_dark_alone(found):
    """Every single wash laid elsewhere in the order drags as much or more."""
    from glaze.planning.rough.ordered import _dragged, _drags

    drags = _drags(found.painting)
    order = list(range(len(found.scene.steps)))
    own = _dragged(drags, order)
    for n in order:
        rest = [k for k in order if k != n]
        for at in order:
            assert _dragged(drags, [*rest[:at], n, *rest[at:]]) > own - 1.5


def test_a_light_wash_is_laid_before_the_dark_one_that_would_hide_it(street):
    """Common practice, no source: light under dark."""
    dark = Wash(name="dark", mix="Black 1 part + water 1 part", region="sheet")
    light = Wash(name="light", mix="Blue 1 part + water 20 parts", region="sheet")
    scene = sketch_scene(street / "sketch.png").model_copy(update={"steps": (dark, light)})
    painting = resolve(scene, even=True)
    assert plan_of(scene, painting).mistakes
    assert minded_pairs(painting) == {(0, 1): set()}
    assert minded_pairs(painting, before=1) == {}  # what was there already is left to it
    assert least_dragging(painting, [0, 1]) == [1, 0]

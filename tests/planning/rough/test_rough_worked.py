"""Single steps of planning from a rough, worked by hand on a few samples."""

from __future__ import annotations

from itertools import pairwise
from types import SimpleNamespace

import numpy as np
import pytest

from glaze.patch.band import Band
from glaze.patch.table import table_of
from glaze.physics.colour import D65_XYZ, lab_from_xyz, xyz_from_lab
from glaze.planning.recipe.wanted import daylight_weights
from glaze.planning.rough import (
    cells,
    doubt,
    grounds,
    highlights,
    laid,
    measured,
    offered,
    pieces,
    runs,
    shaded,
    stocks,
    told,
    written,
)
from glaze.planning.rough.draft import Attempt, Easel, Grade
from glaze.planning.rough.grades import _Run
from glaze.planning.rough.laid import OnSheet
from glaze.planning.rough.pieces import NONE, Piece, _areas
from glaze.planning.rough.trials import Bottles
from glaze.planning.rough.wants import unlike, wanted_of
from glaze.sheet.lift import Touches
from glaze.sketch.plane import Plane

TABLE = table_of("lifting", "white cartridge")
MM = 0.5
FLAT_LAB = np.array([60.0, 0.0, 0.0])


def grid(lab: np.ndarray, number: np.ndarray | None = None) -> OnSheet:
    """A rough of half-millimetre samples, all of it seen and one area."""
    shape = lab.shape[:2]
    seen = np.ones(shape, bool)
    area = np.ones(shape, np.int32) if number is None else number
    at = cells.mm_of(MM)
    return OnSheet(lab, seen, area, np.ones(shape, np.float32), MM, "its frame", at)


def piece(lab: list[list[float]], **keys) -> Piece:
    """A piece of some colours along a line of 60 mm across."""
    own = np.array(lab)
    xy = np.stack([np.linspace(0, 60, len(own)), np.full(len(own), 5.0)], axis=-1)
    usual = {"area": 1, "at": np.arange(4), "mm2": 900.0, "way": np.array([1.0, 0.0])}
    share = np.full(len(own), 1 / len(own))
    return Piece(**(usual | {"lab": own, "xy_mm": xy, "share": share, "alone": True} | keys))


def test_parts_of_water_are_nearest_in_strength_not_in_parts() -> None:
    # 1 in 6.5 is 8 % weaker than 1 in 6 and 7 % stronger than 1 in 7, though 5.5 is in the middle
    assert stocks._parts(5.5) == 6.0
    # 1 in 28.2: 1 in 26 is 8.5 % stronger, 1 in 31 is 9.0 % weaker; 27.2 lies nearer to 25 too
    assert stocks._parts(27.2) == 25.0
    assert stocks._parts(-0.2) == 0.0


@pytest.mark.parametrize(
    ("strengths", "water", "share", "each"),
    [
        # 2 drops of 1/20 ml are 0.1 ml; a quarter as strong is 0.4 ml in all, 0.3 ml of water:
        # 6 drops of 1/20 ml; half as strong again as it is 1 part + 1 part water
        ([0.25, 0.125], 6, 0.25, [(0.0, 1), (1.0, 1)]),
        # 1.5 neat coats are two coats of three quarters: 0.0333 ml, the nearest drop is 0.05
        ([1.5], 1, 2 / 3, [(0.0, 2)]),
    ],
)
def test_a_well_is_as_strong_as_its_strongest_wash(strengths, water, share, each) -> None:
    ink = SimpleNamespace(name="Blue", drops_per_ml=20.0)
    dropper = SimpleNamespace(water_drops_per_ml=20.0)
    stock, taken = stocks._stock(np.array([2]), np.array(strengths), (ink,), dropper)
    assert stock.recipe.water == water
    assert sum(stock.share) == pytest.approx(share)
    assert taken == each


def test_two_wells_become_one_of_the_proportion_of_all_that_was_in_both() -> None:
    # 0.1 of the one ink and 0.3 of the other: a quarter and three quarters, each wash as strong
    draft = Attempt(
        np.array([[0.1, 0.0], [0.0, 0.3]]), (None, None), ((), ()), np.zeros(2), (NONE, NONE)
    )
    merged = stocks._merged(Attempt(**(vars(draft) | {"well": (0, 1)})), 0, 1)
    assert merged.mixes == pytest.approx(np.array([[0.025, 0.075], [0.075, 0.225]]))
    assert merged.well == (0, 0)


def test_what_is_offered_from_wells_are_their_proportions_thin_and_strong() -> None:
    bottles = Bottles(TABLE)
    easel = Easel(bottles, wanted_of([piece([[60.0, 0, 0]] * 3)], np.ones(1)))
    mixes = np.zeros((3, len(bottles.inks)))
    mixes[0, :2], mixes[1, :2], mixes[2, 3] = (0.1, 0.3), (0.02, 0.06), 0.5
    draft = Attempt(mixes, (None,) * 3, ((0, 2),), np.zeros(1), (NONE,) * 3, (4, 4, 7))
    washes = offered.of_wells(easel, draft)
    shares = washes.mixes / washes.mixes.sum(axis=1, keepdims=True)
    assert set(washes.wells) == {4, 7}
    # one part and three of the first two bottles; the fourth alone
    for well, share in ((4, (0.25, 0.75, 0.0, 0.0)), (7, (0.0, 0.0, 0.0, 1.0))):
        own = np.array(washes.wells) == well
        assert shares[own][:, :4] == pytest.approx(np.tile(share, (own.sum(), 1)))
        assert washes.mixes[own].sum(axis=1).min() < 0.02
        assert washes.mixes[own].sum(axis=1).max() == pytest.approx(2.0)


def test_a_shadows_wash_waits_for_its_place_and_others_that_lie_nowhere_go() -> None:
    draft = Attempt(np.eye(3), (None,) * 3, ((2,), ()), np.zeros(2), (0, NONE, NONE))
    left = grounds.less_idle(grounds.State(draft)).draft
    assert np.array_equal(left.mixes, np.eye(3)[[0, 2]])
    assert left.stacks == ((1,), ())
    assert np.array_equal(grounds.less_idle(grounds.State(draft), True).draft.mixes, np.eye(3)[2:])


def test_value_is_minded_more_than_chroma_and_far_off_twice() -> None:
    # CIEDE2000 by hand (Sharma, Wu and Dalal 2005) for greys L* 50 and 52: S_L = 1 + 0.015 x
    # 1/sqrt(21) = 1.00327; kL = 0.8: 2/0.80262 = 2.4918; and 2.4918 (1 + 2.4918/12) = 3.0093
    assert unlike(np.array([50.0, 0, 0]), np.array([52.0, 0, 0])) == pytest.approx(3.0093, rel=1e-4)
    # at 12 it counts twice: kL S_L 12 apart about L* 50
    at = 50 + np.array([-1, 1]) * 0.5 * 12 * 0.8
    off = unlike(np.array([at[0], 0, 0]), np.array([at[1], 0, 0]))
    assert off == pytest.approx(24.0, rel=1e-6)
    # as much of chroma counts for less
    chroma = unlike(np.array([50.0, 20, 0]), np.array([50.0, 22, 0]))
    assert chroma < 0.5 * 3.0093


def test_a_samples_middle_is_half_a_sample_in() -> None:
    assert cells.mm_of(MM)([[0.0, 0.0], [3.0, 1.0]]) == pytest.approx(
        np.array([[0.25, 0.25], [1.75, 0.75]])
    )
    assert runs.xy_mm_of(np.array([0, 5]), grid(np.zeros((4, 4, 3)))) == pytest.approx(
        np.array([[0.25, 0.25], [0.75, 0.75]])
    )


def test_the_roughs_own_white_becomes_the_paper_and_half_its_light_half_the_papers() -> None:
    white = np.array([90.0, 0.0, 0.0])
    own = xyz_from_lab(white, D65_XYZ)
    lab = np.tile(lab_from_xyz(own / 2, D65_XYZ), (20, 20, 1))
    lab[:2] = white
    turned, notes = laid._as_on_paper(lab, np.ones((20, 20), bool), TABLE)
    paper = TABLE.paper_reflectance @ daylight_weights(TABLE.light)
    assert xyz_from_lab(turned[0, 0], D65_XYZ) == pytest.approx(paper)
    assert xyz_from_lab(turned[10, 10], D65_XYZ) == pytest.approx(paper / 2)
    assert "L* 90" in notes[0]
    # one that shows no white is left as it is
    grey = np.tile(FLAT_LAB, (20, 20, 1))
    same, none = laid._as_on_paper(grey, np.ones((20, 20), bool), TABLE)
    assert np.array_equal(same, grey)
    assert none == ()


def test_nothing_is_read_on_a_line_or_right_beside_it() -> None:
    # a line of one pixel of 0.1 mm; 0.3 mm beside it is three of them, the rough as fine as that
    line = np.ones((9, 9), np.float32)
    line[4, 4] = 0.2
    clear = np.ones((9, 9), bool)
    clear[1:8, 1:8] = False
    fine = cells.Cells((3, 3), 3, 1, 10.0)
    assert np.array_equal(cells._clear(line, Plane(np.diag([20.0, 20.0, 1.0])), fine), clear)
    # where a pixel of the rough is 0.25 mm, 1.2 of them are as much; at 0.5 mm it is 0.6 mm
    coarse = cells._clear(line, Plane(np.diag([2.0, 2.0, 1.0])), fine)
    assert not coarse.any()


def test_areas_tell_all_of_their_colours_or_nothing() -> None:
    lab = np.array([[10.0, 0, 0], [10.0, 0, 0], [30.0, 5, 5], [30.0, 5, 5]])
    assert laid._told_by(lab, np.array([1, 1, 2, 2])) == pytest.approx(1.0)
    assert laid._told_by(lab, np.array([1, 2, 1, 2])) == pytest.approx(0.0)


def test_a_run_is_a_grade_where_it_changes_all_along_and_a_step_where_it_jumps() -> None:
    even = np.stack([np.linspace(40, 80, 12), np.zeros(12), np.zeros(12)], axis=-1)
    assert not runs._has_step(even)
    jump = even.copy()
    jump[:6, 0], jump[6:, 0] = 40, 80
    assert runs._has_step(jump)


def test_one_colour_is_the_middle_one_whatever_a_few_specks_are() -> None:
    lab = np.tile(FLAT_LAB, (20, 20, 1))
    lab[3, 4] = (95.0, 20.0, 20.0)
    (found,) = pieces.pieces_of(grid(lab))
    assert found.lab == pytest.approx(FLAT_LAB[None])
    # 20 x 20 samples of half a millimetre are 100 mm2
    assert found.mm2 == pytest.approx(100.0)


def test_two_halves_of_an_area_are_two_pieces_of_its_size() -> None:
    # narrower than the shortest grade, so that none can be meant
    lab = np.tile(FLAT_LAB, (20, 40, 1))
    lab[:, 25:] = (30.0, 0.0, 0.0)
    found = pieces.pieces_of(grid(lab))
    assert len(found) == 2
    # 20 x 25 and 20 x 15 samples of 0.25 mm2, the border as sharp as a sample
    assert [one.mm2 for one in found] == pytest.approx([125.0, 75.0], abs=5.0)
    assert [round(float(one.lab[0, 0])) for one in found] == [60, 30]


def test_mottled_colour_is_one_wash_and_a_shape_of_the_same_contrast_is_its_own() -> None:
    """Tones 7 apart in lightness: where they share a place one colour is 3.5 off in the mean. As
    squares of 2 mm they have 1 mm of border to the mm2: parting them gains 3.5 for each mm. One
    block of 20 mm has 80 mm of border about 400 mm2 that are 7 off: 35 for each mm."""
    rows, columns = np.mgrid[:120, :120] * MM
    mottled = (rows // 2 + columns // 2) % 2
    block = (abs(rows - 30) < 10) & (abs(columns - 30) < 10)
    for tones, count in ((mottled, 1), (block, 2)):
        lab = np.zeros((120, 120, 3))
        lab[..., 0] = 70 + 7 * tones
        assert len(pieces.pieces_of(grid(lab))) == count


def test_a_straight_border_stays_where_it_is_when_a_shape_is_evened() -> None:
    # a blur is as much on the one side as on the other: half of the weight lies on the border
    number = np.ones((20, 20), np.int32)
    half = np.tile(np.arange(20) < 10, (20, 1)).ravel()
    rough = grid(np.zeros((20, 20, 3)), number)
    assert (pieces.evened_shape(half, np.arange(400), rough) == half).all()
    speck = half.copy()
    speck[10 * 20 + 15] = True  # a speck of a sample no brush follows
    assert (pieces.evened_shape(speck, np.arange(400), rough) == half).all()


@pytest.mark.parametrize(("value", "found"), [(30.0, 0), (65.0, 0), (75.0, 1)])
def test_a_highlight_is_lighter_than_what_lies_about_it(value, found) -> None:
    """About it lies L* 60; L* 65 is half a value step more, 75 one and a half, 30 is darker: a
    value step is about 10 of L* [Munsell renotation]."""
    at = np.arange(900).reshape(30, 30)
    place = at[10:20, 10:20].ravel()
    whole = piece([[60.0, 0, 0]], at=np.setdiff1d(at, place))
    small = piece([[value, 0, 0]], at=place, mm2=25.0)
    wanted = SimpleNamespace(pieces=[whole, small])
    easel = SimpleNamespace(wanted=wanted, ground=lambda n: 0)
    draft = SimpleNamespace(stacks=((0,), ()))
    lighter = highlights._lighter_places(easel, draft, grid(np.zeros((30, 30, 3))))
    assert lighter == [(1, (0,))] * found


def test_the_gentlest_plan_of_those_that_cost_least_is_told() -> None:
    """Wanted is L* 80, value 7.9: plans fall 0.9, 0.3 and 0.0 short, each of one touch."""
    at = np.arange(900).reshape(30, 30)[5:25, 5:7].ravel()
    easel = SimpleNamespace(wanted=SimpleNamespace(pieces=[piece([[80.0, 0, 0]], at=at)]))
    lows = {19.0: 7.0, 9.0: 7.6, 4.0: 7.95, 0.0: 8.4}
    tries = [
        (Touches(parts), Band(low, low + 0.5, low + 1.0, "assumed")) for parts, low in lows.items()
    ]
    one = highlights._highlight(easel, grid(np.zeros((30, 30, 3))), 0, (0,), tries)
    assert one.plan == Touches(4.0)


def lighter(n: int, width_mm: float, low: float, plan: Touches) -> highlights.Highlight:
    """A place of value 7.9 in a darker wash."""
    return highlights.Highlight(n, "place", 7.9, width_mm, low, 8.0, 9.0, plan, False, (0,))


ONE = Touches(4.0)


@pytest.mark.parametrize(
    ("places", "room", "lifted"),
    [
        # a brush paints round it: a tenth of a step against two and a quarter
        ([(9.0, 7.9, ONE)], 9, [False]),
        # covered 2 + 0.5; lifted with its rinse 2 + 0.25, and what its band falls short
        ([(1.0, 7.9, ONE)], 9, [True]),
        ([(1.0, 7.7, ONE)], 9, [True]),
        ([(1.0, 7.6, ONE)], 9, [False]),
        # a second touch and a third are a tenth of a step each: 2.25 + 0.2 + 0.1
        ([(1.0, 7.8, Touches(4.0, 3))], 9, [False]),
        # one step is left, and bleach wants a rinse after it
        ([(1.0, 7.9, ONE)], 1, [False]),
        # covered both 3.0, lifted both 2.5 and 0.4; one of each 2.5 + 2.25
        ([(1.0, 7.9, ONE), (1.0, 7.5, ONE)], 9, [True, True]),
        ([(1.0, 7.9, ONE), (1.0, 7.3, ONE)], 9, [False, False]),
        # another strength is another step: 3.5 against 3.0
        ([(1.0, 7.9, ONE), (1.0, 7.9, Touches(9.0))], 9, [False, False]),
    ],
)
def test_places_are_lifted_only_where_that_costs_less_than_keeping_them_bare(
    places, room, lifted
) -> None:
    found = [lighter(n, *place) for n, place in enumerate(places)]
    assert [one.lifted for one in highlights.cheapest(found, room)] == lifted


def test_what_spoils_most_is_told_first(monkeypatch) -> None:
    """4 off on 200 samples spoils more than 9 off on 50, and that more than 5 off on 20."""
    off = np.repeat([9.0, 4.0, 5.0, 1.0], [50, 200, 20, 30])
    ends = np.cumsum([0, 50, 200, 20, 30])
    places = [SimpleNamespace(at=np.arange(*pair)) for pair in pairwise(ends)]
    found = SimpleNamespace(easel=SimpleNamespace(wanted=SimpleNamespace(pieces=places)), off=off)
    monkeypatch.setattr(told, "_shortfall", lambda found, n, seen, off: n)
    assert told.shortfalls(found) == [1, 0, 2]


def test_a_colour_that_the_shadow_makes_of_one_beside_it_is_not_another() -> None:
    """Under the wash L* 80 becomes 60 and 60 becomes 45. The grey of 60 is the light one in shade;
    a red of the same 60 is no shade of it."""
    area = [piece([lab]) for lab in ([80.0, 0, 0], [60.0, 0, 0], [60.0, 50, 30])]
    shade = [np.array([lab]) for lab in ([60.0, 0, 0], [45.0, 0, 0], [45.0, 40, 25])]
    assert shaded._lit(area, shade, [{0, 1, 2}] * 3) == [True, False, True]
    # of a colour's own samples those that look like it in shade lie in the shadow
    own = np.array([[80.0, 0, 0], [78.0, 0, 0], [61.0, 0, 0]])
    given = (area[:1], shade[:1], [{0}], [True], own, grid(np.zeros((1, 3, 3))))
    assert shaded._under_wash(np.arange(3), 0, *given).tolist() == [False, False, True]


def test_a_grade_is_written_from_its_full_end_to_its_thin_one() -> None:
    draft = SimpleNamespace(grades=(Grade((5.0, 0.0), (30.0, 0.0), 0.2),))
    taken = SimpleNamespace(parts_water=4.0, coats=1, well=0)
    graded = written._step("sky", "blue", taken, draft, 0, False).graded
    assert (graded.from_mm, graded.start) == ((5.0, 0.0), 1.0)
    assert (graded.to_mm, graded.end) == ((30.0, 0.0), 0.2)


def test_what_is_surer_than_half_a_step_is_not_counted_as_unsure(monkeypatch) -> None:
    """0.4 of the sheet is sure to 0.4 steps, 0.35 to 0.6 and 0.25 to 0.8: unsure are 0.35 + 0.25;
    in the mean 0.4 x 0.4 + 0.35 x 0.6 + 0.25 x 0.8 = 0.57."""
    stacks, half = ((0,), (1,), (2,)), {(0,): 0.4, (1,): 0.6, (2,): 0.8}
    found = SimpleNamespace(
        easel=SimpleNamespace(
            wanted=SimpleNamespace(share=np.array([0.4, 0.35, 0.25])), ground=lambda n: 0
        ),
        draft=SimpleNamespace(stacks=stacks),
        painting=SimpleNamespace(table=TABLE),
    )
    monkeypatch.setattr(doubt, "stack_layers", lambda easel, draft, stack, n: stack)
    monkeypatch.setattr(doubt, "half_widths", lambda _, some: np.array([half[s] for s in some]))
    monkeypatch.setattr(doubt, "_best_strips", lambda *_: ((), 0.0))
    told_of = doubt.unsure(found)
    assert (told_of.share, told_of.half_steps) == pytest.approx((0.6, 0.57))


def test_a_place_is_as_wide_as_its_widest_square() -> None:
    number = np.zeros((30, 30), np.int32)
    number[5:16, 5:16] = 1
    at = np.flatnonzero(number.ravel())
    # 11 samples of half a millimetre, to one sample
    assert highlights._width_mm(at, grid(np.zeros((30, 30, 3)))) == pytest.approx(5.5, abs=MM)


def test_a_wash_of_a_stack_is_its_inks_in_as_much_water() -> None:
    bottles = Bottles(TABLE)
    easel = Easel(bottles, wanted_of([piece([[60.0, 0, 0]] * 3)], np.ones(1)))
    mixes = np.zeros((2, len(bottles.inks)))
    mixes[0, 0], mixes[1, 1] = 0.25, 1.5
    draft = Attempt(mixes, (None, None), ((0, 1),), np.zeros(1), (NONE, NONE))
    thin, strong = highlights.stack_layers(easel, draft, (0, 1), 0)
    # a quarter is 1 part + 3 parts of water; 1.5 neat coats are neat and half as much again
    assert thin.mix.water_ml / sum(thin.mix.ink_ml.values()) == pytest.approx(3.0, rel=1e-3)
    assert thin.coats == 1.0
    assert strong.mix.water_ml == 0.0
    assert strong.coats == pytest.approx(1.5)


def test_a_graded_run_eases_as_its_grade_does_and_no_steeper_than_a_brush() -> None:
    bottles = Bottles(TABLE)
    easel = Easel(bottles, wanted_of([piece([[60.0, 0, 0]] * 5)], np.ones(1)))
    run = _Run(easel, 0)
    wash = np.array([*[0.2] * len(bottles.inks), 0.0, 1.0, 0.1])
    (grade,) = run.fit(wash[None]).grades
    films = grade.film(easel.wanted.xy_mm)
    # 3 t^2 - 2 t^3 at a quarter: 3/16 - 2/64 = 0.15625 of the way from 1 to 0.1
    assert films[1] == pytest.approx(1 - 0.9 * 0.15625)
    rows = np.zeros((5, 1), int)
    by_film = bottles.labs(wash[None, :-3], rows, films[:, None])
    assert run.labs(wash[None, None])[0] == pytest.approx(by_film, abs=1e-9)
    # 22 mm at least from full to thin, either way
    for ends in ((0.4, 0.5), (0.5, 0.4)):
        (grade,) = run.fit(np.array([[*wash[:-3], *ends, 0.1]])).grades
        long = np.hypot(*np.subtract(grade.to_mm, grade.from_mm))
        assert long == pytest.approx(22.0, abs=0.1)
        assert (grade.to_mm[0] > grade.from_mm[0]) == (ends[1] > ends[0])


def test_graded_washes_come_first_and_light_ones_before_dark() -> None:
    bottles = Bottles(TABLE)
    easel = Easel(bottles, wanted_of([piece([[60.0, 0, 0]] * 3)], np.ones(1)))
    mixes = np.full((3, len(bottles.inks)), 0.0)
    mixes[:, 0] = (1.0, 0.05, 0.5)
    grades = (None, None, Grade((0, 0), (30, 0), 0.1))
    draft = Attempt(mixes, grades, ((0, 1, 2),), np.zeros(1), (NONE,) * 3)
    assert written.in_order(easel, draft) == [2, 1, 0]


def test_names_are_told_apart_by_number_only_where_they_have_to_be() -> None:
    found = written._told_apart({0: "red wash", 1: "grey wash", 2: "red wash"})
    assert found == {0: "red wash 1", 1: "grey wash", 2: "red wash 2"}


@pytest.mark.parametrize(
    ("free", "off", "middle", "stacks", "why"),
    [
        (9.0, 8.0, 9.0, ((0,), (1,)), "No wash of these bottles"),
        (1.0, 8.0, 1.0, ((0,), (1,)), "Its middle is right"),
        (1.0, 8.0, 8.0, ((), (1,)), "Left as bare paper"),
        (1.0, 8.0, 8.0, ((0,), (0,)), "shares its washes"),
        (1.0, 8.0, 8.0, ((0,), (1,)), "bound to a well"),
        # what freedom doesn't gain isn't why: "off 3.6, freely mixed it would be 3.7" was told
        (3.7, 3.6, 3.6, ((0,), (1,)), "uneven"),
    ],
)
def test_why_a_place_differs_is_the_first_reason_that_holds(free, off, middle, stacks, why) -> None:
    easel = SimpleNamespace(lying=None, wanted=SimpleNamespace(shut=[False, False]))
    draft = SimpleNamespace(stacks=stacks)
    found = SimpleNamespace(free=np.array([free, 0.0]), draft=draft, easel=easel)
    assert why in told._why(found, 0, off, middle, FLAT_LAB, FLAT_LAB)


def test_where_a_wash_drags_another_one_of_both_gives_way_and_never_a_shadow() -> None:
    """Painted are washes 2, 0 and 1 after one step that was there: its steps are 1, 2 and 3."""
    stacks = ((0, 1), (0, 1, 2), (1,))
    plain = Attempt(np.zeros((3, 1)), (None,) * 3, stacks, np.zeros(3), (NONE,) * 3)

    def barred(draft: Attempt, *places: tuple[int, ...]) -> tuple[frozenset[int], np.ndarray]:
        made = SimpleNamespace(before=1)
        one = measured.Finished(None, draft, [2, 0, 1], made, None, (), {})
        return measured._barred(one, (2, 3), set(places))

    # 0 under 1, where nothing else lies
    both, of = barred(plain, (0, 2, 3))
    assert (both, of.tolist()) == (frozenset({0, 1}), [0])
    # hidden: wherever both lie
    assert barred(plain)[1].tolist() == [0, 1]
    # 1 is a shadow's own wash: 0 gives way under it
    shaded = Attempt(**(vars(plain) | {"cast": (NONE, 0, NONE)}))
    assert barred(shaded)[0] == frozenset({0})


def test_an_area_of_a_single_sample_is_an_area() -> None:
    # by hand: area 1 has the middle of the lower row, 2 what ends the upper; 0 is line
    laid = SimpleNamespace(number=np.array([[0, 2, 2], [0, 1, 0]]))
    assert [(n, at.tolist()) for n, at in _areas(laid)] == [(1, [4]), (2, [1, 2])]

"""How light bleach can get every place of a sheet back, and what has to be reserved instead.

The sheet is taken as it would lie without any bleach, and lifted by every plan of strength and
touches. *Reach* is the lightest value that comes of it; *darkest* the other end, one neat coat of
the darkest bottle over what lies there. Against wanted values every place is to be kept, lifted or
reserved, or can't be had on this paper at all. A lift that fails can't be taken back, while a
reserve always holds: so "lift" is said only where the low end of the lift's band is light enough.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, unknown
from glaze.film import FULL
from glaze.kernel import exposure, glazing
from glaze.lift import chemistry_of, touch_of
from glaze.materials.bleach import Bleach
from glaze.painting import Painting, resolve
from glaze.physics.absorption import SQUARE_METRE_TO_PATH, glaze_weight, path, stack_reflectance
from glaze.physics.colour import lab_from_xyz, munsell_value
from glaze.planning.ghost import ghost_words
from glaze.planning.lift_band import SEED, Laid, bands_of_lift, copied
from glaze.rect import whole
from glaze.scene import SHEET, Lift, Region, Scene
from glaze.settled import Settled
from glaze.sheet import Sheet
from glaze.steps import sheet_at
from glaze.studio import Touches, bare_patches, lab

Array = NDArray[np.float64]
Image = NDArray[np.float32]

STRENGTHS = (0.0, 4.0, 9.0, 19.0)
"""Parts of water to one of bleach that are tried."""
TOUCHES = 3
MOST_PX = 600
"""Longest side of the picture that is worked out [px]; regions are looked at in full."""
SAMPLES = 400
"""Pixels looked at in each region."""
BAND_SAMPLES, BAND_DRAWS = 150, 120
"""Places of the sheet whose bands are worked out, and draws for each; the other places take the
band of the one whose load is most like theirs."""
TOLERANCE = 0.25
"""A value this near to the wanted one counts as reached: half of half a step."""
AS_GOOD = 0.1
"""Of two plans that come this near in value the gentler one is named."""

NO_WISH, KEEP, LIFT, RESERVE, CANT = range(5)
VERDICTS = ("", "as it is", "lift", "reserve", "can't")


@dataclass(frozen=True)
class LiftPlan:
    """So many touches of bleach let down with so much water."""

    parts_water: float
    touches: int

    @property
    def bleach_used(self) -> float:
        """Parts of neat bleach laid in all: the gentler plan has less."""
        return self.touches / (1.0 + self.parts_water)


@dataclass(frozen=True, eq=False)
class Reached:
    """Some pixels, as they lie and as every plan leaves them.

    now : value, shape (rows, columns). values : by plan, shape (plans, rows, columns)
    darkest : value under one neat coat of the darkest bottle
    xyz_now, xyz_after : colours before, and after every plan
    """

    now: Image
    values: Image
    xyz_now: Image
    xyz_after: Image
    darkest: Image
    sheet: Sheet

    @property
    def best(self) -> Image:
        """The lightest value any plan reaches; a place that bleach can't lighten stays."""
        return np.asarray(np.maximum(self.values.max(axis=0), self.now), np.float32)

    @property
    def xyz_best(self) -> Image:
        """Colours after the plan that gets each place lightest."""
        best = self.values.argmax(axis=0)
        return np.take_along_axis(self.xyz_after, best[None, ..., None], axis=0)[0]


@dataclass(frozen=True, eq=False)
class RegionReach:
    """What bleach can do in one region: the middle of its places.

    now, reach, darkest : values as it lies, at its lightest and at its darkest
    plan : the gentlest that surely reaches `want`; else the gentlest within 0.1 of `reach`
    leaves, low, high, ghost : value that plan leaves, its band, and the colour in words
    rgb_now, rgb_left : linear sRGB before, and after that plan
    verdict : of VERDICTS. doubtful : to be reserved although a lift may well do
    """

    name: str
    now: float
    reach: float
    darkest: float
    plan: LiftPlan
    leaves: float
    low: float
    high: float
    ghost: str
    rgb_now: Image
    rgb_left: Image
    want: float | None = None
    verdict: int = NO_WISH
    doubtful: bool = False


@dataclass(frozen=True, eq=False)
class Reach:
    """The whole answer for a scene.

    step : every so many pixels of the sheet are in `map`
    sure : value that the best plan reaches in 19 cases of 20, at the pixels of `map`; where
        nothing is wanted it isn't worked out, and is just the lightest value
    covers : regions' coverage at the pixels of `map`
    want : wanted values there, NaN for none; verdict : shape (rows, columns), of VERDICTS
    paper_value : of bare paper, which a reserve keeps
    """

    painting: Painting
    plans: tuple[LiftPlan, ...]
    map: Reached
    sure: Image
    step: int
    regions: tuple[RegionReach, ...]
    covers: Mapping[str, NDArray[np.bool_]]
    want: Image
    verdict: NDArray[np.uint8]
    paper_value: float
    bleach: Bleach = field(default_factory=Bleach)

    @property
    def shares(self) -> dict[str, float]:
        """Share of the sheet of each verdict."""
        count = np.bincount(self.verdict.ravel(), minlength=len(VERDICTS)) / self.verdict.size
        return {word: float(count[i]) for i, word in enumerate(VERDICTS) if word}


def reach_of(
    scene: Scene,
    wants: Mapping[str, float] | None = None,
    want_picture: Image | None = None,
    strengths: Sequence[float] = STRENGTHS,
    touches: int = TOUCHES,
) -> Reach:
    """How light bleach gets a scene back, place by place and region by region.

    Parameters
    ----------
    wants : wanted value by region, over those that regions themselves say (`want_value`)
    want_picture : wanted values of the whole sheet, NaN or 0 for none, any size
    strengths : parts of water to one of bleach to try
    touches : most touches to try, 1 to 6
    """
    _check(scene, wants or {}, strengths, touches)
    wanted = {n: r.want_value for n, r in scene.regions.items() if r.want_value is not None}
    wanted |= dict(wants or {})
    settled = Settled()
    painting = resolve(scene, even=True, settled=settled).unlifted()
    covers = _covers(scene, settled, wanted)
    plans = plans_of(strengths, touches)
    step = max(1, -(-max(painting.shape) // MOST_PX))
    index = slice(step // 2, None, step), slice(step // 2, None, step)
    lifted = _reached(scene, painting, index, plans)
    thin = {name: cover[index] >= FULL // 2 for name, cover in covers.items()}
    want = _want_map(lifted.now.shape, wanted, thin, want_picture)
    paper = value_of_paper(painting)
    # its bands take as long as all the rest, and only wishes are judged by it
    sure = _sure(scene, painting, lifted, plans) if (want > 0).any() else lifted.best
    verdict = verdicts(want, lifted.now, sure, paper)
    regions = _regions(scene, painting, covers, plans, wanted, paper)
    return Reach(
        painting=painting,
        plans=plans,
        map=lifted,
        sure=sure,
        step=step,
        regions=regions,
        covers=thin,
        want=want,
        verdict=verdict,
        paper_value=paper,
        bleach=_bleach(scene),
    )


def _covers(
    scene: Scene, settled: Settled, wanted: Mapping[str, float]
) -> dict[str, NDArray[np.uint16]]:
    """Coverage of the regions that matter: those wanted, those lifted, those washes are laid on.

    A step's own region goes by the step's name. The whole sheet stands in where there is none.
    """
    lifts = [step for step in scene.steps if isinstance(step, Lift)]
    others = [step for step in scene.steps if not isinstance(step, Lift)]
    named: dict[str, str | Region] = {name: name for name in wanted}
    for step in (*lifts, *others):
        own = isinstance(step.region, Region)
        if own or step.region != SHEET:
            named.setdefault(step.name if own else str(step.region), step.region)
    named = named or dict.fromkeys(scene.regions) or {SHEET: SHEET}  # type: ignore[assignment]
    sketch = settled.sketch
    assert sketch is not None
    return {name: settled.cover(region or name, scene, sketch) for name, region in named.items()}


def value_of_paper(painting: Painting) -> float:
    """Munsell value of the bare paper."""
    studio = painting.studio
    Y = studio.paper_reflectance @ studio.light.xyz_weights[:, 1]
    return float(munsell_value(Y))


def plans_of(strengths: Sequence[float], touches: int) -> tuple[LiftPlan, ...]:
    """Every strength with 1 to `touches` touches."""
    return tuple(LiftPlan(parts, n) for parts in strengths for n in range(1, touches + 1))


def verdicts(want: Image, now: Image, sure: Image, paper: float) -> NDArray[np.uint8]:
    """What to do at every place for its wanted value: one of VERDICTS by number.

    sure : value that a lift reaches even at the low end of its band
    """
    found = np.full(want.shape, CANT, np.uint8)
    found[want <= paper + TOLERANCE] = RESERVE
    found[want <= sure + TOLERANCE] = LIFT
    found[want <= now + TOLERANCE] = KEEP
    found[~(want > 0)] = NO_WISH
    return found


def _check(
    scene: Scene, wants: Mapping[str, float], strengths: Sequence[float], touches: int
) -> None:
    known = [*scene.regions, SHEET]
    problems = [unknown("region", name, known) for name in wants if name not in known]
    problems += [
        f"--want {name}={value:g}: a value is 0 (black) to 10 (white)."
        for name, value in wants.items()
        if not 0 <= value <= 10
    ]
    if not 1 <= touches <= 6:
        problems.append(f"{touches} touches: give 1 to 6.")
    if not 1 <= len(strengths) <= 8:
        problems.append(f"{len(strengths)} strengths of bleach: give 1 to 8.")
    if problems:
        raise InputError(problems)


def _bleach(scene: Scene) -> Bleach:
    bottle = scene.bleach
    return Bleach(bottle.percent, bottle.ph, bottle.age_months, bottle.storage_c)


def _touches(scene: Scene, parts_water: float) -> Touches:
    room = scene.room
    return Touches(
        parts_water=parts_water,
        temperature_c=room.temperature_c,
        humidity_percent=room.humidity_percent,
        air_m_per_s=room.air_m_per_s,
    )


Index = tuple[slice | NDArray[np.intp], slice | NDArray[np.intp]]


def _reached(scene: Scene, painting: Painting, index: Index, plans: Sequence[LiftPlan]) -> Reached:
    """Lift some pixels of a painting by every plan."""
    part = painting.taken(index)
    sheet = sheet_at(part, whole(part.shape))
    xyz_now = _xyz(painting, sheet)
    now = np.asarray(munsell_value(xyz_now[..., 1]), np.float32)
    xyz_after = np.empty((len(plans), *xyz_now.shape), np.float32)
    for number, after in _lifts(scene, painting, sheet, plans):
        xyz_after[number] = _xyz(painting, after)
    values = np.asarray(munsell_value(xyz_after[..., 1]), np.float32)
    return Reached(now, values, xyz_now, xyz_after, _darkest(painting, sheet), sheet)


def _lifts(
    scene: Scene, painting: Painting, sheet: Sheet, plans: Sequence[LiftPlan]
) -> Iterator[tuple[int, Sheet]]:
    """Every plan's number with the sheet it leaves; touches of a strength follow on each other."""
    studio, bottle = painting.studio, _bleach(scene)
    ones = np.ones(sheet.shape, np.float32)
    for parts in dict.fromkeys(plan.parts_water for plan in plans):
        plan = _touches(scene, parts)
        touch = touch_of(plan, bottle, plan, studio.paper)
        chemistry = chemistry_of(
            studio.dyes, studio.paper, plan.temperature_c, bottle.diluted_ph(parts)
        )
        work = copied(sheet)
        for number in sorted(
            (i for i, p in enumerate(plans) if p.parts_water == parts),
            key=lambda i: plans[i].touches,
        ):
            exposure.lift(work, ones, touch, chemistry)
            yield number, work


def _xyz(painting: Painting, sheet: Sheet) -> Image:
    """XYZ of every pixel by the compiled chain."""
    studio = painting.studio
    k, count = studio.paper.path_spread, len(studio.dyes)
    out = np.empty((*sheet.shape, 3), np.float32)
    glazing.develop(
        np.ascontiguousarray(sheet.optical_g_per_m2).reshape(sheet.bleached.size, count),
        (studio.path_m2_per_g / k).astype(np.float32),
        np.ascontiguousarray(sheet.bleached).reshape(-1),
        np.full(sheet.bleached.size, studio.paper.surface_reflectance, np.float32),
        studio.paper_reflectance.astype(np.float32),
        studio.bleached_gain.astype(np.float32),
        studio.light.xyz_weights.astype(np.float32),
        np.float32(k),
        *(glazing.counted(count), glazing.law_of(k)),
        out.reshape(-1, 3),
    )
    return out


def _darkest(painting: Painting, sheet: Sheet) -> Image:
    """Value under one neat coat of the darkest bottle, in blocks of rows.

    All that lies below counts as crowding it, so what is said is a little lighter than can be.
    """
    studio = painting.studio
    dark = min(
        (_coat(painting, ink.contents_g_per_l) for ink in studio.palette.bottles),
        key=lambda A: float(_luminance(painting, A[None], np.zeros(1))[0]),
    )
    out = np.empty(sheet.shape, np.float32)
    for top in range(0, sheet.shape[0], 64):
        rows = slice(top, top + 64)
        below = sheet.optical_g_per_m2[rows].astype(float) @ studio.path_m2_per_g
        weight = glaze_weight(sheet.coats[rows].astype(float), np.ones(1))
        Y = _luminance(painting, below + weight[..., None] * dark, sheet.bleached[rows])
        out[rows] = munsell_value(Y)
    return out


def _coat(painting: Painting, contents: Mapping[str, float]) -> Array:
    """Path of one neat coat of a bottle, shape (bands,)."""
    from glaze.light import band_nm

    studio = painting.studio
    absorbance = sum(
        studio.palette.dyes[dye].absorptivity_l_per_g_cm(band_nm()) * grams
        for dye, grams in contents.items()
    )
    load = studio.paper.film_ml_per_m2 / 1000.0
    return path(np.asarray(absorbance) * load * SQUARE_METRE_TO_PATH, studio.paper.path_gain)


def _luminance(painting: Painting, A: Array, bleached: NDArray[np.floating[Any]]) -> Array:
    """Y of paths A over paper that is bleached so far, shape of `bleached`."""
    studio = painting.studio
    Rp = studio.paper_reflectance + bleached[..., None] * studio.bleached_gain
    R = stack_reflectance(A, Rp, studio.paper.surface_reflectance, studio.paper.path_spread)
    return np.asarray(R @ studio.light.xyz_weights[:, 1], np.float64)


def _want_map(
    shape: tuple[int, ...],
    wanted: Mapping[str, float],
    covers: Mapping[str, NDArray[np.bool_]],
    picture: Image | None,
) -> Image:
    """Wanted value at every pixel, NaN for none; later regions count over earlier ones."""
    want = np.full(shape, np.nan, np.float32)
    if picture is not None:
        rows = (np.arange(shape[0]) + 0.5) * picture.shape[0] / shape[0]
        columns = (np.arange(shape[1]) + 0.5) * picture.shape[1] / shape[1]
        want[:] = picture[rows.astype(int)[:, None], columns.astype(int)[None, :]]
    for name, value in wanted.items():
        want[covers[name]] = value
    return want


def _regions(
    scene: Scene,
    painting: Painting,
    covers: Mapping[str, NDArray[np.uint16]],
    plans: Sequence[LiftPlan],
    wanted: Mapping[str, float],
    paper: float,
) -> tuple[RegionReach, ...]:
    """What bleach can do in each region, from pixels of it in full resolution."""
    places = {name: _places(cover) for name, cover in covers.items()}
    if not places:
        return ()
    flat = np.concatenate(list(places.values()))
    rows, columns = np.unravel_index(flat, painting.shape)
    lifted = _reached(scene, painting, (rows[None], columns[None]), plans)
    middles, start, spans = [], 0, {}
    for name, place in places.items():
        spans[name] = slice(start, start + place.size)
        now = lifted.now[0, spans[name]]
        middles.append(start + int(np.argsort(now)[now.size // 2]))
        start += place.size
    bands = _bands(scene, painting, lifted.sheet, middles, plans)
    return tuple(
        _region(
            painting, lifted, plans, name, spans[name], middles[i], bands[:, :, i], wanted, paper
        )
        for i, name in enumerate(places)
    )


def _sure(scene: Scene, painting: Painting, lifted: Reached, plans: Sequence[LiftPlan]) -> Image:
    """Value that the best plan reaches in 19 cases of 20, at every pixel.

    The band is worked out for some pixels; the others take that of the one nearest in what lies
    there, each colourant weighed by how much light it stops.
    """
    from scipy.spatial import cKDTree

    if not painting.studio.dyes:
        return lifted.best
    m = np.array([dye.mean_absorptivity_l_per_g_cm for dye in painting.studio.dyes])
    state = np.sqrt(lifted.sheet.optical_g_per_m2.reshape(lifted.now.size, m.size) * m)
    some = np.random.default_rng(SEED).choice(
        len(state), min(BAND_SAMPLES, len(state)), replace=False
    )
    low = _bands(scene, painting, lifted.sheet, some, plans)[0].max(axis=0)
    best = lifted.best.ravel()
    gap = np.maximum(best[some] - low, 0.0)
    _, nearest = cKDTree(state[some]).query(state)
    return np.asarray((best - gap[nearest]).reshape(lifted.now.shape), np.float32)


def _places(cover: NDArray[np.uint16]) -> NDArray[np.intp]:
    """Flat indices of some pixels of a region, evenly over it; of a faint one, its fullest."""
    most = int(cover.max())
    inside = np.flatnonzero(cover >= max(1, min(FULL // 2, most)))
    step = max(1, inside.size // SAMPLES)
    return inside[step // 2 :: step]


def _bands(
    scene: Scene,
    painting: Painting,
    sheet: Sheet,
    middles: Sequence[int] | NDArray[np.intp],
    plans: Sequence[LiftPlan],
) -> Array:
    """Bands of the value of some pixels after each plan, shape (2, plans, pixels).

    What lies there is taken as from bottles that are all too strong or too weak together.
    """
    some, count = np.asarray(middles), len(painting.studio.dyes)
    load, optical = (
        field.reshape(sheet.bleached.size, count)[some].astype(float)[:, None, :]
        for field in (sheet.load_g_per_m2, sheet.optical_g_per_m2)
    )
    inks = len(painting.studio.palette.inks)
    rest = np.zeros((len(some), inks - 1, load.shape[-1]))
    laid = Laid(
        np.concatenate([load, rest], axis=1),
        np.concatenate([optical, rest], axis=1),
        sheet.coats.ravel()[some].astype(float),
    )
    out = np.empty((2, len(plans), len(some)))
    for parts in dict.fromkeys(plan.parts_water for plan in plans):
        mine = [i for i, plan in enumerate(plans) if plan.parts_water == parts]
        found = bands_of_lift(
            *(painting.studio, laid, _touches(scene, parts), _bleach(scene)),
            lifter=exposure.lift,
            touches=len(mine),
            draws=BAND_DRAWS,
            overlaid=True,
        )
        out[0, mine], out[1, mine] = found.low, found.high
    return out


def _region(
    painting: Painting,
    lifted: Reached,
    plans: Sequence[LiftPlan],
    name: str,
    span: slice,
    middle: int,
    bands: Array,
    wanted: Mapping[str, float],
    paper: float,
) -> RegionReach:
    """One region, from its pixels and the one in their middle."""
    studio = painting.studio
    values = np.median(lifted.values[:, 0, span], axis=1)
    now = float(np.median(lifted.now[0, span]))
    reach = max(float(values.max()), now)
    want, lows = wanted.get(name), np.minimum(bands[0], values)
    verdict = NO_WISH
    if want is not None:
        one = [np.array([v], np.float32) for v in (want, now, float(lows.max()))]
        verdict = int(verdicts(one[0], one[1], one[2], paper)[0])
    gentle = sorted(range(len(plans)), key=lambda i: plans[i].bleach_used)
    good = [i for i in gentle if verdict == LIFT and lows[i] >= (want or 0.0) - TOLERANCE]
    named = good[0] if good else next(i for i in gentle if values[i] >= values.max() - AS_GOOD)
    colours = np.stack([lifted.xyz_now[0, middle], lifted.xyz_after[named, 0, middle]])
    before, after = lab_from_xyz(colours.astype(float), studio.light.white_xyz)
    return RegionReach(
        name=name,
        now=now,
        reach=reach,
        darkest=float(np.median(lifted.darkest[0, span])),
        plan=plans[named],
        leaves=float(values[named]),
        low=float(lows[named]),
        high=max(min(float(bands[1, named]), max(paper, reach)), float(values[named])),
        ghost=ghost_words(after, before, lab(studio, bare_patches(studio))[0, 0]),
        rgb_now=linear_of(painting, colours[0]),
        rgb_left=linear_of(painting, colours[1]),
        want=want,
        verdict=verdict,
        doubtful=verdict == RESERVE and (want or 0.0) <= reach + TOLERANCE,
    )


def linear_of(painting: Painting, xyz: NDArray[np.floating[Any]]) -> Image:
    """Linear sRGB of XYZ under the painting's light, as a screen shows it."""
    light = painting.studio.light
    # display weights are the XYZ weights times one matrix
    matrix = np.linalg.lstsq(light.xyz_weights, light.display_weights, rcond=None)[0]
    return np.asarray(xyz @ matrix, np.float32)

"""Wrong use from Python is told in words: what was found, what is allowed, what to do next."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import glaze
from glaze.errors import InputError
from glaze.materials.dye import load_dyes
from glaze.materials.paper import load_paper
from glaze.materials.room import Room
from glaze.patch.patches import bare_patches
from glaze.patch.patches import glaze as lay_on_patches
from glaze.patch.table import table_of
from glaze.picture.file import Picture, encode, picture_from_linear, write_picture
from glaze.picture.light import hats, light_from_weights
from glaze.region.soft import soften
from glaze.scene.records import Scene
from glaze.sheet.lift import Touches, chemistry_of, lift, touch_of, water_lift
from glaze.sheet.rect import Rect
from glaze.sheet.state import bare_sheet
from glaze.sheet.wash import lay, work_out
from glaze.step.lift_step import Lift
from glaze.step.wash_step import Wash

TABLE = table_of("lifting", "white cartridge")
PAPER = load_paper("white cartridge")
BLACK = TABLE.mix("Black 1")
WASH = work_out(BLACK, 1, 100.0, PAPER, TABLE.dyes)
SHAPE = (3, 4)
ONES = np.ones(SHAPE, np.float32)
NM = np.arange(400.0, 701.0, 10.0)
R = np.linspace(0.1, 0.6, NM.size)
OTHER = TABLE.with_ink("Own", NM, R)
WASHED = Wash(wash="a", mix="Black 1", region="sheet")
SCENE = Scene(
    format=1,
    palette="lifting",
    paper="white cartridge",
    size_mm=(10, 10),
    dpi=50,
    steps=(WASHED, Lift(lift="b", region="sheet")),
)


def sheet():
    return bare_sheet(*SHAPE, len(TABLE.dyes))


def scrap(shape=SHAPE):
    return glaze.Scrap(TABLE, shape)


def touched(mask, **habits):
    touch = touch_of(Touches(**habits), TABLE.bleach, TABLE.room, PAPER)
    lift(sheet(), mask, touch, chemistry_of(TABLE.dyes, PAPER))


def at(value):
    mask = ONES.copy()
    mask[1, 1] = value
    return mask


def falling(curve):
    return tuple(reversed(curve))


def painting():
    return glaze.resolve(SCENE)


MEASURED = replace(load_dyes()["Acid Blue 9"], bands=(), kind="measured")

WRONG = {
    # a mask of one kind taken for another
    "floats of 0 to 255": (lambda: scrap().wash(BLACK, ONES * 255), "255"),
    "floats of 0 to 255 to bleach": (lambda: scrap().lift(ONES * 255), "255"),
    "whole numbers 0 and 1": (lambda: scrap().wash(BLACK, ONES.astype(np.uint16)), "mask > 0"),
    "64-bit whole numbers": (lambda: scrap().wash(BLACK, ONES.astype(int)), "int64"),
    "text for a mask": (lambda: scrap().wash(BLACK, "sky"), "text"),
    "complex numbers": (lambda: scrap().wash(BLACK, ONES * 1j), "complex"),
    "a negative film": (lambda: scrap().wash(BLACK, at(-0.1)), "-0.1"),
    "NaN in a mask": (lambda: scrap().wash(BLACK, at(np.nan)), "nan"),
    "NaN in a lift": (lambda: scrap().lift(at(np.nan)), "nan"),
    "a mask on its side": (lambda: scrap().wash(BLACK, ONES.T), "shape"),
    "a mask with a third axis": (lambda: scrap().water(np.ones((2, *SHAPE))), "shape"),
    "whole numbers to the plain wash": (
        lambda: lay(sheet(), WASH, np.full(SHAPE, 32768, np.uint16)),
        "uint16",
    ),
    "NaN to the plain wash": (lambda: lay(sheet(), WASH, at(np.nan)), "nan"),
    "less than nothing to the plain wash": (lambda: lay(sheet(), WASH, at(-1)), "-1"),
    "65535 in floats to the plain wash": (lambda: lay(sheet(), WASH, ONES * 65535), "65535"),
    "another shape to the plain wash": (
        lambda: lay(sheet(), WASH, np.ones((4, 3), np.float32)),
        "shape",
    ),
    "8 bits to the plain lift": (lambda: touched(np.full(SHAPE, 255, np.uint8)), "uint8"),
    "NaN to the plain lift": (lambda: touched(at(np.nan)), "nan"),
    "less than nothing to the plain lift": (lambda: touched(at(-1)), "-1"),
    "another shape to the plain lift": (lambda: touched(np.ones((2, 2), np.float32)), "shape"),
    "another shape to water": (
        lambda: water_lift(
            sheet(), np.ones((2, 2), np.float32), 1.0, chemistry_of(TABLE.dyes, PAPER)
        ),
        "shape",
    ),
    "shares to a soft edge": (lambda: soften(ONES, 3.0), "65535"),
    "8 bits to a soft edge": (lambda: soften(np.full(SHAPE, 255, np.uint8), 3.0), "uint16"),
    "an edge less than nothing wide": (
        lambda: soften(np.full(SHAPE, 65535, np.uint16), -1.0),
        "0 or more",
    ),
    "shares for the film of a painted wash": (
        lambda: replace(painting().steps[0], thickness=ONES),
        "32768 for a full film",
    ),
    "8 bits for the dose of a painted lift": (
        lambda: replace(painting().steps[1], dose=np.full(SHAPE, 255, np.uint8)),
        "43690 for a full film",
    ),
    # mixes and patches
    "two mixes for three patches": (
        lambda: lay_on_patches(TABLE, bare_patches(TABLE, 3), [BLACK, BLACK]),
        "2 mixes for 3",
    ),
    "three mixes for two patches": (
        lambda: lay_on_patches(TABLE, bare_patches(TABLE, 2), [BLACK] * 3),
        "3 mixes for 2",
    ),
    "two mixes for three columns": (lambda: scrap(3).wash(["Black 1", "Red 1"]), "2 mixes for 3"),
    "a mix from another table": (lambda: scrap().wash(OTHER.mix("Own 1")), "bottles of the table"),
    "a wash of no coats": (lambda: scrap().wash(BLACK, coats=0), "0 coats"),
    "a wash of fewer than no coats": (lambda: scrap().wash(BLACK, coats=-1), "-1 coats"),
    "a film of NaN": (lambda: scrap().wash(BLACK, film_ml_per_m2=np.nan), "nan ml/m2"),
    "no touch of bleach": (lambda: scrap().lift(touches=0), "0 touches"),
    "half a touch of bleach": (lambda: scrap().lift(touches=1.5), "1.5 touches"),
    "less than no water in bleach": (lambda: scrap().lift(parts_water=-1), "-1"),
    "a tool nobody has": (lambda: scrap().lift(tool="roller"), "swab"),
    "less than no water": (lambda: glaze.diluted(BLACK, -0.5), "below 0"),
    "less than no water in drops": (lambda: glaze.dilution_of(BLACK, -0.5), "below 0"),
    "water of NaN": (lambda: glaze.dilution_of(BLACK, np.nan), "nan"),
    "a dropper of no drops": (lambda: glaze.Dropper(0), "5 to 100"),
    "a number for a mix": (lambda: scrap().wash(3), "mix"),
    "an ink nobody has": (lambda: scrap().wash("Teal 1"), "Known"),
    "a scrap of no rows": (lambda: scrap((0, 3)), "from 1"),
    "a scrap of three axes": (lambda: scrap((2, 2, 2)), "rows, columns"),
    "a band of many patches": (
        lambda: scrap(2).wash(["Black 1", "Red 1"]).trusted,
        "scrap of their own",
    ),
    # spectra
    "falling wavelengths of an ink": (
        lambda: TABLE.with_ink("Own", NM[::-1], R[::-1]),
        "turn both lists round",
    ),
    "falling wavelengths of a dye": (
        lambda: replace(MEASURED, curve=((700.0, 1.0), (400.0, 2.0))),
        "rise",
    ),
    "falling wavelengths of a paper": (lambda: replace(PAPER, curve=falling(PAPER.curve)), "rise"),
    "falling wavelengths of bleached paper": (
        lambda: replace(PAPER, bleached_curve=falling(PAPER.bleached_curve)),
        "rise",
    ),
    "per cent for reflectance": (lambda: TABLE.with_ink("Own", NM, R * 100), "divide by 100"),
    "NaN in a spectrum": (lambda: TABLE.with_ink("Own", NM, R * np.nan), "nan"),
    "two lists of unlike length": (lambda: TABLE.with_ink("Own", NM, R[1:]), "alike in length"),
    "a spectrum of bare paper": (
        lambda: TABLE.with_ink("Own", NM, PAPER.reflectance(NM)),
        "holds no ink",
    ),
    "an ink called water": (lambda: TABLE.with_ink("Water", NM, R), "other than water"),
    "falling bands": (lambda: hats(np.array([700.0, 400.0])), "rise"),
    "a light of too few bands": (lambda: light_from_weights("x", np.ones((31, 3))), "(40, 3)"),
    "a wavelength in micrometres": (lambda: scrap().reflectance([0.55]), "380 to 780"),
    # records changed in a script
    "a copied wash out of range": (lambda: WASHED.model_copy(update={"coats": 99}), "1 to 20"),
    "a copied wash with a slip": (lambda: WASHED.model_copy(update={"coat": 2}), "coats"),
    "a copied scene out of range": (lambda: SCENE.model_copy(update={"dpi": 3}), "20 to 2400"),
    "a copied scene of another light bulb": (
        lambda: SCENE.model_copy(update={"room": {"humidity_percent": 120}}),
        "0 to 98",
    ),
    "a wash made out of range": (
        lambda: Wash(wash="a", mix="Black 1", region="sheet", coats=99),
        "1 to 20",
    ),
    "a wash without a mix": (lambda: Wash(wash="a", region="sheet"), "mix"),
    "a room at 200 %": (lambda: Room(humidity_percent=200), "0 to 100"),
    "industrial bleach": (lambda: glaze.Bleach(percent=12.5), "household"),
    # pictures
    "a picture of 12 bits": (lambda: glaze.render(painting(), bits=12), "8 or 16"),
    "a rectangle off the sheet": (
        lambda: glaze.render(painting(), Rect(0, 0, 900, 900)),
        "lies on it",
    ),
    "an empty rectangle": (lambda: glaze.render(painting(), Rect(4, 4, 4, 9)), "lies on it"),
    "signals for linear light": (
        lambda: picture_from_linear(np.zeros((2, 2, 3), np.uint8), 100),
        "Picture(rgb, dpi)",
    ),
    "linear light without colours": (lambda: picture_from_linear(ONES, 100), "(rows, columns, 3)"),
    "NaN in linear light": (
        lambda: picture_from_linear(np.full((2, 2, 3), np.nan), 100),
        "NaN",
    ),
    "a signal of 12 bits": (lambda: encode(np.zeros((1, 1, 3)), 12), "8 or 16"),
    "16 bits of an 8-bit picture": (
        lambda: write_picture(Picture(np.zeros((1, 1, 3), np.uint8), 100), "a.png", bits=16),
        "bits=16",
    ),
    "half a pixel": (lambda: scrap().picture(px=0.5), "whole number"),
    "pixels and a half": (lambda: scrap().picture(px=1.5), "whole number"),
    "yes for pixels": (lambda: scrap().picture(px=True), "whole number"),
    "no pixel": (lambda: scrap().picture(px=0), "whole number"),
}


@pytest.mark.parametrize("case", WRONG)
def test_a_wrong_call_is_told(case):
    call, said = WRONG[case]
    with pytest.raises(InputError) as told:
        call()
    assert said in str(told.value)
    assert str(told.value).rstrip().endswith((".", ")", "each", ":"))


def test_a_changed_copy_keeps_its_folder(tmp_path):
    here = SCENE.in_folder(tmp_path)
    assert here.model_copy(update={"light": "A"}).folder == tmp_path


def test_a_copy_is_not_the_same_record_and_leaves_the_first_alone():
    other = WASHED.model_copy(update={"coats": 3})
    assert (WASHED.coats, other.coats) == (1, 3)

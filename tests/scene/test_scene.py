"""A scene file is read whole or refused with all its mistakes, each in a painter's words."""

from __future__ import annotations

import json
import os
import re
import tomllib
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from pydantic import TypeAdapter, ValidationError

from glaze.errors import InputError
from glaze.materials.dropper import Dropper
from glaze.painting.settle import regions_of, resolve
from glaze.picture.writable import check_place
from glaze.record.checks import Name, Text
from glaze.region.records import Ellipse, Region
from glaze.scene.file import load_scene, read_text, scene_of, scene_text, schema_text, write_scene
from glaze.scene.laid_out import palette_of, paper_of, sketch_of, table_of_scene
from glaze.scene.names import circles, mix_line
from glaze.scene.records import Scene
from glaze.scene.starter import start_scene
from glaze.step.lift_step import Lift
from glaze.step.rinse_step import Rinse
from glaze.step.wash_step import Wash
from glaze.step.water_step import WaterLift

DOCS = Path(__file__).parents[2] / "docs"
EXAMPLE = re.findall(r"```toml\n(.*?)```", (DOCS / "scene-file.md").read_text("utf-8"), re.S)[0]
SMALL = """
format = 1
palette = "lifting"
paper = "white cartridge"
sketch = "sketch.png"
"""
WASH = """
[[step]]
wash = "a"
mix = "Blue 1"
region = "sheet"
"""


def new_scene(*given: Any, **named: Any) -> Path:
    """The file of a scene that was started."""
    return start_scene(*given, **named)[0]


def draw(folder: Path, name: str = "sketch.png", **more: Any) -> Path:
    """A sheet of 150 x 100 mm at 50.8 dpi with a frame drawn round it."""
    codes = np.full((200, 300), 250, np.uint8)
    codes[4:196, 4:296] = 20
    codes[6:194, 6:294] = 250
    Image.fromarray(codes).save(folder / name, **({"dpi": (50.8, 50.8)} | more))
    return folder / name


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    home = tmp_path / "hut"
    home.mkdir()
    draw(home)
    return home


def load(folder: Path, text: str) -> Scene:
    (folder / "scene.toml").write_text(text, encoding="utf-8")
    return load_scene(folder)


def problems(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as refused:
        load(folder, text)
    return refused.value.problems


def test_the_example_of_the_page_is_a_scene_and_all_its_regions_exist(folder: Path) -> None:
    scene = load(folder, EXAMPLE)
    assert [type(step) for step in scene.steps] == [Wash, Wash, Lift, WaterLift, Rinse, Lift]
    assert scene.regions["sky"].minus == ("tower",)
    assert scene.wells["dusk"] == "Red 2 + Yellow 3 + water 40"
    regions = regions_of(scene)
    assert list(regions.all()) == list(scene.regions)
    assert regions.notes() == ()  # the sketch is an empty frame: nothing of it leaks
    assert palette_of(scene).name
    assert paper_of(scene).name == "white hot-pressed"


def test_a_scene_written_and_read_again_is_the_same(folder: Path) -> None:
    scene = load(folder, EXAMPLE)
    write_scene(scene)
    again = load_scene(folder / "scene.toml")
    assert again == scene
    assert scene_text(again) == scene_text(scene)


def test_a_scene_made_in_python_is_written_too(folder: Path) -> None:
    sun = Region(ellipse_mm=[Ellipse(centre=(3, 4), radii=(1, 2))], soft_mm=1)
    scene = Scene(
        format=1,
        title='Rock "n" pool \\ é\nnight',
        palette="lifting",
        paper="white cartridge",
        sketch="sketch.png",
        wells={"pale blue": "Blue 1 + water 30"},
        regions={"the sun": sun, "a.b": Region(union=["the sun"])},
        steps=[Wash(name="w", mix="pale blue", region=sun), Rinse(name="r")],
    ).in_folder(folder)
    write_scene(scene)
    assert load_scene(folder) == scene


def test_no_half_file_is_left_where_writing_fails(folder: Path) -> None:
    scene = load(folder, SMALL)
    with pytest.raises(InputError, match="can't be written"):
        write_scene(scene, folder / "nowhere" / "scene.toml")
    (folder / "taken.toml").mkdir()
    with pytest.raises(InputError, match="is no plain file"):
        write_scene(scene, folder / "taken.toml")
    assert sorted(p.name for p in folder.iterdir()) == ["scene.toml", "sketch.png", "taken.toml"]


MISTAKES = {
    '[step]\nwash = "a"': "step: one table found; write [[step]], in two brackets each",
    "[bleach]\npercent = 0.05": "0.05 found; allowed: the label's percentage; 5 if you mean 5 %",
    "sketc = white paper": 'The line is: sketc = white paper; text needs quotes, as sketc = "white',
    'title = "a\\sky.png"': "between folders write /",
    'title = "a"\ntitle = "b"': 'The line is: title = "b"; that key stands twice; leave one out.',
    "[well]\n[room]\n[well]": "Cannot declare [well] twice",
    "[well]\n[bleach]\n[well]": "The line is: [well]; that heading stands twice; put all it holds",
    "areas = [1": "In it a list that begins with [ never ends with ].",
    "title = 'a": "In it a text that begins with a quote never ends with one.",
    'title = "\u2028"\nlight = D65': "The line is: light = D65; text needs quotes, as light",
    WASH.replace("Blue 1", "#2f6f6a"): "glaze mix '#2f6f6a'",
    WASH.replace("Blue 1", "5BG 4/4"): "glaze mix '5BG 4/4'",
    WASH + "coat = 3": '(step "a", line 11)',
    "[region.a]\nmask = 'fog\\m.png'": "Between folders write /",
    '[region.a]\nmask = "sketsh.png"': 'Did you mean "sketch.png"? There are: sketch.png.',
    'title = ""': 'title: "" found; allowed: a text',
    'palete = "x"': 'palete: No key is called "palete". Did you mean "palette"?',
    "steps = []": 'steps: No key is called "steps". Did you mean "step"?',
    'light = "D66"': 'light: No light is called "D66". Did you mean "D65"?',
    'line = "Blu"': 'line: No ink is called "Blu". Did you mean "Blue"?',
    "dpi = 5": "dpi: 5 found; allowed: a number, 20 to 2400 dots per inch",
    "dpi = true": "dpi: true found; allowed: a number",
    "dpi = nan": "dpi: nan found",
    "dpi = 1" + 16 * "0": "dpi is a number of 17 digits",
    "size_mm = [10]": "size_mm: [10] found; allowed: [width, height] in mm",
    "dpi = 300\nsize_mm = [150, 100]": "both dpi and size_mm found",
    "[room]\nhumidity_percent = 120": "room.humidity_percent: 120 found; allowed: a number, 0",
    "[bleach]\npercent = 12": "above household strength",
    "[bleach]\npercent = 0": "bleach.percent: 0 found; allowed: a number, more than 0, up to 9",
    "[bleach]\nacid = 1": 'bleach.acid: No key is called "acid"',
    "[well]\na = 3": "well.a: 3 found; allowed: a text",
    '[well]\na = "Blue -2"': "can't be below 0",
    '[well]\na = "Bleu 2"': 'No ink or well is called "Bleu". Did you mean "Blue"?',
    '[well]\na = "b 1"\nb = "a 1"': "mixed from each other",
    "[region.sheet]\npolygon_mm = [[0, 0], [1, 0], [0, 1]]": "that name is the whole sheet",
    "[region.a]\nsoft_mm = 1": "region.a: no shape found; allowed: exactly one of",
    '[region.a]\nmask = "m.png"\nunion = ["sheet"]': "mask and union found",
    "[region.a]\npolygon_mm = [[0, 0], [1, 0]]": "polygon_mm: 2 found; allowed: at least 3",
    "[region.a]\npolygon_mm = [[0, 0], [1, 0], [0]]": "region.a.polygon_mm[3]: [0] found",
    '[region.a]\nmask = "mist.png"': 'region.a.mask: There is no file "mist.png"',
    '[region.a]\nmask = "../hut2/m.png"': "outside the scene's folder",
    '[region.a]\nmask = "/etc/passwd"': "outside the scene's folder",
    '[region.a]\nmask = "a\\u0000b"': "mask holds a control character",
    "[region.a]\nunion = ['b']\ngap_mm = 1": "gap_mm only beside enclosed_at_mm",
    '[region.a]\nunion = ["towr"]\n[region.tower]\nunion = ["sheet"]': 'Did you mean "tower"?',
    '[region.a]\nunion = ["b"]\n[region.b]\ninside = ["a"]\nunion = ["sheet"]': "a needs b needs a",
    "[region.a]\nellipse_mm = {centre = [1, 2], radii = [0, 4]}": "ellipse_mm[1].radii: [0, 4]",
    "[region.a]\nband_mm = {start = [1, 2], to = [2, 3], width = 1}": 'No key is called "start"',
    "[[step]]\nwish = 1": "step[1]: wish found; allowed: one of wash = ...",
    '[[step]]\nwash = "a"\nlift = "b"': "step[1]: wash, lift found",
    '[[step]]\nwash = "a"\nregion = "sheet"': "step[1].mix: is missing",
    WASH + "coats = 0": "step[1].coats: 0 found; allowed: a whole number, 1 to 20 coats",
    WASH + "coats = 1.5": "step[1].coats: 1.5 found",
    WASH + "coat = 2": 'step[1].coat: No key is called "coat". Did you mean "coats"?',
    WASH + 'name = "b"': 'step[1].name: No key is called "name"',
    WASH + 'edge = "hard"': 'step[1].edge: "hard" found; allowed: "drying line", "soft", "none"',
    WASH + "graded = {from_mm = [1, 1]}": "from_mm together with to_mm, or picture alone",
    WASH + "graded = {from_mm = [1, 1], to_mm = [1, 1]}": "the same point twice",
    WASH + 'graded = {picture = "g.png"}': 'step[1].graded.picture: There is no file "g.png"',
    WASH.replace("sheet", "skyy"): 'step[1].region: No region is called "skyy"',
    WASH.replace("Blue 1", ""): 'step[1].mix: "" found; allowed: a text',
    WASH.replace("Blue 1", "Blu 1"): 'No ink or well is called "Blu"',
    WASH.replace("Blue 1", "Blue -1"): "step[1].mix: Blue -1: an amount can't be below 0",
    WASH.replace("Blue 1", "water 0"): "step[1].mix",
    WASH.replace("Blue 1", "Blue 0 + water 0"): "step[1].mix",
    '[[step]]\nlift = "a"\nregion = "sheet"\nrinse = "yes"': 'step[1].rinse: "yes" found',
    '[[step]]\nlift = "a"\nregion = {mask = "m.png"}': "step[1].region.mask: There is no file",
    '[[step]]\nlift = "a"\nregion = {circle = 1}': "step[1].region.circle: No key",
}


@pytest.mark.parametrize("mistake", MISTAKES, ids=[str(n) for n in range(len(MISTAKES))])
def test_a_mistake_is_told_with_its_place_and_what_is_allowed(mistake: str, folder: Path) -> None:
    found = problems(folder, SMALL + mistake)
    assert any(MISTAKES[mistake] in problem for problem in found), found
    assert all(problem.startswith("scene.toml: ") for problem in found)
    assert all("\n" not in problem for problem in found)
    assert not any("Input should" in problem or "validation" in problem for problem in found)


def test_a_name_has_up_to_eighty_characters_and_a_note_two_thousand() -> None:
    for kind, most in ((Name, 80), (Text, 2000)):
        assert TypeAdapter(kind).validate_python("n" * most) == "n" * most
        with pytest.raises(ValidationError, match=f"up to {most} characters"):
            TypeAdapter(kind).validate_python("n" * (most + 1))


def test_a_percentage_is_read_as_a_label_says_it(folder: Path) -> None:
    for written in ('"5 %"', '"5%"', "5", '"5.0"'):
        assert load(folder, SMALL + f"[bleach]\npercent = {written}").bleach.percent == 5.0


def test_steps_of_one_name_are_told(folder: Path) -> None:
    notes = resolve(load(folder, SMALL + WASH + WASH)).notes
    assert any('2 steps are called "a"' in note for note in notes)
    assert not resolve(load(folder, SMALL + WASH)).notes


def test_a_mistake_is_told_with_its_own_steps_name_and_line(folder: Path) -> None:
    second = WASH.replace('"a"', '"b"') + "coats = 0\n"
    text = SMALL + WASH + second + WASH.replace('"a"', '"c"')
    (told,) = problems(folder, text)
    line = text.splitlines().index("coats = 0") + 1  # lines are counted from 1
    assert told.endswith(f'(step "b", line {line})')


def test_regions_from_regions_go_twenty_deep(folder: Path) -> None:
    def chain(deep: int) -> str:
        first = "[region.r1]\npolygon_mm = [[0, 0], [9, 0], [9, 9]]\n"
        more = (f'[region.r{n}]\nunion = ["r{n - 1}"]\n' for n in range(2, deep + 1))
        return SMALL + first + "".join(more)

    assert len(load(folder, chain(20)).regions) == 20
    (told,) = problems(folder, chain(21))
    assert "region.r21" in told
    assert "21 deep; allowed: 20" in told


def test_what_a_scene_says_of_light_and_dropper_lies_on_its_table(folder: Path) -> None:
    own = 'light = "A"\n[dropper]\nink_drops_per_ml = 21\nwater_drops_per_ml = 19\n'
    table = table_of_scene(load(folder, SMALL + own))
    assert table.light.name == "A"
    assert table.palette.dropper == Dropper(21, 19)
    assert table_of_scene(load(folder, SMALL)).light.name == "D65"
    # what is named outright comes first
    assert table_of_scene(load(folder, SMALL + own), light="D50").light.name == "D50"


def test_all_mistakes_are_told_at_once(folder: Path) -> None:
    text = SMALL.replace("lifting", "liftin").replace("white cart", "wite cart")
    text += "[bleach]\npercent = 30\n" + WASH + "coats = -1\n" + WASH.replace("sheet", "moon")
    found = problems(folder, text)
    for place in (
        "palette: ",
        "paper: ",
        "bleach.percent: ",
        "step[1].coats: ",
        "step[2].region: ",
    ):
        assert any(problem.startswith(f"scene.toml: {place}") for problem in found), place
    assert len(found) == 5


def test_another_format_is_refused(folder: Path) -> None:
    found = problems(folder, SMALL.replace("format = 1", "format = 2"))
    assert found == ["scene.toml: format: 2 found; allowed: 1, the only format there is."]


def test_missing_keys_are_named(folder: Path) -> None:
    found = problems(folder, "format = 1\nsize_mm = [100, 100]")
    assert [problem.split(":")[1].strip() for problem in found] == ["palette", "paper"]


def test_a_file_that_is_no_scene_is_refused(folder: Path) -> None:
    assert "line 3" in problems(folder, "format = 1\n\npalette = ?")[0]
    assert "has no end" in problems(folder, "a = " + "[" * 20_000)[0]
    assert "has no end" in problems(folder, "a = " + "9" * 5_000)[0]
    (folder / "scene.toml").write_bytes(b"title = '\xff\xfe'")
    with pytest.raises(InputError, match="UTF-8"):
        load_scene(folder)
    with pytest.raises(InputError, match="no scene at"):
        load_scene(folder / "elsewhere")
    with pytest.raises(InputError, match="no scene at"):
        load_scene("bad\0name")


def test_a_link_out_of_the_folder_is_followed_and_refused(folder: Path) -> None:
    outside = draw(folder.parent, "secret.png")
    os.symlink(outside, folder / "link.png")
    found = problems(folder, SMALL.replace("sketch.png", "link.png"))
    assert found == [
        'scene.toml: sketch: "link.png" lies outside the scene\'s folder. A scene uses only files '
        "of its own folder, so that it opens alike anywhere: copy the file there and name it from "
        "there."
    ]


def test_names_take_inks_and_wells_without_an_amount(folder: Path) -> None:
    scene = load(folder, SMALL + WASH.replace("Blue 1", "Blue"))
    mix = mix_line("Blue", palette_of(scene), {})
    assert mix.water_ml == 0
    assert list(mix.ink_ml) == ["Blue"]


def test_a_bare_sheet_needs_only_its_size(folder: Path) -> None:
    scene = load(folder, SMALL.replace('sketch = "sketch.png"', "size_mm = [105, 148]"))
    sketch = sketch_of(scene)
    assert sketch.shape == (1748, 1240)  # A6 at 300 dpi
    assert np.all(sketch.line == 1)


def test_the_users_own_files_of_inks_stay_inside_the_folder(folder: Path) -> None:
    found = problems(folder, SMALL.replace('"lifting"', '"../inks.toml"'))
    assert "outside the scene's folder" in found[0]
    found = problems(folder, SMALL.replace('"lifting"', '"inks.toml"'))
    assert 'no file "inks.toml"' in found[0]


def test_circles_are_found_once_and_long_chains_are_none() -> None:
    assert circles({"a": ["b"], "b": ["c"], "c": ["a"], "d": ["a"]}) == [["a", "b", "c"]]
    assert circles({"a": ["a"]}) == [["a"]]
    chain = {str(n): [str(n + 1)] for n in range(5000)}
    assert circles(chain) == []


values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=12)
    | st.sampled_from(
        ["sheet", "a", "Blue 1", "sketch.png", "..", "lifting", 10**400, "1 +", "\0"]
    ),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                [
                    *("wash", "lift", "rinse", "mix", "region", "graded", "polygon_mm", "centre"),
                    *("enclosed_at_mm", "ellipse_mm", "pen_line_mm", "points", "union", "minus"),
                    *("picture", "mask", "a", "coats", "percent"),
                ]
            )
            | st.text(max_size=4),
            inner,
            max_size=3,
        )
    ),
    max_leaves=12,
)
HEAD = tuple(field.alias or name for name, field in Scene.model_fields.items())


@settings(max_examples=300, deadline=None)
@given(st.dictionaries(st.sampled_from(HEAD) | st.text(max_size=5), values, max_size=8))
def test_no_table_of_junk_raises_anything_but_an_input_error(raw: dict[str, Any]) -> None:
    base = {"format": 1, "palette": "lifting", "paper": "white cartridge", "size_mm": [100, 100]}
    for tables in (raw, base | raw):
        with suppress(InputError):
            scene = scene_of(tables, Path("/nonexistent"))
            assert scene_of(read_text(scene_text(scene)), "/nonexistent") == scene


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=60) | st.text("[]{}=\"'.#\n\\ax1_-+:", max_size=60))
def test_no_text_raises_anything_but_an_input_error(text: str) -> None:
    with suppress(InputError):
        assert read_text(text) == tomllib.loads(text)


def test_the_schema_in_the_docs_is_the_codes() -> None:
    assert (DOCS / "scene.schema.json").read_text("utf-8") == schema_text()


def test_the_schema_takes_the_example_and_refuses_mistakes() -> None:
    schema = json.loads(schema_text())
    check = jsonschema.Draft202012Validator(schema)
    check.check_schema(schema)
    example = tomllib.loads(EXAMPLE)
    check.validate(example)
    for key, value in (("format", 2), ("palete", "x"), ("bleach", {"percent": 10}), ("step", [{}])):
        assert not check.is_valid(example | {key: value}), key


def test_a_new_scene_copies_the_sketch_byte_for_byte_and_loads(tmp_path: Path) -> None:
    sketch = draw(tmp_path, "pear tree.png")
    before = sketch.read_bytes()
    file = new_scene(sketch)
    assert file == tmp_path / "pear tree" / "scene.toml"
    assert (tmp_path / "pear tree" / "pear tree.png").read_bytes() == before == sketch.read_bytes()
    scene = load_scene(file)
    assert scene.title == "pear tree"
    assert sketch_of(scene).size_mm == pytest.approx((150, 100), rel=1e-3)


def test_a_new_scene_never_overwrites(tmp_path: Path) -> None:
    sketch = draw(tmp_path)
    file = new_scene(sketch, tmp_path / "a")
    file.write_text("mine")
    with pytest.raises(InputError, match="is there already and is left as it is"):
        new_scene(sketch, tmp_path / "a")
    assert file.read_text() == "mine"
    (tmp_path / "b").mkdir()
    (tmp_path / "b" / "sketch.png").write_bytes(b"mine")
    with pytest.raises(InputError, match="is there already"):
        new_scene(sketch, tmp_path / "b")
    assert (tmp_path / "b" / "sketch.png").read_bytes() == b"mine"
    assert not (tmp_path / "b" / "scene.toml").exists()


def test_a_new_scene_may_stand_beside_its_sketch(tmp_path: Path) -> None:
    sketch = draw(tmp_path)
    before = sketch.read_bytes()
    load_scene(new_scene(sketch, tmp_path))
    assert sketch.read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "areas.json",
        "scene.toml",
        "sketch.png",
    ]


@pytest.mark.parametrize(
    "given_size", [{"dpi": 50.8}, {"size_mm": (150.0, 100.0)}], ids=["dpi", "size"]
)
def test_a_new_scene_asks_for_the_dpi_and_keeps_it(given_size: Any, tmp_path: Path) -> None:
    codes = np.full((200, 300), 250, np.uint8)
    Image.fromarray(codes).save(tmp_path / "plain.jpg")
    with pytest.raises(InputError, match="Give dpi"):
        new_scene(tmp_path / "plain.jpg", tmp_path / "p")
    assert not (tmp_path / "p").exists()
    scene = load_scene(new_scene(tmp_path / "plain.jpg", tmp_path / "p", **given_size))
    assert sketch_of(scene).size_mm == pytest.approx((150, 100))


@pytest.mark.parametrize("said", [72, 96])
def test_a_photos_dpi_that_cant_be_meant_isnt_taken(said: int, tmp_path: Path) -> None:
    photo = tmp_path / "photo.jpg"
    Image.fromarray(np.full((200, 300), 250, np.uint8)).save(photo, dpi=(said, said))
    with pytest.raises(InputError, match="--size 210x148"):
        new_scene(photo, tmp_path / "p")
    assert not (tmp_path / "p").exists()
    scene = load_scene(new_scene(photo, tmp_path / "p", size_mm=(150.0, 100.0)))
    assert sketch_of(scene).size_mm == pytest.approx((150, 100))
    # said by the painter it is meant: 300 by 200 pixels at so many to the inch of 25.4 mm
    scene = load_scene(new_scene(photo, tmp_path / "meant", dpi=said))
    assert sketch_of(scene).size_mm == pytest.approx((300 / said * 25.4, 200 / said * 25.4))


@pytest.mark.parametrize(
    "given_size", [{"dpi": 0.0}, {"dpi": np.nan}, {"dpi": 1e9}, {"size_mm": (np.nan, 100.0)}]
)
def test_a_size_that_no_sheet_has_is_refused(given_size: Any, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="allowed are"):
        new_scene(draw(tmp_path), tmp_path / "p", **given_size)
    assert not (tmp_path / "p").exists()


def test_names_with_quotes_make_a_scene_that_loads(tmp_path: Path) -> None:
    sketch = draw(tmp_path, 'a "b" \\ {c}.png')
    assert load_scene(new_scene(sketch, tmp_path / "q")).sketch == 'a "b" \\ {c}.png'


def test_a_name_that_a_scene_file_cannot_hold_is_told_before_anything_is_made(
    tmp_path: Path,
) -> None:
    try:
        sketch = draw(tmp_path, os.fsdecode(b"d\xe9.png"))
    except OSError:  # some systems have only UTF-8 names
        pytest.skip("no such names here")
    with pytest.raises(InputError, match="rename the picture"):
        new_scene(sketch, tmp_path / "p")
    assert not (tmp_path / "p").exists()


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(InputError, match="can't be made"):
        new_scene(draw(tmp_path), tmp_path / "file" / "below")


@pytest.mark.parametrize(
    "change", [lambda s: setattr(s, "title", "x"), lambda s: s.steps.append(1)]
)
def test_a_scene_is_frozen(change: Callable[[Scene], None], folder: Path) -> None:
    with pytest.raises((ValueError, AttributeError)):
        change(load(folder, SMALL))


def test_a_name_is_the_same_however_its_accents_are_written(scene_folder):
    """é is one letter (NFC) or e with an accent after it (NFD) [Unicode Standard Annex 15].

    They look alike; another system or a packed folder may turn one into the other.
    """
    one, two = "h\u00e9", "he\u0301"
    folder = scene_folder(
        SMALL.replace("sketch.png", f"{one}.png")
        + f'''
[region."{one} 1"]
polygon_mm = [[1, 1], [9, 1], [9, 9]]
[[step]]
wash = "b"
mix = "Blue 1 + water 4"
region = "{two} 1"
'''
    )
    (folder / "sketch.png").rename(folder / f"{two}.png")
    scene = load_scene(folder)
    assert scene.file(scene.sketch).name == f"{two}.png"
    with pytest.raises(InputError, match="belongs to the scene"):
        check_place(folder / f"{two}.png", (".png",), "a picture")

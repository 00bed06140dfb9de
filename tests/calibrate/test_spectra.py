"""Spectra of one's own strips: CGATS.17 and CSV in, bottles out.

Files are written here by the standard's own structure (CGATS.17: keywords, BEGIN_DATA_FORMAT,
BEGIN_DATA) from spectra painted by numbers (`swatch_painter`, invented) and from measured
watercolours (chen2019, tests/published).
"""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from click.testing import CliRunner
from swatch_painter import NM, Painter

from glaze.calibrate.fit.ghosts import Dot
from glaze.calibrate.fit.measured_strips import from_spectra, path_of_rungs
from glaze.calibrate.fit.sample_names import samples_of
from glaze.calibrate.report.calibration_sheet import calibration_sheets
from glaze.cli.calibrate_commands import spectra as command
from glaze.errors import InputError
from glaze.materials.ink import load_palette
from glaze.patch.layers import Laid
from glaze.patch.table import table_of
from glaze.patch.trust import trusted
from glaze.physics.absorption import glaze_weight, stack_reflectance
from glaze.physics.colour import delta_e_2000
from glaze.record.spectra import read_spectra
from tests.accuracy.measured import NM as NM10
from tests.accuracy.measured import lab, watercolours
from tests.charts.sheet_faults import faults

EVERY10 = (NM >= 380) & (NM <= 730) & (NM % 10 == 0)
PARTS = (0, 1, 2, 4, 8, 16)


def painted_set(painter, inks=("Blue", "Red", "Black"), slips=None):
    """Names and spectra of a set as a painter would measure it: 380 to 730 nm, every 10."""
    rows = [("paper", painter.reflectance([]))]
    for ink in inks:
        for parts in PARTS:
            q = (slips or {}).get((ink, parts), 1.0) / (1 + parts)
            rows.append((f"{ink} {f'1+{parts}' if parts else 'neat'}",
                         painter.reflectance([({ink: 1.0}, q)])))  # fmt: skip
    for ink in inks[:2]:
        over = painter.reflectance([({ink: 1.0}, 0.5), ({"Black": 1.0}, 0.2)])
        rows.append((f"Black over {ink}", over))
    return [(name, R[EVERY10]) for name, R in rows]


def cgats(rows, nm, column="SPECTRAL_NM{:g}", times=1.0):
    """CGATS.17 text of some spectra."""
    lines = ["CGATS.17", 'ORIGINATOR "a test"', "# a remark", f"NUMBER_OF_FIELDS {2 + len(nm)}"]
    columns = " ".join(column.format(at) for at in nm)
    lines += ["BEGIN_DATA_FORMAT", f"SAMPLE_ID SAMPLE_NAME {columns}", "END_DATA_FORMAT"]
    lines += [f"NUMBER_OF_SETS {len(rows)}", "BEGIN_DATA"]
    lines += [
        f'{n} "{name}" ' + " ".join(f"{times * value:.5f}" for value in R)
        for n, (name, R) in enumerate(rows, start=1)
    ]
    return "\n".join([*lines, "END_DATA", ""])


def table_csv(rows, nm, mark=","):
    """CSV of some spectra; decimal commas where the mark isn't one."""
    lines = [mark.join(["name", *(f"{at:g}" for at in nm)])]
    for name, R in rows:
        numbers = [f"{value:.5f}" for value in R]
        lines.append(
            mark.join([name, *(n if mark == "," else n.replace(".", ",") for n in numbers)])
        )
    return "\n".join(lines)


@pytest.fixture(scope="module")
def rows(table):
    return painted_set(Painter(table.palette, table.paper, {"Red": 1.3, "Blue": 0.7}))


def file_of(tmp_path, text, name="set.txt"):
    path = tmp_path / name
    path.write_text(text)
    return path


@pytest.mark.parametrize(
    ("column", "times"),
    [("SPECTRAL_NM{:g}", 1.0), ("SPECTRAL_{:g}", 100.0), ("nm{:g}", 1.0), ("R_{:g}nm", 100.0)],
)
def test_cgats_comes_back_as_it_was_written(rows, tmp_path, column, times):
    found = read_spectra(file_of(tmp_path, cgats(rows, NM[EVERY10], column, times)))
    assert found.names == tuple(name for name, _ in rows)
    np.testing.assert_array_equal(found.wavelength_nm, NM[EVERY10])
    np.testing.assert_allclose(found.reflectance, [R for _, R in rows], atol=6e-6)


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_csv_comes_back_as_it_was_written(rows, tmp_path, mark):
    found = read_spectra(file_of(tmp_path, table_csv(rows, NM[EVERY10], mark), "set.csv"))
    assert found.names == tuple(name for name, _ in rows)
    np.testing.assert_allclose(found.reflectance, [R for _, R in rows], atol=6e-6)


def test_an_ink_comes_back_band_by_band_and_its_strip_within_a_tenth(rows, tmp_path, table):
    """Against the painter's own path, where the paper lets it be seen."""
    painter = Painter(table.palette, table.paper, {"Red": 1.3, "Blue": 0.7})
    found = from_spectra(read_spectra(file_of(tmp_path, cgats(rows, NM[EVERY10]))), table)
    nm = NM[EVERY10]
    for name in ("Blue", "Red", "Black"):
        fit = found.inks[name]
        curve = np.array(fit.dyes[0].curve)[:, 1]
        true = painter.path_of(name)[EVERY10] / (np.log(10) * 0.1 * table.paper.path_gain)
        true = true / (table.paper.film_ml_per_m2 / 1000)
        seen = (nm >= 420) & (nm <= 700) & (true > 0.03 * true.max())
        np.testing.assert_allclose(curve[seen], true[seen], rtol=0.03)
        assert fit.ink.how == "measured"
        assert fit.ink.strength_factor == pytest.approx(1.1, abs=0.02)
        assert fit.mean_de00 < 0.3
    assert len(found.checks) == 2
    assert found.paper.how == "instrument"


def test_clipped_bands_are_carried_by_the_thinner_rungs():
    """Readings off by 0.002: where neat rungs end in the surface's own light they tell nothing.

    Reflectances by hand, k = 1; a plain mean of the rungs' logs is off by a tenth at the peak.
    """
    Rp, s = np.full(2, 0.86), 0.03
    weight = np.asarray(glaze_weight(0.0, 1 / (1 + np.array(PARTS))))
    A = np.array([300.0, 5.0])
    R = s + (Rp - s) / (1 + weight[:, None] * A)
    R = R + 0.002 * np.array([1, 1, -1, 1, -1, 1])[:, None]
    np.testing.assert_allclose(path_of_rungs(R, Rp, weight, (1.0, s)), A, rtol=0.06)


def test_a_slip_of_one_rung_is_told_and_does_not_bend_the_spectrum(table, tmp_path):
    painter = Painter(table.palette, table.paper, {})
    rows = painted_set(painter, ("Blue", "Red", "Black"), {("Red", 4): 1.5})
    found = from_spectra(read_spectra(file_of(tmp_path, cgats(rows, NM[EVERY10]))), table)
    fit = found.inks["Red"]
    odd = next(rung for rung in fit.rungs if rung.name == "Red 1+4")
    assert odd.acts_as == pytest.approx(5 / 1.5 - 1, abs=0.4)
    assert fit.ink.strength_factor > 1.15


def test_measured_watercolours_thin_out_as_they_were_measured(tmp_path):
    """Prussian blue as amounts of 0.04 ml and less: unseen 0.03 ml, by the whole path.

    Tolerance: the error of the law thinning a wash, 2.6 on average (docs/accuracy.md).
    """
    singles, _ = watercolours()
    rows = [("paper", singles["paper", 0.0])]
    for ml, parts in ((0.04, 0), (0.02, 1), (0.01, 3)):
        rows.append((f"Deep {f'1+{parts}' if parts else 'neat'}", singles["prussian blue", ml]))
    path = file_of(tmp_path, cgats(rows, NM10))
    table = from_spectra(read_spectra(path), table_of("lifting", "white cartridge")).table
    wash = [Laid(table.mix("Deep 3 parts + water 1 part"))]
    table = table_of(table.palette, table.paper, "D50")
    told = trusted(table, wash)
    off = float(delta_e_2000(np.array(told.lab), lab(singles["prussian blue", 0.03])))
    assert off < 2.6
    assert off < told.de00


def test_names_are_those_of_the_sheet_or_say_their_dilutions(tmp_path):
    nm = NM[EVERY10]
    names = ("bare paper", "Blue neat", "Blue 1 + 2.5", "Blue with Red", "Black over Blue and Red")
    names += ("Black 1+6 over Blue neat", "blue neat", "Blue + Red 1+3")
    spectra = read_spectra(
        file_of(tmp_path, cgats([(n, np.full(nm.size, 0.5)) for n in names], nm))
    )
    bare, samples = samples_of(spectra)
    assert bare.shape == nm.shape
    told = {s.name: s for s in samples}
    assert len(samples) == 6  # neat blue was measured twice
    assert (told["Blue 1 + 2.5"].ink, told["Blue 1 + 2.5"].parts) == ("Blue", 2.5)
    assert told["Blue with Red"].layers == ("Blue 0.5 parts + Red 0.5 parts + water 1 parts",)
    over = told["Black 1+6 over Blue neat"]
    assert over.layers == ("Blue 1 parts", "Black 1 parts + water 6 parts")
    assert told["Black over Blue and Red"].layers[1] == "Black 1 parts + water 4 parts"


def problems_of(tmp_path, text):
    with pytest.raises(InputError) as error:
        samples_of(read_spectra(file_of(tmp_path, text)))
    return error.value.problems


def test_every_mistake_of_a_file_is_told_at_once_with_its_line(rows, tmp_path):
    nm = NM[EVERY10]
    text = cgats(rows, nm).splitlines()
    first = text.index("BEGIN_DATA") + 1
    text[first + 1] = text[first + 1].replace("0.", "O.", 1)
    text[first + 2] = " ".join(text[first + 2].split()[:-3])
    text[first + 4] = text[first + 4].replace('"Blue 1+4"', '""')
    found = problems_of(tmp_path, "\n".join(text))
    assert len(found) == 3
    for problem, line, word in zip(
        found, (2, 3, 5), ("no number", "fields", "measured"), strict=True
    ):
        assert f"line {first + line}" in problem
        assert word in problem


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda t: t.replace("SAMPLE_NAME", "HUE").replace("SAMPLE_ID", "NR"), "what was measured"),
        (lambda t: t.replace("END_DATA\n", ""), "has no end"),
        (lambda t: t.replace("NUMBER_OF_SETS", "NUMBER_OF_SETS 9 #"), "NUMBER_OF_SETS says 9"),
        (lambda t: t.replace("SPECTRAL_NM400", "SPECTRAL_NM390"), "390 nm is there twice"),
        (lambda t: t.replace('"paper"', '"Blue neat"'), 'no sample is called "paper"'),
        (lambda t: t.replace('"Red neat"', '"Red"'), "doesn't say its water"),
        (lambda t: t.replace('"Red neat"', '"Red 1+900"'), "900 parts of water"),
        (lambda t: t.replace("SPECTRAL_NM", "LAB_"), "columns of wavelengths"),
        (lambda t: "", "holds no table"),
        (lambda t: "name,400\n", "at least 16"),
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_told_in_words(rows, tmp_path, change, told):
    found = problems_of(tmp_path, change(cgats(rows, NM[EVERY10])))
    assert any(told in problem for problem in found), found


def test_a_negative_and_a_mixed_scale_are_told(rows, tmp_path):
    wrong = [(n, R.copy()) for n, R in rows]
    wrong[3][1][4] = -0.02
    assert "-0.02 at 420 nm" in problems_of(tmp_path, cgats(wrong, NM[EVERY10]))[0]


def test_an_ink_of_one_strength_is_refused_by_name(rows, tmp_path, table):
    few = [row for row in rows if not row[0].startswith("Red 1+")]
    with pytest.raises(InputError, match="Red has 1 strength"):
        from_spectra(read_spectra(file_of(tmp_path, cgats(few, NM[EVERY10]))), table)


def test_the_command_writes_inks_paper_and_report(rows, tmp_path):
    path = file_of(tmp_path, table_csv(rows, NM[EVERY10], ";"), "set.csv")
    inks, paper, report = (tmp_path / name for name in ("inks.toml", "paper.toml", "r.pdf"))
    options = ["-o", inks, "--paper-out", paper, "--report", report]
    done = CliRunner().invoke(command, [str(a) for a in (path, *options)])
    assert done.exit_code == 0, done.output
    assert "its spectrum as measured" in done.output
    palette = load_palette(inks)
    assert palette.inks["Red"].how == "measured"
    assert palette.checked.scanner.colour == 0.0  # no scanner had a part in it
    assert palette.checked.more_inks.colour > 0.0
    again = table_of(str(inks), str(paper))
    assert again.paper.entries["reflectance"].how != ""
    assert report.read_bytes().startswith(b"%PDF")
    done = CliRunner().invoke(command, [str(path), "-o", str(tmp_path / "j.toml"), "--json"])
    assert json.loads(done.stdout)["inks"]["Red"]["kind"] == "spectrum"


def test_a_strip_of_many_rungs_stays_on_the_page(table, tmp_path):
    """Eight rungs, as with the page of coats: two rows."""
    painter, rows = Painter(table.palette, table.paper, {}), []
    for ink, parts in product(("Blue", "Black"), (*PARTS, 32, 50)):
        R = painter.reflectance([({ink: 1.0}, 1 / (1 + parts))])
        rows.append((f"{ink} 1+{parts}", R[EVERY10]))
    rows.append(("paper", painter.reflectance([])[EVERY10]))
    found = from_spectra(read_spectra(file_of(tmp_path, cgats(rows, NM[EVERY10]))), table)
    (page,) = calibration_sheets(found, day="2026-01-01")
    shapes = [mark for mark in page.marks if getattr(mark, "name", "").startswith("seen: ")]
    assert len(shapes) == 16
    assert max(x for mark in shapes for x, _ in mark.points) < page.right
    # and dots of bleach stand in the middle of their patches
    told = "a pale warm ghost, and what its words say of it goes on to another line"
    light, pale = (0.2,) * 3, (0.7,) * 3
    dots = [Dot(f"dot {n}", "rung", ("Blue",), 4.0, light, pale, 0.8, 4.5, told) for n in range(8)]
    pages = calibration_sheets(replace(found, dots=dots), day="2026-01-01")
    assert not faults(pages)
    named = [m for page in pages for m in page.marks if m.name.startswith(("dot", "ghost"))]
    at = {mark.name: np.mean(mark.points, axis=0) for mark in named}
    for dot in dots:
        assert at[f"ghost: {dot.name}"] == pytest.approx(at[f"dot: {dot.name}"], abs=0.1)


def test_a_written_bottle_paints_what_was_measured(rows, tmp_path, table):
    from glaze.calibrate.report.ink_file import write_inks, write_paper

    found = from_spectra(read_spectra(file_of(tmp_path, cgats(rows, NM[EVERY10]))), table)
    inks = write_inks(found, tmp_path / "inks.toml")
    paper = write_paper(found, tmp_path / "paper.toml", "white cartridge")
    for name, wash in (("Red 1+4", "Red 1 part + water 4 parts"), ("Blue neat", "Blue 1")):
        for one in (table_of(str(inks), str(paper), "D50"),):
            told = trusted(one, [Laid(one.mix(wash))])
            R = dict(rows)[name]
            true = lab(np.interp(NM10, NM[EVERY10], R))
            assert float(delta_e_2000(np.array(told.lab), true)) < 0.6
    assert stack_reflectance(0.0, 0.8, 0.03, 1.0) == pytest.approx(0.8)

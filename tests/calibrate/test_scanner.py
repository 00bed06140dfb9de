"""A scanner that is off is told from an ink that changed; where it can't be, that is said.

Sheets are painted by numbers (`swatch_painter`); the scanner mixes its channels and bends their
tones, another form than the one that is fitted.
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
from swatch_painter import Painter, linear_rgb

from glaze.calibrate.fit.own_inks import calibrate
from glaze.calibrate.fit.scanner import as_scanned, taken_out
from glaze.calibrate.scan.swatch import Reading, SheetReading, apart
from glaze.charts.content.swatch_coats import coats_page
from glaze.patch.layers import Laid
from glaze.patch.table import table_of
from glaze.patch.trust import trusted

CROSSTALK = np.array([[1.12, -0.09, -0.03], [-0.05, 1.09, -0.04], [-0.02, -0.08, 1.10]])
TONES = np.array([1.02, 1.06, 1.09])


def off(share):
    """A vivid scanner, its paper right: about 4 (CIEDE2000) on washes."""
    return np.maximum(np.maximum(share, 1e-5) ** TONES @ CROSSTALK.T, 1e-4)


def read(page, painter, scanner=lambda share: share):
    """The page without a picture: each patch as a share of the paper, as a scanner has it."""
    paper = linear_rgb(painter.reflectance([]))
    shares = {p.name: np.maximum(painter.colour_of(p) / paper, 1e-5) for p in page.places}
    found = {
        p.name: Reading(p, scanner(shares[p.name]), 0.5, bool((shares[p.name] < 0.003).any()))
        for p in page.places
        if p.kind != "grey card"
    }
    return SheetReading(page, found, np.ones(3), 1.0, 12.0)


@pytest.fixture(scope="module")
def known(table):
    """The table of a painter whose bottles were read before, within a tenth."""
    inks = {
        name: replace(ink, how="measured", strength_factor=1.1)
        for name, ink in table.palette.inks.items()
    }
    palette = replace(table.palette, inks=MappingProxyType(inks))
    return table_of(palette, table.paper, "D65")


def test_the_scanner_of_these_tests_is_off_by_about_four(page, table):
    painter = Painter(table.palette, table.paper, {})
    right, wrong = read(page, painter), read(page, painter, off)
    gaps = [
        apart(right.readings[name].rgb, reading.rgb) for name, reading in wrong.readings.items()
    ]
    assert 3.0 < np.mean([gap for gap in gaps if gap > 0.5]) < 5.0


def test_what_a_scanner_adds_can_be_taken_out():
    paper = np.array([0.9, 0.88, 0.8])
    seen = np.array([[0.5, 0.2, 0.1], [0.1, 0.3, 0.6], [0.04, 0.04, 0.05]])
    logs = np.array([0.1, -0.05, 0.04, 0.12, 0.02, -0.03, 0.01, 0.04, -0.02, 0.03])
    np.testing.assert_allclose(
        taken_out(as_scanned(seen, paper, logs), paper, logs), seen, rtol=1e-6, atol=1e-6
    )
    np.testing.assert_allclose(as_scanned(paper[None], paper, logs)[0], paper)


def test_a_scanner_that_is_off_leaves_known_inks_as_they_were(page, known):
    painter = Painter(known.palette, known.paper, {})
    found = calibrate([read(page, painter, off)], known)
    for name, fit in found.inks.items():
        assert fit.kind != "measured", name
        assert 1 / fit.strength_band < fit.strength < fit.strength_band, name
    assert any("scanner or phone is off, not the inks" in note for note in found.notes)
    assert found.scanner.off_de00[1] < 0.5 * found.scanner.off_de00[0]


def test_an_ink_that_changed_is_told_from_the_scanner(page, known):
    painter = Painter(known.palette, known.paper, {"Red": 1.45})
    for scanner in (lambda share: share, off):
        found = calibrate([read(page, painter, scanner)], known)
        assert found.inks["Red"].strength == pytest.approx(1.45, rel=0.12)
        assert found.inks["Blue"].strength == pytest.approx(1.0, rel=0.12)


def test_inks_never_read_before_cannot_be_told_from_the_scanner(page, table):
    painter = Painter(table.palette, table.paper, {})
    found = calibrate([read(page, painter, off)], table, kind="strength")
    assert found.scanner.told_by == "either"
    assert any("can't be told which" in note for note in found.notes)
    # what is promised holds what the scanner may have done
    assert found.palette.checked.scanner.colour > 2.0


def test_inks_explained_as_they_are_tell_that_the_scanner_is_right(page, table):
    found = calibrate([read(page, Painter(table.palette, table.paper, {"Red": 1.3}))], table)
    assert found.scanner.told_by == "inks"
    assert found.palette.checked.scanner.colour < 2.0
    assert not any("scanner" in note for note in found.notes)


def test_another_surface_is_noticed_from_what_the_strips_leave(page, table):
    """Painted on a hard-sized sheet, k = 1.5 and s = 0.02 for 1.0 and 0.03."""
    sized = replace(table.paper, path_spread=1.5, surface_reflectance=0.02)
    found = calibrate([read(page, Painter(table.palette, sized, {}))], table, kind="strength")
    assert any('"hard-sized" surface better than "matte absorbent"' in n for n in found.notes)
    right = calibrate([read(page, Painter(table.palette, table.paper, {}))], table, kind="strength")
    assert not any("surface better" in note for note in right.notes)


def test_a_page_of_coats_lengthens_the_strips_and_adds_checks(page, table):
    """Thin washes are fitted; washes laid twice and both orders are predicted."""
    painter, coats = Painter(table.palette, table.paper, {}), coats_page(table)
    found = calibrate([read(page, painter), read(coats, painter)], table, kind="strength")
    names = [rung.name for rung in found.inks["Blue"].rungs]
    assert names[-2:] == ["Blue 1+32", "Blue 1+50"]
    assert found.palette.checked.weakest == pytest.approx(1 / 51)
    checks = [check.name for check in found.checks]
    assert len(checks) == 9 + 16 + 6 + 6
    assert {"Red 1+1 over Blue 1+1", "Blue 1+1 over Red 1+1", "Black 1+4 over Black 1+4"} <= {
        *checks
    }


def test_thin_rungs_narrow_the_band_of_a_thin_wash(page, table):
    """Of 1 + 40, as beyond 1 + 16 the law's own error counts; and of washes over others."""
    painter = Painter(table.palette, table.paper, {})
    thin, over, halves = ["Blue 1 + water 40"], ["Blue 1 + water 1", "Black 1 + water 4"], []
    for pages in ([page], [page, coats_page(table)]):
        found = calibrate([read(one, painter) for one in pages], table, kind="strength").table
        stacks = ([Laid(found.mix(wash)) for wash in washes] for washes in (thin, over))
        halves.append([trusted(found, stack).band.half_width for stack in stacks])
    assert halves[1][0] < 0.6 * halves[0][0]
    assert halves[1][1] < 0.9 * halves[0][1]

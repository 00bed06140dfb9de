"""Every figure of the dye table that has a source, against that source, written down again here."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.second_way.raw_figures import table

MATERIALS = Path(__file__).resolve().parents[2] / "docs" / "materials.md"
DYES = {name: dye for name, dye in table("dyes").items() if name != "sources"}
AZO = {
    *("Acid Violet 3", "Acid Yellow 23", "Food Yellow 3", "Acid Orange 7", "Acid Orange 10"),
    *("Food Red 17", "Acid Red 14", "Acid Red 27", "Acid Red 1", "Acid Black 1", "Food Black 1"),
}
TRIARYLMETHANE = {"Acid Blue 9", "Acid Blue 3", "Acid Blue 93", "Basic Violet 3", "Basic Green 4"}

# E(1 %, 1 cm) of the food-colour specifications; E 129 read in SANCO/11368/2011 Rev. 3, the others
# of Regulation (EU) 231/2012 from memory: 10 times the table's L/(g cm)
E_1_PERCENT = {
    "Acid Blue 9": 1630, "Acid Blue 3": 2000, "Acid Yellow 23": 530, "Food Yellow 3": 555,
    "Food Red 17": 540, "Acid Red 14": 510, "Acid Red 27": 440, "Acid Red 51": 1100,
    "Food Black 1": 530,
}  # fmt: skip
# molar absorptivity [L/(mol cm)] of records of the PhotochemCAD database that test_dyes.py doesn't
# hold; fluorescein's is that in basic ethanol
MOLAR = {"Acid Violet 3": 36_000, "Acid Red 1": 32_100, "Acid Yellow 73": 92_300}

# Nadupalli et al. 2011, abstract: amaranth with OCl- and HOCl [L/(mol s)], activation [kJ/mol]
AMARANTH = {"k_ocl": 1.9, "k_hocl": 23.2, "ea_ocl": 33.7, "ea_hocl": 26.9}
# Nadupalli et al. 2015, abstract: the same of Acid Blue 83
BLUE_83 = {"k_ocl": 1.2, "k_hocl": 22.2, "ea_ocl": 35.5, "ea_hocl": 26.8}
# Idris et al. 2015, abstract: malachite green with HOCl, and mol of hypochlorite to 1 mol of it
MALACHITE_GREEN = {"k_hocl": 115.55, "oxidant": 2}
# paper strips of student laboratories, dilute salt water: one figure a laboratory
STRIPS = {
    "Acid Blue 9": (1.0, 0.80, 1.0), "Acid Red 51": (0.2, 0.2), "Food Red 17": (0.42, 0.30),
    "Acid Yellow 23": (0.56, 0.48, 0.65), "Food Yellow 3": (0.46, 0.55, 0.71),
}  # fmt: skip
# grades of ISO 105-B02 on a page of a supplier: 4-5, 3-4 and 2-3
BLUE_WOOL = {"Direct Blue 199": 4.5, "Direct Blue 86": 3.5, "Acid Blue 9": 2.5}
# PhotochemCAD, in ethanol
QUANTUM_YIELD = {
    "Acid Red 52": 0.70, "Basic Violet 10": 0.70, "Acid Red 87": 0.67, "Acid Red 92": 0.67,
    "Acid Red 51": 0.08, "Acid Yellow 73": 0.97,
}  # fmt: skip


def entries(field: str, source: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Dyes whose figure names a source, with the entry; there is at least one."""
    found = [(n, d[field]) for n, d in DYES.items() if field in d and d[field]["source"] == source]
    assert found
    yield from found


def test_heights_of_food_dyes_are_those_of_their_specifications() -> None:
    heights = {name: entry["value"] for name, entry in entries("peak_absorptivity", "eu231")}
    assert heights == pytest.approx({name: e / 10 for name, e in E_1_PERCENT.items()}, abs=1e-9)


@pytest.mark.parametrize(("name", "molar"), MOLAR.items())
def test_heights_are_molar_absorptivity_over_molar_mass(name: str, molar: float) -> None:
    dye = DYES[name]
    height = molar / dye["molar_mass"]["value"]
    assert dye["peak_absorptivity"]["value"] == pytest.approx(height, rel=0.002)


def test_carbon_absorbs_as_bond_and_bergstrom_say() -> None:
    # 7.5 m2/g by the natural logarithm at 550 nm: 75,000 cm2/g / (1000 x 2.3026) = 32.57 L/(g cm)
    # by the decadic one; as 1/wavelength from there to the shortest light told of, 400 nm: x 1.375
    height = DYES["Pigment Black 7"]["peak_absorptivity"]["value"]
    assert height == pytest.approx(32.57 * 550 / 400, abs=0.05)


@pytest.mark.parametrize("field", ["k_hocl", "ea_ocl", "ea_hocl"])
def test_azo_dyes_take_the_figures_of_amaranth(field: str) -> None:
    found = dict(entries(field, "nadupalli2011"))
    assert set(found) == AZO
    assert {entry["value"] for entry in found.values()} == {AMARANTH[field]}


@pytest.mark.parametrize("field", ["k_hocl", "ea_ocl", "ea_hocl"])
def test_triarylmethane_dyes_take_the_figures_of_acid_blue_83(field: str) -> None:
    found = dict(entries(field, "nadupalli2015"))
    assert set(found) == TRIARYLMETHANE - ({"Basic Green 4"} if field == "k_hocl" else set())
    assert {entry["value"] for entry in found.values()} == {BLUE_83[field]}


def test_untimed_azo_dyes_stand_between_the_two_that_were_timed() -> None:
    # amaranth 1.9, Food Red 17 1.40 to 1.55 (student report): their geometric mean is 1.63
    rates = {n: e["value"] for s in ("nadupalli2011", "oakes") for n, e in entries("k_ocl", s)}
    assert rates.pop("Acid Red 27") == AMARANTH["k_ocl"]
    assert set(rates) == AZO - {"Acid Red 27", "Food Red 17"}
    assert set(rates.values()) == {round((1.40 * 1.9) ** 0.5, 1)}


def test_untimed_triarylmethane_dyes_stand_between_the_two_that_were_timed() -> None:
    # Acid Blue 9 0.504 (k1 = 0.0203/s in 0.0403 mol/L, student report), Acid Blue 83 1.2
    ((name, blue),) = entries("k_ocl", "student_blue")
    assert name == "Acid Blue 9"
    assert blue["value"] == pytest.approx(0.0203 / 0.0403, abs=0.0005)
    rates = {entry["value"] for _, entry in entries("k_ocl", "nadupalli2015")}
    assert rates == {round((0.504 * 1.2) ** 0.5, 1)}


def test_food_red_17_has_the_mean_of_its_three_timings() -> None:
    ((name, rate),) = entries("k_ocl", "student_red")
    assert name == "Food Red 17"
    assert rate["value"] == pytest.approx((1.55 + 1.45 + 1.40) / 3, abs=0.005)


def test_malachite_green_and_the_mole_ratio_of_all_that_take_it() -> None:
    assert [(n, e["value"]) for n, e in entries("k_hocl", "idris2015")] == [
        ("Basic Green 4", MALACHITE_GREEN["k_hocl"])
    ]
    ratios = dict(entries("oxidant", "idris2015"))
    assert set(ratios) == AZO | TRIARYLMETHANE
    assert {entry["value"] for entry in ratios.values()} == {MALACHITE_GREEN["oxidant"]}


def test_crystal_violet_and_malachite_green_go_too_fast_for_a_cuvette() -> None:
    # Open Ecology Journal 2023, Table 2: no time to fill it, at least 0.3/s; in 0.1 mol/L, a
    # guess at what "excess" was, that is 3 L/(mol s)
    for name, entry in entries("k_ocl", "toecol2023"):
        if DYES[name]["kind"] == "dye":
            assert entry["value"] == pytest.approx(0.3 / 0.1)


def test_azo_dyes_have_the_acidity_of_acid_orange_7() -> None:
    # pKa 11.4, from memory
    found = dict(entries("pka", "oakes1998"))
    assert set(found) == AZO | {"Violet residue of azo black"}
    assert {entry["value"] for entry in found.values()} == {11.4}


def test_a_mole_of_azo_black_makes_a_mole_of_each_residue() -> None:
    # Eriochrome black T: one species after another, 605, 531, 395 nm (Open Ecology Journal 2023)
    assert {e["value"] for _, e in entries("product_yield", "toecol2023")} == {1}


def test_resistant_dyes_lie_far_below_the_bound() -> None:
    # Bouchoucha et al. 2023: less than 2 % in 1800 s in 1e-3 mol/L is below 0.011 L/(mol s)
    found = dict(entries("k_ocl", "bouchoucha2023"))
    assert set(found) == {"Acid Red 52", "Basic Violet 10"}
    assert all(entry["value"] * entry["factor"] < 0.011 for entry in found.values())


def test_what_runs_how_far_on_paper_is_the_mean_of_the_laboratories() -> None:
    found = {name: entry["value"] for name, entry in entries("rf", "strips")}
    assert found == pytest.approx({n: sum(rf) / len(rf) for n, rf in STRIPS.items()}, abs=0.005)


def test_blue_wool_grades_are_those_of_the_page() -> None:
    assert {n: e["value"] for n, e in entries("light_fastness", "iso105")} == BLUE_WOOL


def test_quantum_yields_are_those_of_the_records() -> None:
    found = {n: e["value"] for n, e in entries("quantum_yield", "photochemcad")}
    assert found == QUANTUM_YIELD


MEASURED_ON = {
    "nadupalli2011": "Acid Red 27", "student_blue": "Acid Blue 9", "student_red": "Food Red 17",
    "idris2015": "Basic Green 4", "nadupalli2015": None, "oakes": None,
}  # fmt: skip


@pytest.mark.parametrize("source", MEASURED_ON)
def test_only_the_dye_that_was_timed_says_read(source: str) -> None:
    found = [(n, f, e) for n, d in DYES.items() for f, e in d.items()
             if isinstance(e, dict) and e["source"] == source]  # fmt: skip
    assert found
    read = {name for name, _, entry in found if entry["how"] == "read"}
    assert read == ({MEASURED_ON[source]} - {None})


def test_every_source_of_a_rate_or_ratio_is_held_here() -> None:
    """A new source of the table needs its lines above."""
    fields = ("k_ocl", "k_hocl", "ea_ocl", "ea_hocl", "oxidant", "product_yield", "pka", "rf")
    used = {dye[field]["source"] for dye in DYES.values() for field in fields if field in dye}
    held = {*MEASURED_ON, "toecol2023", "bouchoucha2023", "oakes1998", "strips"}
    assert used - held == {"none"}


def test_a_guess_says_how_wild_it_is() -> None:
    guesses = [
        (name, field, entry.get("factor", 0))
        for name, dye in DYES.items()
        for field, entry in dye.items()
        if isinstance(entry, dict) and entry["how"] == "assumed"
        if not field.startswith(("ea_", "bands"))
    ]
    assert [guess for guess in guesses if not 1 < guess[2] <= 30] == []


def test_what_is_assumed_of_a_class_is_one_figure_or_in_the_order_of_the_trade() -> None:
    # classes, common practice: xanthenes fade first, carbon never; basic dyes and phthalocyanines
    # cling to paper, carbon most of all
    def of(names: set[str], field: str) -> list[float]:
        return [DYES[name][field]["value"] for name in names]

    xanthene = {n for n, d in DYES.items() if str(d.get("ci_number")).startswith("45")}
    assert len(xanthene) == 6
    eosins = xanthene - {"Acid Red 52", "Basic Violet 10"}
    for names, fields in (
        (eosins, ("k_ocl", "k_hocl")),
        (xanthene, ("oxidant", "ea_ocl", "ea_hocl")),
    ):
        for field in fields:
            assert len(set(of(names, field))) == 1, field
    assert max(of(xanthene, "light_fastness")) <= 2 < min(of(AZO, "light_fastness"))
    assert DYES["Pigment Black 7"]["light_fastness"]["value"] == 8  # the scale's end
    clinging = {"Basic Violet 3", "Basic Green 4", "Direct Blue 199", "Direct Blue 86"}
    for field in ("loose_fraction", "mobility"):
        assert max(of(clinging, field)) < min(of(AZO - {"Acid Black 1"}, field)), field
        assert DYES["Pigment Black 7"][field]["value"] < min(of(clinging, field)), field
        residues = {n for n, d in DYES.items() if d["kind"] == "product"}
        assert len(set(of(residues, field))) == 1, field


def test_assumed_activation_energies_lie_where_the_two_measured_ones_do() -> None:
    for field, low, high in (("ea_ocl", 33.7, 35.5), ("ea_hocl", 26.8, 26.9)):
        for name, entry in entries(field, "none"):
            assert low - 0.5 <= entry["value"] <= high + 0.5, name


def test_residues_lose_to_bleach_as_hypochlorous_acid_does_over_hypochlorite() -> None:
    # no residue was timed: HOCl is put at so many times OCl- as for the dye each comes from,
    # a mean of amaranth 23.2/1.9 = 12.2 and of the azo dyes taken after it, 23.2/1.6 = 14.5
    for name, dye in DYES.items():
        if dye["kind"] == "product":
            times = dye["k_hocl"]["value"] / dye["k_ocl"]["value"]
            assert times == pytest.approx(14, abs=0.05), name


def test_the_page_of_materials_tells_the_same_figures() -> None:
    rows = {
        cells[0]: cells
        for line in MATERIALS.read_text(encoding="utf-8").splitlines()
        if (cells := [cell.strip() for cell in line.strip("|").split("|")])[0] in DYES
        and len(cells) == 6
    }
    assert set(rows) == set(DYES)
    for name, (_, other, height, _, rate, leaves) in rows.items():
        dye, k = DYES[name], DYES[name]["k_ocl"]
        assert other == dye["other_name"]
        assert height == f"{dye['peak_absorptivity']['value']:g}, {dye['peak_absorptivity']['how']}"
        assert rate == f"{k['value']:g}, {k['how']}, × {k['factor']:g}", name
        assert leaves == dye.get("product", leaves)


def test_the_page_of_materials_tells_the_same_inks() -> None:
    page = {}
    for line in MATERIALS.read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if len(cells) == 4 and len(cells[1]) == 1:
            parts = [part.rsplit(" ", 1) for part in cells[2].split(", ")]
            page[cells[0], cells[1]] = {dye: float(grams) for dye, grams in parts}
    held = {}
    for palette in ("lifting", "resistant"):
        for ink in table(f"palettes/{palette}")["ink"]:
            more = f" (`{palette}`)" if ink["name"] == "Red" else " (extra)" * ("extra" in ink)
            held[ink["name"] + more, ink["key"]] = ink["dyes_g_per_l"]["value"]
    assert page == held


PAPERS = {name: paper for name, paper in table("papers").items() if name != "sources"}


@pytest.mark.parametrize("name", PAPERS)
def test_a_paper_has_the_density_and_the_moisture_of_paper(name: str) -> None:
    # uncoated papers have 0.6 to 0.9 g/cm3 and hold about 6 % of their weight in water at 50 %
    # humidity (handbooks, from memory)
    paper = {key: entry["value"] for key, entry in PAPERS[name].items() if isinstance(entry, dict)}
    assert 600 <= paper["weight_gsm"] / paper["thickness_mm"] <= 900
    assert paper["residual_ml_per_m2"] == pytest.approx(0.06 * paper["weight_gsm"], abs=0.5)


def test_paper_of_the_watercolour_set_is_the_one_that_was_measured() -> None:
    # Chen et al. 2019, bare paper: 0.775 at 400 nm, 0.861 at 500, 0.874 at 600, 0.893 at 700 (read,
    # smoothed); papers of a sort share surface, spread and shine, which docs/accuracy.md scores
    curve = dict(PAPERS["white hot-pressed"]["reflectance"]["value"])
    assert [curve[nm] for nm in (400, 500, 600, 700)] == [0.775, 0.861, 0.874, 0.893]
    for paper in PAPERS.values():
        law = paper["path_spread"]["value"], paper["surface_reflectance"]["value"]
        assert law == ((1.5, 0.02) if paper["surface"] == "hard-sized" else (1.0, 0.03))
        rising = [r for _, r in paper["bleached_reflectance"]["value"]]
        assert rising == sorted(rising)
    # bleach takes three quarters of the cream's tint (docs/materials.md): of its way to white
    cream, bleached, white = (
        dict(PAPERS[name][key]["value"])
        for name, key in (
            ("cream cartridge", "reflectance"),
            ("cream cartridge", "bleached_reflectance"),
            ("white cartridge", "reflectance"),
        )
    )
    for nm in (400, 440, 480, 520):
        took = (bleached[nm] - cream[nm]) / (white[nm] - cream[nm])
        assert took == pytest.approx(0.75, abs=0.03)

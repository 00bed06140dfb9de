"""What lies on the table, with curves: every ink, paper and dye, as the program holds them."""

from __future__ import annotations

import html
from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

NM = np.arange(400.0, 701.0, 5.0)
WIDE, HIGH, LEFT, FOOT = 240, 96, 20, 24
STROKES = ("thick", "thin", "dotted")
WORDS = {450: "blue", 550: "green", 650: "red"}


def inks() -> Iterator[str]:
    """Every bottle of the palettes: swatches and curves, neat, thinned and lifted."""
    from glaze import Scrap, palette_names, table_of

    shown = []
    for name in palette_names():
        table = table_of(name, "white cartridge")
        fresh = [ink for ink in table.palette.inks.values() if ink not in shown]
        shown += fresh
        others = "" if len(fresh) == len(shown) else ": the same but for"
        yield f"### {name}{others}\n"
        cards = []
        for ink in fresh:
            laid = {
                "neat": Scrap(table).wash(f"{ink.name} 1 part"),
                "1 + 8": Scrap(table).wash(f"{ink.name} 1 part + water 8 parts"),
                "lifted": Scrap(table).wash(f"{ink.name} 1 part").lift(parts_water=4),
            }
            held = ", ".join(f"{dye} {g:g} g/L" for dye, g in ink.contents_g_per_l.items())
            swatches = [(word, hex_of(scrap)) for word, scrap in laid.items()]
            curves = {word: scrap.reflectance(NM)[0, 0] for word, scrap in laid.items()}
            told = [held, f"{ink.how}; under bleach: {ink.bleach_class}"]
            cards.append(_card(ink.name, swatches, curves, told))
        yield from _cards(cards)


def papers() -> Iterator[str]:
    """Every paper: bare, and as bleach leaves it."""
    from glaze import Scrap, load_paper, paper_names, table_of

    cards = []
    for name in paper_names():
        paper, table = load_paper(name), table_of("lifting", name)
        white = Scrap(table)
        curves = {"bare": paper.reflectance(NM), "bleached": paper.bleached_reflectance(NM)}
        told = [f"{paper.surface}, {paper.weight_gsm:g} g/m2; value {white.value[0, 0]:.1f}"]
        cards.append(_card(name, [("bare", hex_of(white))], curves, told))
    yield from _cards(cards)


def dyes() -> Iterator[str]:
    """Every colourant: what it takes of the light, and what bleach makes of it."""
    from glaze.materials.dye import load_dyes

    cards = []
    for dye in load_dyes().values():
        taken = dye.absorptivity_l_per_g_cm(NM)
        told = [
            f"{dye.peak_absorptivity_l_per_g_cm:g} L/(g cm) at its peak",
            f"bleach leaves: {dye.product or 'nothing coloured'}",
        ]
        heading = f"{dye.name} ({dye.other_name})" if dye.other_name else dye.name
        cards.append(_card(heading, [], {"takes": taken / taken.max()}, told))
    yield from _cards(cards)


def hex_of(scrap: object) -> str:
    """The colour of a scrap's first patch as a hex code."""
    red, green, blue = scrap.picture().rgb[0, 0]  # type: ignore[attr-defined]
    return f"#{red:02x}{green:02x}{blue:02x}"


def _cards(cards: Iterable[str]) -> Iterator[str]:
    yield '<div class="stock">' + "".join(cards) + "</div>\n"


def _card(
    name: str,
    swatches: Sequence[tuple[str, str]],
    curves: Mapping[str, Array],
    told: Sequence[str],
) -> str:
    """A name, its swatches with a word below each, its curves, and what is known of it."""
    shown = "".join(
        f'<span class="patch"><span class="swatch" style="background:{colour}"></span>{word}</span>'
        for word, colour in swatches
    )
    facts = "".join(f"<div>{html.escape(line)}</div>" for line in told)
    return (
        f"<figure><figcaption>{html.escape(name)}</figcaption>"
        f'<div class="patches">{shown}</div>{_plot(name, curves)}{facts}</figure>'
    )


def _plot(name: str, curves: Mapping[str, Array]) -> str:
    """Curves over 400 to 700 nm in a frame from nothing to all, in the page's own colour."""
    across = LEFT + (NM - NM[0]) / (NM[-1] - NM[0]) * (WIDE - LEFT - 4)
    down = HIGH - FOOT - 4
    lines = []
    for stroke, heights in zip(STROKES, curves.values(), strict=False):
        points = " ".join(
            f"{x:.1f},{4 + (1 - min(h, 1.1)) * down:.1f}"
            for x, h in zip(across, heights, strict=True)
        )
        lines.append(f'<polyline class="{stroke}" points="{points}"/>')
    levels = "".join(
        f'<line x1="{LEFT}" x2="{WIDE - 4}" y1="{y}" y2="{y}"/>'
        f'<text x="{LEFT - 4}" y="{y + 4}" text-anchor="end">{word}</text>'
        for word, y in (("all", 4), ("0", 4 + down))
    )
    ticks = "".join(
        f'<text x="{np.interp(nm, NM, across):.0f}" y="{y}" text-anchor="middle">{told}</text>'
        for nm, word in WORDS.items()
        for y, told in ((HIGH - 14, nm), (HIGH - 4, word))
    )
    told = f"Curves of {name} from 400 to 700 nm: {', '.join(curves)}"
    return (
        f'<svg viewBox="0 0 {WIDE} {HIGH}" role="img" aria-label="{html.escape(told)}">'
        f"{levels}{''.join(lines)}{ticks}</svg>"
    )

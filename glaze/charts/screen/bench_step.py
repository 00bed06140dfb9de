"""One step of the bench page: the sheet after it, what to mix, what to mind, what to tick."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator, Mapping
from xml.etree.ElementTree import Element

from glaze.charts.content.card_words import area_words
from glaze.charts.screen.markup import tag
from glaze.charts.screen.shell import screen
from glaze.charts.screen.stages import Stage
from glaze.charts.screen.to_do import Tick, ticks_of
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.parts_told import ml_words, told_parts
from glaze.materials.recipe import WATER
from glaze.materials.words import Words
from glaze.patch.band import Band
from glaze.patch.seen import chip_of_xyz, hex_of
from glaze.physics.colour import luminance_of_value, srgb_encode
from glaze.planning.sheet.amounts import Amount
from glaze.planning.sheet.plan import Plan, PlannedStep

HAIRLINE = "#8a8580"


def step_screen(plan: Plan, step: PlannedStep, stage: Stage, words: Words) -> Element:
    """The screen of a step."""
    number = step.number
    return screen(
        f"step-{number}",
        step.name,
        sheet_figure(stage, words("bench.picture", number=number, name=step.name), words),
        tag("p", _kind(step, words), class_="kind"),
        _waits(step, words),
        *_mixing(plan, step, words),
        *_minding(plan, step, words),
        tag("p", _place(stage, words), class_="quiet"),
        *_value(step, words),
        ticks(ticks_of(plan, step, words), "ticks deeds"),
        tag("p", words("bench.runs_on"), class_="quiet screen-only"),
        step=str(number),
    )


def _kind(step: PlannedStep, words: Words) -> str:
    """As "wash, covers 34 cm², 2 coats"; a kind without a word of its own says its name."""
    kinds: Mapping[str, str] = words.told["bench"]["kind"]
    told = [kinds.get(step.kind.replace(" ", "_"), step.kind)]
    if step.kind == "lift":
        tool = words(f"bench.tool_names.{step.tool.replace(' ', '_')}")
        told.append(words("bench.tool", tool=tool))
    if step.coats > 1:
        several = "touches" if step.kind == "lift" else "coats"
        told.append(words(f"bench.{several}", count=step.coats))
    if step.amount is not None and step.amount.area_cm2:
        told.append(words("bench.area", area=area_words(step.amount.area_cm2)))
    return ", ".join(told)


# --- the sheet ---


def sheet_figure(stage: Stage, alt: str, words: Words, before: bool = True) -> Element:
    """The sheet, to come closer to with fingers, wheel or keys.

    before : whether it can be shown as it was before
    """
    veil = tag("img", src=stage.veil, alt="", class_="veil") if stage.veil else None
    picture = tag("img", src=stage.picture, alt=alt, class_="stage")
    left, top, right, bottom = stage.box_mm
    box = " ".join(f"{side:.1f}" for side in (left, top, right, bottom))
    window = tag(
        "div",
        tag("div", picture, veil, class_="paper"),
        **{"class": "window", "role": "group", "aria-label": words("bench.picture_help")},
        tabindex="0",
        data_box=box,
    )
    buttons = [_button("−", "farther", words), _button("+", "closer", words)]
    buttons.append(tag("button", words("bench.whole"), type="button", data_do="whole"))
    if stage.veil:
        buttons.append(_toggle(words("bench.veil"), "veil", on=True))
    buttons.append(_toggle(words("bench.grey"), "grey"))
    buttons += [_toggle(words("bench.before"), "before")] if before else []
    return tag("figure", window, tag("div", *buttons, class_="tools screen-only"))


def _button(sign: str, does: str, words: Words) -> Element:
    told = {"aria-label": words(f"bench.{does}")}
    return tag("button", sign, type="button", data_do=does, **told)


def _toggle(label: str, does: str, on: bool = False) -> Element:
    return tag(
        "button", label, type="button", data_do=does, **{"aria-pressed": "true" if on else "false"}
    )


def _place(stage: Stage, words: Words) -> str:
    if not stage.veil:
        return words("bench.whole_sheet")
    sides = zip(("left", "top", "right", "bottom"), stage.box_mm, strict=True)
    return words("bench.place", **{side: f"{mm:.0f}" for side, mm in sides})


# --- what to mix ---


def _mixing(plan: Plan, step: PlannedStep, words: Words) -> Iterator[Element]:
    """Swatch, and the drops to count for this step."""
    colour = hex_of(chip_of_xyz(step.xyz))
    swatch = tag("span", class_="swatch", style=f"background:{colour}") if step.value else None
    amount = step.amount
    if amount is None:
        yield tag("p", swatch, words("bench.clean_water"), class_="mix")
        return
    if amount.ready:
        told = words("bench.from_well", name=amount.well, ml=amount.ml_words)
        yield tag("p", swatch, told, class_="mix")
        return
    key = "bleach_mix" if step.kind == "lift" else "mix"
    strength = strength_words(plan, step, words)
    yield tag("p", swatch, words(f"bench.{key}", ml=amount.ml_words), strength, class_="mix")
    yield drops_list(amount, f"{step.number}.mix", words)


def strength_words(plan: Plan, step: PlannedStep, words: Words) -> str:
    """As ", 1 part + 8 parts water"; nothing for a mix of several bottles without water."""
    parts = plan.scene.steps[step.number - 1].bleach_parts_water
    if parts is None:
        mix = plan.painting.table.mix(step.mix)
        parts = mix.water_ml / sum(mix.ink_ml.values())
    told = told_parts(parts)
    return "; " + (words("parts", parts=f"{told:g}") if told else words("bench.neat"))


def drops_list(amount: Amount, key: str, words: Words) -> Element:
    """The drops of a mix, to tick one by one."""
    return ticks(
        Tick(f"{key}.{n}", told) for n, told in enumerate(_counted(amount, words), start=1)
    )


def _counted(amount: Amount, words: Words) -> Iterator[str]:
    if amount.by_ml:
        for name, ml, drops in amount.measured:
            if drops:
                yield _drops(name, drops, words)
            else:
                yield words("bench.measured", ml=ml_words(ml), name=_liquid(name, words))
        return
    yield from (_drops(name, count, words) for name, count in amount.drops.items())
    if amount.then:
        both = " + ".join(_drops(name, count, words) for name, count in amount.then.items())
        yield words("bench.then", drops=both)


def _drops(name: str, count: int, words: Words) -> str:
    key = "drops_one" if count == 1 else "drops"
    return words(f"bench.{key}", count=count, name=_liquid(name, words))


def _liquid(name: str, words: Words) -> str:
    known = {WATER: "water", "bleach": "bleach", "that": "that"}
    return words(f"bench.{known[name]}") if name in known else name


# --- what to mind ---


def _waits(step: PlannedStep, words: Words) -> Element | None:
    """What has to be dry first; the page tells how each of them stands."""
    if not step.waits_for:
        return None
    links = []
    for number in step.waits_for:
        state = tag("span", class_="state")
        links.append(tag("a", str(number), state, href=f"#step-{number}", data_waits=str(number)))
    spaced = [part for link in links for part in (" ", link)]
    return tag("p", words("bench.waits"), *spaced, class_="waits")


def _minding(plan: Plan, step: PlannedStep, words: Words) -> Iterator[Element]:
    yield sentence(step.reason, words)
    if step.ghost:
        yield tag("p", words("bench.leaves", ghost=step.ghost))
    if step.note:
        yield tag("p", tag("b", words("bench.note") + ": "), step.note)
    told = list(_warnings(plan, step, words))
    if told:
        yield tag("div", tag("h3", words("bench.mind")), tag("ul", *told), class_="mind")


def _warnings(plan: Plan, step: PlannedStep, words: Words) -> Iterator[Element]:
    """What may go wrong at this step, and what bleach won't get back under it."""
    for line in step.warnings:
        if line == CAUTION_LINE:
            yield tag("li", words.caution_line)
        else:
            yield sentence(line, words, "li")
    for risk in plan.risks:
        if risk.step + 1 == step.number:
            yield sentence(risk.text, words, "li")
    for reserve in plan.reserves:
        covers = [p.steps for p in plan.layout.places if p.name == reserve.place]
        if covers and covers[0] and covers[0][0] + 1 == step.number:
            figures = {"value": f"{reserve.value:.1f}", "paper": f"{reserve.paper_value:.1f}"}
            yield tag("li", words("bench.reserve", place=reserve.place, **figures))


def sentence(told: str, words: Words, kind: str = "p") -> Element:
    """A sentence of the plan; marked as English where it could not be translated."""
    text, language = words.sentence(told)
    return tag(kind, text, lang="" if language == words.language else language)


# --- value ---


def _value(step: PlannedStep, words: Words) -> Iterator[Element]:
    band = step.value
    if band is None:
        return
    figures = {k: f"{getattr(band, k):.1f}" for k in ("best", "low", "high")}
    standing = words(f"bench.standing.{band.standing}")
    told = words("bench.value", standing=standing, **figures)
    yield tag("div", tag("p", told), _strip(band, words), class_="value")


def _strip(band: Band, words: Words) -> Element:
    """Greys of value 0 to 10 with the band and the best guess under them."""
    greys = []
    for value in range(11):
        signal = round(255 * float(srgb_encode(luminance_of_value(value))))
        fill = f"rgb({signal},{signal},{signal})"
        greys.append(tag("rect", x=f"{10 * value}", y="0", width="10", height="8", fill=fill))
    low, best, high = (5 + 10 * part for part in (band.low, band.best, band.high))
    bar = tag("rect", x=f"{low:.1f}", y="10", width=f"{high - low:.1f}", height="1.6", class_="bar")
    mark = tag("path", d=f"M{best:.1f} 8.6l1.6 4.4h-3.2z", class_="mark")
    frame = tag(
        "rect",
        x="0",
        y="0",
        width="110",
        height="8",
        fill="none",
        stroke=HAIRLINE,
        **{"stroke-width": "0.3"},
    )
    label = words("bench.strip")
    return tag(
        "svg", *greys, frame, bar, mark, viewBox="0 0 110 13.5", role="img", **{"aria-label": label}
    )


# --- ticks ---


def ticks(deeds: Iterable[Tick], class_: str = "ticks") -> Element:
    """Things to tick, each with the clocks it starts."""
    return tag("ul", *(tag("li", _tick(deed)) for deed in deeds), class_=class_)


def _tick(deed: Tick) -> Element:
    clocks = [
        {"minutes": round(c.minutes, 2), "label": c.label, "told": c.told}
        for c in deed.clocks
        if math.isfinite(c.minutes)
    ]
    return tag(
        "button",
        tag("span", class_="box"),
        tag("span", deed.label),
        type="button",
        class_="tick",
        data_key=deed.key,
        data_clocks=json.dumps(clocks, ensure_ascii=False) if clocks else "",
        data_dries="1" if deed.dries else "",
        **{"aria-pressed": "false"},
    )

"""Two examples for the end of each command's help, all of which run.

They take it that `glaze example huts` was copied here, and that sketch.png is a drawing, scan.png a
painted swatch sheet, painting.png a painted huts, and inks.toml and list.toml files of inks.
"""

from __future__ import annotations

EXAMPLES = {
    "preview": (
        "glaze preview huts -o huts.png --scale 0.5",
        "glaze preview huts -o evening.png --scale 0.25 --light A",
    ),
    "check": ("glaze check huts", "glaze check . --json"),
    "new": (
        "glaze new sketch.png --size A5",
        "glaze new sketch.png --folder boat --size 150x106mm",
    ),
    "tint": (
        "glaze tint sketch.png -o pale.png --size A6 --folder pale",
        'glaze tint sketch.png "2: Red 1 + water 9" -o red.png --size A6 --folder red',
    ),
    "areas": ("glaze areas huts -o areas.png", "glaze areas huts --at 40,60"),
    "example": ("glaze example", "glaze example huts seaside"),
    "plan": ("glaze plan huts", 'glaze plan huts --card card.pdf --dropper "both 25"'),
    "mix": ("glaze mix teal", 'glaze mix "5BG 4/4" --drops 6 --only Blue,Yellow'),
    "name": ('glaze name "Separating Blue"', 'glaze name "Blue 3 + Red 1 + water 9"'),
    "shadow": (
        "glaze shadow Yellow Red Blue --darker 1.5",
        "glaze shadow paper --ladder 5",
    ),
    "room": ("glaze room Yellow", 'glaze room "Red 1 over Yellow 1" --glaze "Black 1 + water 4"'),
    "swatch": (
        'glaze swatch "Red 3 + Blue 2 + water 9"',
        'glaze swatch "Blue 1 + water 4 over Yellow" -o green.png',
    ),
    "wet": ('glaze wet "Black 1 + water 4"', 'glaze wet "Blue 1 + water 9" --on Yellow'),
    "keep": ("glaze keep Blue", 'glaze keep "Red 1 + water 8" --mlxh 1,10'),
    "lights": ("glaze lights Blue", 'glaze lights "Blue 2 + Yellow 1" --under D50,A,FL11'),
    "calibrate": (
        "glaze calibrate scan.png -o my-inks.toml",
        "glaze calibrate scan.png -o my-inks.toml --report report.pdf --replace",
    ),
    "compare": (
        "glaze compare huts painting.png -o report.pdf",
        "glaze compare huts painting.png -o report.png --inks-out corrected.toml",
    ),
    "rough": (
        "glaze rough huts rough.png --effort low",
        "glaze rough sketch.png rough.png --size A6 --steps 6",
    ),
    "spectra": (
        "glaze spectra measured.csv -o my-inks.toml",
        "glaze spectra measured.txt -o my-inks.toml --replace",
    ),
    "reach": (
        "glaze reach huts -o reach.pdf",
        "glaze reach huts -o reach.png --strengths neat,1+4 --touches 2",
    ),
    "inks": ("glaze inks", "glaze inks --palette inks.toml -o inks.png"),
    "papers": ("glaze papers", "glaze papers -o papers.png"),
    "bottles nearest": (
        "glaze bottles nearest teal",
        'glaze bottles nearest "5YR 5/8" --palette inks.toml --most 3',
    ),
    "bottles mixable": (
        "glaze bottles mixable",
        'glaze bottles mixable --palette inks.toml --dropper "both 25"',
    ),
    "bottles lack": (
        "glaze bottles lack",
        "glaze bottles lack --from list.toml --count 2 --values light",
    ),
    "bottles choose": (
        "glaze bottles choose 3",
        "glaze bottles choose 3 --palette list.toml --have Black --bleach lifts",
    ),
    "bottles beside": (
        'glaze bottles beside Black "Pigment Black"',
        'glaze bottles beside Red "Red (resistant)" --and resistant -o reds.pdf',
    ),
    "jar": (
        "glaze jar teal --ml 30 -o teal.pdf",
        'glaze jar "Black 1 part + water 8 parts" --ml 200 --name "shadow wash"',
    ),
    "bottles": (
        "glaze bottles nearest teal --palette inks.toml",
        "glaze bottles choose --help",
    ),
    "chart": ("glaze chart wheel -o wheel.pdf", "glaze chart ladder --help"),
    "lesson": (
        "glaze lesson -o lesson.pdf --pupils 24 --minutes 100",
        'glaze lesson -o plain.pdf --no-bleach --dropper "both 25" --language de',
    ),
    "chart wheel": (
        "glaze chart wheel -o wheel.pdf --bleach 1+4",
        "glaze chart wheel -o blank.pdf --segments 36 --by hue --blank",
    ),
    "chart ladder": (
        "glaze chart ladder -o ladder.pdf",
        "glaze chart ladder -o steps.pdf --of Black --rungs 8 --spacing even --half",
    ),
    "chart blocks": (
        "glaze chart blocks -o blocks.pdf",
        "glaze chart blocks -o wet.pdf --wet --language de",
    ),
    "chart tertiary": (
        "glaze chart tertiary -o lesson.pdf",
        'glaze chart tertiary -o browns.pdf --of "Yellow 3 + Red 3" --inner 1+8',
    ),
    "chart gamut": (
        "glaze chart gamut -o gamut.pdf",
        "glaze chart gamut -o both.pdf --and resistant --space munsell",
    ),
    "chart fringe": (
        "glaze chart fringe -o fringe.pdf",
        'glaze chart fringe -o green.pdf --of "Blue 3 + Yellow 2"',
    ),
    "chart lift": (
        "glaze chart lift -o lift.pdf",
        'glaze chart lift -o curve.pdf --curve "Black 1 + water 4"',
    ),
    "chart swatches": (
        "glaze chart swatches -o swatches.pdf",
        'glaze chart swatches -o mine.pdf --inks "Blue, Black" --no-bleach',
    ),
    "chart all": (
        "glaze chart all -o class.pdf",
        "glaze chart all -o plain.pdf --no-bleach --page Letter",
    ),
    "vary": (
        'glaze vary huts --step "one shadow over all six" --parts 4,8 -o ways.pdf',
        'glaze vary huts --step "blue hut" --coats 1,2 --light D65,A',
    ),
    "view": ("glaze view", "glaze view huts"),
}


def told_at_the_end(name: str) -> str:
    """The end of a command's help; nothing for a command without examples."""
    lines = [f"  {line}" for line in EXAMPLES.get(name, ())]
    return "\n".join(["\b", "Examples:", *lines]) if lines else ""

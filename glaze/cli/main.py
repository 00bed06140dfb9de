"""The `glaze` command and the list of its commands, each loaded when it is called."""

from __future__ import annotations

import click

from glaze import __version__
from glaze.cli.group import Shelf

COMMANDS = {
    "preview": ("scene_commands:preview", "Paint a scene and write the picture."),
    "check": ("scene_commands:check", "Read a scene and say all that is wrong with it."),
    "new": ("start_commands:new", "Start a scene from a scan or photo of a sketch."),
    "tint": ("start_commands:tint", "Paint a sketch in one go: areas by number, each a mix."),
    "areas": ("areas_command:areas", "Number the areas of a scene's sketch; which is where."),
    "example": ("start_commands:example", "Copy one of the scenes that come with glaze."),
    "plan": ("plan_command:plan", "Plan a scene: order, drops, ml, minutes, risks; its card."),
    "rough": ("rough_command:rough", "Find the steps to a colour rough, written as a scene."),
    "mix": ("question_commands:mix", "Find the drops that make a colour."),
    "name": ("question_commands:name", "Say which mix a bottle is close to."),
    "shadow": ("shadow_command:shadow", "Find the dilution of black that gives a shadow."),
    "room": ("question_commands:room", "See when glazes turn to mud, and how many are left."),
    "swatch": ("look_commands:swatch", "Look at a mix from all sides: wet, twice, lifted ..."),
    "wet": ("look_commands:wet", "See how much lighter a mix dries."),
    "keep": ("look_commands:keep", "See what light leaves of a colour."),
    "lights": ("look_commands:lights", "See a colour under daylight, a lamp and an LED."),
    "calibrate": ("calibrate_commands:calibrate", "Read your own inks from painted swatches."),
    "spectra": ("calibrate_commands:spectra", "Make inks of measured spectra: CGATS or CSV."),
    "compare": ("calibrate_commands:compare", "Lay a finished painting over its prediction."),
    "reach": ("reach_command:reach", "See how light bleach gets a scene back; what to reserve."),
    "inks": ("stock_commands:inks", "List the inks of the palettes."),
    "papers": ("stock_commands:papers", "List the papers."),
    "bottles": ("bottle_commands:bottles", "Nearest, mixable, lacking; which to buy; two beside."),
    "jar": ("jar_command:jar", "Fill a jar of your own: ml, drops, a trial, a label."),
    "lesson": ("lesson_command:lesson", "Print a class: hand-outs, answers, what to buy."),
    "chart": ("chart_commands:chart", "Print wheels, ladders, blocks and lessons at true size."),
    "vary": ("vary_command:vary", "Paint a scene with many values, on a contact sheet."),
    "view": ("view_command:view", "Open a scene or a sketch in the window."),
}
"""Each command's place and its line in `glaze --help`, so that help loads nothing."""

SHELVES = {
    "Paint a scene": ("example", "new", "tint", "rough", "areas", "check", "preview", "view"),
    "Plan it": ("plan", "reach"),
    "Mix": ("mix", "name", "jar", "bottles", "inks", "papers"),
    "Look before painting": ("vary", "swatch", "shadow", "room", "wet", "keep", "lights"),
    "Print": ("lesson", "chart"),
    "Learn from what was painted": ("calibrate", "spectra", "compare"),
}
"""Their order in the help, by what they are for."""

OTHER_NAMES = {"floor": "reach"}

SHEETS = "wheel", "ladder", "blocks", "tertiary", "gamut", "fringe", "swatches"
MEANT = {
    **dict.fromkeys(("bleach", "lift"), "glaze reach SCENE, glaze chart lift, glaze swatch MIX"),
    **dict.fromkeys(("colour", "color", "recipe"), "glaze mix COLOUR, glaze name INK"),
    **dict.fromkeys(("dilute", "dilution"), "glaze shadow HUE, glaze chart ladder"),
    **dict.fromkeys(("paint", "render"), "glaze preview SCENE -o picture.png"),
    **dict.fromkeys(("scan", "measure"), "glaze calibrate SCAN, glaze new SKETCH"),
    **dict.fromkeys(("open", "edit", "window"), "glaze view SCENE"),
    **dict.fromkeys(("print", "sheet", "class"), "glaze chart wheel, glaze lesson"),
    **{name: f"glaze chart {name}" for name in SHEETS},
}
"""What somebody is after who types a word that is no command."""


@click.group(
    cls=Shelf,
    kept=COMMANDS,
    kind="command",
    shelves=SHELVES,
    other_names=OTHER_NAMES,
    meant=MEANT,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(__version__, package_name="glaze-lift", prog_name="glaze")
def glaze() -> None:
    """glaze: layered glazing and bleach lift, seen before the brush touches the sheet."""

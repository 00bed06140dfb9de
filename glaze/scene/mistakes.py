"""What pydantic found wrong with a scene, said in a painter's words with its place in the file."""

from __future__ import annotations

from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from glaze.errors import unknown
from glaze.scene.checks import Record, shown
from glaze.scene.records import STEP_KINDS, Lift, Region, Rinse, Scene, Wash, WaterLift

TAGGED: dict[str, type[BaseModel]] = {
    f"~{kind.__name__}": kind for kind in (Wash, Lift, WaterLift, Rinse, Region)
}
RECORDS = {record.__name__: record for record in Record.__subclasses__()}
KINDS = {
    "model_attributes_type": "a table",
    "dict_type": "a table",
    "tuple_type": "a list in [ ]",
    "list_type": "a list in [ ]",
    "string_type": "a text in quotes",
    "literal_error": "1, the only format there is",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
}


def in_words(error: ValidationError) -> list[str]:
    """One line for each mistake: place, value found, what is allowed, what to do."""
    return [
        f"{place(found['loc'])}{_say(found)}"
        for found in error.errors(include_url=False, include_context=True)
        if not _follows(found)
    ]


def _follows(found: Any) -> bool:
    """Whether a list is only too short because what is in it is wrong, which is told already."""
    least = found.get("ctx", {}).get("min_length", 0)
    return bool(found["type"] == "too_short" and len(found["input"]) >= least)


def place(where: tuple[int | str, ...]) -> str:
    """A place in the file, `step[2].coats: `; steps and points count from 1."""
    text = ""
    for part in where:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        elif not part.startswith("~") and part != "[key]":
            text += f".{part}" if text else part
    return f"{text}: " if text else ""


def _say(found: Any) -> str:
    kind, value, context = found["type"], found["input"], found.get("ctx", {})
    if kind == "missing":
        return "is missing; it has no usual value, so it must be given."
    if kind == "extra_forbidden":
        return unknown("key", str(found["loc"][-1]), _keys_at(found["loc"]))
    if kind == "model_type":
        keys = ", ".join(f"{key} = ..." for key in _keys(RECORDS[context["class_name"]]))
        return f"{shown(value)} found; allowed: a table {{ {keys} }}."
    if kind in KINDS:
        return f"{shown(value)} found; allowed: {KINDS[kind]}."
    if kind in ("too_short", "too_long"):
        least = kind == "too_short"
        limit = context["min_length"] if least else context["max_length"]
        return f"{len(value)} found; allowed: at {'least' if least else 'most'} {limit} of them."
    if kind.startswith("union_tag"):
        named = ", ".join(f"{key} = ..." for key in STEP_KINDS)
        keys = ", ".join(map(str, value)) if isinstance(value, dict) else shown(value)
        return (
            f"{keys or 'nothing'} found; allowed: one of {named} to say what is done and its name."
        )
    return str(found["msg"])


def _keys_at(where: tuple[int | str, ...]) -> list[str]:
    """Keys the file may have at a place."""
    record: type[BaseModel] = Scene
    for part in where[:-1]:
        if part in TAGGED:
            record = TAGGED[str(part)]
            continue
        fields = {field.alias or name: field for name, field in record.model_fields.items()}
        if part in fields:
            record = next(_records_in(fields[str(part)].annotation), record)
    return _keys(record)


def _keys(record: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in record.model_fields.items()]


def _records_in(annotation: Any) -> Any:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in get_args(annotation):
        yield from _records_in(part)

"""The keys of a scene file with what may stand in them, from the schema that editors use."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from guide.run import DOCS

HEADS = {
    "Region": "Regions: `[region.NAME]`",
    "Wash": "A wash",
    "Charge": "Wet into wet",
    "Lift": "A bleach lift",
    "WaterLift": "A water lift",
    "Rinse": "A rinse",
}


def scene_keys() -> Iterator[str]:
    """A table for the scene, one for regions, one for each kind of step, then their parts."""
    schema = json.loads((DOCS / "scene.schema.json").read_text("utf-8"))
    parts: dict[str, Any] = schema["$defs"]
    yield "## The scene\n"
    yield from _table(schema)
    for name in [*HEADS, *(name for name in parts if name not in HEADS)]:
        yield f"## {HEADS.get(name, f'`{_key_of(name, schema)}`')}\n"
        first = parts[name].get("description", "").split("\n\n")[0]
        yield first + "\n"
        yield from _table(parts[name])


def _key_of(part: str, schema: Mapping[str, Any]) -> str:
    """The key that a part of the file is written under."""
    for owner in (schema, *schema["$defs"].values()):
        for key, told in owner["properties"].items():
            if f"#/$defs/{part}" in json.dumps(told):
                return str(key)
    return part


def _table(record: Mapping[str, Any]) -> Iterator[str]:
    needed = record.get("required", ())
    yield "| key | what may stand there | if it isn't there |\n|---|---|---|"
    for key, told in record["properties"].items():
        without = "has to be there" if key in needed else _default(told)
        yield f"| `{key}` | {_allowed(told)} | {without} |"
    yield ""


def _default(told: Mapping[str, Any]) -> str:
    default = told.get("default")
    if default in (None, [], {}, ""):
        return ""
    if isinstance(default, Mapping):
        return ", ".join(f"{key} {value:g}" for key, value in default.items() if _plain(value))
    return f"{default:g}" if _plain(default) else str(default)


def _plain(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _allowed(told: Mapping[str, Any]) -> str:
    """In words: a number with its limits, one of some words, a text, a list."""
    if "$ref" in told:
        return "`{ ... }`"
    if "const" in told:
        return str(told["const"])
    if "enum" in told:
        return ", ".join(f'"{word}"' for word in told["enum"])
    for several in ("anyOf", "oneOf"):
        if several in told:
            each = [_allowed(one) for one in told[several] if one.get("type") != "null"]
            return " or ".join(dict.fromkeys(each))
    kind = told.get("type")
    if kind in ("number", "integer"):
        return _number(told)
    if kind == "array":
        inner = told.get("items") or (told.get("prefixItems") or [{}])[0]
        if told.get("minItems", 0) == told.get("maxItems"):
            return f"`[{', '.join([inner.get('type', '...')] * told['maxItems'])}]`"
        return f"a list of {_allowed(inner)}" if inner else "a list"
    return {"string": "text", "boolean": "true or false", "object": "named entries"}.get(
        str(kind), "text"
    )


def _number(told: Mapping[str, Any]) -> str:
    low, high = told.get("minimum"), told.get("maximum")
    above = told.get("exclusiveMinimum")
    what = "a whole number" if told["type"] == "integer" else "a number"
    if above is not None:
        what += f" above {above:g}"
    elif low is not None:
        what += f" from {low:g}"
    return what + (f" to {high:g}" if high is not None else "")

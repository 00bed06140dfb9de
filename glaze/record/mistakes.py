"""What pydantic found wrong with a record, said in a painter's words with its place in the file."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Self, get_args

from pydantic import BaseModel, ConfigDict, ValidationError

from glaze.errors import InputError, unknown
from glaze.record.checks import shown

FOUND = {
    "model_attributes_type": "a table",
    "dict_type": "a table",
    "tuple_type": "a list in [ ]",
    "list_type": "a list in [ ]",
    "string_type": "a text in quotes",
    "literal_error": "1, the only format there is",
    "bool_type": "true or false",
    "bool_parsing": "true or false",
}


if TYPE_CHECKING:
    from pydantic._internal._model_construction import ModelMetaclass as _Kind
else:
    _Kind = type(BaseModel)


class _Told(_Kind):
    """Makes records, or says in a painter's words why not."""

    def __call__(self, *given: Any, **named: Any) -> Any:
        try:
            return super().__call__(*given, **named)
        except ValidationError as error:
            raise InputError(in_words(error)) from None


class Record(BaseModel, metaclass=_Told):
    """A frozen record that refuses keys nobody reads; also a changed copy is checked."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """A copy with some values changed, checked like the record itself.

        Raises
        ------
        InputError
            With one line for each changed value that can't be.
        """
        if not update:
            return super().model_copy(deep=deep)
        fields = {name: getattr(self, name) for name in type(self).model_fields}
        try:
            made = type(self).model_validate({**fields, **update})
        except ValidationError as error:
            raise InputError(in_words(error)) from None
        for name in self.__private_attributes__:
            setattr(made, name, copy.copy(getattr(self, name)))
        return copy.deepcopy(made) if deep else made


def in_words(error: ValidationError) -> list[str]:
    """One line for each mistake: place, value found, what is allowed, what to do."""
    return [
        f"{place(found['loc'])}{_say(found, error.title)}"
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


def _say(found: Any, root: str) -> str:
    kind, value, context = found["type"], found["input"], found.get("ctx", {})
    if kind == "missing":
        return "is missing; it has no usual value, so it must be given."
    if kind == "extra_forbidden":
        return unknown("key", str(found["loc"][-1]), _keys_at(root, found["loc"]))
    if kind == "model_type":
        keys = ", ".join(f"{key} = ..." for key in _keys(_records()[context["class_name"]]))
        return f"{shown(value)} found; allowed: a table {{ {keys} }}."
    if kind == "tuple_type" and isinstance(value, dict):
        key = found["loc"][-1]
        return f"one table found; write [[{key}]], in two brackets each, above every {key}."
    if kind in FOUND:
        return f"{shown(value)} found; allowed: {FOUND[kind]}."
    if kind in ("too_short", "too_long"):
        least = kind == "too_short"
        limit = context["min_length"] if least else context["max_length"]
        return f"{len(value)} found; allowed: at {'least' if least else 'most'} {limit} of them."
    return str(found["msg"])


def _records() -> dict[str, type[BaseModel]]:
    """All kinds of records by name."""
    found: list[type[BaseModel]] = [Record]
    for record in found:
        found += record.__subclasses__()
    return {record.__name__: record for record in found}


def _keys_at(root: str, where: tuple[int | str, ...]) -> list[str]:
    """Keys that may stand at a place of a record called `root`."""
    record = _records()[root]
    for part in where[:-1]:
        if str(part).startswith("~"):
            record = _records()[str(part)[1:]]
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

"""All kinds of steps there are. Another kind takes a module of its own and a place in `KINDS`."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, TypeAdapter
from pydantic_core import core_schema

from glaze.record.checks import refuse_words, shown
from glaze.step.charge_step import Charge
from glaze.step.kind import Step
from glaze.step.lift_step import Lift
from glaze.step.rinse_step import Rinse
from glaze.step.wash_step import Wash
from glaze.step.water_step import WaterLift

KINDS: list[type[Step]] = [Wash, Charge, Lift, WaterLift, Rinse]


def tag_of(kind: type[Step]) -> str:
    """What stands for a kind in the place of a mistake; it isn't shown."""
    return f"~{kind.__name__}"


def kind_tag(value: Any) -> str | None:
    """The kind of a step is the one key that names it; None where none or several do.

    A key that another of the kinds found has for itself doesn't count: a lift may say `rinse`.
    """
    if isinstance(value, Step):
        return tag_of(type(value))
    found = [kind for kind in KINDS if isinstance(value, dict) and kind.key in value]
    own = [k for k in found if not any(k.key in o.model_fields for o in found if o is not k)]
    return tag_of(own[0]) if len(own) == 1 else None


def step_of(raw: dict[str, Any]) -> Step:
    """A step from the keys of its file.

    Raises
    ------
    pydantic.ValidationError : what is wrong with it
    """
    found: Step = TypeAdapter(Annotated[Step, OneOfTheKinds()]).validate_python(raw)
    return found


class OneOfTheKinds:
    """Marks a field that takes a step of any kind."""

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        choices = {tag_of(kind): handler.generate_schema(kind) for kind in KINDS}
        union = core_schema.tagged_union_schema(choices, kind_tag)
        return core_schema.no_info_before_validator_function(_of_a_kind, union)


def _of_a_kind(value: Any) -> Any:
    """Refuse what names no kind, or several."""
    if kind_tag(value) is None:
        keys = ", ".join(map(str, value)) if isinstance(value, dict) else shown(value)
        known = ", ".join(f"{kind.key} = ..." for kind in KINDS)
        allowed = f"one of {known} to say what is done and its name"
        raise refuse_words(keys or "nothing", allowed)
    return value

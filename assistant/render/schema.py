"""The published JSON schema of a reply and of what 'read --json' gives, from typed models.

Only for those who read the JSON, and for the tests; replies are made by as_json.py.
"""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Number = int | float
RangeOfGrams = Annotated[list[Number], Field(min_length=2, max_length=2)]


class _Closed(BaseModel):
    """An object with these keys and no other."""

    model_config = ConfigDict(extra="forbid", strict=True)


class PortionObject(_Closed):
    """One food of the meal as it was counted."""

    said: str
    food: str
    quantity: Number
    unit: str
    grams: Number | None
    millilitres: Number | None
    counted_carbs_g: Number
    range_g: RangeOfGrams


class DoseObject(_Closed):
    """A suggestion that every rule let pass. suggested_units is the one to act on."""

    suggested_units: float
    exact_units: float
    meal_units: float
    correction_units: float
    active_units: float
    settings: dict[str, Any]


class RuleObject(_Closed):
    """A safety rule that spoke, as a refusal or as a caution."""

    rule: str
    message: str


class QuestionObject(_Closed):
    """What is asked. Choices are answered by their number, from 1."""

    text: str
    choices: list[str]


class ReplyObject(_Closed):
    """The reply to one turn, as 'ask --json' prints it on one line."""

    status: Literal["answered", "asked", "refused", "failed"]
    text: str
    portions: list[PortionObject]
    counted_carbs_g: Number | None
    range_g: RangeOfGrams | None
    dose: DoseObject | None
    rules: list[RuleObject]
    question: QuestionObject | None
    unread: list[str]
    facts: dict[str, Any]


class ItemObject(_Closed):
    """One food as it was read. quantity is null where no clear number was said."""

    model_config = ConfigDict(extra="allow", strict=True)

    quantity: Number | None
    unit: str | None
    name: str
    said: str
    notes: list[str]


class ReadObject(_Closed):
    """How the words of a sentence are read, as 'read --json' prints it on one line."""

    model_config = ConfigDict(extra="allow", strict=True)

    status: Literal["read", "asked", "failed"]
    items: list[ItemObject]
    unread: list[str]
    readings: int


MODELS: Mapping[str, type[BaseModel]] = {"reply": ReplyObject, "read": ReadObject}


DRAFT = {"$schema": "https://json-schema.org/draft/2020-12/schema"}


def schema_of(name: str) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of 'reply' or of 'read'."""
    return {**DRAFT, **MODELS[name].model_json_schema(mode="serialization")}

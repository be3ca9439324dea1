"""A reply as one JSON object, the contract of 'ask --json'. The only place where floats appear."""

import json
from collections.abc import Mapping, Set
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from assistant.dialogue.replies import Dose, Line, Portion, Question, Reply
from assistant.kinded import Kinded
from assistant.render.spoken import spoken, spoken_line
from assistant.render.texts import TEXTS
from assistant.values import Ranged

Json = None | bool | int | float | str | list["Json"] | dict[str, "Json"]


def number(value: Fraction) -> int | float:
    """A JSON number: whole, or rounded to 6 decimals."""
    if value.denominator == 1:
        return value.numerator
    return float(round(value, 6))


def plain_json(value: object) -> Json:
    """Any value of a reply as JSON: fractions as numbers, times in ISO 8601, records as objects."""
    if value is None or isinstance(value, bool | int | float | str):
        return value
    if isinstance(value, Fraction):
        return number(value)
    if isinstance(value, Decimal):
        return number(Fraction(value))
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, Mapping):
        return plain_object(value)
    if isinstance(value, Set):
        return [plain_json(item) for item in sorted(value, key=str)]
    if isinstance(value, list | tuple):
        return [plain_json(item) for item in value]
    if isinstance(value, Struct):
        told = {name: plain_json(getattr(value, name)) for name in value.__struct_fields__}
        return {**told, "kind": value.kind} if isinstance(value, Kinded) else told
    return str(value)


def plain_object(value: Mapping[str, object]) -> dict[str, Json]:
    """A mapping as a JSON object, all the way down."""
    return {str(key): plain_json(item) for key, item in value.items()}


def as_json(reply: Reply, texts: Mapping[str, str] = TEXTS) -> dict[str, Json]:
    """The contract's object for one turn."""
    return {
        "status": reply.status,
        "text": spoken(reply, texts),
        "portions": [_portion(portion) for portion in reply.portions],
        "counted_carbs_g": number(reply.counted.value) if reply.counted else None,
        "range_g": _range(ends) if (ends := reply.counted or reply.between) else None,
        "dose": _dose(reply.dose) if reply.dose else None,
        "rules": [
            {"rule": hit.rule, "message": spoken_line(hit.line, texts)} for hit in reply.rules
        ],
        "question": _question(reply.question, texts) if reply.question else None,
        "unread": list(reply.unread),
        "facts": plain_json(reply.facts),
    }


def failed_json(sentence: str) -> dict[str, Json]:
    """The contract's object for a failure outside any turn, such as a folder without access."""
    return {
        "status": "failed",
        "text": sentence,
        "portions": [],
        "counted_carbs_g": None,
        "range_g": None,
        "dose": None,
        "rules": [],
        "question": None,
        "unread": [],
        "facts": {},
    }


def one_line_json(value: Mapping[str, Json]) -> str:
    """JSON on one line of valid UTF-8. A lone surrogate and odd line ends are escaped."""
    text = json.dumps(value, ensure_ascii=False)
    for odd in ("\x85", "\u2028", "\u2029"):
        text = text.replace(odd, f"\\u{ord(odd):04x}")
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def _range(ranged: Ranged) -> Json:
    return [number(ranged.low), number(ranged.high)]


def _portion(portion: Portion) -> Json:
    return {
        "said": portion.said,
        "food": portion.food,
        "quantity": number(portion.quantity),
        "unit": portion.unit,
        "grams": None if portion.grams is None else number(portion.grams),
        "millilitres": None if portion.millilitres is None else number(portion.millilitres),
        "counted_carbs_g": number(portion.counted.value),
        "range_g": _range(portion.counted),
    }


def _dose(dose: Dose) -> Json:
    return {
        "suggested_units": float(number(dose.suggested)),
        "exact_units": float(number(dose.exact)),
        "meal_units": float(number(dose.meal)),
        "correction_units": float(number(dose.correction)),
        "active_units": float(number(dose.active)),
        "settings": plain_json(dose.settings),
    }


def _question(question: Question, texts: Mapping[str, str]) -> Json:
    labels: list[Line] = [choice.label for choice in question.choices]
    return {
        "text": spoken_line(question.asked, texts),
        "choices": [spoken_line(label, texts) for label in labels],
    }

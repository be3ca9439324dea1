"""The report as an HL7 FHIR R5 Bundle (hl7.org/fhir/R5): what was eaten, read and taken.

NutritionIntake for each meal, Observation for each reading, MedicationAdministration for each dose.
Codes: LOINC 2339-0 and 15074-8 (glucose in blood, mass and moles per volume); units in UCUM
(unitsofmeasure.org). Codes are from memory. What was counted is told in words and not coded, since
it may leave fibre out. The person is named nowhere.
"""

import json
import uuid
from collections import Counter
from collections.abc import Mapping
from datetime import UTC, datetime
from fractions import Fraction

from assistant.dialogue.visit import Visit
from assistant.diary.entries import Dose, Meal, Part, Reading, minute_of
from assistant.render.as_json import Json, number
from assistant.render.texts import TEXTS
from assistant.values import GlucoseUnit

UCUM = "http://unitsofmeasure.org"
LOINC = "http://loinc.org"
GLUCOSE: Mapping[GlucoseUnit, tuple[str, str]] = {
    "mg/dL": ("2339-0", "Glucose [Mass/volume] in Blood"),
    "mmol/L": ("15074-8", "Glucose [Moles/volume] in Blood"),
}
INSULIN_UNIT = "[iU]"
_SPACE = uuid.UUID("6f3e2f0e-7d0c-5a53-9d0e-4f1c6e0b2a11")
"""Each record gets a space of its own out of this, and each entry its name in that: the same entry
has the same name in every report, and no entry of another person has it."""

Object = dict[str, Json]


def bundle(visit: Visit) -> str:
    """The Bundle (type collection) as JSON text."""
    here = visit.figures.diary
    space = uuid.uuid5(_SPACE, visit.record)
    named = [
        *((_intake(meal), f"meal {meal.turn} {_exact(meal.at)}") for meal in here.meals),
        *((_observation(each), _name_of_reading(each)) for each in here.readings),
        *((_administration(dose), f"dose {dose.turn} {_exact(dose.at)}") for dose in here.doses),
    ]
    entries: list[Json] = []
    seen: Counter[str] = Counter()
    for resource, name in named:
        seen[name] += 1
        again = f" {seen[name]}" if seen[name] > 1 else ""  # two meals of one sentence
        entries.append(_entry(resource, uuid.uuid5(space, name + again)))
    found: Object = {
        "resourceType": "Bundle",
        "type": "collection",
        "timestamp": _time(visit.made_at),
        "entry": entries,
    }
    if not entries:
        del found["entry"]
    return json.dumps(found, indent=2, ensure_ascii=False) + "\n"


def _exact(at: datetime) -> str:
    """The instant, whatever the clock."""
    return at.astimezone(UTC).isoformat()


def _name_of_reading(reading: Reading) -> str:
    """A reading is one by its minute and figure, typed or imported, however often."""
    glucose = reading.glucose
    return f"reading {_exact(minute_of(reading.at))} {glucose.value} {glucose.unit}"


def _entry(resource: Object, made: uuid.UUID) -> Object:
    return {"fullUrl": f"urn:uuid:{made}", "resource": {**resource, "id": str(made)}}


def _time(at: datetime) -> str:
    """Whole seconds with the offset, as FHIR writes an instant."""
    return at.isoformat(timespec="seconds")


def _person() -> Object:
    return {"type": "Patient", "display": TEXTS["fhir-person"]}


def _note() -> list[Json]:
    return [{"text": TEXTS["visit-typed"]}]


def _quantity(value: Fraction, unit: str, code: str | None) -> Object:
    plain: Object = {"value": number(value), "unit": unit}
    return plain if code is None else {**plain, "system": UCUM, "code": code}


def _intake(meal: Meal) -> Object:
    what = TEXTS[f"fhir-counted-{meal.policy}"] if meal.policy else TEXTS["fhir-counted"]
    notes: list[Json] = [{"text": meal.said}]
    notes += [{"text": TEXTS["fhir-estimate"].format(food=food)} for food in meal.estimates]
    return {
        "resourceType": "NutritionIntake",
        "status": "completed",
        "subject": _person(),
        "occurrenceDateTime": _time(meal.at),
        "reportedBoolean": True,
        "consumedItem": [_item(part) for part in meal.parts],
        "ingredientLabel": [
            {
                "nutrient": {"concept": {"text": what}},
                "amount": _quantity(meal.counted.value, "g", "g"),
            }
        ],
        "note": notes,
    }


def _item(part: Part) -> Object:
    if part.grams is not None:
        amount = _quantity(part.grams, "g", "g")
    elif part.millilitres is not None:
        amount = _quantity(part.millilitres, "mL", "mL")
    else:
        amount = _quantity(part.amount, part.unit, None)
    return {
        "type": {"text": TEXTS["fhir-food"]},
        "nutritionProduct": {"concept": {"text": part.food}},
        "amount": amount,
    }


def _observation(reading: Reading) -> Object:
    glucose = reading.glucose
    code, display = GLUCOSE[glucose.unit]
    return {
        "resourceType": "Observation",
        "status": "final",
        "code": {"coding": [{"system": LOINC, "code": code, "display": display}]},
        "subject": _person(),
        "effectiveDateTime": _time(reading.at),
        "valueQuantity": _quantity(glucose.value, glucose.unit, glucose.unit),
        "note": _note(),
    }


def _administration(dose: Dose) -> Object:
    return {
        "resourceType": "MedicationAdministration",
        "status": "completed",
        "medication": {"concept": {"text": TEXTS["fhir-insulin"]}},
        "subject": _person(),
        "occurenceDateTime": _time(dose.at),  # R5 spells it so
        "dosage": {"dose": _quantity(dose.units, "unit", INSULIN_UNIT)},
        "note": _note(),
    }

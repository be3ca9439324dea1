"""The FHIR form against general libraries: fhir.resources (R5) and a UCUM parser (ucumvert)."""

import json
from collections import Counter
from datetime import date

import pytest
from fhir.resources import __fhir_version__
from fhir.resources.bundle import Bundle
from ucumvert import get_ucum_parser
from week import NOW, live

from assistant.diary.entries import Days
from assistant.report.fhir import LOINC, UCUM
from assistant.report.forms import written
from assistant.shell.report import visit_of
from assistant.store.store import Store


def bundle_of(home, first: date, last: date) -> str:
    store = Store.open(home, NOW)
    with store.reading() as (record, foods):
        text = written(visit_of(record, foods, Days(first, last), NOW), "fhir")
    store.close()
    return text


@pytest.fixture(scope="module")
def text(tmp_path_factory):
    home = tmp_path_factory.mktemp("fhir") / "home"
    live(home)
    return bundle_of(home, date(2026, 3, 2), date(2026, 3, 8))


@pytest.fixture(scope="module")
def bundle(text):
    return Bundle.model_validate_json(text)


def everything(node):
    """Each object inside a JSON value."""
    if isinstance(node, dict):
        yield node
        for value in node.values():
            yield from everything(value)
    elif isinstance(node, list):
        for value in node:
            yield from everything(value)


def test_it_is_a_valid_r5_bundle(bundle) -> None:
    assert __fhir_version__.startswith("5.")
    assert bundle.type == "collection"
    kinds = Counter(entry.resource.get_resource_type() for entry in bundle.entry)
    assert set(kinds) == {"NutritionIntake", "Observation", "MedicationAdministration"}


def test_the_library_gives_back_what_it_was_given(text, bundle) -> None:
    """Nothing in the file is unknown to the library, and so dropped by it."""
    again = json.loads(bundle.model_dump_json())
    given = json.loads(text)
    for before, after in zip(given["entry"], again["entry"], strict=True):
        assert set(before["resource"]) == set(after["resource"])
    assert len(again["entry"]) == len(given["entry"])


def test_a_broken_bundle_is_seen(text) -> None:
    """The check can fail: a meal without its subject is refused by the library."""
    given = json.loads(text)
    meal = next(e["resource"] for e in given["entry"]
                if e["resource"]["resourceType"] == "NutritionIntake")  # fmt: skip
    del meal["subject"]
    with pytest.raises(ValueError, match="subject"):
        Bundle.model_validate(given)


def test_every_unit_is_ucum_and_a_parser_reads_it(text) -> None:
    parser = get_ucum_parser()
    codes = {q["code"] for q in everything(json.loads(text)) if q.get("system") == UCUM}
    assert codes == {"g", "mL", "mg/dL", "mmol/L", "[iU]"}
    for code in codes:
        parser.parse(code)
    with pytest.raises(Exception, match=r"No terminal|Unexpected|token"):
        parser.parse("units of insulin")


def test_loinc_codes_go_with_their_units(text) -> None:
    # LOINC 2339-0 is glucose in blood as mass, 15074-8 as moles per volume (from memory; the second
    # is the code of the glucose example in the FHIR standard itself)
    pairs = set()
    for node in everything(json.loads(text)):
        if node.get("resourceType") == "Observation":
            (coding,) = node["code"]["coding"]
            assert coding["system"] == LOINC
            pairs.add((coding["code"], node["valueQuantity"]["code"]))
    assert pairs == {("2339-0", "mg/dL"), ("15074-8", "mmol/L")}


def test_loinc_codes_have_their_check_digit() -> None:
    """LOINC ends in a mod 10 digit (Luhn), as its users' guide has it."""
    for code in ("2339-0", "15074-8"):
        digits, _, check = code.partition("-")
        doubled = [int(d) * (2 if n % 2 == 0 else 1) for n, d in enumerate(reversed(digits))]
        total = sum(d // 10 + d % 10 for d in doubled)
        assert (10 - total % 10) % 10 == int(check)


def test_the_person_is_named_nowhere(text) -> None:
    subjects = [n["subject"] for n in everything(json.loads(text)) if "subject" in n]
    assert {tuple(sorted(s)) for s in subjects} == {("display", "type")}
    assert '"resourceType": "Patient"' not in text
    assert "reference" not in text


def test_each_entry_has_a_name_of_its_own_that_stays(text, tmp_path) -> None:
    names = [entry["fullUrl"] for entry in json.loads(text)["entry"]]
    assert len(set(names)) == len(names)
    live(tmp_path / "home")
    again = bundle_of(tmp_path / "home", date(2026, 3, 2), date(2026, 3, 8))
    assert json.loads(again) == json.loads(text)


def test_days_without_entries_give_a_valid_bundle(tmp_path) -> None:
    empty = bundle_of(tmp_path / "home", date(2026, 3, 2), date(2026, 3, 3))
    assert Bundle.model_validate_json(empty).entry is None

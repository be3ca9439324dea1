"""What is told of each entry: how it was counted then, that it is an estimate, its name."""

import csv
import io
import json

import pytest
from fhir.resources.bundle import Bundle
from life import CEREAL, NUMBERS, RICE, Life


@pytest.fixture
def changed(tmp_path):
    """Two days of net carbohydrate, then a morning of total carbohydrate."""
    life = Life(tmp_path / "home", "2026-10-20T08:00+00:00", CEREAL, *NUMBERS)
    life.say("1 serving of oat cereal, glucose 110", "2026-11-01T08:00+00:00")
    life.say("not taken")
    life.say("1 serving of oat cereal, glucose 110", "2026-11-02T08:00+00:00")
    life.say("not taken")
    life.say("count total carbohydrate", "2026-11-03T07:00+00:00")
    life.say("1 serving of oat cereal, glucose 110", "2026-11-03T08:00+00:00")
    life.say("not taken")
    return life


def intakes(text: str) -> list[dict]:
    """The meals of a bundle that the FHIR library takes."""
    Bundle.model_validate_json(text)
    found = [entry["resource"] for entry in json.loads(text)["entry"]]
    return [one for one in found if one["resourceType"] == "NutritionIntake"]


def test_fhir_tells_how_each_meal_was_counted_when_it_was(changed) -> None:
    told = [
        (meal["ingredientLabel"][0]["nutrient"]["concept"]["text"],
         meal["ingredientLabel"][0]["amount"]["value"])
        for meal in intakes(changed.report("2026-11-01", "2026-11-03", "fhir"))
    ]  # fmt: skip
    net, total = "carbohydrate as counted, net of fibre", "carbohydrate as counted, total"
    assert told == [(net, 21), (net, 21), (total, 27)]  # 27 g, of which 6 g are fibre


def test_the_report_says_that_the_sums_hold_both(changed) -> None:
    text = changed.report("2026-11-01", "2026-11-03", "markdown")
    assert "sums hold more than one: net carbohydrate and total carbohydrate" in text
    assert "more than one" not in changed.report("2026-11-01", "2026-11-02", "markdown")
    assert "more than one" not in changed.report("2026-11-03", "2026-11-03", "markdown")


def test_csv_tells_the_way_of_counting(changed) -> None:
    rows = list(csv.DictReader(io.StringIO(changed.report("2026-11-01", "2026-11-03", "csv"))))
    meals = [row["counted"] for row in rows if row["kind"] in {"meal", "food"}]
    assert meals == ["net"] * 4 + ["total"] * 2


def test_a_meal_changed_after_the_change_of_counting_goes_by_the_new_way(tmp_path) -> None:
    life = Life(tmp_path / "home", "2026-11-01T08:00+00:00", CEREAL, "count net carbohydrate")
    life.say("1 serving of oat cereal")
    life.say("count total carbohydrate")
    life.say("change the last meal to: 2 servings of oat cereal", "2026-11-01T08:05+00:00")
    (meal,) = intakes(life.report("2026-11-01", "2026-11-01", "fhir"))
    assert meal["ingredientLabel"][0]["amount"]["value"] == 54
    assert "total" in meal["ingredientLabel"][0]["nutrient"]["concept"]["text"]


# Estimates


def test_an_estimate_is_called_so_in_every_form(tmp_path) -> None:
    life = Life(tmp_path / "home", "2026-11-01T08:00+00:00", RICE, "count net carbohydrate")
    life.say("estimate 200 g of ramen like rice", "2026-11-01T12:00+00:00")
    days = ("2026-11-01", "2026-11-01")
    (meal,) = life.visit(*days).figures.diary.meals
    assert meal.estimates == ("ramen",)
    for shape in ("markdown", "html"):
        assert "ramen is an estimate" in life.report(*days, shape)
        assert "in the counts of 1 meal: ramen" in life.report(*days, shape)
    rows = list(csv.DictReader(io.StringIO(life.report(*days, "csv"))))
    assert [row["estimate"] for row in rows if row["kind"] in {"meal", "food"}] == ["yes"] * 2
    (intake,) = intakes(life.report(*days, "fhir"))
    assert any("ramen is an estimate" in note["text"] for note in intake["note"])


# Names of entries


def names(text: str) -> dict[str, str]:
    """Name -> what it is and when."""
    found = {}
    for entry in json.loads(text)["entry"]:
        one = entry["resource"]
        at = one.get("occurrenceDateTime") or one.get("effectiveDateTime") or (
            one["occurenceDateTime"])  # fmt: skip
        found[entry["fullUrl"]] = f"{one['resourceType']} {at}"
    return found


def test_an_entry_has_the_same_name_in_every_report(changed) -> None:
    all_days = names(changed.report("2026-11-01", "2026-11-03", "fhir"))
    for day in ("2026-11-02", "2026-11-03"):
        of_day = names(changed.report(day, day, "fhir"))
        assert of_day.items() <= all_days.items()
        assert of_day


def test_two_people_with_the_same_meals_share_no_name(tmp_path) -> None:
    texts = []
    for person, begun in (("a", "2026-10-20T08:00+00:00"), ("b", "2026-10-20T08:00:01+00:00")):
        life = Life(tmp_path / person, begun, CEREAL, "count net carbohydrate")
        life.say("1 serving of oat cereal", "2026-11-01T08:00+00:00")
        life.say("glucose 112 mg/dL")
        texts.append(life.report("2026-11-01", "2026-11-01", "fhir"))
    first, second = map(names, texts)
    assert len(first) == len(second) == 2
    assert not first.keys() & second.keys()


def test_a_reading_that_is_imported_again_keeps_its_name(tmp_path) -> None:
    life = Life(tmp_path / "home", "2026-11-01T08:00+00:00", "count net carbohydrate")
    days = ("2026-10-20", "2026-11-01")
    seen = []
    for _ in range(2):
        life.bring("2026-10-20T08:00Z,112,mg/dL", "2026-10-21T08:00Z,112,mg/dL")
        seen.append(names(life.report(*days, "fhir")))
        life.say("undo")
    assert seen[0] == seen[1]
    assert len(seen[0]) == 2


# CSV


def test_no_cell_begins_a_formula_whatever_parts_the_columns(tmp_path) -> None:
    label = "EU label, per 100 g: carbohydrate 28 g, fibre 0.5 g"
    life = Life(tmp_path / "home", "2026-11-01T08:00+00:00", "count net carbohydrate")
    assert life.say(f'new food "rice; =1+1": {label}').status == "answered"
    assert life.say('100 g "rice; =1+1"').status == "answered"
    text = life.report("2026-11-01", "2026-11-01", "csv")
    for row in csv.reader(io.StringIO(text)):
        assert not any(cell.startswith(("=", "+", "-", "@")) for cell in row)
    for line in text.splitlines():
        for cell in line.replace('"', "").split(";"):
            assert not cell.strip().startswith(("=", "+", "-", "@")), line
        assert line.startswith('"')
        assert line.endswith('"')

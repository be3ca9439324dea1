"""Every figure of the week's report, against the raw rows of the journal (see raw.py)."""

import csv
import io
import json
import re
import statistics
from collections import Counter
from datetime import date, timedelta
from fractions import Fraction
from html.parser import HTMLParser

import pytest
from raw import (
    BANDS,
    HOUR,
    Raw,
    about,
    around,
    band,
    deviation,
    level,
    mg,
    part_of_day,
    raw,
    shown,
    spelled,
    stamp,
)
from week import FIRST, LAST, NOW, live

from assistant.diary.entries import Days
from assistant.report.forms import written
from assistant.shell.report import visit_of
from assistant.store.store import Store

DAYS = [date(2026, 3, 2) + timedelta(days=n) for n in range(7)]
PARTS = ("breakfast", "lunch", "dinner", "meals at night")


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    folder = tmp_path_factory.mktemp("week") / "home"
    live(folder)
    return folder


@pytest.fixture(scope="module")
def visit(home):
    store = Store.open(home, NOW)
    with store.reading() as (record, foods):
        found = visit_of(record, foods, Days(DAYS[0], DAYS[-1]), NOW)
    store.close()
    return found


class Page(HTMLParser):
    """Tables by caption, and the sentences of each list, by the heading above it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tables: dict[str, list[list[str]]] = {}
        self.lines: dict[str, list[str]] = {}
        self._rows: list[list[str]] = []
        self._text = self._heading = ""
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        if tag == "table":
            self._rows = []
        elif tag == "tr":
            self._rows.append([])
        if tag in {"caption", "th", "td", "li", "h2", "h3"}:
            self._text = ""

    def handle_data(self, data):
        self._text += data

    def handle_endtag(self, tag):
        if tag == "caption":
            self.tables[self._text] = self._rows
        elif tag in {"th", "td"}:
            self._rows[-1].append(self._text)
        elif tag in {"h2", "h3"}:
            self._heading = self._text
        elif tag == "li":
            self.lines.setdefault(self._heading, []).append(self._text)


@pytest.fixture(scope="module")
def page(visit):
    return Page(written(visit, "html"))


@pytest.fixture(scope="module")
def all_of_it(home):
    return raw(home)


def rows(page, caption: str) -> list[list[str]]:
    """The rows below the heading row."""
    return page.tables[caption][1:]


def here(items, when=lambda item: item[0]):
    return [item for item in items if DAYS[0] <= when(item).date() <= DAYS[-1]]


@pytest.fixture(scope="module")
def week(all_of_it):
    """The part of the rows that is of these days."""
    found = Raw()
    found.readings = here(all_of_it.readings)
    found.meals = here(all_of_it.meals, lambda m: m.at)
    found.doses = here(all_of_it.doses)
    found.refused = here(all_of_it.refused)
    found.declined = here(all_of_it.declined)
    found.felt = here(all_of_it.felt, lambda at: at)
    found.changes = here(all_of_it.changes)
    found.unsettled = all_of_it.unsettled
    return found


def test_the_week_holds_what_it_should(week, all_of_it) -> None:
    """The raw rows themselves, by hand: so that an empty journal cannot pass."""
    assert len(week.meals) == 13  # the slip, the dropped one and the refused ones are not in it
    assert sum(m.said.startswith("change the last meal") for m in week.meals) == 1
    assert len(week.refused) == 3
    assert len(week.felt) == 1
    assert len(all_of_it.readings) > len(week.readings) > 30
    assert week.unsettled is not None


def test_day_by_day(page, week) -> None:
    found = rows(page, "What was logged on each day")
    expected = []
    for day in DAYS:
        levels = [mg(v, u) for at, v, u, _ in week.readings if at.date() == day]
        lows = [1 for at, v, u, _ in week.readings if at.date() == day and band(v, u) < 2]
        meals = [m for m in week.meals if m.at.date() == day]
        doses = [units for at, units in week.doses if at.date() == day]
        expected.append([
            spelled(day), str(len(meals)),
            shown(sum((m.counted for m in meals), Fraction(0)), 1) if meals else "none",
            str(len(doses)), shown(sum(doses, Fraction(0)), 2), str(len(levels)),
            shown(min(levels, default=None), 0), shown(max(levels, default=None), 0),
            str(len(lows) + sum(at.date() == day for at in week.felt)),
            str(sum(at.date() == day for at, _, _ in week.refused)),
        ])  # fmt: skip
    assert found[:-1] == expected
    assert expected[3] == ["5 March 2026", "0", "none", "0", "0", "0", "none", "none", "0", "0"]
    levels = [mg(v, u) for _, v, u, _ in week.readings]
    lows = sum(band(v, u) < 2 for _, v, u, _ in week.readings) + len(week.felt)
    assert found[-1] == [
        "All days", str(len(week.meals)), shown(sum(m.counted for m in week.meals), 1),
        str(len(week.doses)), shown(sum(u for _, u in week.doses), 2), str(len(levels)),
        shown(min(levels), 0), shown(max(levels), 0), str(lows), str(len(week.refused)),
    ]  # fmt: skip


def test_bands(page, week) -> None:
    counts = Counter(band(v, u) for _, v, u, _ in week.readings)
    total = len(week.readings)
    expected = [
        [name, str(counts[n]), shown(Fraction(100 * counts[n], total), 1)]
        for n, name in enumerate(BANDS)
    ]
    assert rows(page, "Readings by band") == expected
    assert page.lines["Share of readings in each band in percent"] == [
        f"{name}: {share} percent." for name, _, share in expected
    ]


def test_mean_and_spread(page, week) -> None:
    levels = [mg(v, u) for _, v, u, _ in week.readings]
    mean, sd = statistics.mean(levels), deviation(levels)
    lines = page.lines["Glucose"]
    assert lines[0] == (
        f"The mean is {about(mean, 0)} mg/dL. The readings go from the lowest to the highest: "
        f"{shown(min(levels), 0)} to {shown(max(levels), 0)} mg/dL."
    )
    cv = shown(sd / mean * 100, 0)
    assert lines[1].startswith(
        f"The standard deviation is about {shown(sd, 0)} mg/dL. "
        f"The coefficient of variation is about {cv}%. Up to 36% is called stable"
    )
    # once more with floats of the statistics module alone
    assert float(shown(sd, 0)) == round(statistics.stdev(map(float, levels)))


def test_readings_of_each_day_in_the_text_beside_the_plot(page, week) -> None:
    (title,) = [h for h in page.lines if h.startswith("Readings of each day")]
    expected = []
    for day in DAYS:
        figures = [shown(mg(v, u), 0) for at, v, u, _ in week.readings if at.date() == day]
        said = ", ".join(figures) if figures else "no reading"
        expected.append(f"{spelled(day)}: {said}.")
    assert page.lines[title] == expected
    carbs = []
    for day in DAYS:
        meals = [m.counted for m in week.meals if m.at.date() == day]
        carbs.append(f"{spelled(day)}: {shown(sum(meals, Fraction(0)), 1) if meals else 'none'}.")
    assert page.lines["Carbohydrate on each day in grams"] == carbs


def ago(later, earlier) -> str:
    hours, minutes = divmod(int((later - earlier).total_seconds()) // 60, 60)
    words = [f"{n} {unit}{'s' if n != 1 else ''}"
             for n, unit in ((hours, "hour"), (minutes, "minute")) if n]  # fmt: skip
    return " and ".join(words)


def test_lows_and_what_was_before_them(page, week, all_of_it) -> None:
    lows = [(at, level(v, u)) for at, v, u, _ in week.readings if band(v, u) < 2]
    lows += [(at, "felt, or shown without a figure") for at in week.felt]
    expected = []
    for at, figure in sorted(lows):

        def last(items, at=at):
            near = [i for i in items if timedelta(0) < at - i[0] <= 6 * HOUR]
            return near[-1] if near else None

        before = []
        meal = last([(m.at, m.counted) for m in all_of_it.meals])
        dose = last(all_of_it.doses)
        reading = last(all_of_it.readings)
        if meal:
            before.append(f"{ago(at, meal[0])} before it: a meal of {shown(meal[1], 4)} g.")
        if dose:
            unit = "unit" if dose[1] == 1 else "units"
            before.append(f"{ago(at, dose[0])} before it: {shown(dose[1], 4)} {unit} of insulin.")
        if reading:
            before.append(f"{ago(at, reading[0])} before it: a reading of "
                          f"{level(reading[1], reading[2])}.")  # fmt: skip
        nothing = "Nothing was logged in the 6 hours before it."
        expected.append([stamp(at), figure, " ".join(before) or nothing])
    assert rows(page, "Each low, and what was before it") == expected
    assert len(expected) == 6


def groups(week, by_food: bool):
    if not by_food:
        for part in PARTS:
            meals = [m for m in week.meals if m.part == part]
            if meals:
                yield part, meals
        return
    for food in sorted({f for m in week.meals for f in m.foods}):
        yield food, [m for m in week.meals if food in m.foods]


@pytest.mark.parametrize("by_food", [False, True], ids=["by meal", "by food"])
def test_after_meals(page, week, all_of_it, by_food) -> None:
    caption = "Glucose after meals with a food in mg/dL" if by_food else (
        "Glucose after meals in mg/dL, by meal of the day")  # fmt: skip
    bands = f"Readings at 2 hours by band, by {'food' if by_food else 'meal of the day'}: " \
            "how many (percent)"  # fmt: skip
    expected, expected_bands = [], []
    for name, meals in groups(week, by_food):
        found = [around(all_of_it, m) for m in meals]
        open_ones = [a for a in found if not a.close]
        measured = [a for a in open_ones if a.measured]

        def mean(values):
            if not values:
                return "none"
            return f"{shown(sum(values, Fraction(0)) / len(values), 0)} ({len(values)})"

        rises = [a.rise for a in measured]
        two = [a.two for a in open_ones if a.two]
        expected.append([
            name, str(len(meals)), str(len(found) - len(open_ones)),
            str(len(open_ones) - len(measured)),
            mean([a.start[0] for a in open_ones if a.start]), mean([t[0] for t in two]),
            mean([a.four[0] for a in open_ones if a.four]), mean(rises),
            shown(min(rises, default=None), 0), shown(max(rises, default=None), 0),
            shown(deviation(rises), 0),
        ])  # fmt: skip
        if two:
            counts = Counter(t[1] for t in two)
            cells = [f"{counts[n]} ({shown(Fraction(100 * counts[n], len(two)), 0)})"
                     for n in range(5)]  # fmt: skip
            expected_bands.append([name, str(len(two)), *cells])
    assert rows(page, caption) == expected
    assert rows(page, bands) == expected_bands
    assert any(row[2] != "0" for row in expected)  # the week has meals that are too close


def test_each_measured_meal(page, week, all_of_it) -> None:
    expected = [
        [stamp(a.meal.at), a.meal.said, shown(a.meal.counted, 1), shown(a.start[0], 0),
         shown(a.two[0], 0), shown(a.four[0] if a.four else None, 0), shown(a.rise, 0)]
        for a in (around(all_of_it, m) for m in week.meals) if a.measured
    ]  # fmt: skip
    assert rows(page, "Each meal with readings at its start and at 2 hours") == expected
    assert len(expected) >= 5


def test_refusals(page, week) -> None:
    counts: dict[str, int] = {}
    for _, _, rules in week.refused:
        for rule in rules:
            counts[rule.replace("-", " ")] = counts.get(rule.replace("-", " "), 0) + 1
    found = rows(page, "How often each rule refused a suggestion")
    assert found == [[rule, str(n)] for rule, n in counts.items()]
    each = rows(page, "Each refused suggestion")
    assert [row[:2] for row in each] == [[stamp(at), said] for at, said, _ in week.refused]
    assert "61 mg/dL" in each[0][2]
    assert "58 mg/dL" in each[1][2]
    assert "8 units" in each[2][2]


def test_settings_and_changes(page, week) -> None:
    assert rows(page, "Settings said in this time") == [
        [stamp(at), said] for at, said in week.changes
    ]
    since = dict(rows(page, "Since when each setting holds"))
    assert since["the insulin-to-carb ratio"] == "7 March 2026, 08:00"
    assert since["the glucose target"] == "10 February 2026, 00:00"
    assert "Ratio: 12 g per unit, all day." in page.lines["Settings in force"]


def test_all_entries(page, week, all_of_it) -> None:
    meals = []
    for m in week.meals:
        rounded = any(shown(end, 1) != shown(end, 9) for end in (m.low, m.high))
        ends = f"{'about ' if rounded else ''}{shown(m.low, 1)} to {shown(m.high, 1)} g"
        meals.append([stamp(m.at), m.said, shown(m.counted, 1), ends])
    assert rows(page, "Meals") == meals
    assert rows(page, "Insulin doses") == [[stamp(at), shown(u, 2)] for at, u in week.doses]
    assert rows(page, "Glucose readings") == [
        [stamp(at), level(v, u), "imported" if imported else "typed"]
        for at, v, u, imported in week.readings
    ]
    # a dose is of the nearest meal up to half an hour away
    by_part: dict[str, list] = {}
    apart = []
    for at, u in week.doses:
        near = [m for m in all_of_it.meals if abs(m.at - at) <= timedelta(minutes=30)]
        near.sort(key=lambda m, at=at: (abs(m.at - at), m.at))
        if near and near[0] in week.meals:
            by_part.setdefault(near[0].part, []).append(u)
        else:
            apart.append(u)
    by_meal = []
    for part in PARTS:
        grams = [m.counted for m in week.meals if m.part == part]
        if grams:
            doses = by_part.get(part, [])
            by_meal.append([part, str(len(grams)), shown(sum(grams), 1),
                            shown(sum(grams) / len(grams), 1), str(len(doses)),
                            shown(sum(doses, Fraction(0)), 2)])  # fmt: skip
    assert apart  # the week has a correction on its own
    by_meal.append(["beside no meal", "0", "none", "none", str(len(apart)), shown(sum(apart), 2)])
    assert rows(page, "Carbohydrate and insulin by meal of the day") == by_meal


def test_the_two_minutes_at_the_top(page, week, all_of_it) -> None:
    """Each sentence of the summary that has a figure, written out anew from the rows."""
    levels = [mg(v, u) for _, v, u, _ in week.readings]
    mean, sd = statistics.mean(levels), deviation(levels)
    reading_days = len({at.date() for at, *_ in week.readings})
    meal_days = len({m.at.date() for m in week.meals})
    dose_days = len({at.date() for at, _ in week.doses})
    carbs, units = sum(m.counted for m in week.meals), sum(u for _, u in week.doses)
    inside = sum(band(v, u) == 2 for _, v, u, _ in week.readings)
    lows = sum(band(v, u) < 2 for _, v, u, _ in week.readings) + len(week.felt)
    very = sum(band(v, u) == 0 for _, v, u, _ in week.readings)
    at, open_units = week.unsettled
    assert dict.fromkeys((  # a lost or a new sentence of the report fails too
        "Report from 2 March 2026 to 8 March 2026. There are entries on 6 days of 7.",
        f"Glucose: {len(levels)} readings on {reading_days} days. The mean is {about(mean, 0)} "
        f"mg/dL. From the lowest to the highest: {shown(min(levels), 0)} to "
        f"{shown(max(levels), 0)} mg/dL.",
        f"The standard deviation is about {shown(sd, 0)} mg/dL. The coefficient of variation is "
        f"about {shown(sd / mean * 100, 0)}%.",
        f"From 70 to 180 mg/dL: {inside} of {len(levels)} readings, "
        f"{about(Fraction(100 * inside, len(levels)), 0)}%.",
        f"Lows in this time: {lows}. Very low, below 54 mg/dL: {very}. The newest "
        "comes next.",
        f"Meals: {len(week.meals)} meals on {meal_days} days, with {about(carbs, 1)} g of "
        f"carbohydrate in all. The mean of a day with meals is {about(carbs / meal_days, 1)} g.",
        f"Insulin: {len(week.doses)} doses, {shown(units, 4)} units in all, on {dose_days} days. "
        f"The mean of a day with doses is {about(units / dose_days, 1)} units.",
        f"Suggestions that the program refused: {len(week.refused)}.",
        f"Suggested and not taken: {len(week.declined)}.",
        f"Sentences that set or changed a number in this time: {len(week.changes)}.",
        "A meal whose dose was refused is not in the counts, unless it was typed again.",
        f"It is not known whether this suggestion was taken: {level(open_units, 'units')}, at "
        f"{at:%H:%M} on {spelled(at.date())}.",
        "The rest is in the report: each day, after meals, every low and refusal, and what is "
        "missing.",
        *_low_sentences(week),
        *_pattern_sentences(week),
    )).keys() == dict.fromkeys(page.lines["In short"]).keys()  # fmt: skip


def _low_sentences(week) -> list[str]:
    lows = [(at, f"Low: {level(v, u)}, at") for at, v, u, _ in week.readings if band(v, u) < 2]
    felt = "A low was felt, or the meter showed one without a figure, at"
    lows += [(at, felt) for at in week.felt]
    return [f"{words} {at:%H:%M} on {spelled(at.date())}." for at, words in sorted(lows)[-1:]]


def _pattern_sentences(week) -> list[str]:
    """Lows on three days or more between the same hours; high readings after a meal: none here."""
    days: dict[str, set[date]] = {}
    lows = [at for at, v, u, _ in week.readings if band(v, u) < 2] + week.felt
    for at in lows:
        days.setdefault(part_of_day(at, ""), set()).add(at.date())
    hours = {"breakfast": "04:00 to 11:00", "lunch": "11:00 to 16:00", "dinner": "16:00 to 22:00",
             "meals at night": "22:00 to 04:00"}  # fmt: skip
    said = [f"Lows came on {len(d)} days from {hours[p]}." for p, d in days.items() if len(d) >= 3]
    assert said, "the week is made to have such a pattern"
    return [*said, "Take this to your care team. I change no setting and name no other ratio."]


def test_the_top_can_be_heard_in_two_minutes(page) -> None:
    """At 150 words a minute, a pace of reading aloud (common practice, no source)."""
    words = sum(len(line.split()) for line in page.lines["In short"])
    assert words <= 2 * 150
    assert len(page.lines["In short"]) <= 20


def test_what_is_missing(page, week, all_of_it) -> None:
    """In full at the end of the report."""
    arounds = [around(all_of_it, m) for m in week.meals]
    close = sum(a.close for a in arounds)
    unmeasured = sum(not a.close and not a.measured for a in arounds)
    at, open_units = week.unsettled
    assert page.lines["What is missing"] == [
        "Without any entry: 5 March 2026.",
        f"No reading fits the start or the 2 hours of {unmeasured} meal"
        f"{'s' if unmeasured != 1 else ''}.",
        f"Left out: {close} meal{'s' if close != 1 else ''}, since another meal, a refused one or "
        "a dose of its own time is less than 4 hours away.",
        "A meal whose dose was refused is not in the counts, unless it was typed again.",
        f"It is not known whether this suggestion was taken: {level(open_units, 'units')}, at "
        f"{at:%H:%M} on {spelled(at.date())}.",
        "Long-acting insulin is not part of this record, nor is anything that was not typed.",
    ]


def test_markdown_has_the_same_tables_and_sentences(visit, page) -> None:
    text = written(visit, "markdown")
    plain = re.sub(r"\\(.)", r"\1", text)
    for caption, table in page.tables.items():
        assert f"**{caption}**" in plain
        for row in table:
            assert "| " + " | ".join(row) + " |" in plain
    for lines in page.lines.values():
        for line in lines:
            assert f"- {line}\n" in plain


def test_csv_is_the_entries_one_by_one(visit, week) -> None:
    found = list(csv.DictReader(io.StringIO(written(visit, "csv"))))
    assert [row["time"] for row in found] == sorted(row["time"] for row in found)

    def of(kind):
        return [row for row in found if row["kind"] == kind]

    assert [(r["time"], Fraction(r["value"]), r["unit"], r["what"]) for r in of("reading")] == [
        (at.isoformat(), v, u, "imported" if imported else "typed")
        for at, v, u, imported in week.readings
    ]
    assert [(r["time"], r["what"], *(Fraction(r[k]) for k in ("value", "low", "high")))
            for r in of("meal")] == [
        (m.at.isoformat(), m.said, m.counted, m.low, m.high) for m in week.meals
    ]  # fmt: skip
    assert [(r["time"], Fraction(r["value"])) for r in of("dose")] == [
        (at.isoformat(), u) for at, u in week.doses
    ]
    assert [r["what"] for r in of("food")] == [f for m in week.meals for f in m.foods]
    assert sum(Fraction(r["value"]) for r in of("food")) == sum(m.counted for m in week.meals)
    assert [r["what"] for r in of("refused")] == [
        f"{said} ({', '.join(rules)})" for _, said, rules in week.refused
    ]
    assert len(of("low felt")) == len(week.felt)
    assert len(of("not taken")) == len(week.declined)
    assert [r["what"] for r in of("setting")] == [said for _, said in week.changes]


def test_fhir_is_the_entries_one_by_one(visit, week) -> None:
    bundle = json.loads(written(visit, "fhir"), parse_float=Fraction, parse_int=Fraction)
    found = [entry["resource"] for entry in bundle["entry"]]

    def of(kind):
        return [resource for resource in found if resource["resourceType"] == kind]

    readings = [
        (r["effectiveDateTime"], r["valueQuantity"]["value"], r["valueQuantity"]["code"])
        for r in of("Observation")
    ]
    assert readings == [(at.isoformat(), v, u) for at, v, u, _ in week.readings]
    doses = [(r["occurenceDateTime"], r["dosage"]["dose"]["value"])
             for r in of("MedicationAdministration")]  # fmt: skip
    assert doses == [(at.isoformat(), u) for at, u in week.doses]
    meals = [
        (r["occurrenceDateTime"], r["ingredientLabel"][0]["amount"]["value"],
         [i["nutritionProduct"]["concept"]["text"] for i in r["consumedItem"]])
        for r in of("NutritionIntake")
    ]  # fmt: skip
    assert meals == [(m.at.isoformat(), m.counted, m.foods) for m in week.meals]
    assert len(found) == len(readings) + len(doses) + len(meals)


def test_the_json_facts_of_the_sentence_are_these_figures(home, week) -> None:
    from assistant.dialogue.turn import turn
    from assistant.render.as_json import as_json

    store = Store.open(home, NOW)
    with store.reading() as (record, foods):
        text = f"report for the visit from {FIRST} to {LAST}"
        facts = as_json(turn(record, foods, text, NOW).reply)["facts"]["report"]
    store.close()
    levels = [mg(v, u) for _, v, u, _ in week.readings]
    assert facts["readings"] == len(levels)
    assert facts["meals"] == len(week.meals)
    assert facts["doses"] == len(week.doses)
    assert facts["counted_carbs_g"] == pytest.approx(float(sum(m.counted for m in week.meals)))
    assert facts["units"] == pytest.approx(float(sum(u for _, u in week.doses)))
    assert facts["glucose"]["mean"] == pytest.approx(float(statistics.mean(levels)), abs=1e-6)
    assert facts["glucose"]["sd"] == pytest.approx(statistics.stdev(map(float, levels)), abs=1e-6)
    assert facts["glucose"]["median"] == pytest.approx(float(statistics.median(levels)), abs=1e-6)
    assert facts["bands"] == {
        name: sum(band(v, u) == n for _, v, u, _ in week.readings)
        for n, name in enumerate(("very-low", "low", "in-range", "high", "very-high"))
    }

"""Sentences about numbers and events: their form and values, or the place where they go wrong."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.nodes import Number, Unclear
from grammar.statements import Misread, Statement, form_of, read_statement

# Schedules: (text, form, entries of (value, per, unit, minutes since midnight))
SCHEDULES = (
    ("my ratio is 1 unit per 10 g from 06:00 and 1 per 12 g from 11:00", "ratio",
     [("10", "1", None, 360), ("12", "1", None, 660)]),
    ("my ratio is 1 unit per 10 g", "ratio", [("10", "1", None, None)]),
    ("ratio 1 unit per 10 g", "ratio", [("10", "1", None, None)]),
    ("My ratio: 1 unit per 10 grams", "ratio", [("10", "1", None, None)]),
    ("my carb ratio is 1 unit for every 10 g", "ratio", [("10", "1", None, None)]),
    ("my insulin-to-carb ratio is 1 unit per 10 g of carbohydrate", "ratio",
     [("10", "1", None, None)]),
    ("my ratio is one unit per ten grams of carbs", "ratio", [("10", "1", None, None)]),
    ("my ratio is 1 u per 7.5 g", "ratio", [("15/2", "1", None, None)]),
    ("my ratio is 1 to 10", "ratio", [("10", "1", None, None)]),
    ("my ratio is 1:10", "ratio", [("10", "1", None, None)]),
    ("my ratio is 1 per 10", "ratio", [("10", "1", None, None)]),
    ("my ratio is 10 g per unit", "ratio", [("10", "1", None, None)]),
    ("my ratio is 10 grams a unit", "ratio", [("10", "1", None, None)]),
    ("my ratio is 15 g per 2 units", "ratio", [("15", "2", None, None)]),
    ("my ratio is 2 units per 15 g", "ratio", [("15", "2", None, None)]),
    ("my ratio is 1 unit per 10 g from 6 am, and 1 unit per 12 g from noon", "ratio",
     [("10", "1", None, 360), ("12", "1", None, 720)]),
    ("my ratio is 1 unit per 10 g from 6:30 pm.", "ratio", [("10", "1", None, 1110)]),
    ("my ratio is from 06:00 1 unit per 10 g; from 11:00 1 unit per 12 g", "ratio",
     [("10", "1", None, 360), ("12", "1", None, 660)]),
    ("correction factor 45 mg/dL per unit", "factor", [("45", "1", "mg/dL", None)]),
    ("correction factor 2.5 mmol/L per unit", "factor", [("5/2", "1", "mmol/L", None)]),
    ("my correction factor is 45 mg/dl", "factor", [("45", "1", "mg/dL", None)]),
    ("my correction factor is 45", "factor", [("45", "1", None, None)]),
    ("my sensitivity is 2.5 mmol per unit", "factor", [("5/2", "1", "mmol/L", None)]),
    ("insulin sensitivity factor: 45 mg/dL per unit", "factor", [("45", "1", "mg/dL", None)]),
    ("1 unit lowers me by 2.5 mmol/L", "factor", [("5/2", "1", "mmol/L", None)]),
    ("one unit lowers my glucose by 45 mg/dL", "factor", [("45", "1", "mg/dL", None)]),
    ("correction factor 1 unit per 45 mg/dL", "factor", [("45", "1", "mg/dL", None)]),
    ("correction factor 45 mg/dL per unit from 06:00 and 50 mg/dL per unit from 22:00", "factor",
     [("45", "1", "mg/dL", 360), ("50", "1", "mg/dL", 1320)]),
    ("target 6", "target", [("6", "1", None, None)]),
    ("target 110 mg/dL", "target", [("110", "1", "mg/dL", None)]),
    ("my target is 6 mmol/L", "target", [("6", "1", "mmol/L", None)]),
    ("my glucose target is 6.5", "target", [("13/2", "1", None, None)]),
    ("target glucose: 110 mg/dL", "target", [("110", "1", "mg/dL", None)]),
    ("my target is 6 from 06:00 and 7 from 22:00", "target",
     [("6", "1", None, 360), ("7", "1", None, 1320)]),
    ("my target is 6 mmol/L from midnight", "target", [("6", "1", "mmol/L", 0)]),
)  # fmt: skip

# One figure: (text, form, figure)
FIGURES = (
    ("my insulin lasts 4 hours", "duration", "240"),
    ("insulin lasts 4 h", "duration", "240"),
    ("my insulin lasts for 4.5 hours", "duration", "270"),
    ("my insulin lasts 3 hours and 30 minutes", "duration", "210"),
    ("my insulin lasts 3 hours 30 minutes", "duration", "210"),
    ("my insulin works for 240 minutes", "duration", "240"),
    ("my insulin is active for four hours", "duration", "240"),
    ("my insulin stays active for 4 hours.", "duration", "240"),
    ("duration of insulin action is 4 hours", "duration", "240"),
    ("duration of action 4 hours", "duration", "240"),
    ("my active insulin time is 4 hours", "duration", "240"),
    ("reductions up to 50%", "max_reduction", "1/2"),
    ("my reductions go up to 30 percent", "max_reduction", "3/10"),
    ("dose reductions of at most 25 per cent", "max_reduction", "1/4"),
    ("count maltitol at 75 per cent", "polyol", "3/4"),
    ("a reading counts for 15 minutes", "reading_age", "15"),
    ("my reading counts for 1 hour and 10 minutes", "reading_age", "70"),
    ("a glucose reading holds 20 minutes", "reading_age", "20"),
    ("ask me when the range is wider than 20%", "ask_range", "1/5"),
    ("ask if a range is more than 12.5 percent", "ask_range", "1/8"),
    ("never more than 8 units at once", "cap_dose", "8"),
    ("never more than eight units at once", "cap_dose", "8"),
    ("I never take more than 8 units in one dose", "cap_dose", "8"),
    ("no more than 8 units at a time", "cap_dose", "8"),
    ("at most 8 units per dose", "cap_dose", "8"),
    ("max 8 units at once", "cap_dose", "8"),
    ("maximum of 8.5 units in a single dose", "cap_dose", "17/2"),
    ("never more than 60 g in a meal", "cap_meal", "60"),
    ("never more than 60 g of carbohydrate in one meal", "cap_meal", "60"),
    ("never more than 60 grams per meal", "cap_meal", "60"),
    ("my pen goes in half units", "pen", "1/2"),
    ("my pen goes in half-units", "pen", "1/2"),
    ("my pen goes in whole units", "pen", "1"),
    ("my pen clicks in 0.5 unit steps", "pen", "1/2"),
    ("my pen goes in steps of 1 unit", "pen", "1"),
    ("my syringe measures half units", "pen", "1/2"),
    ("took 4 units", "took", "4"),
    ("I took 4 units", "took", "4"),
    ("I've taken 4 units", "took", "4"),
    ("I just took 4 units", "took", "4"),
    ("just injected 4 units", "took", "4"),
    ("I gave myself 4 units", "took", "4"),
    ("took 4.5 units of insulin", "took", "9/2"),
    ("took four and a half units", "took", "9/2"),
    ("took 4½ units", "took", "9/2"),
    ("took 4 1/2 units", "took", "9/2"),
    ("took half a unit", "took", "1/2"),
    ("took 4 u", "took", "4"),
    ("4 units taken", "took", "4"),
    ("4 units were injected", "took", "4"),
    ("glucose 143", "glucose", "143"),
    ("my glucose is 143 mg/dL", "glucose", "143"),
    ("blood sugar 9.1 mmol/L", "glucose", "91/10"),
    ("bg 143", "glucose", "143"),
    ("9.1 mmol/L", "glucose", "91/10"),
)

# (text, form, figure, minute, day, minutes ago)
WHENS = (
    ("glucose 143 at 12:40", "glucose", "143", 760, None, None),
    ("glucose 143 at 12.40", "glucose", "143", 760, None, None),
    ("glucose 9.1 mmol/L at 7 pm", "glucose", "91/10", 1140, None, None),
    ("glucose 143 yesterday at 23:00", "glucose", "143", 1380, "yesterday", None),
    ("glucose 143 20 minutes ago", "glucose", "143", None, None, "20"),
    ("took 4 units at 12:45", "took", "4", 765, None, None),
    ("took 4 units at 0:05", "took", "4", 5, None, None),
    ("took 4 units at 12 am", "took", "4", 0, None, None),
    ("took 4 units at 12 pm", "took", "4", 720, None, None),
    ("took 4 units at noon", "took", "4", 720, None, None),
    ("took 4 units at 23:00 yesterday", "took", "4", 1380, "yesterday", None),
    ("took 4 units yesterday at 23:00", "took", "4", 1380, "yesterday", None),
    ("took 4 units at 12:45 today", "took", "4", 765, "today", None),
    ("took 4 units 20 minutes ago", "took", "4", None, None, "20"),
    ("took 4 units 2 hours ago", "took", "4", None, None, "120"),
    ("took 4 units 1.5 hours ago", "took", "4", None, None, "90"),
    ("took 4 units just now", "took", "4", None, None, "0"),
    ("took it at 12:45", "took", None, 765, None, None),
    ("took the suggested dose at 12:45", "took", None, 765, None, None),
)

# (text, form, word)
WORDS = (
    ("active insulin falls in a straight line", "active_shape", "line"),
    ("my active insulin falls on a straight line.", "active_shape", "line"),
    ("active insulin is counted on the line", "active_shape", "line"),
    ("active insulin follows the two-compartment curve", "active_shape", "curve"),
    ("active insulin follows a two compartment model", "active_shape", "curve"),
    ("active insulin comes off the correction only", "active_rule", "correction"),
    ("active insulin comes off the correction", "active_rule", "correction"),
    ("my active insulin is subtracted from the correction only", "active_rule", "correction"),
    ("take active insulin off the correction only", "active_rule", "correction"),
    ("active insulin comes off the whole dose", "active_rule", "whole"),
    ("active insulin comes off the total dose", "active_rule", "whole"),
    ("round down", "rounding", "down"),
    ("I round down", "rounding", "down"),
    ("round to the nearest", "rounding", "nearest"),
    ("round to the nearest half unit", "rounding", "nearest"),
    ("round up", "rounding", "up"),
    ("count net carbohydrate", "policy", "net"),
    ("I count net carbs", "policy", "net"),
    ("use net carbs", "policy", "net"),
    ("count total carbohydrate", "policy", "total"),
    ("count all carbs", "policy", "total"),
    ("count fibre over 5 g halved", "policy", "fibre-over-5"),
    ("halve the fiber over 5 g", "policy", "fibre-over-5"),
    ("my glucose is in mg/dL", "glucose_unit", "mg/dL"),
    ("my glucose is in mmol/L", "glucose_unit", "mmol/L"),
    ("my meter reads in mmol/L", "glucose_unit", "mmol/L"),
    ("I use mg/dl", "glucose_unit", "mg/dL"),
)

# (text, what stands from the place where reading stopped)
MISREAD = (
    ("my ratio is 10", ""),
    ("my ratio is good", "good"),
    ("my ratio is 1 unit per 10 g except at night", "except at night"),
    ("my ratio is 1 unit per 10 g in the morning", "in the morning"),
    ("my ratio is 1 unit per 10 g until 11:00", "until 11:00"),
    ("my ratio is not 1 unit per 10 g", "not 1 unit per 10 g"),
    ("my ratio is about 1 unit per 10 g", "about 1 unit per 10 g"),
    ("my ratio is 1 unit per 10 g from 25:00", "25:00"),
    ("my ratio is 1 unit per 10 g from 12:75", "12:75"),
    ("my ratio is 1 unit per 10 g from 13 pm", "13 pm"),
    ("my ratio is 1 unit per 10 ml", "ml"),
    ("my ratio is 1 unit per 10 g or 12 g", "or 12 g"),
    ("correction factor 45 mg/dL per unit at night", "at night"),
    ("correction factor 45 grams per unit", "grams per unit"),
    ("target 110 mg/dL or less", "or less"),
    ("target between 4 and 7", "between 4 and 7"),
    ("target 4 to 7", "to 7"),
    ("my insulin lasts long", "long"),
    ("my insulin lasts 4", ""),
    ("my insulin lasts 4 days", "days"),
    ("my insulin lasts 4 to 5 hours", "to 5 hours"),
    ("my insulin lasts less than 4 hours", "less than 4 hours"),
    ("active insulin comes off neither", "neither"),
    ("active insulin falls in a parabola", "parabola"),
    ("active insulin follows the curve", "curve"),
    ("active insulin falls in a straight line at first", "at first"),
    ("reductions up to 50", ""),
    ("reductions up to 50% or more", "or more"),
    ("a reading counts for ever", "ever"),
    ("a reading counts for 15", ""),
    ("ask me when the range is wider than 20 g", "g"),
    ("my times of day go by the sun", "the sun"),
    ("my times of day go by the clock at +25:00", "+25:00"),
    ("my times of day go by the clock at +02:75", "+02:75"),
    ("my pen goes in units that I like", None),
    ("my pen goes in half units, round sideways", "round sideways"),
    ("round whichever way", None),
    ("never more than 8 units", ""),
    ("never more than 8 units at once unless I am ill", "unless I am ill"),
    ("never more than 8 slices at once", "slices at once"),
    ("never more than 15 units in 4 hours or so", "or so"),
    ("count net carbohydrate sometimes", "sometimes"),
    ("count net carbohydrate but not for fruit", "but not for fruit"),
    ("took 4 units of long-acting insulin", "of long-acting insulin"),
    ("took 4 units at lunch", "lunch"),
    ("took 4 units at 7", "7"),
    ("took 4 units twice", "twice"),
    ("took 4 units and 2 units", "and 2 units"),
    ("took 4 or 5 units", "or 5 units"),
    ("took 4 units tomorrow", "tomorrow"),
    ("took about 4 units", "about 4 units"),
    ("took none", "none"),
    ("took 4 units at 12:45 I think", "I think"),
    ("my cup is 250", ""),
    ("my cup is big", "big"),
    ("my cup is 250 ml when full", "when full"),
)


def value(quantity):
    if isinstance(quantity, Unclear):
        return quantity.why
    return str(quantity.value) if isinstance(quantity, Number) else None


@pytest.mark.parametrize(("text", "form", "entries"), SCHEDULES)
def test_a_schedule_is_read_with_its_times(text, form, entries):
    found = read_statement(text)
    assert isinstance(found, Statement), found
    assert found.form == form
    assert [(value(e.value), value(e.per), e.unit, e.start) for e in found.entries] == entries


@pytest.mark.parametrize(("text", "form", "figure"), FIGURES)
def test_a_figure_is_read_exactly(text, form, figure):
    found = read_statement(text)
    assert isinstance(found, Statement), found
    assert (found.form, value(found.number)) == (form, figure)


@pytest.mark.parametrize(("text", "form", "figure", "minute", "day", "ago"), WHENS)
def test_a_time_is_read(text, form, figure, minute, day, ago):
    found = read_statement(text)
    assert isinstance(found, Statement), found
    assert (found.form, value(found.number)) == (form, figure)
    assert (found.when.minute, found.when.day) == (minute, day)
    assert found.when.ago == (Fraction(ago) if ago is not None else None)


@pytest.mark.parametrize("text", ["took 4 units an hour ago", "took 4 units half an hour ago"])
def test_an_hour_ago_is_a_time(text):
    found = read_statement(text)
    assert isinstance(found, Statement), found
    assert found.when.ago == (30 if "half" in text else 60)


@pytest.mark.parametrize(("text", "form", "word"), WORDS)
def test_a_choice_of_words_is_read(text, form, word):
    found = read_statement(text)
    assert isinstance(found, Statement), found
    assert (found.form, found.word) == (form, word)


@pytest.mark.parametrize(
    ("text", "units", "minutes"),
    [
        ("never more than 15 units in 4 hours", "15", 240),
        ("never more than 15 units within any 4 hours", "15", 240),
        ("no more than 15 units in 90 minutes", "15", 90),
        ("at most 15 units in 3 hours 30 minutes", "15", 210),
        ("never more than 15 units in an hour", "15", 60),
        ("never more than 15 units in 1 hour", "15", 60),
    ],
)
def test_a_cap_over_hours_is_read(text, units, minutes):
    found = read_statement(text)
    assert isinstance(found, Statement), found
    assert (found.form, value(found.number), found.minutes) == ("cap_window", units, minutes)


@pytest.mark.parametrize(
    ("text", "number", "unit", "volume"),
    [
        ("my cup is 250 ml", "250", "cup", "ml"),
        ("my cup holds 2.5 dl", "5/2", "cup", "dl"),
        ("my tablespoon is 15 ml", "15", "tablespoon", "ml"),
        ("my tsp = 5 ml", "5", "tsp", "ml"),
    ],
)
def test_a_kitchen_measure_is_read(text, number, unit, volume):
    found = read_statement(text)
    assert (found.form, value(found.number), found.word, found.unit) == (
        *("kitchen", number, unit, volume),
    )


@pytest.mark.parametrize(
    ("text", "step", "rounding"),
    [
        ("my pen goes in half units, round down", "1/2", "down"),
        ("my pen goes in half units and round to the nearest", "1/2", "nearest"),
        ("my pen goes in whole units, rounding down", "1", "down"),
        ("my pen goes in half units, round up", "1/2", "up"),
    ],
)
def test_the_pen_and_its_rounding_in_one_sentence(text, step, rounding):
    found = read_statement(text)
    assert (found.form, value(found.number), found.second) == ("pen", step, rounding)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("took 4,5 units", "comma"),
        ("took -4 units", "negative"),
        ("took 0 units", "zero"),
        ("took 1/0 units", "zero-denominator"),
        ("took 1e3 units", "odd"),
        ("took 1000000 units", "huge"),
        ("never more than 8,5 units at once", "comma"),
        ("my insulin lasts 4,5 hours", "comma"),
        ("my pen goes in 0,5 units", "comma"),
        ("glucose 9,1", "comma"),
    ],
)
def test_an_unclear_figure_stays_unclear(text, why):
    found = read_statement(text)
    assert isinstance(found, Statement), found
    assert value(found.number) == why


@pytest.mark.parametrize("text", ["my ratio is 1 unit per 12,5 g", "correction factor 2,5 mmol/L",
                                  "target 6,5"])  # fmt: skip
def test_a_comma_in_a_schedule_stays_unclear(text):
    found = read_statement(text)
    assert "comma" in {value(found.entries[0].value), value(found.entries[0].per)}


@pytest.mark.parametrize(("text", "said"), MISREAD)
def test_a_sentence_that_goes_wrong_is_never_half_read(text, said):
    found = read_statement(text)
    assert isinstance(found, Misread), found
    if said is not None:
        assert found.said == said
    assert text[found.start : found.end].strip() == found.said


def test_the_tables_are_long_enough():
    assert len(SCHEDULES) + len(FIGURES) + len(WHENS) + len(WORDS) >= 80
    assert len(MISREAD) >= 30


@pytest.mark.parametrize(
    "text",
    [
        "1.5 servings of the oat cereal plus 200 ml milk",
        "half the pack of crackers",
        "two slices of rye bread and a medium apple, glucose 9.1",
        "milk",
        "2 tbsp half and half",
        "I'm having 2 slices of rye bread",
        "I had 2 servings of oat cereal",
        "please count 2 servings of oat cereal",
        "count 2 servings of oat cereal",
        "count half the pack of crackers",
        "count half a serving of oat cereal",
        "my rye bread 2 slices",
        "glucose 162, 2 slices of rye bread",
        "3 glucose tablets",
        "penne 80 g",
        "1 unit of milk",
    ],
)
def test_a_meal_opens_like_no_statement(text):
    assert form_of(text) is None
    assert read_statement(text) is None


@pytest.mark.parametrize(
    "text",
    [
        "did not take 4 units",
        "I never took 4 units",
        "took",
        "glucose tablets",
        "glucose 143 and milk",
        "glucose 143 yesterday",
        "glucose about 143",
        "glucose is not 143",
    ],
)
def test_a_sentence_that_only_looks_like_a_fact_is_none(text):
    assert not isinstance(read_statement(text), Statement)


OPENINGS = (
    *("my ratio is", "correction factor", "target", "my insulin lasts", "active insulin comes off"),
    *("my pen goes in", "round", "never more than", "count", "my cup is", "my glucose is in"),
    *("took", "I took", "glucose", "1 unit lowers me by"),
)
PIECES = (
    *("1", "10", "4.5", "4,5", "-1", "1/0", "half", "one", "unit", "units", "g", "per", "from"),
    *("06:00", "25:99", "7 pm", "at", "and", ",", "mg/dL", "mmol/L", "hours", "minutes", "ago"),
    *("at once", "in", "an hour", "yesterday", "now", "down", "up", "nearest", "not", "ml", "½"),
    *("the correction only", "net", "it", ".", "!", "?", "%s", "{}", "\n", "99999999999999999999"),
)


def test_any_sentence_is_read_without_a_fault(request):
    more = request.config.getoption("--long", default=False)
    parts = st.lists(st.sampled_from(PIECES), max_size=9).map(" ".join)
    texts = st.one_of(
        st.text(max_size=60),
        st.builds(lambda opening, rest: f"{opening} {rest}", st.sampled_from(OPENINGS), parts),
    )

    @settings(max_examples=20_000 if more else 400, deadline=None)
    @given(texts)
    def law(text):
        found = read_statement(text)
        assert found is None or isinstance(found, Statement | Misread)
        if isinstance(found, Misread):
            assert 0 <= found.start <= found.end <= len(text)
        if isinstance(found, Statement):
            figures = [found.number, *(e.value for e in found.entries)]
            assert all(f.value > 0 for f in figures if isinstance(f, Number))

    law()


WRONG_WORDS = ("not", "except", "unless", "almost", "maybe", "without", "zzz", "sometimes")


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("my times of day go by the clock at +02:00", 120),
        ("my times of day go by UTC+05:45", 345),
        ("my times of day go by -03:30", -210),
        ("my times of day go by the clock at +00:00", 0),
    ],
)
def test_a_clock_is_read_in_minutes(text, minutes):
    found = read_statement(text)
    assert isinstance(found, Statement)
    assert (found.form, found.minutes) == ("clock", minutes)


@pytest.mark.parametrize(
    "text",
    [t for t, *_ in SCHEDULES[:3]] + [t for t, *_ in FIGURES[::4]] + [t for t, *_ in WHENS[::5]],
)
def test_no_word_put_into_a_statement_is_passed_over(text):
    words = text.split(" ")
    good = read_statement(text)
    for wrong in WRONG_WORDS:
        for at in range(len(words) + 1):
            changed = " ".join([*words[:at], wrong, *words[at:]])
            found = read_statement(changed)
            assert not isinstance(found, Statement), (changed, good)

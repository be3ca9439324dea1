"""Published worked examples of mealtime doses, through the working.

The figures are carried over from a collection of published teaching sheets; each row names its
sheet. Where an answer is the collector's own arithmetic, the row says "derived".

Not used: a nurses' teaching sheet that prints 2 units for glucose 190, goal 150, "1 unit per 30
over". It is a step-up table (it takes the ceiling); division gives 40/30 = 1.33, and a program
that agreed with the sheet would be wrong everywhere else. The last test shows that it is not met.
"""

from fractions import Fraction

import pytest
from msgspec.structs import replace
from strategies import ago, all_day, invented_facts, invented_settings

from assistant.dosing.settings import GlucoseSchedule, Settings
from assistant.dosing.working import NoReading, round_dose, work_out
from assistant.values import MG_DL_PER_MMOL_L, Glucose

# name, unit, carbs, ratio, glucose, target, factor, meal, correction, total
COMPLETE = [
    # UCSF Diabetes Teaching Center, "Calculating Insulin Dose", examples 1-3: 6 units of meal
    # insulin read there; 2 and 8 from memory, arithmetic agrees.
    ("C1", "mg/dL", "60", "10", "220", "120", "50", "6", "2", "8"),
    # Trial patient sheet, "Dose Adjustment Guidelines - Retrospective Log Review".
    ("C2", "mg/dL", "60", "10", "200", "100", "50", "6", "2", "8"),
    # The same trial's sheet in mmol/L.
    ("C3", "mmol/L", "60", "10", "11.0", "5.5", "2.75", "6", "2", "8"),
    # Aleppo et al., J Endocr Soc 2017;1:1445, table 4, case A, before the trend term.
    ("C4", "mg/dL", "35", "10", "180", "120", "30", "3.5", "2.0", "5.5"),
    # The same table, case B, before the trend term.
    ("C5", "mg/dL", "30", "15", "220", "120", "50", "2.0", "2.0", "4.0"),
]

# name, unit, glucose, target, factor, correction, tolerance
CORRECTIONS = [
    # Health and Social Care Northern Ireland, blood glucose correction page.
    ("P1", "mmol/L", "14", "8", "2", "3", "0"),
    # NHS e-learning, "Is my correction dose correct?", first person.
    ("P2", "mmol/L", "14", "8", "4", "1.5", "0"),
    # The same, second person.
    ("P3", "mmol/L", "11", "8", "3", "1", "0"),
    # UK paediatric leaflet, "How to adjust insulin doses".
    ("P4b", "mmol/L", "16", "6", "5", "2", "0"),
    # UK sports-diabetes charity page: 9/1.7 printed as 5.3.
    ("P5", "mmol/L", "15", "6", "1.7", "5.3", "0.01"),
    # Nursing course hand-out "Calculating Insulin": 1.87 printed as 1.9.
    ("P11b", "mg/dL", "160", "90", "37.5", "1.9", "0.04"),
    # Clinical Diabetes (ADA), trend-arrow table: the arrow is put in as another glucose figure,
    # and the plain division is then checked at that figure.
    ("P12 rising", "mg/dL", "300", "100", "50", "4", "0"),
    ("P12 falling", "mg/dL", "200", "100", "50", "2", "0"),
]

# name, carbs, ratio, meal, tolerance
MEALS = [
    # UK paediatric leaflet, "How to adjust insulin doses".
    ("P4a", "60", "20", "3", "0"),
    # Gloucestershire Hospitals NHS, GHPI1324 (2015).
    ("P6", "40", "8", "5", "0"),
    # Alberta Children's Hospital, diabetes nurse specialist: 22/15 printed as 1.5.
    ("P7a", "60", "15", "4", "0"),
    ("P7b", "60", "12", "5", "0"),
    ("P7c", "22", "15", "1.5", "0.05"),
    # Nationwide Children's Hospital, "Calculating Bolus Injections", chapter 7.
    ("P8", "60", "10", "6", "0"),
    # NDR-UK, "Introduction to CHO counting", pages 23-24.
    ("P9a", "40", "10", "4", "0"),
    ("P9b", "60", "7.5", "8", "0"),
    ("P9c", "50", "10", "5", "0"),
    ("P9d", "60", "15", "4", "0"),
    ("P9e", "90", "15", "6", "0"),
    # Children with Diabetes, medical team answer, November 2001: 2.533 printed as 2.5.
    ("P10", "38", "15", "2.5", "0.05"),
    # Nursing course hand-out "Calculating Insulin".
    ("P11a", "90", "12.5", "7.2", "0"),
]


def by_name(rows: list[tuple[str, ...]]) -> list:
    return [pytest.param(*row[1:], id=row[0]) for row in rows]


COMPLETE_NAMES = (
    "unit", "carbs", "ratio", "glucose", "target", "factor", "meal", "correction", "total",
)  # fmt: skip


@pytest.mark.parametrize(COMPLETE_NAMES, by_name(COMPLETE))
def test_a_complete_example_comes_to_its_published_parts_and_total(
    unit, carbs, ratio, glucose, target, factor, meal, correction, total
):
    w = work_out(invented_facts(carbs, glucose, invented_settings(ratio, factor, target, unit)))
    assert w.meal.value == Fraction(meal)
    assert w.correction == Fraction(correction)
    assert w.exact == Fraction(total)


def other_unit(figure: str, unit: str) -> Glucose:
    if unit == "mg/dL":
        return Glucose(Fraction(figure) / MG_DL_PER_MMOL_L, "mmol/L")
    return Glucose(Fraction(figure) * MG_DL_PER_MMOL_L, "mg/dL")


@pytest.mark.parametrize(COMPLETE_NAMES, by_name(COMPLETE))
def test_the_same_example_comes_to_the_same_in_the_other_unit(
    unit, carbs, ratio, glucose, target, factor, meal, correction, total
):
    """Reading and target typed in the other unit, the factor as on the sheet, and all three."""
    settings = invented_settings(ratio, factor, target, unit)
    there = other_unit(glucose, unit)
    assert work_out(invented_facts(carbs, there, settings)).exact == Fraction(total)

    def moved(figure: str) -> GlucoseSchedule:
        value = other_unit(figure, unit)
        return GlucoseSchedule(value.unit, all_day(value.value))

    mixed = replace(settings, target=moved(target))
    assert work_out(invented_facts(carbs, there, mixed)).exact == Fraction(total)
    moved_all = replace(mixed, factor=moved(factor))
    assert work_out(invented_facts(carbs, there, moved_all)).exact == Fraction(total)


@pytest.mark.parametrize(
    ("unit", "glucose", "target", "factor", "correction", "tolerance"), by_name(CORRECTIONS)
)
def test_a_correction_example_comes_to_its_published_answer(
    unit, glucose, target, factor, correction, tolerance
):
    w = work_out(invented_facts("0", glucose, invented_settings("10", factor, target, unit)))
    assert abs(w.correction - Fraction(correction)) <= Fraction(tolerance)
    assert w.exact == w.correction


@pytest.mark.parametrize(("carbs", "ratio", "meal", "tolerance"), by_name(MEALS))
def test_a_meal_example_comes_to_its_published_answer(carbs, ratio, meal, tolerance):
    w = work_out(invented_facts(carbs, NoReading(), invented_settings(ratio)))
    assert abs(w.meal.value - Fraction(meal)) <= Fraction(tolerance)
    assert w.exact == w.meal.value


def c6(**changes: object) -> Settings:
    return invented_settings("15", "30", "120", rounding="nearest", **changes)


def test_the_sheet_that_rounds_each_part_agrees_within_its_own_rounding():
    """C6: US paediatric hospital slides, 68 g at 15, 214 to 120 at 30: 4.5 + 3.1 = 7.6 printed.

    Unrounded parts give 7.667 (derived); the program rounds once, so 0.1 is allowed.
    """
    w = work_out(invented_facts("68", "214", c6()))
    assert w.exact == Fraction(68, 15) + Fraction(94, 30)
    assert abs(w.exact - Fraction("7.6")) <= Fraction("0.1")


def test_the_sheet_that_rounds_each_part_gives_the_same_pen_doses():
    """C6, last line (derived): 7.5 on a half-unit pen, 8 on a whole-unit pen."""
    assert work_out(invented_facts("68", "214", c6(pen_step=Fraction(1, 2)))).rounded == Fraction(
        "7.5"
    )
    assert work_out(invented_facts("68", "214", c6())).rounded == 8


@pytest.mark.parametrize(
    ("said", "rounded"),
    [
        # "Insulin math worksheet": ends in .0-.2 down to the whole, .3-.7 to the half, .8-.9 up;
        # its printed examples are 1.2, 1.6 and 1.8.
        ("1.0", "1"), ("1.1", "1"), ("1.2", "1"), ("1.3", "1.5"), ("1.4", "1.5"), ("1.5", "1.5"),
        ("1.6", "1.5"), ("1.7", "1.5"), ("1.8", "2"), ("1.9", "2"), ("2.0", "2"),
    ],
)  # fmt: skip
def test_half_unit_rounding_is_the_worksheets(said, rounded):
    assert round_dose(Fraction(said), Fraction(1, 2), "nearest") == Fraction(rounded)


@pytest.mark.parametrize(
    ("exact", "step", "nearest"),
    [
        # P2: 1.5 on a whole-unit pen "may take 2 or 1": the cautious side is taken.
        ("1.5", "1", "1"),
        # P5: 5.29 is "about 5".
        ("90/17", "1", "5"),
        # P7: 22 g at 15 is given as one and a half.
        ("22/15", "1/2", "3/2"),
        # P10: 38 g at 15 is given as two and a half.
        ("38/15", "1/2", "5/2"),
        # Ties go down (the cautious side; common practice, no source).
        ("2.5", "1", "2"), ("1.25", "1/2", "1"), ("1.75", "1/2", "1.5"), ("0.5", "1", "0"),
    ],
)  # fmt: skip
def test_nearest_gives_the_sheets_dose_and_a_tie_goes_down(exact, step, nearest):
    assert round_dose(Fraction(exact), Fraction(step), "nearest") == Fraction(nearest)


@pytest.mark.parametrize(
    ("exact", "step", "down"),
    [("1.99", "1", "1"), ("1.99", "1/2", "1.5"), ("2", "1", "2"), ("0.09", "1/10", "0"),
     ("22/15", "1/2", "1"), ("7.667", "1/20", "7.65")],
)  # fmt: skip
def test_down_gives_the_step_below(exact, step, down):
    """Arithmetic: the largest multiple of the step that is not above."""
    assert round_dose(Fraction(exact), Fraction(step), "down") == Fraction(down)


@pytest.mark.parametrize(
    ("unit", "carbs", "ratio", "glucose", "target", "factor", "plain", "with_trend"),
    [
        # C3: the sheet's extra 20 % for a fast rise.
        pytest.param("mmol/L", "60", "10", "11.0", "5.5", "2.75", "8", "9.6", id="C3"),
        # C4 and C5: the table's trend terms, +2.5 and -1.5.
        pytest.param("mg/dL", "35", "10", "180", "120", "30", "5.5", "8.0", id="C4"),
        pytest.param("mg/dL", "30", "15", "220", "120", "50", "4.0", "2.5", id="C5"),
        # P12: 250 rising is to be treated as 300.
        pytest.param("mg/dL", "0", "10", "250", "100", "50", "3.0", "4.0", id="P12"),
    ],
)
def test_trend_terms_are_no_part_of_the_working(
    unit, carbs, ratio, glucose, target, factor, plain, with_trend
):
    w = work_out(invented_facts(carbs, glucose, invented_settings(ratio, factor, target, unit)))
    assert w.exact == Fraction(plain) != Fraction(with_trend)


def test_active_insulin_comes_off_the_correction_in_the_derived_vector():
    """IOB1, derived (no published example exists): 250 to 100 at 50, 45 g at 15, 2 u active."""
    settings = invented_settings("15", "50", "100")
    w = work_out(invented_facts("45", "250", settings, [ago("4", hours=2)]))
    assert (w.meal.value, w.correction, w.active_total) == (3, 3, 2)
    assert (w.correction_after, w.exact, w.floored) == (1, 4, False)


def test_no_setting_is_ever_worked_out_from_a_rule_of_thumb():
    """P13's 500, 1800 and 100 rules disagree between sheets: a setting not said stays not said."""
    empty = Settings()
    assert set(empty.missing()) == set(Settings.NEEDED)
    for name in Settings.NEEDED:
        assert getattr(empty, name) is None
    with pytest.raises(ValueError, match="missing"):
        work_out(invented_facts("60", Glucose(Fraction(220), "mg/dL"), empty))


def test_one_per_thirty_above_is_read_as_division_not_as_a_step_table():
    """The trap named above: division gives 4/3, never the sheet's 2."""
    w = work_out(invented_facts("0", "190", invented_settings("10", "30", "150")))
    assert w.correction == Fraction(4, 3)

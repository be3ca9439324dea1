"""Whole labels in each published form, read without a doubt and without a word left over.

Forms: 21 CFR 101.9(c), (d) (United States, 2016 and before); Canadian Food and Drug Regulations
B.01.401; Regulation (EU) 1169/2011 Annex XV; Food Standards Code 1.2.8 (Australia, New Zealand);
the Japanese Food Labelling Standards in English words. The first American label is the sample that
the FDA published in 2016; its figures are partly from memory. All other products are invented.
Expected figures were written down before the labels were read.
"""

from fractions import Fraction

import pytest

from grammar.label_nodes import Column, LabelReading
from grammar.labels import read_label

DV_NOTE = (
    "* The % Daily Value (DV) tells you how much a nutrient in a serving of food contributes to a "
    "daily diet. 2,000 calories a day is used for general nutrition advice."
)

US_2016 = f"""Nutrition Facts
8 servings per container
Serving size 2/3 cup (55g)
Amount per serving
Calories 230
% Daily Value*
Total Fat 8g 10%
Saturated Fat 1g 5%
Trans Fat 0g
Cholesterol 0mg 0%
Sodium 160mg 7%
Total Carbohydrate 37g 13%
Dietary Fiber 4g 14%
Total Sugars 12g
Includes 10g Added Sugars 20%
Protein 3g
Vitamin D 2mcg 10%
Calcium 260mg 20%
Iron 8mg 45%
Potassium 235mg 6%
{DV_NOTE}"""

US_2016_FIGURES = {
    "energy kcal": "230 kcal",
    "fat": "8 g",
    "saturated fat": "1 g",
    "trans fat": "0 g",
    "cholesterol": "0 mg",
    "sodium": "160 mg",
    "carbohydrate": "37 g",
    "fibre": "4 g",
    "sugars": "12 g",
    "added sugars": "10 g",
    "protein": "3 g",
    "vitamin D": "2 mcg",
    "calcium": "260 mg",
    "iron": "8 mg",
    "potassium": "235 mg",
}

US_BAR = """Nutrition Facts
About 6 servings per container
Serving size 1 bar (40g)
Amount Per Serving
Calories 165
% Daily Value*
Total Fat 4.5g 6%
Total Carbohydrate 29g 11%
Dietary Fiber <1g 3%
Total Sugars 9g
Includes 7 g of added sugars 14%
Sugar Alcohol 2g
Protein 3g"""

OLD_NOTE = """* Percent Daily Values are based on a 2,000 calorie diet. Your Daily Values may be
higher or lower depending on your calorie needs:
Calories: 2,000 2,500
Total Fat Less than 65g 80g
Sat Fat Less than 20g 25g
Cholesterol Less than 300mg 300mg
Sodium Less than 2,400mg 2,400mg
Total Carbohydrate 300g 375g
Dietary Fiber 25g 30g
Calories per gram: Fat 9 • Carbohydrate 4 • Protein 4"""

US_OLD = f"""Nutrition Facts
Serving Size 1 cup (228g)
Servings Per Container 2
Amount Per Serving
Calories 250 Calories from Fat 110
% Daily Value*
Total Fat 12g18%
Saturated Fat 3g15%
Cholesterol 30mg10%
Sodium 470mg20%
Total Carbohydrate 31g10%
Dietary Fiber 0g0%
Sugars 5g
Protein 5g
Vitamin A 4% • Vitamin C 2%
Calcium 20% • Iron 4%
{OLD_NOTE}"""

US_OLD_CRACKERS = """Nutrition Facts
Serving Size about 15 crackers (30 g)
Servings Per Container about 9
Amount Per Serving
Calories 130 Calories from Fat 35
% Daily Value*
Total Fat 4 g 6%
Total Carbohydrate 21 g 7%
Dietary Fiber less than 1 g 3%
Sugars 0 g
Protein 2 g
* Percent Daily Values are based on a 2,000 calorie diet."""

LINEAR = (
    "Nutrition Facts Servings: 8, Serv. size: 2/3 cup (55g), Amount per serving: Calories 230, "
    "Total Fat 8g (10% DV), Sat. Fat 1g (5% DV), Trans Fat 0g, Cholest. 0mg (0% DV), "
    "Sodium 160mg (7% DV), Total Carb. 37g (13% DV), Fiber 4g (14% DV), Total Sugars 12g "
    "(Incl. 10g Added Sugars, 20% DV), Protein 3g, Vit. D (10% DV), Calcium (20% DV), "
    "Iron (45% DV), Potas. (6% DV)."
)

LINEAR_MINTS = (
    "Nutrition Facts Servings: 12, Serv. size: 3 pieces (15g), Amount per serving: Calories 50, "
    "Total Fat 0g (0% DV), Sodium 5mg (0% DV), Tot. Carb. 14g (5% DV), Total Sugars 11g, "
    "Protein 0g. Not a significant source of trans fat, fiber, vitamin D, calcium and iron."
)

TABULAR = """Nutrition Facts
4 servings per container
Serving size 1 1/2 cups (60 g)
Calories per serving 245
Amount/serving % DV* Amount/serving % DV*
Total Fat 12g 14% Total Carbohydrate 34g 13%
Saturated Fat 2g 10% Dietary Fiber 7g 25%
Trans Fat 0g Total Sugars 5g
Cholesterol 0mg 0% Includes 4g Added Sugars 8%
Sodium 210mg 9% Protein 11g"""

TABULAR_BREAD = """Nutrition Facts
16 servings per container
Serving size 2 slices (56 g)
Amount/serving % DV* Amount/serving % DV*
Total Fat 1.5g 2% Total Carb. 36g 13%
Sodium 280mg 12% Fiber 2g 7%
Protein 4g Total Sugars 1g"""

DUAL = f"""Nutrition Facts
2 servings per container
Serving size 1 cup (255g)
Per serving Per container
Calories 220 440
% DV* % DV*
Total Fat 5g 6% 10g 13%
Sodium 240mg 10% 480mg 21%
Total Carb. 35g 13% 70g 25%
Dietary Fiber 6g 21% 12g 43%
Total Sugars 7g 14g
Incl. Added Sugars 4g 8% 8g 16%
Protein 9g 18g
{DV_NOTE}"""

DUAL_PREPARED = """Nutrition Facts
12 servings per container
Serving size 1/4 cup mix (30g)
Amount per serving
As packaged As prepared
Calories 110 160
Total Fat 1g 1% 6g 8%
Total Carbohydrate 23g 8% 24g 9%
Dietary Fiber 1g 4% 1g 4%
Protein 2g 3g"""

SIMPLIFIED = f"""Nutrition Facts
10 servings per container
Serving size 8 fl oz (240 mL)
Amount per serving
Calories 50
% Daily Value*
Total Fat 0g 0%
Sodium 15mg 1%
Total Carbohydrate 13g 5%
Total Sugars 12g
Includes 12g Added Sugars 24%
Protein 0g
Not a significant source of saturated fat, trans fat, cholesterol, dietary fiber, vitamin D,
calcium, iron, and potassium.
{DV_NOTE}"""

SINGLE_INGREDIENT = """Nutrition Facts
30 servings per container
Serving size 2 tbsp (32 g)
Amount per serving
Calories 100
% Daily Value*
Total Carbohydrate 26g 9%
Total Sugars 26g 52%
Not a significant source of protein or fat"""

EU_TWO = """Nutrition information
Typical values per 100 g per 30 g portion %RI*
Energy 1686 kJ / 401 kcal 506 kJ / 120 kcal 6%
Fat 11 g 3.3 g 5%
of which saturates 2 g 0.6 g 3%
Carbohydrate 60 g 18 g 7%
of which sugars 12 g 3.6 g 4%
- polyols 1,5 g 0,5 g
Fibre 9 g 2.7 g
Protein 11 g 3.3 g 7%
Salt 0.5 g 0.15 g 3%
*Reference intake of an average adult (8400 kJ / 2000 kcal)"""

EU_DRINK = (
    "Nutrition declaration per 100ml: Energy 205kJ/48kcal, Fat < 0,5 g, of which saturates 0,1 g, "
    "Carbohydrate 4,8 g, of which sugars 4,5 g, Protein 0 g, Salt 0,02 g"
)

CANADA = """Nutrition Facts / Valeur nutritive
Per 1 cup (55 g) / pour 1 tasse (55 g)
Amount / Teneur % Daily Value* / % valeur quotidienne*
Calories 220
Fat / Lipides 2 g 3 %
Saturated / saturés 0.3 g
+ Trans / trans 0 g 2 %
Carbohydrate / Glucides 44 g
Fibre / Fibres 8 g 29 %
Sugars / Sucres 8 g 8 %
Protein / Protéines 6 g
Cholesterol / Cholestérol 0 mg
Sodium 140 mg 6 %
Potassium 350 mg 7 %
Iron / Fer 4 mg 22 %
* 5% or less is a little, 15% or more is a lot
* 5% ou moins c'est peu, 15% ou plus c'est beaucoup"""

CANADA_ENGLISH = """Nutrition Facts
Per 3 crackers (20 g)
Calories 90
% Daily Value*
Fat 3.5 g 5 %
Carbohydrate 13 g
Fibre 1 g 4 %
Sugars 0 g 0 %
Protein 2 g
Sodium 150 mg 7 %"""

AUSTRALIA = """NUTRITION INFORMATION
Servings per package: 9
Serving size: 40 g
Avg quantity per serving Avg quantity per 100 g
Energy 640 kJ (153 Cal) 1600 kJ (382 Cal)
Protein 4.4 g 11.0 g
Fat, total 3.2 g 8.0 g
- saturated 0.6 g 1.5 g
Carbohydrate - total 24.0 g 60.0 g
- sugars 4.0 g 10.0 g
Dietary fibre 3.6 g 9.0 g
Sodium 40 mg 100 mg"""

AUSTRALIA_INTAKE = """Nutrition Information
Servings per package: 4
Serving size: 250 mL
Avg. Quantity Per Serving % Daily Intake* Per Serving Avg. Quantity Per 100 mL
Energy 1,200 kJ 14% 480 kJ
Protein 8.5 g 17% 3.4 g
Fat, total 2.5 g 4% 1.0 g
Carbohydrate 30.0 g 10% 12.0 g
- sugars 28.0 g 31% 11.2 g
Sodium 130 mg 6% 52 mg
*Percentage daily intakes are based on an average adult diet of 8700 kJ."""

JAPAN = """Japanese label
Nutrition facts per 100 g
Energy 380 kcal
Protein 8.0 g
Fat 3.5 g
Carbohydrate 79.0 g
- saccharides (tooshitsu) 72.0 g
- dietary fibre 7.0 g
Salt equivalent 1.2 g"""

JAPAN_LINE = (
    "Japanese label, Nutrition facts per 100 g: energy 352 kcal, protein 6.1 g, fat 0.9 g, "
    "carbohydrate 77.6 g (available carbohydrate 77.1 g, dietary fibre 0.5 g), salt equivalent 0 g"
)

TYPED_US = "US label, serving 1/2 cup (40 g), 9 servings, carbohydrate 27 g, fibre 6 g"
TYPED_EU = "EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g"

CLEAN = {
    "us 2016": US_2016,
    "us bar": US_BAR,
    "us old": US_OLD,
    "us old crackers": US_OLD_CRACKERS,
    "linear": LINEAR,
    "linear mints": LINEAR_MINTS,
    "tabular": TABULAR,
    "tabular bread": TABULAR_BREAD,
    "dual": DUAL,
    "dual prepared": DUAL_PREPARED,
    "simplified": SIMPLIFIED,
    "single ingredient": SINGLE_INGREDIENT,
    "eu two columns": EU_TWO,
    "eu drink": EU_DRINK,
    "canada": CANADA,
    "canada english": CANADA_ENGLISH,
    "australia": AUSTRALIA,
    "australia intake": AUSTRALIA_INTAKE,
    "japan": JAPAN,
    "japan line": JAPAN_LINE,
    "typed us": TYPED_US,
    "typed eu": TYPED_EU,
}

REGIONS = {
    "eu two columns": "EU",
    "eu drink": "EU",
    "canada": "CA",
    "canada english": "CA",
    "australia": "AU",
    "australia intake": "AU",
    "japan": "JP",
    "japan line": "JP",
    "typed eu": "EU",
    # No "Nutrition Facts" with a per cent column and calories: nothing shows which law it is.
    "tabular bread": None,
}


def figures(column: Column) -> dict[str, str]:
    """The figures as short text: '< 1/2 g'."""
    return {
        name: f"{'< ' if figure.below else ''}{figure.value} {figure.unit}"
        for name, figure in column.figures.items()
    }


def parts(reading: LabelReading, *names: str) -> list[dict[str, str]]:
    return [{name: figures(column)[name] for name in names} for column in reading.columns]


@pytest.mark.parametrize("name", CLEAN)
def test_a_published_form_is_read_whole(name: str) -> None:
    reading = read_label(CLEAN[name])
    assert reading.doubts == ()
    assert reading.unread == ()
    assert reading.region == REGIONS.get(name, "US")


@pytest.mark.parametrize("name", CLEAN)
def test_line_breaks_do_not_matter(name: str) -> None:
    printed = read_label(CLEAN[name])
    flat = read_label(" ".join(CLEAN[name].split("\n")))
    assert flat.doubts == ()
    assert flat.unread == ()
    assert [figures(c) for c in flat.columns] == [figures(c) for c in printed.columns]
    assert [c.percents for c in flat.columns] == [c.percents for c in printed.columns]
    assert [(c.per, c.state) for c in flat.columns] == [(c.per, c.state) for c in printed.columns]


def test_the_fda_sample_gives_every_figure_and_per_cent() -> None:
    reading = read_label(US_2016)
    (column,) = reading.columns
    assert column.per == "serving"
    assert figures(column) == US_2016_FIGURES
    assert column.percents == {
        "fat": 10,
        "saturated fat": 5,
        "cholesterol": 0,
        "sodium": 7,
        "carbohydrate": 13,
        "fibre": 14,
        "added sugars": 20,
        "vitamin D": 10,
        "calcium": 20,
        "iron": 45,
        "potassium": 6,
    }
    assert reading.servings_per_pack == 8
    assert not reading.servings_about
    assert not reading.region_said
    serving = reading.serving
    assert serving is not None
    assert (serving.count, serving.measure, serving.grams) == (Fraction(2, 3), "cup", Fraction(55))


def test_the_fda_linear_sample_gives_the_same_macronutrients() -> None:
    (column,) = read_label(LINEAR).columns
    expected = {k: v for k, v in US_2016_FIGURES.items() if k not in {"vitamin D", "calcium"}}
    assert figures(column) == {k: v for k, v in expected.items() if k not in {"iron", "potassium"}}
    assert column.percents["vitamin D"] == 10
    assert column.percents["added sugars"] == 20


def test_a_bar_with_sugar_alcohol_and_less_than_a_gram_of_fibre() -> None:
    reading = read_label(US_BAR)
    (column,) = reading.columns
    assert figures(column) == {
        "energy kcal": "165 kcal",
        "fat": "9/2 g",
        "carbohydrate": "29 g",
        "fibre": "< 1 g",
        "sugars": "9 g",
        "added sugars": "7 g",
        "polyols": "2 g",
        "protein": "3 g",
    }
    assert column.figures["fat"].decimals == 1
    assert reading.servings_about
    assert reading.servings_per_pack == 6


def test_the_older_american_form_with_columns_run_together() -> None:
    reading = read_label(US_OLD)
    (column,) = reading.columns
    assert figures(column) == {
        "energy kcal": "250 kcal",
        "energy from fat": "110 kcal",
        "fat": "12 g",
        "saturated fat": "3 g",
        "cholesterol": "30 mg",
        "sodium": "470 mg",
        "carbohydrate": "31 g",
        "fibre": "0 g",
        "sugars": "5 g",
        "protein": "5 g",
    }
    assert column.percents["vitamin A"] == 4
    assert column.percents["fat"] == 18
    assert reading.servings_per_pack == 2


def test_older_crackers_are_counted_about() -> None:
    reading = read_label(US_OLD_CRACKERS)
    assert reading.serving is not None
    assert (reading.serving.count, reading.serving.measure) == (Fraction(15), "crackers")
    assert reading.serving.grams == 30
    assert (reading.servings_per_pack, reading.servings_about) == (Fraction(9), True)
    assert parts(reading, "carbohydrate", "fibre") == [{"carbohydrate": "21 g", "fibre": "< 1 g"}]


def test_tabular_form() -> None:
    reading = read_label(TABULAR)
    assert parts(reading, "energy kcal", "fat", "carbohydrate", "fibre", "added sugars") == [
        {
            "energy kcal": "245 kcal",
            "fat": "12 g",
            "carbohydrate": "34 g",
            "fibre": "7 g",
            "added sugars": "4 g",
        }
    ]
    assert reading.serving is not None
    assert reading.serving.count == Fraction(3, 2)


def test_two_figures_go_to_two_columns_in_printed_order() -> None:
    reading = read_label(DUAL)
    assert [column.per for column in reading.columns] == ["serving", "pack"]
    assert parts(reading, "energy kcal", "carbohydrate", "fibre", "added sugars") == [
        {
            "energy kcal": "220 kcal",
            "carbohydrate": "35 g",
            "fibre": "6 g",
            "added sugars": "4 g",
        },
        {
            "energy kcal": "440 kcal",
            "carbohydrate": "70 g",
            "fibre": "12 g",
            "added sugars": "8 g",
        },
    ]
    assert [column.percents["carbohydrate"] for column in reading.columns] == [13, 25]


def test_calories_may_stand_between_the_headings_of_two_columns() -> None:
    reading = read_label(
        "Nutrition Facts\n2 servings per container\nServing size 1 cup (255g)\n"
        "Calories\nPer serving 220\nPer container 440\nTotal Fat 5g 6% 10g 13%"
    )
    assert reading.doubts == ()
    assert parts(reading, "energy kcal", "fat") == [
        {"energy kcal": "220 kcal", "fat": "5 g"},
        {"energy kcal": "440 kcal", "fat": "10 g"},
    ]


def test_packaged_and_prepared_are_two_columns_of_a_serving() -> None:
    reading = read_label(DUAL_PREPARED)
    assert [(c.per, c.state) for c in reading.columns] == [
        ("serving", "packaged"),
        ("serving", "prepared"),
    ]
    assert parts(reading, "carbohydrate", "fat") == [
        {"carbohydrate": "23 g", "fat": "1 g"},
        {"carbohydrate": "24 g", "fat": "6 g"},
    ]


def test_nutrients_of_no_significance_stay_unstated() -> None:
    reading = read_label(SIMPLIFIED)
    (column,) = reading.columns
    assert set(column.figures) == {
        *("energy kcal", "fat", "sodium", "carbohydrate", "sugars", "added sugars", "protein")
    }
    assert reading.serving is not None
    assert (reading.serving.measure, reading.serving.millilitres) == ("fl oz", Fraction(240))


def test_european_form_with_a_portion_column() -> None:
    reading = read_label(EU_TWO)
    assert [column.per for column in reading.columns] == ["100 g", "serving"]
    assert figures(reading.columns[0]) == {
        "energy kJ": "1686 kJ",
        "energy kcal": "401 kcal",
        "fat": "11 g",
        "saturated fat": "2 g",
        "carbohydrate": "60 g",
        "sugars": "12 g",
        "polyols": "3/2 g",
        "fibre": "9 g",
        "protein": "11 g",
        "salt": "1/2 g",
    }
    assert figures(reading.columns[1])["carbohydrate"] == "18 g"
    assert reading.columns[1].percents["carbohydrate"] == 7
    assert reading.columns[0].percents == {}
    assert reading.serving is not None
    assert reading.serving.grams == 30


def test_european_drink_with_decimal_commas() -> None:
    (column,) = read_label(EU_DRINK).columns
    assert column.per == "100 ml"
    assert figures(column) == {
        "energy kJ": "205 kJ",
        "energy kcal": "48 kcal",
        "fat": "< 1/2 g",
        "saturated fat": "1/10 g",
        "carbohydrate": "24/5 g",
        "sugars": "9/2 g",
        "protein": "0 g",
        "salt": "1/50 g",
    }


def test_canadian_bilingual_form() -> None:
    reading = read_label(CANADA)
    (column,) = reading.columns
    assert column.per == "serving"
    assert figures(column) == {
        "energy kcal": "220 kcal",
        "fat": "2 g",
        "saturated fat": "3/10 g",
        "trans fat": "0 g",
        "carbohydrate": "44 g",
        "fibre": "8 g",
        "sugars": "8 g",
        "protein": "6 g",
        "cholesterol": "0 mg",
        "sodium": "140 mg",
        "potassium": "350 mg",
        "iron": "4 mg",
    }
    assert column.percents["saturated and trans fat"] == 2
    assert "trans fat" not in column.percents
    assert reading.serving is not None
    assert (reading.serving.count, reading.serving.measure, reading.serving.grams) == (
        Fraction(1),
        "cup",
        Fraction(55),
    )


def test_canadian_english_form() -> None:
    reading = read_label(CANADA_ENGLISH)
    assert parts(reading, "carbohydrate", "fibre") == [{"carbohydrate": "13 g", "fibre": "1 g"}]
    assert reading.serving is not None
    assert reading.serving.measure == "crackers"


def test_australian_form() -> None:
    reading = read_label(AUSTRALIA)
    assert [column.per for column in reading.columns] == ["serving", "100 g"]
    assert figures(reading.columns[1]) == {
        "energy kJ": "1600 kJ",
        "energy kcal": "382 kcal",
        "protein": "11 g",
        "fat": "8 g",
        "saturated fat": "3/2 g",
        "carbohydrate": "60 g",
        "sugars": "10 g",
        "fibre": "9 g",
        "sodium": "100 mg",
    }
    assert figures(reading.columns[0])["carbohydrate"] == "24 g"
    assert reading.servings_per_pack == 9


def test_australian_daily_intake_belongs_to_the_serving() -> None:
    reading = read_label(AUSTRALIA_INTAKE)
    assert [column.per for column in reading.columns] == ["serving", "100 ml"]
    assert parts(reading, "energy kJ", "carbohydrate") == [
        {"energy kJ": "1200 kJ", "carbohydrate": "30 g"},
        {"energy kJ": "480 kJ", "carbohydrate": "12 g"},
    ]
    assert reading.columns[0].percents["carbohydrate"] == 10
    assert reading.columns[1].percents == {}


@pytest.mark.parametrize(
    ("text", "total", "available"), [(JAPAN, "79 g", "72 g"), (JAPAN_LINE, "388/5 g", "771/10 g")]
)
def test_japanese_form_keeps_available_carbohydrate_apart(
    text: str, total: str, available: str
) -> None:
    (column,) = read_label(text).columns
    assert figures(column)["carbohydrate"] == total
    assert figures(column)["available carbohydrate"] == available


def test_typed_american_line() -> None:
    reading = read_label(TYPED_US)
    assert reading.region_said
    assert parts(reading, "carbohydrate", "fibre") == [{"carbohydrate": "27 g", "fibre": "6 g"}]
    assert reading.serving is not None
    assert reading.serving.said == "serving 1/2 cup (40 g)"
    assert reading.servings_per_pack == 9


def test_a_measure_that_is_no_serving_is_told() -> None:
    reading = read_label(
        "per 100 g: energy 1686 kJ / 401 kcal, fat 11 g, of which saturates 2 g, "
        "carbohydrate 60 g, of which sugars 12 g, fibre 9 g, protein 11 g, salt 0.5 g; slice 35 g"
    )
    assert [unread.said for unread in reading.unread] == ["slice 35 g"]
    assert reading.serving is None
    assert reading.doubts == ()
    assert reading.region == "EU"
    assert figures(reading.columns[0])["carbohydrate"] == "60 g"

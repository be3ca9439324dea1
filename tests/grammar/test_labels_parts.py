"""Parts of a label beside its figures: servings, lists, barcodes, claims, regions, spellings.

Barcodes: GS1 General Specifications, check digit (from memory); 4006381333931 is a 13-digit code
and 96385074 an 8-digit one whose digits hold. Allergen words: Regulation (EU) 1169/2011 Annex II.
Names and figures are invented.
"""

from fractions import Fraction

import pytest

from grammar.label_lists import check_digit_holds
from grammar.label_words import NUTRIENTS
from grammar.labels import looks_like_label, read_label

SIZES = [
    ("1 1/2 cups (60 g)", Fraction(3, 2), "cups", 60, None),
    ("½ cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("1½ cups (60 g)", Fraction(3, 2), "cups", 60, None),
    ("2/3 cup (55g)", Fraction(2, 3), "cup", 55, None),
    ("about 15 crackers (30 g)", 15, "crackers", 30, None),
    ("1 slice (35 g)", 1, "slice", 35, None),
    ("8 fl oz (240 mL)", 8, "fl oz", None, 240),
    ("1 bar (40g)", 1, "bar", 40, None),
    ("1 Medium Apple (182 g)", 1, "medium apple", 182, None),
    ("2 tbsp (32 g)", 2, "tbsp", 32, None),
    ("3 oz (85 g)", 3, "oz", 85, None),
    ("1 oz (28g/about 15 chips)", 15, "chips", 28, None),
    ("one bar (40 g)", 1, "bar", 40, None),
    ("1 pack 40 g", 1, "pack", 40, None),
    ("2 tbsp (30 mL/32 g)", 2, "tbsp", 32, 30),
    ("40 g (1/2 cup)", Fraction(1, 2), "cup", 40, None),
    ("40 g", None, None, 40, None),
    ("1 cup", 1, "cup", None, None),
    ("one half cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("one-half cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("half cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("half-cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("half a cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("a half cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("one half of a cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("1/2 of a cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("½ of one cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("1/2 a cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("1 half cup (40 g)", Fraction(1, 2), "cup", 40, None),
    ("one and a half cups (60 g)", Fraction(3, 2), "cups", 60, None),
    ("1 and a half cups (60 g)", Fraction(3, 2), "cups", 60, None),
    ("1 and 1/2 cups (60 g)", Fraction(3, 2), "cups", 60, None),
    ("one and 1/2 cups (60 g)", Fraction(3, 2), "cups", 60, None),
    ("two and one quarter cups (90 g)", Fraction(9, 4), "cups", 90, None),
    ("two thirds cup (55 g)", Fraction(2, 3), "cup", 55, None),
    ("two-thirds cup (55 g)", Fraction(2, 3), "cup", 55, None),
    ("2 thirds of a cup (55 g)", Fraction(2, 3), "cup", 55, None),
    ("three quarters of a cup (30 g)", Fraction(3, 4), "cup", 30, None),
    ("a third of a cup (28 g)", Fraction(1, 3), "cup", 28, None),
    ("one half bagel (50 g)", Fraction(1, 2), "bagel", 50, None),
    ("half of the pack (75 g)", Fraction(1, 2), "pack", 75, None),
    ("twelve crackers (30 g)", 12, "crackers", 30, None),
    ("twenty-five chips (28 g)", 25, "chips", 28, None),
    ("one dozen crackers (30 g)", 12, "crackers", 30, None),
    ("40 g (one half cup)", Fraction(1, 2), "cup", 40, None),
    # A part that is a name or a mass of its own counts nothing else.
    ("one half (60 g)", 1, "half", 60, None),
    ("2 halves (80 g)", 2, "halves", 80, None),
    ("1 half-baked roll (60 g)", 1, "half-baked roll", 60, None),
    ("1 quarter pounder (200 g)", 1, "quarter pounder", 200, None),
    ("one half pound (227 g)", 1, "half pound", 227, None),
]


@pytest.mark.parametrize(("size", "count", "measure", "grams", "millilitres"), SIZES)
@pytest.mark.parametrize("lead", ["serving ", "Serving size: ", "Serv. size ", "Portion size\n"])
def test_a_serving_size_is_read_exactly(
    lead: str,
    size: str,
    count: Fraction | None,
    measure: str | None,
    grams: Fraction | None,
    millilitres: Fraction | None,
) -> None:
    text = f"{lead}{size}, carbohydrate 27 g"
    reading = read_label(text)
    serving = reading.serving
    assert serving is not None
    assert (serving.count, serving.measure) == (count, measure)
    assert (serving.grams, serving.millilitres) == (grams, millilitres)
    assert serving.said == (lead + size)
    assert (reading.doubts, reading.unread) == ((), ())


@pytest.mark.parametrize(
    ("head", "grams", "measure"),
    [
        ("per 30 g portion", 30, None),
        ("per portion (30 g)", 30, None),
        ("per serving 30 g", 30, None),
        ("per 30 g", 30, None),
        ("per slice (35 g)", 35, "slice"),
        ("Per 1 cup (55 g)", 55, "cup"),
        ("per 100 g serving", 100, None),
    ],
)
def test_a_column_heading_gives_the_serving(
    head: str, grams: Fraction, measure: str | None
) -> None:
    reading = read_label(f"{head}: carbohydrate 18 g")
    assert reading.serving is not None
    assert (reading.serving.grams, reading.serving.measure) == (grams, measure)
    assert [column.per for column in reading.columns] == ["serving"]
    assert (reading.doubts, reading.unread) == ((), ())


@pytest.mark.parametrize(
    ("head", "per"),
    [
        ("per 100 g:", "100 g"),
        ("per 100 grams:", "100 g"),
        ("per 100ml", "100 ml"),
        ("/100ml", "100 ml"),
        ("100 g:", "100 g"),
        ("Typical values 100 g\n", "100 g"),
        ("per serving", "serving"),
        ("Amount/serving", "serving"),
        ("per container", "pack"),
        ("per package", "pack"),
    ],
)
def test_a_column_heading_says_what_the_figures_are_for(head: str, per: str) -> None:
    reading = read_label(f"{head} carbohydrate 18 g")
    assert [column.per for column in reading.columns] == [per]
    assert (reading.doubts, reading.unread) == ((), ())


def test_a_day_is_no_serving() -> None:
    reading = read_label("per day: carbohydrate 27 g")
    assert [column.per for column in reading.columns] == [None]
    assert [unread.said for unread in reading.unread] == ["per day"]


def test_hundred_grams_behind_a_nutrient_is_no_heading() -> None:
    reading = read_label("serving 400 g, carbohydrate 100 g")
    assert reading.columns[0].per == "serving"
    assert reading.columns[0].figures["carbohydrate"].value == 100


@pytest.mark.parametrize(
    ("text", "count", "about"),
    [
        ("9 servings", 9, False),
        ("about 9 servings per container", 9, True),
        ("servings per container: about 2.5", Fraction(5, 2), True),
        ("Servings Per Container 2", 2, False),
        ("Servings: 8", 8, False),
        ("9 per pack", 9, False),
        ("1 serving per container", 1, False),
        ("2 1/2 servings per container", Fraction(5, 2), False),
        ("this pack contains 4 portions", 4, False),
    ],
)
def test_servings_per_pack(text: str, count: Fraction, about: bool) -> None:
    reading = read_label(f"serving 40 g, {text}, carbohydrate 27 g")
    assert (reading.servings_per_pack, reading.servings_about) == (count, about)
    assert (reading.doubts, reading.unread) == ((), ())


@pytest.mark.parametrize(
    ("text", "grams", "millilitres"),
    [
        ("Net Wt 360 g", 360, None),
        ("NET WT 12.7 OZ (360g)", 360, None),
        ("pack 360 g", 360, None),
        ("e 500 g", 500, None),
        ("500 g ℮", 500, None),
        ("Net contents 1.5 l", None, 1500),
        ("Net weight: 1 kg", 1000, None),
    ],
)
def test_pack_size(text: str, grams: Fraction | None, millilitres: Fraction | None) -> None:
    reading = read_label(f"{text}, serving 40 g, carbohydrate 27 g")
    assert (reading.pack_grams, reading.pack_millilitres) == (grams, millilitres)
    assert reading.serving is not None
    assert reading.serving.grams == 40
    assert (reading.doubts, reading.unread) == ((), ())


@pytest.mark.parametrize(
    ("said", "name", "figure"),
    [
        ("carbs 5 g", "carbohydrate", "5 g"),
        ("carb 5 g", "carbohydrate", "5 g"),
        ("carbohydrates 5 g", "carbohydrate", "5 g"),
        ("total carb. 5 g", "carbohydrate", "5 g"),
        ("Tot. Carb. 5g", "carbohydrate", "5g"),
        ("Carbohydrate, total 5 g", "carbohydrate", "5 g"),
        ("Carbohydrate (g) 5", "carbohydrate", "5"),
        ("other carbohydrate 5 g", "other carbohydrate", "5 g"),
        ("fiber 5 g", "fibre", "5 g"),
        ("dietary fibre 5 g", "fibre", "5 g"),
        ("soluble fiber 5 g", "soluble fibre", "5 g"),
        ("insoluble fibre 5 g", "insoluble fibre", "5 g"),
        ("sugar alcohols 5 g", "polyols", "5 g"),
        ("of which polyols 5 g", "polyols", "5 g"),
        ("of which starch 5 g", "starch", "5 g"),
        ("erythritol 5 g", "erythritol", "5 g"),
        ("maltitol 5 g", "maltitol", "5 g"),
        ("Sat Fat 5 g", "saturated fat", "5 g"),
        ("monounsaturates 5 g", "monounsaturated fat", "5 g"),
        ("Polyunsaturated Fat 5 g", "polyunsaturated fat", "5 g"),
        ("Vitamin D2mcg", "vitamin D", "2mcg"),
        ("Vitamin B12 2 µg", "vitamin B12", "2 µg"),
        ("Vitamin B1 1 mg", "thiamin", "1 mg"),
        ("Folate 40mcg DFE", "folate", "40mcg DFE"),
        ("Energy (kJ) 963", "energy kJ", "963"),
        ("fibre less than 1 g", "fibre", "less than 1 g"),
        ("fibre contains less than 1 g", "fibre", "contains less than 1 g"),
        ("alcohol 5 g", "alcohol", "5 g"),
        ("fat .5 g", "fat", ".5 g"),
    ],
)
def test_a_spelling_is_known_by_one_name(said: str, name: str, figure: str) -> None:
    reading = read_label(f"per serving: {said}")
    (column,) = reading.columns
    assert {key: value.said for key, value in column.figures.items()} == {name: figure}
    assert name in NUTRIENTS
    assert (reading.doubts, reading.unread) == ((), ())


@pytest.mark.parametrize(
    "claim", ["net carbs 0.7 g", "Net Carbohydrate 3g", "3g net carbs", "net carbs: 3 g"]
)
def test_net_carbs_are_a_claim_and_never_carbohydrate(claim: str) -> None:
    alone = read_label(f"serving 40 g, {claim}")
    assert alone.claims == (claim,)
    assert alone.columns == ()
    beside = read_label(f"serving 40 g, {claim}, carbohydrate 21 g")
    assert beside.claims == (claim,)
    assert beside.columns[0].figures["carbohydrate"].value == 21


def test_the_figure_before_net_carbs_stays_with_its_nutrient() -> None:
    for tail in ("net carbs 3 g", "net carbs"):
        reading = read_label(f"serving 40 g, fibre 9 g {tail}")
        assert reading.claims == (tail,)
        assert reading.columns[0].figures["fibre"].value == 9


def test_ingredients_split_at_commas_outside_brackets_and_keep_their_order() -> None:
    reading = read_label(
        "Ingredients: oats (60%), sugar, oil (rapeseed, palm), salt (contains 2% or less of: a),\n"
        "barley malt.\nContains: oats, barley and milk.\nMay contain: nuts, soya\nfat 3 g per 100 g"
    )
    assert reading.ingredients == (
        "oats (60%)",
        "sugar",
        "oil (rapeseed, palm)",
        "salt (contains 2% or less of: a)",
        "barley malt",
    )
    assert reading.allergens == ("oats", "barley", "milk")
    assert reading.may_contain == ("nuts", "soya")
    assert reading.columns[0].figures["fat"].value == 3
    assert reading.unread == ()


def test_the_salt_of_a_recipe_is_no_figure_and_no_mark_of_a_law() -> None:
    reading = read_label("US label, serving 40 g, fat 1 g; ingredients: oats, salt 2%, sugar; x")
    assert reading.doubts == ()
    assert reading.ingredients == ("oats", "salt 2%", "sugar")
    assert [unread.said for unread in reading.unread] == ["x"]


def test_a_line_behind_the_ingredients_is_not_swallowed() -> None:
    reading = read_label("Ingredients: oats, sugar\nKeep in a cool place\nfat 3 g per 100 g")
    assert reading.ingredients == ("oats", "sugar")
    assert [unread.said for unread in reading.unread] == ["Keep in a cool place"]


@pytest.mark.parametrize(
    ("text", "allergens"),
    [
        ("Contains: milk, soy", ("milk", "soy")),
        ("Contains wheat and milk.", ("wheat", "milk")),
        ("Allergens: tree nuts (almonds, cashews), egg", ("tree nuts (almonds, cashews)", "egg")),
    ],
)
def test_allergens(text: str, allergens: tuple[str, ...]) -> None:
    reading = read_label(f"serving 40 g, fat 1 g\n{text}")
    assert reading.allergens == allergens
    assert (reading.doubts, reading.unread) == ((), ())


def test_contains_less_than_is_no_allergen() -> None:
    assert read_label("serving 40 g, fibre contains less than 1 g").allergens == ()


@pytest.mark.parametrize(
    ("text", "digits"),
    [
        ("barcode 4006381333931", "4006381333931"),
        ("EAN 4006381333931", "4006381333931"),
        ("EAN-13: 4 006381 333931", "4006381333931"),
        ("barcode: 96385074", "96385074"),
        ("UPC 036000291452", "036000291452"),
    ],
)
def test_barcode_digits_are_kept_as_text(text: str, digits: str) -> None:
    reading = read_label(f"serving 40 g, fat 1 g\n{text}")
    assert reading.barcode == digits
    assert (reading.doubts, reading.unread) == ((), ())


def test_every_other_last_digit_fails_the_check() -> None:
    body = "400638133393"
    assert [d for d in "0123456789" if check_digit_holds(body + d)] == ["1"]
    assert not check_digit_holds("123")


@pytest.mark.parametrize(
    ("words", "region"),
    [
        ("US label", "US"),
        ("EU label", "EU"),
        ("UK label", "UK"),
        ("Canadian label", "CA"),
        ("Canada", "CA"),
        ("Australian label", "AU"),
        ("NZ label", "NZ"),
        ("New Zealand label", "NZ"),
        ("Japanese label", "JP"),
    ],
)
def test_a_named_region_is_said(words: str, region: str) -> None:
    reading = read_label(f"{words}, per 100 g: carbohydrate 60 g")
    assert (reading.region, reading.region_said) == (region, True)
    assert (reading.doubts, reading.unread) == ((), ())


@pytest.mark.parametrize(
    ("text", "region"),
    [
        ("per 100 g: carbohydrate 60 g, of which sugars 4 g", "EU"),
        ("per 100 g: energy 1680 kJ, carbohydrate 60 g, salt 1 g", "EU"),
        ("per 100 g: carbohydrate 60 g", None),
        ("per 100 g: energy 1680 kJ, carbohydrate 60 g, sodium 20 mg", None),
        ("Nutrition facts per 100 g: energy 380 kcal, carbohydrate 79 g, salt 1 g", None),
        ("per 100 g: carbohydrate 79 g, salt equivalent 1 g", None),
        ("serving 40 g, carbohydrate 27 g", None),
        ("Nutrition Facts, serving size 40 g, carbohydrate 27 g", None),
        ("product of Canada\nserving 40 g, carbohydrate 27 g", None),
    ],
)
def test_a_region_is_shown_only_by_clear_marks(text: str, region: str | None) -> None:
    reading = read_label(text)
    assert (reading.region, reading.region_said) == (region, False)


def test_the_first_line_may_be_the_foods_name() -> None:
    reading = read_label("Protein Bar 2\nNutrition Facts\nServing size 40 g\nProtein 9 g")
    assert reading.title == "Protein Bar 2"
    assert (reading.doubts, reading.unread) == ((), ())
    assert read_label("Oat Squares Nutrition Facts Serving size 40 g").title == "Oat Squares"


@pytest.mark.parametrize(
    "text",
    [
        "Kohlenhydrate 27 g, Fett 8 g",
        "2 cups flour\n1 cup sugar\nMix and bake at 180 C",
        "Hidratos de carbono 27 g\nFibra 3 g",
        "Glucides 27 g, Lipides 3 g",
    ],
)
def test_another_language_or_a_recipe_gives_no_figures(text: str) -> None:
    reading = read_label(text)
    assert all(not column.figures for column in reading.columns)
    assert reading.unread


def test_a_closing_phrase_of_the_simplified_form_has_a_role() -> None:
    reading = read_label(
        "Nutrition\nper serving\nfat 0 g\nNot a significant source of fiber or other nutrients."
    )
    assert (reading.doubts, reading.unread, reading.title) == ((), (), None)


def test_running_words_about_a_nutrient_are_told_and_give_no_figure() -> None:
    reading = read_label("serving 40 g, fat 1 g\nHigh in fibre\nlow-fat")
    assert [unread.said for unread in reading.unread] == ["High in fibre", "low-fat"]
    assert reading.doubts == ()
    assert set(reading.columns[0].figures) == {"fat"}


@pytest.mark.parametrize(
    "text",
    [
        "Nutrition Facts 8 servings",
        "NUTRITION INFORMATION",
        "per 100 g carbohydrate 5 g",
        "per 100 g: energy 100 kcal",
        "US label, serving 40 g",
        "serving 1/2 cup (40 g), carbohydrate 27 g",
        "carbohydrate 27 g, fibre 6 g",
        "Total Fat 8g\nProtein O g",
    ],
)
def test_what_looks_like_a_label(text: str) -> None:
    assert looks_like_label(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "1.5 servings of the oat cereal plus 200 ml milk",
        "30 g protein powder",
        "2 tbsp sugar and 1 egg",
        "100 g rice and 50 g chicken",
        "a serving of oats",
        "2 protein bars and a coffee with sugar",
        "carbohydrate 27 g",
        "i had 45 g carbs",
    ],
)
def test_what_is_a_meal_and_no_label(text: str) -> None:
    assert not looks_like_label(text)


def test_two_measures_joined_by_and_count_as_neither_and_are_told() -> None:
    """A cup and two spoons are not "1 cup": the grams stay, the words are told as not read."""
    reading = read_label("serving 1 cup and 2 tbsp (60 g), carbohydrate 27 g")
    assert reading.serving is not None
    assert (reading.serving.count, reading.serving.measure) == (None, None)
    assert reading.serving.grams == 60
    told = " ".join(unread.said for unread in reading.unread)
    assert all(word in told for word in ("cup", "and", "2", "tbsp"))

"""Phrases about food: the plainest reading, the other readings, and every word in its place."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.nodes import Complaint, Number, Phrase, Span, Unclear
from grammar.phrases import LONG, MAX_JOINED, MAX_JOINED_LONG, MAX_LENGTH, joined, read_phrase
from grammar.words import name_key

# (text, what each piece reads as: quantity, unit, name). A quantity is a fraction, None where no
# amount was said, or the reason for which it is unclear.
PHRASES = (
    ("1.5 servings of the oat cereal", [("3/2", "serving", "oat cereal")]),
    ("1.5 servings of the oat cereal plus 200 ml milk",
     [("3/2", "serving", "oat cereal"), ("200", "millilitre", "milk")]),
    ("half the pack of crackers", [("1/2", "pack", "crackers")]),
    ("two slices of rye bread and a medium apple, glucose 9.1",
     [("2", "slice", "rye bread"), ("1", "medium", "apple")]),
    # amounts
    ("2 servings oat cereal", [("2", "serving", "oat cereal")]),
    ("2 portions of oat cereal", [("2", "portion", "oat cereal")]),
    ("1/2 cup oat cereal", [("1/2", "cup", "oat cereal")]),
    ("1 1/2 cups of oat cereal", [("3/2", "cup", "oat cereal")]),
    ("1-1/2 cups of oat cereal", [("3/2", "cup", "oat cereal")]),
    ("1½ cups oat cereal", [("3/2", "cup", "oat cereal")]),
    ("½ cup oat cereal", [("1/2", "cup", "oat cereal")]),
    ("one and a half servings of oat cereal", [("3/2", "serving", "oat cereal")]),
    ("two and three quarters cups of milk", [("11/4", "cup", "milk")]),
    ("three quarters of a cup of milk", [("3/4", "cup", "milk")]),
    ("three quarters of the cup of milk", [("3/4", "cup", "milk")]),
    ("a quarter of the pack of crackers", [("1/4", "pack", "crackers")]),
    ("a quarter pack of crackers", [("1/4", "pack", "crackers")]),
    ("half a serving of oat cereal", [("1/2", "serving", "oat cereal")]),
    ("half of a serving of oat cereal", [("1/2", "serving", "oat cereal")]),
    ("two thirds of a cup of milk", [("2/3", "cup", "milk")]),
    ("a dozen crackers", [("12", None, "crackers")]),
    ("half a dozen crackers", [("6", None, "crackers")]),
    ("two dozen crackers", [("24", None, "crackers")]),
    ("twenty-five grams of oat cereal", [("25", "gram", "oat cereal")]),
    ("a hundred grams of oat cereal", [("100", "gram", "oat cereal")]),
    ("two hundred and fifty ml of milk", [("250", "millilitre", "milk")]),
    ("one hundred fifty grams oat cereal", [("150", "gram", "oat cereal")]),
    ("50% of the pack of crackers", [("1/2", "pack", "crackers")]),
    ("25 percent of a pack of crackers", [("1/4", "pack", "crackers")]),
    (".5 cup milk", [("1/2", "cup", "milk")]),
    ("an apple", [("1", None, "apple")]),
    ("a apple", [("1", None, "apple")]),
    ("3 apples", [("3", None, "apples")]),
    ("twelve crackers", [("12", None, "crackers")]),
    # units
    ("60 g oat cereal", [("60", "gram", "oat cereal")]),
    ("60g oat cereal", [("60", "gram", "oat cereal")]),
    ("60 grams of the oat cereal", [("60", "gram", "oat cereal")]),
    ("60 grammes of oat cereal", [("60", "gram", "oat cereal")]),
    ("0.2 kg of rice", [("1/5", "kilogram", "rice")]),
    ("500 mg of rice", [("500", "milligram", "rice")]),
    ("2 oz of rice", [("2", "ounce", "rice")]),
    ("2 oz. of rice", [("2", "ounce", "rice")]),
    ("2 ounces rice", [("2", "ounce", "rice")]),
    ("1 lb of rice", [("1", "pound", "rice")]),
    ("200 ml milk", [("200", "millilitre", "milk")]),
    ("200ml of milk", [("200", "millilitre", "milk")]),
    ("2 dl milk", [("2", "decilitre", "milk")]),
    ("20 cl of milk", [("20", "centilitre", "milk")]),
    ("0.2 l of milk", [("1/5", "litre", "milk")]),
    ("200 millilitres of my milk", [("200", "millilitre", "milk")]),
    ("2 tbsp of honey", [("2", "tablespoon", "honey")]),
    ("2 tbsp. of honey", [("2", "tablespoon", "honey")]),
    ("3 tsp honey", [("3", "teaspoon", "honey")]),
    ("8 fl oz of milk", [("8", "fluid ounce", "milk")]),
    ("8 fl. oz. of milk", [("8", "fluid ounce", "milk")]),
    ("8 fluid ounces of milk", [("8", "fluid ounce", "milk")]),
    ("a pint of milk", [("1", "pint", "milk")]),
    ("two cans of soup", [("2", "can", "soup")]),
    ("a tin of soup", [("1", "tin", "soup")]),
    ("1 box of crackers", [("1", "box", "crackers")]),
    ("a bag of crackers", [("1", "bag", "crackers")]),
    ("the pack of crackers", [(None, None, "pack of crackers")]),
    ("1 container of soup", [("1", "container", "soup")]),
    ("3 slices rye bread", [("3", "slice", "rye bread")]),
    ("2 pieces of cake", [("2", "piece", "cake")]),
    ("a bar of mint chocolate", [("1", "bar", "mint chocolate")]),
    ("2 large slices of rye bread", [("2", "slice", "rye bread")]),
    ("a small slice of rye bread", [("1", "slice", "rye bread")]),
    ("2 medium apples", [("2", "medium", "apples")]),
    ("one large apple", [("1", "large", "apple")]),
    ("3 scoops of protein powder", [("3", "scoop", "protein powder")]),
    ("2 heaped scoops of protein powder", [("2", "scoop", "protein powder")]),
    ("a bowl of soup", [("1", "bowl", "soup")]),
    # behind the name
    ("oat cereal 60 g", [("60", "gram", "oat cereal")]),
    ("milk 200 ml", [("200", "millilitre", "milk")]),
    ("the oat cereal 2 servings", [("2", "serving", "oat cereal")]),
    # no amount
    ("milk", [(None, None, "milk")]),
    ("the milk", [(None, None, "milk")]),
    ("oat cereal and milk", [(None, None, "oat cereal"), (None, None, "milk")]),
    ("dry oat cereal", [(None, None, "dry oat cereal")]),
    ("oat cereal without milk", [(None, None, "oat cereal without milk")]),
    # no food
    ("2 servings", [("2", "serving", "")]),
    ("60 g", [("60", "gram", "")]),
    ("7", [("7", None, "")]),
    # unclear amounts
    ("1,5 servings of oat cereal", [("comma", "serving", "oat cereal")]),
    ("1,500 g oat cereal", [("comma", "gram", "oat cereal")]),
    ("2-3 slices of rye bread", [("2 to 3", "slice", "rye bread")]),
    ("2 to 3 slices of rye bread", [("2 to 3", "slice", "rye bread")]),
    ("2 or 3 slices of rye bread", [("2 to 3", "slice", "rye bread")]),
    ("2–3 slices of rye bread", [("2 to 3", "slice", "rye bread")]),
    ("0 slices of rye bread", [("zero", "slice", "rye bread")]),
    ("-2 slices of rye bread", [("negative", "slice", "rye bread")]),
    ("- 2 slices of rye bread", [("2", "slice", "rye bread")]),
    ("1/0 slices of rye bread", [("zero-denominator", "slice", "rye bread")]),
    ("1000000 slices of rye bread", [("huge", "slice", "rye bread")]),
    ("1e3 g of rye bread", [("odd", "gram", "rye bread")]),
    ("a few crackers", [("vague", None, "crackers")]),
    ("some milk", [("vague", None, "milk")]),
    ("a bit of milk", [("vague", None, "milk")]),
    ("a couple of slices of rye bread", [("couple", "slice", "rye bread")]),
    ("several crackers", [("vague", None, "crackers")]),
    ("a splash of milk", [("vague", None, "milk")]),
    ("half the crackers", [("part-of-what", None, "crackers")]),
    ("a third of the crackers", [("part-of-what", None, "crackers")]),
    ("50% of the milk", [("part-of-what", None, "milk")]),
    # joiners
    ("2 slices of rye bread, 200 ml milk", [("2", "slice", "rye bread"),
                                            ("200", "millilitre", "milk")]),
    ("2 slices of rye bread; 200 ml milk", [("2", "slice", "rye bread"),
                                            ("200", "millilitre", "milk")]),
    ("2 slices of rye bread & 200 ml milk", [("2", "slice", "rye bread"),
                                             ("200", "millilitre", "milk")]),
    ("2 slices of rye bread + 200 ml milk", [("2", "slice", "rye bread"),
                                             ("200", "millilitre", "milk")]),
    ("2 slices of rye bread+200 ml milk", [("2", "slice", "rye bread"),
                                           ("200", "millilitre", "milk")]),
    ("2 slices of rye bread with 200 ml milk", [("2", "slice", "rye bread"),
                                                ("200", "millilitre", "milk")]),
    ("2 slices of rye bread\n200 ml milk", [("2", "slice", "rye bread"),
                                            ("200", "millilitre", "milk")]),
    ("2 slices of rye bread. 200 ml milk.", [("2", "slice", "rye bread"),
                                             ("200", "millilitre", "milk")]),
    ("2 slices of rye bread, and 200 ml milk", [("2", "slice", "rye bread"),
                                                ("200", "millilitre", "milk")]),
    ("1 apple, 2 crackers and 3 g honey", [("1", None, "apple"), ("2", None, "crackers"),
                                           ("3", "gram", "honey")]),
    # joiners are whole words
    ("200 ml withered milk", [("200", "millilitre", "withered milk")]),
    ("200 ml plush milk", [("200", "millilitre", "plush milk")]),
    ("200 ml andean milk", [("200", "millilitre", "andean milk")]),
    # courtesy
    ("I'm having 2 slices of rye bread", [("2", "slice", "rye bread")]),
    ("I’m having 2 slices of rye bread", [("2", "slice", "rye bread")]),
    ("I am about to eat 2 slices of rye bread", [("2", "slice", "rye bread")]),
    ("for breakfast 2 slices of rye bread", [("2", "slice", "rye bread")]),
    ("for breakfast I had 2 slices of rye bread", [("2", "slice", "rye bread")]),
    ("please count 2 slices of rye bread", [("2", "slice", "rye bread")]),
    ("could you count 2 slices of rye bread please", [("2", "slice", "rye bread")]),
    ("2 slices of rye bread, thank you!", [("2", "slice", "rye bread")]),
    ("2 slices of rye bread, that is right", [("2", "slice", "rye bread")]),
    # a word beside courtesy stays
    ("I had no milk", [(None, None, "no milk")]),
    # names that open with a figure, hold units, or stand in quotation marks
    ("2% milk", [(None, None, "2% milk")]),
    ("200 ml 2% milk", [("200", "millilitre", "2% milk")]),
    ("a cup of 2% milk", [("1", "cup", "2% milk")]),
    ("7-grain bread", [(None, None, "7-grain bread")]),
    ("2 slices of 7-grain bread", [("2", "slice", "7-grain bread")]),
    ('2 servings of "mac and cheese"', [("2", "serving", "mac and cheese")]),
    ('60 g "salt, pepper & lime crisps"', [("60", "gram", "salt, pepper & lime crisps")]),
    ("200 ml café au lait", [("200", "millilitre", "café au lait")]),
    ("100 g рис", [("100", "gram", "рис")]),
    ("100 g 米", [("100", "gram", "米")]),
    ("2 HEN'S eggs", [("2", None, "HEN'S eggs")]),
    ("60 g sugar-free jelly", [("60", "gram", "sugar-free jelly")]),
)  # fmt: skip


def shown(item):
    quantity = item.quantity
    if isinstance(quantity, Number):
        said = str(quantity.value)
    else:
        said = quantity.why if isinstance(quantity, Unclear) else None
    if isinstance(quantity, Span):
        said = f"{quantity.low} to {quantity.high}"
    return said, item.measure.unit if item.measure else None, item.name


@pytest.mark.parametrize(("text", "pieces"), PHRASES)
def test_the_plainest_reading(text, pieces):
    phrase = read_phrase(text)
    assert isinstance(phrase, Phrase)
    assert [shown(piece[0]) for piece in phrase.pieces] == pieces


def test_there_are_enough_phrases():
    assert len(PHRASES) >= 120


@pytest.mark.parametrize("text", ["I'm not having milk", "I have not had milk", "I never had milk"])
def test_a_denied_meal_keeps_its_denial_in_the_name(text):
    phrase = read_phrase(text)
    for piece in phrase.pieces:
        for item in piece:
            assert name_key(item.name) != "milk"


def test_a_size_stays_with_the_measure():
    for text in ("2 large slices of rye bread", "2 large servings of rye bread"):
        measure = read_phrase(text).pieces[0][0].measure
        assert measure.size == "large"
        assert measure.said.startswith("large ")


@pytest.mark.parametrize("text", ["a third slice of rye bread", "a fifth serving of oat cereal"])
def test_a_third_slice_may_be_the_third_one_and_is_not_read_as_a_part_alone(text):
    items = read_phrase(text).pieces[0]
    assert not (isinstance(items[0].quantity, Number) and items[0].quantity.value < 1)


# Glucose


GLUCOSE = (
    ("2 slices of rye bread, glucose 162", "162", None),
    ("2 slices of rye bread glucose 162", "162", None),
    ("glucose 162, 2 slices of rye bread", "162", None),
    ("glucose 162 2 slices of rye bread", "162", None),
    ("2 slices of rye bread, glucose 162, 200 ml milk", "162", None),
    ("2 slices of rye bread and glucose 162 and 200 ml milk", "162", None),
    ("2 slices of rye bread, glucose 162 mg/dL", "162", "mg/dL"),
    ("2 slices of rye bread, glucose 162mg/dl", "162", "mg/dL"),
    ("2 slices of rye bread, glucose 162 mg / dl", "162", "mg/dL"),
    ("2 slices of rye bread, glucose 9.1 mmol/L", "91/10", "mmol/L"),
    ("2 slices of rye bread, glucose 9.1 mmol", "91/10", "mmol/L"),
    ("2 slices of rye bread, 9.1 mmol/l", "91/10", "mmol/L"),
    ("162 mg/dl, 2 slices of rye bread", "162", "mg/dL"),
    ("2 slices of rye bread, bg 162", "162", None),
    ("2 slices of rye bread, BG: 162", "162", None),
    ("2 slices of rye bread, bgl 9.1", "91/10", None),
    ("2 slices of rye bread, my glucose is 162", "162", None),
    ("2 slices of rye bread, my blood sugar was 9.1", "91/10", None),
    ("2 slices of rye bread, blood glucose of 162", "162", None),
    ("2 slices of rye bread, glucose = 162", "162", None),
    ("2 slices of rye bread, glucose reading 162", "162", None),
    ("2 slices of rye bread, glucose level is 162.", "162", None),
    ("2 slices of rye bread, glucose 9,1", "comma", None),
    ("2 slices of rye bread, glucose 0", "zero", None),
    ("2 slices of rye bread, glucose -5", "negative", None),
    ("2 slices of rye bread, glucose 1.2.3", "odd", None),
)


@pytest.mark.parametrize(("text", "value", "unit"), GLUCOSE)
def test_a_glucose_figure_is_a_clause_and_no_food(text, value, unit):
    phrase = read_phrase(text)
    (clause,) = phrase.clauses
    assert clause.kind == "glucose"
    found = clause.value
    assert (str(found.value) if isinstance(found, Number) else found.why) == value
    assert clause.unit == unit
    assert shown(phrase.pieces[0][0]) == ("2", "slice", "rye bread")
    assert text[clause.start : clause.end] == clause.said


@pytest.mark.parametrize(
    "said",
    [
        "no reading",
        "no glucose reading",
        "with no reading",
        "no meter reading",
        "no blood sugar reading",
        "no glucose",
        "glucose unknown",
        "glucose is unknown",
        "blood sugar not measured",
        "No Reading",
    ],
)
def test_no_reading_is_a_clause(said):
    for text in (f"2 slices of rye bread, {said}", f"{said}, 2 slices of rye bread"):
        phrase = read_phrase(text)
        assert [c.kind for c in phrase.clauses] == ["no-reading"]
        assert [shown(p[0]) for p in phrase.pieces] == [("2", "slice", "rye bread")]


@pytest.mark.parametrize(
    "text",
    [
        "3 glucose tablets",
        "glucose tablets",
        "2 slices of rye bread, glucose about 162",
        "2 slices of rye bread, glucose 50%",
        "no reading room snack",
    ],
)
def test_glucose_without_a_plain_figure_is_no_reading_of_a_meter(text):
    phrase = read_phrase(text)
    if "reading room" in text:
        assert phrase.pieces
        return
    assert not phrase.clauses


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("2 slices of rye bread, glucose high", "high-said"),
        ("my blood sugar is lo, 2 slices of rye bread", "low-said"),
    ],
)
def test_glucose_in_words_is_a_clause_without_a_figure(text, kind):
    phrase = read_phrase(text)
    assert [(c.kind, c.value) for c in phrase.clauses] == [(kind, None)]
    assert [shown(p[0]) for p in phrase.pieces] == [("2", "slice", "rye bread")]


def test_two_figures_are_two_clauses():
    assert len(read_phrase("milk, glucose 162, glucose 90").clauses) == 2
    assert len(read_phrase("milk, no reading, glucose 90").clauses) == 2


# Readings that the library chooses from


WANTED = (
    ("200 ml half and half", ("200", "millilitre", "half and half")),
    ("2 tbsp half and half", ("2", "tablespoon", "half and half")),
    ("half and half 30 ml", ("30", "millilitre", "half and half")),
    ("2 servings of mac and cheese", ("2", "serving", "mac and cheese")),
    ("mac and cheese", (None, None, "mac and cheese")),
    ("60 g salt and pepper and lime crisps", ("60", "gram", "salt and pepper and lime crisps")),
    ("60 g salt & vinegar crisps", ("60", "gram", "salt & vinegar crisps")),
    ("2 slices of 7-grain bread", ("2", "slice", "7-grain bread")),
    ("200 ml 2% milk", ("200", "millilitre", "2% milk")),
    ("200 ml 2 % milk", ("200", "millilitre", "2 % milk")),
    ("2 pound cakes", ("2", None, "pound cakes")),
    ("2 pound cakes", ("2", "pound", "cakes")),
    ("2 slices of pound cake", ("2", "slice", "pound cake")),
    ("2 cup noodles", ("2", None, "cup noodles")),
    ("2 cup noodles", ("2", "cup", "noodles")),
    ("a cup of cup noodles", ("1", "cup", "cup noodles")),
    ("100 g chicken with rice", ("100", "gram", "chicken with rice")),
    ("100 g beans, baked", ("100", "gram", "beans, baked")),
    ("2 bar snacks", ("2", None, "bar snacks")),
    ("7 up", (None, None, "7 up")),
    ("2 half moons", ("2", None, "half moons")),
    ("half moons", (None, None, "half moons")),
    ("3 large", ("3", "large", "")),
    ("oat cereal, 2 servings", ("2", "serving", "oat cereal")),
)


@pytest.mark.parametrize(("text", "wanted"), WANTED)
def test_the_reading_that_a_library_may_need_is_there(text, wanted):
    phrase = read_phrase(text)
    count = len(phrase.pieces)
    readings = [
        shown(item)
        for first in range(count)
        for last in range(first, count)
        for item in joined(phrase, first, last)
    ]
    assert wanted in readings


@pytest.mark.parametrize("amount", ["½ cup", "1½ cups", "½", "2 cups", "a cup", "1/2 cup"])
def test_a_joined_reading_begins_where_its_first_piece_begins(amount):
    phrase = read_phrase(f"200 ml milk and {amount} mac and cheese")
    for item in joined(phrase, 1, 2):
        assert item.said == f"{amount} mac and cheese"
        assert item.start == phrase.pieces[1][0].start


def test_no_name_is_joined_over_a_glucose_clause():
    phrase = read_phrase("mac, glucose 162, cheese")
    assert len(phrase.pieces) == 2
    assert joined(phrase, 0, 1) == ()


def test_no_name_is_joined_over_too_many_joiners():
    phrase = read_phrase(" and ".join(["salt"] * (MAX_JOINED + 2)))
    assert joined(phrase, 0, MAX_JOINED)
    assert joined(phrase, 0, MAX_JOINED + 1) == ()
    long = read_phrase(" and ".join(["salt"] * (LONG + 1)))
    assert joined(long, 0, MAX_JOINED_LONG)
    assert joined(long, 0, MAX_JOINED_LONG + 1) == ()


def test_a_quoted_name_is_that_name_and_no_other():
    (piece,) = read_phrase('2 "pound cakes"').pieces
    assert [shown(i) for i in piece] == [("2", None, "pound cakes")]
    (piece,) = read_phrase('2 servings "oat cereal" without milk').pieces
    assert all(name_key(i.name) != "oat cereal" for i in piece)


# What is no phrase


def test_text_that_is_no_phrase_says_why():
    assert read_phrase("") == Complaint("empty", "", 0, 0)
    assert read_phrase(" \n\t ").why == "empty"
    assert read_phrase("x" * (MAX_LENGTH + 1)).why == "too-long"
    assert isinstance(read_phrase("x" * MAX_LENGTH), Phrase)


# Laws


def covered(text):
    """Every character that is no space belongs to exactly one word; items stand where they say."""
    phrase = read_phrase(text)
    if isinstance(phrase, Complaint):
        assert phrase.why in {"empty", "too-long", "symbols"}
        return
    times = [0] * len(text)
    for word in phrase.words:
        assert text[word.start : word.end] == word.said
        for at in range(word.start, word.end):
            times[at] += 1
    for at, character in enumerate(text):
        assert times[at] == 1 or (character.isspace() and times[at] == 0), (text, at)
    assert [w.start for w in phrase.words] == sorted(w.start for w in phrase.words)
    count = len(phrase.pieces)
    for first in range(count):
        assert phrase.pieces[first]
        for last in range(first, min(count, first + 3)):
            for item in joined(phrase, first, last):
                assert text[item.start : item.end] == item.said
                assert item.start <= item.name_start <= item.name_end <= item.end
                assert item.name in text[item.name_start : item.name_end]
                if isinstance(item.quantity, Number):
                    assert item.quantity.value > 0
                    assert item.quantity.said in item.said
                if item.measure:
                    assert item.measure.said in item.said
    for clause in phrase.clauses:
        assert text[clause.start : clause.end] == clause.said


@pytest.mark.parametrize("text", [p[0] for p in PHRASES] + [g[0] for g in GLUCOSE])
def test_every_word_of_a_phrase_has_one_place(text):
    covered(text)


def few(request, modest, more):
    return more if request.config.getoption("--long", default=False) else modest


def test_any_text_is_read_and_every_character_has_one_word(request):
    @settings(max_examples=few(request, 200, 10_000), deadline=None)
    @given(st.text(max_size=80))
    def law(text):
        covered(text)

    law()


VOCABULARY = (
    *("2", "1.5", "1/2", "½", "1,5", "-2", "2-3", "50%", "50% of", "7-grain", "1e3", "a", "an"),
    *("one", "two", "hundred", "half", "third", "dozen", "some", "and a half", "few", "the", "of"),
    *("g", "ml", "oz", "fl oz", "tbsp.", "cup", "servings", "pack", "slices", "pound", "large"),
    *("milk", "oat", "cereal", "bread", "without", "no", "dry", "not", "and", "plus", "with", ","),
    *(";", "&", "+", "\n", ".", "!", "?", ":", "(", ")", '"', "'", "/", "-", "%", "é", "米", "🍎"),
    *("glucose", "glucose 162", "9.1 mmol/L", "no reading", "bg:", "reading", "please", "thanks"),
    *("I'm having", "count", "for lunch", "that is right", "my", "\x00", "\u2028", "_", "{}", "%s"),
)


def test_any_run_of_words_is_read_and_every_character_has_one_word(request):
    words = st.lists(st.sampled_from(VOCABULARY), max_size=10)

    @settings(max_examples=few(request, 300, 20_000), deadline=None)
    @given(words, st.sampled_from([" ", "", "  "]))
    def law(parts, between):
        covered(between.join(parts))

    law()


def test_courtesy_is_in_no_name_and_keeps_the_foods_around_it_apart(request):
    names = st.lists(st.sampled_from(["milk", "2", "g", "and", "please", "count", "thanks"]),
                     min_size=1, max_size=7)  # fmt: skip

    @settings(max_examples=few(request, 150, 5000), deadline=None)
    @given(names)
    def law(parts):
        text = " ".join(parts)
        phrase = read_phrase(text)
        for word in phrase.words:
            if word.role == "courtesy":
                for readings in phrase.pieces:
                    for item in readings:
                        assert word.end <= item.start or word.start >= item.end, text

    law()


def test_an_exact_amount_in_front_of_a_name_is_read_back(request):
    units = st.sampled_from([("g", "gram"), ("ml", "millilitre"), ("servings", "serving")])

    @settings(max_examples=few(request, 100, 5000), deadline=None)
    @given(st.integers(1, 9999), st.integers(0, 2), units)
    def law(digits, places, unit):
        value = Fraction(digits, 10**places)
        whole, rest = divmod(digits, 10**places)
        said = f"{whole}.{rest:0{places}d}" if places else str(whole)
        for text in (f"{said} {unit[0]} of oat cereal", f"oat cereal {said} {unit[0]}"):
            item = read_phrase(text).pieces[0][0]
            assert shown(item) == (str(value), unit[1], "oat cereal")

    law()

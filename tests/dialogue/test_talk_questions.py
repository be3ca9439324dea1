"""Questions and their answers: what is asked, what an answer completes, what stays open."""

from fractions import Fraction

import pytest
from talk import BREAD, CEREAL, FOODS, MILK, NET, NUMBERS, talking

POUND_CAKE = "new food pound cake: US label, serving 1 cake (60 g), carbohydrate 30 g, fibre 0 g"
CAKE = "new food cake: US label, serving 1 cake (50 g), carbohydrate 20 g, fibre 0 g"
MAC = "new food mac and cheese: US label, serving 1 cup (200 g), carbohydrate 45 g, fibre 1 g"
CREAM = "new food half and half: US label, serving 2 tbsp (30 ml), carbohydrate 1 g, fibre 0 g"


def test_a_missing_amount_is_asked_and_completes(counting):
    asked = counting.say("oat cereal and 200 ml milk")
    assert asked.status == "asked"
    assert "oat cereal" in asked.data["question"]["text"]
    found = counting.say("2 servings")
    assert (found.status, found.counted) == ("answered", Fraction("51.6"))
    assert "read-as" in found.codes


@pytest.mark.parametrize(("answer", "counted"), [("60 g", "31.5"), ("half a cup", "21"),
                                                 ("1 1/2 servings", "31.5")])  # fmt: skip
def test_a_missing_amount_may_be_any_amount(counting, answer, counted):
    counting.say("oat cereal")
    assert counting.say(answer).counted == Fraction(counted)


@pytest.mark.parametrize("answer", ["some", "1,5 servings", "0 g", "-2 servings", "2 or 3 g",
                                    "2 servings less 1", "not much", "yes"])  # fmt: skip
def test_an_answer_that_is_no_clear_amount_counts_nothing(counting, answer):
    counting.say("oat cereal")
    found = counting.say(answer)
    assert found.status == "asked"
    assert found.counted is None


def test_an_unknown_name_offers_near_names(counting):
    asked = counting.say("2 servings of oat cereel and 200 ml milk")
    assert asked.status == "asked"
    assert "oat cereel" in asked.data["question"]["text"]
    assert asked.reply.unread == ("oat cereel",)
    assert any("oat cereal" in c for c in asked.choices)
    assert asked.counted is None


def choice_of(asked, name):
    return next(n for n, c in enumerate(asked.choices, 1) if c.startswith(name))


@pytest.mark.parametrize("how", ["number", "option", "name"])
def test_a_near_name_is_chosen_by_number_or_by_name(counting, how):
    asked = counting.say("2 servings of oat cereel and 200 ml milk")
    number = choice_of(asked, "oat cereal")
    answer = {"number": f"{number}", "option": f"option {number}", "name": "Oat Cereal"}[how]
    found = counting.say(answer)
    assert found.counted == Fraction("51.6")
    # the choice was for once
    assert counting.say("1 serving of oat cereel").status == "asked"


@pytest.mark.parametrize("form", ["{} always", "always {}"])
def test_always_remembers_a_choice(counting, form):
    asked = counting.say("2 servings of oat cereel")
    found = counting.say(form.format(choice_of(asked, "oat cereal")))
    assert found.counted == 42
    assert "alias-saved" in found.codes
    assert counting.say("1 serving of oat cereel").counted == 21


def test_a_choice_out_of_range_keeps_the_question_open(counting):
    asked = counting.say("2 servings of oat cereel")
    for answer in ("0", "99"):
        found = counting.say(answer)
        assert found.status == "asked"
        assert "choice-out-of-range" in found.codes
    assert counting.say(str(choice_of(asked, "oat cereal"))).counted == 42


def test_cancel_drops_the_question(counting):
    counting.say("2 servings of oat cereel")
    assert counting.say("cancel").codes == ["question-cancelled"]
    assert counting.say("1").status == "asked"
    assert counting.say("today").codes[0] == "today-nothing"


def test_a_second_line_of_food_is_asked_about_and_may_drop_the_first(counting):
    counting.say("2 servings of oat cereel")
    assert "ask-same-meal" in counting.say("200 ml milk").codes
    found = counting.say("no")
    assert found.counted == Fraction("9.6")
    assert counting.say("1").counted is None


def test_a_question_waits_while_something_else_is_said(counting):
    asked = counting.say("2 servings of oat cereel")
    found = counting.say("what is active now")
    assert "cereel" in found.text
    assert any(code.startswith("question-") for code in found.codes)
    assert counting.say(str(choice_of(asked, "oat cereal"))).counted == 42


def test_an_unknown_measure_is_asked_and_completes(counting):
    asked = counting.say("2 scoops of oat cereal and 200 ml milk")
    assert asked.status == "asked"
    assert "scoop" in asked.data["question"]["text"]
    found = counting.say("20 g")  # 2 x 20 g = 1 serving
    assert found.counted == Fraction("30.6")
    assert counting.say("1 scoop of oat cereal").counted == Fraction("10.5")


@pytest.mark.parametrize("answer", ["20,5 g", "0 g", "20 ml", "about 20 g", "twenty"])
def test_an_unclear_weight_completes_nothing(counting, answer):
    counting.say("2 scoops of oat cereal")
    found = counting.say(answer)
    assert found.counted is None or answer == "20 ml"
    assert found.status == "asked"


def test_a_measure_told_meanwhile_completes_the_meal(counting):
    counting.say("2 scoops of oat cereal")
    found = counting.say("a scoop of oat cereal weighs 20 g")
    assert found.counted == 21


def test_a_weight_said_to_be_about_so_much_is_not_kept_as_exact(counting):
    found = counting.say("a scoop of oat cereal weighs about 20 g")
    if found.status == "answered":
        assert "about" in found.text
        low = counting.say("2 scoops of oat cereal").reply.counted.low
        exact = counting.say("40 g of oat cereal").reply.counted.low
        assert low < exact


def test_a_bowl_is_no_pack(counting):
    counting.say("a bowl of oat cereal holds 3 servings")
    # the label says 9 servings a pack: 9 x 21
    assert counting.say("a pack of oat cereal").counted in {189, None}


def test_the_kitchen_cup_is_asked_and_kept(counting):
    asked = counting.say("1 cup of milk")
    assert asked.status == "asked"
    assert "cup" in asked.data["question"]["text"]
    assert counting.say("250 ml").counted == 12
    assert counting.say("half a cup of milk").counted == 6


def test_a_cup_of_a_us_label_follows_its_law_until_the_kitchen_is_set(counting):
    assert counting.say("1 cup of oat cereal").counted == 42
    counting.all("my cup is 250 ml")
    # 250 / 240 of a label's cup, two servings each
    assert counting.say("1 cup of oat cereal").counted == 42 * Fraction(250, 240)


def test_volume_of_a_food_by_weight_is_asked(counting):
    asked = counting.say("100 ml of rye bread")
    assert asked.status == "asked"
    assert counting.say("25 g").counted == 12


def test_ounces_are_asked_where_both_are_possible(tmp_path):
    soup = "new food soup: US label, serving 1 cup (240 ml), carbohydrate 12 g, fibre 0 g"
    with talking(tmp_path, soup, NET, "100 ml of soup weighs 105 g") as talk:
        asked = talk.say("8 oz of soup")
        assert asked.status == "asked"
        assert len(asked.choices) == 2
        assert talk.say("volume").counted == 12


def test_a_bare_count_asks_of_what(counting):
    asked = counting.say("2 oat cereal")
    assert asked.status == "asked"
    assert counting.say("servings").counted == 42


def test_a_missing_food_is_asked(counting):
    assert counting.say("60 g").status == "asked"
    assert counting.say("oat cereal").counted == Fraction("31.5")


def test_the_policy_is_asked_and_the_choice_continues(tmp_path):
    with talking(tmp_path, CEREAL) as talk:
        asked = talk.say("1 serving of oat cereal")
        assert asked.status == "asked"
        assert len(asked.choices) == 3
        found = talk.say("2")
        assert (found.status, found.counted) == ("answered", 21)
        assert talk.say("1 serving of oat cereal").counted == 21


def test_the_policy_may_be_said_as_a_sentence(tmp_path):
    with talking(tmp_path, CEREAL) as talk:
        talk.say("1 serving of oat cereal")
        assert talk.say("count total carbohydrate").counted == 27


@pytest.mark.parametrize(
    ("text", "good", "counted"),
    [
        ("1,5 servings of oat cereal", "yes", "31.5"),
        ("2-3 slices of rye bread", "3", "50.4"),
        ("some oat cereal", "2 servings", "42"),
        ("half the crackers", "half a pack", "36"),
        ("1/0 servings of oat cereal", "1/2", "10.5"),
        ("0 slices of rye bread", "2", "33.6"),
        ("-2 slices of rye bread", "2", "33.6"),
    ],
)
def test_an_unclear_amount_is_asked_and_completes(counting, text, good, counted):
    asked = counting.say(text)
    assert asked.status == "asked"
    assert asked.counted is None
    assert counting.say(good).counted == Fraction(counted)


def test_a_comma_that_could_be_two_things_shows_both(counting):
    asked = counting.say("1,500 g of oat cereal")
    assert asked.status == "asked"
    assert "1500" in asked.text
    assert "1.500" in asked.text
    assert counting.say("1,5").status == "asked"


@pytest.mark.parametrize("answer", ["-", "--", "- -", " ", "+", "?", "…", "½½", "a", "and", "''"])
def test_an_odd_answer_to_a_number_question_is_no_fault(counting, answer):
    counting.say("2-3 slices of rye bread")
    found = counting.say(answer)
    assert found.status in {"asked", "answered"}


@pytest.mark.parametrize("figure", ["9.1", "5"])
def test_glucose_in_the_other_unit_shows_both_readings(dosing, figure):
    asked = dosing.say(f"1 serving of oat cereal, glucose {figure}")
    assert asked.status == "asked"
    assert asked.data["dose"] is None
    for unit in ("millimoles per litre", "milligrams per decilitre"):
        assert unit in asked.text
    assert dosing.say("mmol/L").status in {"answered", "refused"}


def test_glucose_of_the_other_unit_is_converted_exactly(dosing):
    # 9 mmol/L x 18.0156 = 162.1404; less 110, / 45 = 1.158676; meal 2.1
    dose = dosing.say("1 serving of oat cereal, glucose 9 mmol/L").data["dose"]
    assert dose["correction_units"] == pytest.approx((9 * 18.0156 - 110) / 45, abs=1e-6)


def test_glucose_in_between_is_asked(dosing):
    for figure in ("25", "30"):
        assert dosing.say(f"1 serving of oat cereal, glucose {figure}").status == "asked"


@pytest.mark.parametrize("figure", ["9,1", "0", "-5", "1e2", "9999", "0.5", "162,5"])
def test_a_glucose_that_cannot_be_is_asked(dosing, figure):
    found = dosing.say(f"1 serving of oat cereal, glucose {figure}")
    assert found.status == "asked"
    assert found.data["dose"] is None


def test_readings_that_differ_are_shown_with_their_counts(tmp_path):
    with talking(tmp_path, CAKE, POUND_CAKE, NET) as talk:
        asked = talk.say("2 pound cakes")
        assert asked.status == "asked"
        assert len(asked.choices) == 2
        # a pound is 453.59237 g; cake 20 g in 50 g
        heavy = Fraction("453.59237") * 2 * Fraction(20, 50)
        light = next(n for n, c in enumerate(asked.choices, 1) if "pound cake" in c)
        assert asked.counted is None
        other = talk.say(str(3 - light))
        if other.status == "asked":
            other = talk.say("yes")
        assert other.counted == heavy
        talk.say("2 pound cakes")
        found = talk.say(str(light))
        assert found.counted == 60


def test_one_reading_in_the_library_is_taken(tmp_path):
    with talking(tmp_path, POUND_CAKE, MAC, CREAM, MILK, NET) as talk:
        assert talk.say("2 pound cakes").counted == 60
        assert talk.say("2 servings of mac and cheese and 200 ml milk").counted == Fraction("97.6")
        assert talk.say("200 g mac and cheese").counted == 44
        assert talk.say("60 ml half and half").counted == 2
        assert talk.say("2 tbsp half and half and 200 ml milk").counted == Fraction("10.6")


@pytest.mark.parametrize("amount", ["½", "1½", "1/2", "2", "a", "half a"])
def test_no_food_gets_lost_when_a_joined_name_is_asked_about(tmp_path, amount):
    with talking(tmp_path, MAC, MILK, NET) as talk:
        asked = talk.say(f"200 ml milk and {amount} mac and cheese")
        assert asked.status == "asked"
        found = talk.say("servings")
        times = {"½": "1/2", "1½": "3/2", "1/2": "1/2", "2": "2", "a": "1", "half a": "1/2"}[amount]
        if found.status == "answered":
            assert [p.food for p in found.reply.portions] == ["milk", "mac and cheese"]
            assert found.counted == Fraction("9.6") + 44 * Fraction(times)


@pytest.mark.parametrize("amount", ["½ cup", "1½ cups", "½ serving", "½ servings"])
def test_a_portion_says_only_its_own_words(tmp_path, amount):
    with talking(tmp_path, MAC, MILK, NET) as talk:
        found = talk.say(f"200 ml milk and {amount} of mac and cheese")
        assert [p.said for p in found.reply.portions] == [
            *("200 ml milk", f"{amount} of mac and cheese"),
        ]


def test_an_ambiguous_split_with_an_amount_missing_is_asked(tmp_path):
    with talking(tmp_path, MILK, BREAD, NET) as talk:
        found = talk.say("rye bread, 2 slices, milk")
        assert found.status == "asked"


# Labels


def test_the_region_of_a_label_is_asked(empty):
    asked = empty.say("new food oat bar: serving 1 bar (40 g), carbohydrate 27 g, fibre 6 g")
    assert asked.status == "asked"
    assert len(asked.choices) == 7
    saved = empty.say("US")
    assert saved.status == "answered"
    empty.all(NET)
    assert empty.say("1 bar of oat bar").counted == 21


def test_a_label_with_unread_words_asks_and_yes_saves(empty):
    label = "US label, serving 1 bar (40 g), carbohydrate 27 g, fibre 6 g, zorblax bimbam"
    asked = empty.say(f"new food oat bar: {label}")
    assert asked.status == "asked"
    assert "zorblax" in asked.text
    saved = empty.say("yes")
    assert saved.status == "answered"
    assert "zorblax" in saved.text
    empty.all(NET)
    assert empty.say("1 serving of oat bar").counted == 21


def test_a_label_with_unread_words_is_not_saved_before(empty):
    empty.say("new food oat bar: US label, serving 1 bar (40 g), carbohydrate 27 g, zorblax")
    empty.say("no")
    assert empty.say("foods").codes[0] == "no-foods"


def test_replacing_a_label_asks(counting):
    other = "new food oat cereal: US label, serving 40 g, carbohydrate 30 g, fibre 5 g"
    asked = counting.say(other)
    assert asked.status == "asked"
    assert counting.try_out("1 serving of oat cereal").counted == 21
    assert counting.say("yes").status == "answered"
    assert counting.say("1 serving of oat cereal").counted == 25


@pytest.mark.parametrize(
    "label",
    ["US label, serving 40 g, carbohydrate 4,8 g", "EU label, per 100 ml: carbohydrate 1,500 g"],
)
def test_a_label_with_an_unclear_comma_is_not_saved(empty, label):
    found = empty.say(f"new food milk: {label}")
    assert found.status == "asked"
    assert empty.say("foods").codes[0] == "no-foods"


@pytest.mark.parametrize(
    "label",
    [
        "EU label, per 100 g: carbohydrate 20 g, trans fat 120 g",
        "EU label, per 100 g: carbohydrate 20 g, monounsaturated fat 120 g",
        "EU label, per 100 g: carbohydrate 20 g, sodium 200000 mg",
        "EU label, per 100 g: carbohydrate 120 g",
        "EU label, per 100 g: carbohydrate 20 g, sugars 40 g",
        "US label, serving 40 g, carbohydrate 27 g, fibre 60 g",
        "US label, serving 40 g, carbohydrate 270 g",
    ],
)
def test_a_label_that_cannot_be_is_not_saved(empty, label):
    found = empty.say(f"new food odd food: {label}")
    assert found.status == "asked", found.text
    assert empty.say("foods").codes[0] == "no-foods"


@pytest.mark.parametrize(
    "text",
    ["fibre of oat cereal is 40 g", "carbohydrate of oat cereal is 270 g"],
)
def test_a_figure_that_cannot_be_is_not_counted_from(tmp_path, text):
    with talking(tmp_path, CEREAL, "count fibre over 5 g halved") as talk:
        talk.say(text)
        found = talk.say("1 serving of oat cereal")
        assert found.status == "asked" or found.counted == 24, found.text


def test_an_unstated_fibre_is_asked_and_never_taken_as_none(tmp_path):
    bar = "new food oat bar: US label, serving 1 bar (40 g), carbohydrate 27 g"
    with talking(tmp_path, bar, NET) as talk:
        asked = talk.say("1 bar of oat bar")
        assert asked.status == "asked"
        assert "fibre" in asked.text
        assert talk.say("6 g").counted == 21


def test_a_label_without_a_name_asks_for_it(empty):
    asked = empty.say("US label\nserving 1 bar (40 g)\ncarbohydrate 27 g\nfibre 6 g")
    assert asked.status == "asked"
    assert empty.say("oat bar").status == "answered"
    empty.all(NET)
    assert empty.say("1 serving of oat bar").counted == 21


def test_a_food_without_a_label_asks_for_it(empty):
    assert empty.say("new food oat bar").status == "asked"
    found = empty.say("US label, serving 1 bar (40 g), carbohydrate 27 g, fibre 6 g")
    assert found.status == "answered"


# Names


def test_another_name_works_and_is_not_stolen(counting):
    counting.all("oat cereal is also called morning oats")
    assert counting.say("1 serving of morning oats").counted == 21
    taken = counting.say("milk is also called morning oats")
    assert "alias-taken" in taken.codes
    assert counting.say("1 serving of morning oats").counted == 21


def test_a_forgotten_food_is_unknown_and_its_meals_stay(counting):
    counting.all("200 ml milk", "forget food milk")
    assert counting.say("200 ml milk").status == "asked"
    counting.say("cancel")
    assert counting.say("today").data["facts"]["today"]["counted_carbs_g"] == 9.6


@pytest.mark.parametrize("name", ["123", "!!", "x" * 81])
def test_a_bad_name_is_not_saved(empty, name):
    assert empty.say(f"new food {name}: US label, serving 40 g, carbohydrate 27 g").status == (
        "asked"
    )
    assert empty.say("foods").codes[0] == "no-foods"


def test_a_food_name_cannot_carry_an_escape_or_a_format(tmp_path):
    with talking(tmp_path, NET) as talk:
        for name in ("oat\x1b[31m bar", "oat\u202e bun", "{counted} {0} %s cake", "<b>pie</b>"):
            talk.say(
                f"new food {name}: US label, serving 1 bar (40 g), carbohydrate 27 g, fibre 6 g"
            )
        for text in ("foods", "1 serving of oat bar", "show oat bun", "1 serving of pie"):
            talk.say(text)


def test_a_very_large_portion_is_asked_about(counting):
    asked = counting.say("40 servings of oat cereal")
    assert asked.status == "asked"
    assert asked.counted is None
    assert counting.say("yes").counted == 840


def test_the_question_survives_a_new_start(tmp_path):
    with talking(tmp_path, *FOODS, *NUMBERS) as talk:
        talk.say("1 serving of oat cereal")
    with talking(tmp_path) as talk:
        assert "rule-glucose-not-given" in [line.code for line in talk.opening().lines]
        assert talk.say("110").data["dose"]["suggested_units"] == 2.0


OPPOSITES = (
    ("cooked pasta", "uncooked pasta"),
    ("uncooked pasta", "cooked pasta"),
    ("sweetened yogurt", "unsweetened yogurt"),
    ("diet cola", "cola"),
    ("cola", "diet cola"),
    ("drained beans", "undrained beans"),
    ("sugar free jam", "jam"),
    ("sugarless gum", "sugar gum"),
)


@pytest.mark.parametrize(("known", "typed"), OPPOSITES)
def test_a_word_that_changes_the_food_is_never_offered_for_it(counting, known, typed):
    """From the rule: never a guess, and nothing wrong to be learned by "always"."""
    counting.say(f"new food {known}: EU label, per 100 g: carbohydrate 12 g, fibre 1 g")
    for said in (f"100 g {typed}", f"recipe mix, makes 2 bowls: 100 g {typed}"):
        found = counting.say(said)
        assert found.status == "asked"
        assert not any(known in each for each in found.choices if not each.startswith("Leave"))
    assert counting.say("1 always").counted is None
    assert counting.say(f"100 g {typed}").counted is None


def test_a_slip_in_such_a_word_is_still_offered(counting):
    counting.say("new food cooked pasta: EU label, per 100 g: carbohydrate 12 g, fibre 1 g")
    assert "cooked pasta" in counting.say("100 g coked pasta").choices[0]


@pytest.mark.parametrize(
    "text",
    [
        "1 slice of rye bread weighs 3.5 g",
        "1 slice of rye bread weighs 106 g",
        "1 cracker of crackers weighs 300 g",
        "1 cup of oat cereal weighs 800 g",
        "my handful of crackers is 28 kg",
        "100 ml of oat cereal weighs 1 g",
        "100 ml of rye bread weighs 201 g",
    ],
)
def test_a_weight_far_from_the_labels_or_from_any_food_is_asked_about(counting, text):
    """From the rule: three times the label's own, or no weight that a volume of food has."""
    asked = counting.say(text)
    assert asked.status == "asked"
    assert "ask-unlikely-measure" in asked.codes
    assert "measure-saved" in counting.say("yes").codes


def test_a_weight_near_the_labels_is_saved_at_once(counting):
    for text in ("1 slice of rye bread weighs 50 g", "100 ml of milk weighs 103 g"):
        assert "measure-saved" in counting.say(text).codes


@pytest.mark.parametrize("weighs", ["47 g", "1450 kg"])
def test_a_finished_weight_that_cannot_be_is_not_saved(counting, weighs):
    """From the rule: 100 g of rye bread has 48 g of carbohydrate; less than that weighs nothing."""
    counting.say("recipe toast, makes 2 bowls: 100 g rye bread")
    found = counting.say(f"the finished toast weighs {weighs}")
    assert found.status == "asked"
    assert found.codes[0] in {"recipe-too-light", "recipe-too-heavy"}
    assert counting.say("10 g of toast").counted is None


def test_a_scaled_recipe_tells_its_amounts_times_the_scale(counting):
    counting.say("recipe toast, makes 2 bowls: 100 g rye bread")
    found = counting.say("double the recipe toast as feast")
    assert "2 times 100 grams rye bread counts 96 grams" in found.text

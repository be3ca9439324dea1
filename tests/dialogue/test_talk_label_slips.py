"""Labels typed as they are spoken, and slips that must not lose what was typed."""

import pytest


def figures(talk, name):
    """The carbohydrate of a saved food, and what it is for."""
    facts = next(e.facts for e in talk.events("food-saved") if e.facts.name == name)
    return facts.nutrients["carbohydrate"].value, facts.per


@pytest.mark.parametrize(
    ("label", "carbohydrate", "per"),
    [
        ("EU label, 45 g carbs per 100 g", 45, "100 g"),
        ("27g carbohydrate per 100g, EU label", 27, "100 g"),
        ("US label, 27 g of carbs per serving, serving 40 g", 27, "serving"),
    ],
)
def test_spoken_order__one_name_and_one_figure_is_read_and_told(
    empty, label, carbohydrate, per
) -> None:
    told = empty.say(f"new food w: {label}")
    assert told.status == "answered"
    assert told.text.startswith("I read that as")
    assert figures(empty, "w") == (carbohydrate, per)


def test_spoken_order__several_are_shown_and_asked(empty) -> None:
    asked = empty.say("new food z: US label, 27 g carbs, 6 g fibre per serving, serving 40 g")
    assert asked.status == "asked"
    assert not empty.events("food-saved")
    assert "carbs 27 grams, fibre 6 grams" in asked.text
    assert empty.say("yes").status == "answered"
    assert figures(empty, "z") == (27, "serving")


@pytest.mark.parametrize(
    "label",
    [
        "US label, serving 40 g carbs",  # the 40 g is the serving's
        "EU label, per 100 g: carbs, 6 g fibre",
        "EU label, per 100 g: carbs 45 g 6 g fibre",
        "EU label, per 100 g: 45 g carbs 6 g",
    ],
)
def test_spoken_order__what_could_be_a_neighbours_is_neither_read_nor_offered(empty, label) -> None:
    asked = empty.say(f"new food q: {label}")
    assert asked.status == "asked"
    assert not asked.choices
    assert not empty.events("food-saved")


def test_label_slip__the_name_is_kept_for_the_label_typed_again(empty) -> None:
    empty.say("new food oatmeal")
    empty.say("EU label, carbs 45 g")  # for how much of it is not said
    empty.say("hello there")
    assert empty.say("EU label, per 100 g: carbs 45 g").status == "answered"
    assert figures(empty, "oatmeal") == (45, "100 g")


def test_label_slip__a_new_label_stays_one(counting) -> None:
    counting.say("new label for milk: EU label, carbs 5 g")
    assert counting.say("EU label, per 100 ml: carbs 5 g").status == "answered"
    assert [e.facts.name for e in counting.events("food-saved")].count("milk") == 2


def test_label_slip__the_example_is_of_the_users_own_labels(empty) -> None:
    empty.all("my labels are EU labels")
    told = empty.say("new food oatmeal")
    assert "EU label, per 100 grams" in told.text
    offered = "EU label, per 100 grams: carbohydrate blank grams, fibre blank grams"
    assert offered in told.text  # no figure is invented
    filled = offered.replace("carbohydrate blank", "carbohydrate 48").replace("blank", "6")
    assert empty.say(filled).status == "answered"  # as it is heard


def test_label_slip__a_meal_is_no_label(counting) -> None:
    counting.say("new food oatmeal")
    assert counting.say("100 ml milk").counted == pytest.approx(4.8)


def test_label_slip__a_pasted_label_waits_for_its_name(empty) -> None:
    empty.say("Nutrition Facts\nServing size 40 g\nTotal Carbohydrate 27 g\nCalories 150")
    told = empty.say("1 cup of oatmeal")
    assert "Nothing was changed" in told.text
    assert "cancel" in told.text
    empty.say("corn flakes")
    empty.say("US")
    assert figures(empty, "corn flakes") == (27, "serving")


@pytest.mark.parametrize("slip", ["1 cup", "40", "hm"])
def test_label_slip__the_guide_goes_on(empty, slip) -> None:
    for said in ("guide me through a label", "porridge", "EU", slip):
        told = empty.say(said)
    assert "What are the figures of porridge for?" in told.text
    assert "cancel" in told.text
    for said in ("per 100 g", "60", "skip", "skip"):
        told = empty.say(said)
    assert figures(empty, "porridge") == (60, "100 g")


def test_set_up__a_meal_is_told_how_to_leave(empty) -> None:
    empty.say("set up")
    told = empty.say("1 cup oatmeal, bg 130")
    assert "To leave this, type cancel." in told.text


def test_set_up__a_dose_with_a_slip_is_not_swallowed(empty) -> None:
    empty.say("set up")
    told = empty.say("took 4,5 units")
    assert "is the comma a decimal point" in told.text


def test_garbled_figure__is_asked_as_one_number_or_two(empty) -> None:
    told = empty.say("new food x: US label, serving 40 g, Total Carbohydrate 2 1g, Fiber 3g")
    assert "2 1 gram: is the end of that one number or two?" in told.text
    assert "has no unit" not in told.text
    assert not empty.events("food-saved")


@pytest.mark.parametrize("words", ["1 slice 35 g", "each slice weighs 35 g"])
def test_a_weight_inside_a_label__is_told_how_to_type_it(empty, words) -> None:
    told = empty.say(f"new food rye bread: EU label, per 100 g: carbohydrate 48 g, {words}")
    sentence = "1 slice of rye bread weighs 35 grams"
    assert sentence in told.text
    empty.say("cancel")
    empty.say("new food rye bread: EU label, per 100 g: carbohydrate 48 g")
    assert empty.say(sentence).status == "answered"  # as it is heard

"""A recipe told line by line: the rule is that it comes out as the whole pasted at once, and that
nothing is saved before the person said that this is all."""

import pytest
from talk import NUMBERS, talking

RICE = "new food cooked rice: EU label, per 100 g: carbohydrate 28 g, fibre 0 g"
MILK = "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g"
HEAD = "recipe rice pudding serves 4"
LINES = ("100 g cooked rice", "500 ml milk")
WHOLE = "\n".join((HEAD, *LINES))
"""100 g at 28 g a 100 g, and 500 ml at 4.8 g a 100 ml: 28 + 24 = 52 g, 13 g a serving."""


@pytest.fixture
def cook(tmp_path):
    with talking(tmp_path / "home", *NUMBERS, RICE, MILK) as talk:
        yield talk


def saved(talk):
    """What was saved as recipes: (name, what goes in, what comes out)."""
    return [
        (e.facts.name, e.facts.recipe.ingredients, e.facts.recipe.makes)
        for e in talk.events("recipe-saved")
    ]


@pytest.fixture
def as_pasted(tmp_path):
    with talking(tmp_path / "pasted", *NUMBERS, RICE, MILK, WHOLE) as talk:
        yield saved(talk)


@pytest.mark.more
@pytest.mark.parametrize(
    "lines",
    [
        (HEAD, *LINES, "that is all"),
        (f"{HEAD}:", *LINES, "end"),
        (HEAD, "100 g cooked rice,", "and 500 ml milk.", "That's all!"),
        (HEAD, "- 100 g cooked rice", "- 500 ml milk", "done"),
        (HEAD, "", "100 g cooked rice", "", "500 ml milk", "nothing else"),
        (HEAD, "Ingredients:", "100 g cooked rice", "plus 500 ml milk", "end of recipe"),
        ("recipe rice pudding", "serves 4", *LINES, "that is all of it"),
        ("recipe rice pudding", *LINES, "it serves 4", "save it"),
        (HEAD, "\n".join(LINES), "that is all"),
        (HEAD, "\n".join((*LINES, "end"))),
        (HEAD, "100 g cooked rice, 500 ml milk", "end"),
        (f"{HEAD}: 100 g cooked rice,", "500 ml milk", "end"),
        (f"{HEAD}: 100 g cooked rice, 500 ml milk",),
        (f"{WHOLE}\nend",),
    ],
)
def test_recipe_lines__come_out_as_the_whole_at_once(cook, as_pasted, lines) -> None:
    for line in lines[:-1]:
        cook.say(line)
        assert saved(cook) == []
    last = cook.say(lines[-1])
    assert "52 grams" in last.text
    ((name, inside, makes),) = saved(cook)
    ((_, as_whole, makes_whole),) = as_pasted
    assert (name, makes) == ("rice pudding", makes_whole)
    assert [(i.food_id, i.factor, i.grams) for i in inside] == [
        (i.food_id, i.factor, i.grams) for i in as_whole
    ]


def test_recipe_lines__what_was_taken_is_told(cook) -> None:
    cook.say(HEAD)
    told = cook.say("100 g cooked rice")
    assert told.status == "asked"
    assert told.text.startswith("Noted: 100 grams cooked rice.")
    assert "that is all" in told.text


def test_recipe_lines__a_meal_of_it_asks_first_whether_that_is_all(cook) -> None:
    cook.say(HEAD)
    cook.say(LINES[0])
    asked = cook.say("1 serving of rice pudding, no reading")
    assert (asked.status, saved(cook)) == ("asked", [])
    assert asked.data["dose"] is None
    assert [c[:3] for c in asked.choices] == ["Yes", "No."]
    assert cook.say("no").status == "asked"
    cook.say(LINES[1])
    cook.say("1 serving of rice pudding, no reading")
    counted = cook.say("yes")
    assert counted.counted == 13
    assert counted.data["dose"] is not None


@pytest.mark.parametrize("event", [("glucose 130", "glucose-read"), ("took 2 units", "dose-taken")])
def test_recipe_lines__glucose_and_doses_are_logged_and_the_recipe_waits(
    cook, as_pasted, event
) -> None:
    said, kind = event
    cook.say(HEAD)
    cook.say(LINES[0])
    told = cook.say(said)
    assert told.status == "answered"
    assert "still open" in told.text
    assert len(cook.events(kind)) == 1
    cook.say(LINES[1])
    cook.say("end")
    assert [m for _, _, m in saved(cook)] == [m for _, _, m in as_pasted]
    assert len(saved(cook)[0][1]) == 2


@pytest.mark.parametrize("answer", ["1", "cancel"])
def test_recipe_lines__go_on_after_a_question_of_something_else(empty, answer) -> None:
    empty.all(RICE, MILK, "count total carbohydrate")  # no glucose unit: it is asked
    empty.say(HEAD)
    empty.say(LINES[0])
    asked = empty.say("glucose 130")
    assert asked.status == "asked"
    assert "waits until this is answered" in asked.text
    assert "still open" in empty.say(answer).text
    assert empty.say(LINES[1]).text.startswith("Noted")
    assert "52 grams" in empty.say("end").text


def test_recipe_lines__a_low_is_treated_first_and_the_recipe_waits(cook) -> None:
    cook.say(HEAD)
    cook.say(LINES[0])
    told = cook.say("I feel low")
    assert cook.events("low-felt")
    assert "still open" in told.text
    assert cook.say(LINES[1]).text.startswith("Noted")


def test_recipe_lines__cancel_leaves_and_saves_nothing(cook) -> None:
    cook.say(HEAD)
    cook.say(LINES[0])
    cook.say("cancel")
    assert saved(cook) == []
    assert "100 ml milk" not in cook.say("go on with the recipe").text
    assert cook.say("100 ml milk, no reading").counted == pytest.approx(4.8)


def test_recipe_lines__undo_takes_the_last_line_out(cook) -> None:
    cook.say(HEAD)
    cook.say("900 g cooked rice")
    assert cook.say("undo").text.startswith("Taken out: 900 grams cooked rice")
    for line in LINES:
        cook.say(line)
    assert "52 grams" in cook.say("end").text


@pytest.mark.parametrize("said", ["no, 200 g cooked rice", "no milk after all", "same again"])
def test_recipe_lines__a_correction_is_asked_and_changes_no_meal(cook, said) -> None:
    cook.say("100 ml milk, no reading")
    cook.say("not taken")
    cook.say(HEAD)
    cook.say(LINES[0])
    told = cook.say(said)
    assert told.status == "asked"
    assert "did not put" in told.text
    assert len(cook.events("meal-counted")) == 1


@pytest.mark.parametrize("said", ["bg ??", "meter says odd", "3 u", "exit"])
def test_recipe_lines__words_of_glucose_or_insulin_never_go_into_the_pot(cook, said) -> None:
    cook.say(HEAD)
    cook.say(LINES[0])
    assert not cook.say(said).text.startswith("Noted")
    if said == "3 u":  # a dose that may have been taken is asked about first
        assert "is still open" in cook.say("cancel").text
    cook.say(LINES[1])
    cook.say("end")
    assert len(saved(cook)[0][1]) == 2


def test_recipe_lines__a_dose_with_a_slip_is_told_as_one(cook) -> None:
    alone = cook.say("took 4 unts").text.splitlines()[0]
    cook.say("cancel")
    cook.say(HEAD)
    cook.say(LINES[0])
    told = cook.say("took 4 unts")
    assert alone in told.text
    assert not cook.events("dose-taken")
    assert "is still open" in cook.say("took 4 units").text
    assert len(cook.events("dose-taken")) == 1


def test_recipe_lines__the_end_before_any_food_asks_again(cook) -> None:
    cook.say(HEAD)
    told = cook.say("that is all")
    assert (told.status, saved(cook)) == ("asked", [])


def test_recipe_lines__what_is_missing_is_asked_at_the_end_as_for_a_paste(cook) -> None:
    for line in (HEAD, LINES[0], "2 blorbs"):
        cook.say(line)
    by_lines = cook.say("end")
    cook.say("cancel")
    assert by_lines.text == cook.say(f"{HEAD}\n{LINES[0]}\n2 blorbs").text


def test_recipe_lines__left_and_gone_on_with_tells_what_it_has(cook) -> None:
    cook.say(HEAD)
    cook.say(LINES[0])
    cook.say("recipe toast serves 1: 30 g cooked rice")
    told = cook.say("go on with the recipe")
    assert "100 grams cooked rice" in told.text
    cook.say(LINES[1])
    assert "52 grams" in cook.say("end").text


def test_another_recipe__is_told_whole_before_the_question_that_waits(cook) -> None:
    cook.say(f"{HEAD}: 100 g cooked rice, 2 blorbs")
    told = cook.say("recipe soup serves 3: 300 ml milk")
    assert told.text.startswith("Saved the recipe soup.")
    assert "14.4 grams" in told.text  # 300 ml at 4.8 g a 100 ml
    assert told.text.index("14.4 grams") < told.text.index("blorbs, and I know no food")
    assert "Your recipe still waits" not in told.text


def test_another_recipe__does_not_lose_the_first(cook) -> None:
    cook.say(f"{HEAD}: 100 g cooked rice, 2 blorbs")
    cook.say("recipe soup serves 3: 300 ml milk, 1 frob")
    cook.say("cancel")
    assert "blorbs" in cook.say("go on with the recipe").text

"""What is typed in a hurry: lows in words, a count alone, words of no meal."""

import pytest

MEAL = "2 slices of rye bread, no reading"


def blocks(talk):
    found = talk.say(MEAL)
    return (
        found.status == "refused" and "low-was-felt" in found.rules and found.data["dose"] is None
    )


@pytest.mark.parametrize(
    "words",
    [
        *("bg LO", "bg low", "meter says LO", "my meter shows LO", "LO", "hypo now", "going low"),
        *("under 2.2 mmol/L", "bg < 40 mg/dL", "glucose below 2.2 mmol/L", "low blood sugar"),
        *("help, I'm low", "shaky", "was low earlier", "sensor alarm low"),
    ],
)
def test_a_low_told_alone_is_heard_and_blocks_the_next_dose(dosing, words):
    found = dosing.say(words)
    assert "15 grams" in found.text
    assert found.data["dose"] is None
    assert blocks(dosing)
    assert dosing.say("2 slices of rye bread, glucose 130 mg/dL").data["dose"] is not None


@pytest.mark.parametrize(
    "words",
    [
        *("2 slices of rye bread, bg LO", "bg low, 2 slices of rye bread, no reading"),
        *("shaky, 2 slices of rye bread, no reading", "2 slices of rye bread, meter says LO"),
        *("2 slices of rye bread, hypo", "2 slices of rye bread LO", "hypo now, 200 ml milk"),
        *("2 slices of rye bread, no reading, going low", "2 slices of rye bread, under 40 mg/dL"),
        *("2 slices of rye bread, sensor 52 mg/dL", "2 slices of rye bread to treat a low"),
        *("2 slices of rye bread\nbg LO", "how many carbs in 2 slices of rye bread, meter says LO"),
    ],
)
def test_a_low_inside_a_meal_is_heard_and_nothing_is_dosed(dosing, words):
    found = dosing.say(words)
    assert found.status == "refused"
    assert "15 grams" in found.text
    assert not dosing.events("meal-counted", "dose-suggested")
    assert dosing.say(MEAL).status == "refused"


@pytest.mark.parametrize("question", ["2 slices of rye bread", "new food bran", "set up"])
def test_a_low_is_no_answer_to_an_open_question(dosing, question):
    assert dosing.say(question).status == "asked"
    assert "15 grams" in dosing.say("meter says LO").text
    dosing.say("cancel")
    assert blocks(dosing)


@pytest.mark.parametrize(
    "words", ["not low", "no longer low", "bg is not low", "I don't feel low", "bg dropping",
              "what if I go low", "bg under 100 mg/dL", "I feel dizzy", "hypo last night"]
)  # fmt: skip
def test_what_may_be_no_low_logs_none_and_is_asked(dosing, words):
    found = dosing.say(words)
    assert found.status == "asked"
    assert "No low is logged" in found.text
    assert not dosing.events("low-felt", "glucose-read")
    assert "15 grams" in dosing.say("1").text
    assert dosing.events("low-felt")


def test_not_low_with_a_meal_goes_on_only_by_its_own_choice(dosing):
    found = dosing.say("2 slices of rye bread, not low, no reading")
    assert found.status == "asked"
    assert not dosing.events("low-felt", "meal-counted")
    assert dosing.say("not low").data["dose"]["suggested_units"] == 3  # 33.6 g, 10 g a unit, down
    assert not dosing.events("low-felt")


def test_not_low_does_not_end_a_low_that_stands(dosing):
    dosing.say("bg LO")
    assert "stands until a reading" in dosing.say("not low").text
    dosing.say("2")
    assert blocks(dosing)


def test_a_low_before_with_a_clear_reading_of_now_is_asked(dosing):
    found = dosing.say("was low earlier, 2 slices of rye bread, glucose 130 mg/dL")
    assert found.status == "asked"
    assert dosing.say("2").data["dose"] is not None


def test_a_dose_told_with_a_low_is_asked_about_too(dosing):
    found = dosing.say("took 4 units, feeling low")
    assert "15 grams" in found.text
    assert found.status == "asked"
    assert dosing.events("low-felt")


@pytest.mark.parametrize(
    "words", ["200 ml low fat milk", "2 slices of low carb bread, glucose 130"]
)
def test_what_a_food_is_low_in_is_asked_about_as_a_food(dosing, words):
    found = dosing.say(words)
    assert "15 grams" not in found.text
    assert not dosing.events("low-felt")


def test_a_food_of_that_name_is_the_food(dosing):
    dosing.all("new food hypo: US label, serving 40 g, carbohydrate 15 g")
    assert dosing.say("hypo").status == "asked"
    assert not dosing.events("low-felt")


FORMS = ("2 slices of rye bread, glucose 150 mg/dL", "2 slices of rye bread for breakfast")
FRONT = ("count", "just count", "only count", "can you count", "carbs only", "no dose,")
BEHIND = ("count only", "just count", "no dose", "no insulin", "skip the dose", "just the carbs")


@pytest.fixture(scope="module")
def dosing_still(prepared, tmp_path_factory):
    import shutil

    from talk import talking

    home = tmp_path_factory.mktemp("hurried") / "home"
    shutil.copytree(prepared["dosing"], home)
    with talking(home) as talk:
        yield talk


def alone(talk, text):
    found = talk.try_out(text)
    assert found.status == "answered", (text, found.text)
    assert found.counted == pytest.approx(33.6), text  # 70 g of 48 g per 100 g
    assert found.data["dose"] is None, text
    assert "Nothing is kept as eaten, and no dose is worked out" in found.text


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("word", FRONT)
def test_a_word_for_a_count_alone_at_the_front_gives_no_dose(dosing_still, form, word):
    alone(dosing_still, f"{word} {form}")


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("word", BEHIND)
def test_a_word_for_a_count_alone_behind_gives_no_dose(dosing_still, form, word):
    alone(dosing_still, f"{form}, {word}")
    alone(dosing_still, f"{form} {word}")


@pytest.mark.parametrize("lead", ["I'm having", "for lunch I had", "for lunch,", "ate", "lunch:"])
def test_a_count_alone_works_with_every_opening(dosing_still, lead):
    alone(dosing_still, f"{lead} 2 slices of rye bread, no dose")


@pytest.mark.parametrize("lead", ["I'm having", "for lunch I had", "for lunch"])
def test_a_count_alone_before_every_opening(dosing_still, lead):
    alone(dosing_still, f"just count: {lead} 2 slices of rye bread")


def test_a_count_alone_keeps_its_reading_and_says_so(dosing):
    found = dosing.say("count 2 slices of rye bread, bg 150 mg/dL")
    assert "150 milligrams per decilitre is logged" in found.text
    assert dosing.events("glucose-read")
    assert not dosing.events("meal-counted", "dose-suggested", "dose-refused")
    assert "without count" in found.text


def test_no_dose_answers_the_question_of_the_glucose(dosing):
    dosing.say("2 slices of rye bread")
    found = dosing.say("no dose")
    assert found.counted == pytest.approx(33.6)
    assert found.data["dose"] is None
    assert not dosing.events("meal-counted")


def test_an_unknown_name_beside_it_is_asked_and_the_answer_stays_a_count(dosing):
    dosing.say("2 slices of rye bred, no dose")
    found = dosing.say("1")
    assert found.counted == pytest.approx(33.6)
    assert found.data["dose"] is None


CRUNCHIES = "new food count crunchies: EU label, per 100 g: carbohydrate 50 g"


def test_a_food_whose_name_begins_so_is_settled_by_the_library(dosing):
    assert dosing.say("count crunchies 30 g, no reading").data["dose"] is None
    dosing.all(CRUNCHIES)
    found = dosing.say("count crunchies 30 g, no reading")
    assert found.status == "asked"
    assert len(found.choices) == 1  # no food is called "crunchies" alone
    assert dosing.say("1").counted == 15


def test_with_both_names_the_count_stays_a_count(dosing):
    dosing.all(CRUNCHIES, "new food crunchies: EU label, per 100 g: carbohydrate 80 g")
    dosing.say("count crunchies 30 g, no reading")
    found = dosing.say("2")
    assert found.counted == 24
    assert found.data["dose"] is None
    dosing.say("just count crunchies 30 g, no reading")
    found = dosing.say("1")
    assert found.counted == 15
    assert found.data["dose"] is None


def test_the_same_dose_told_twice_is_asked_about(dosing):
    dosing.say("took 4 units", "08:00")
    found = dosing.say("took 4", "08:01")
    assert found.status == "asked"
    assert "4 units were logged already" in found.text
    assert "8 units in all" in found.text
    dosing.say("no")
    dosing.say("yes")
    assert "Active insulin now: 4 units" in dosing.say("what is active now", "08:00").text


def test_the_same_dose_taken_twice_stays(dosing):
    dosing.say("took 4 units", "08:00")
    dosing.say("took 4", "08:01")
    assert dosing.say("yes").status == "answered"
    assert [e.units for e in dosing.events("dose-taken")] == [4, 4]


def test_one_that_was_confirmed_and_typed_again_is_asked_about(dosing):
    dosing.say("2 slices of rye bread, no reading", "08:00")
    dosing.say("took it")
    assert dosing.say("took 3 units", "08:02").status == "asked"


@pytest.mark.parametrize(
    ("text", "clock"),
    [
        *(("took 3 units", "08:01"), ("took 4 units", "08:06")),
        *(("took 4 units at 07:30", "08:01"), ("took 4 units, that is right", "08:01")),
    ],
)
def test_another_dose_is_no_repetition(dosing, text, clock):
    dosing.say("took 4 units", "08:00")
    assert dosing.say(text, clock).status == "answered"


def test_what_was_understood_and_what_became_of_it_is_told(dosing):
    found = dosing.say("2 slices of rye bread and wibble and wobbleberry, bg 131 mg/dL")
    assert found.status == "asked"
    for told in (
        "wibble",
        "wobbleberry",
        "I understood 2 slices of rye bread",
        "Nothing was counted",
    ):
        assert told in found.text
    assert "bg 131 milligrams per decilitre is not logged" in found.text
    assert not dosing.events("glucose-read", "meal-counted")


def test_a_reading_that_waits_for_an_answer_says_so_and_goes_with_it(dosing):
    found = dosing.say("2 slices of rye bred, bg 131 mg/dL")
    assert "is not logged yet: it goes with the answer" in found.text
    assert dosing.say("1").data["dose"] is not None
    assert [e.glucose.value for e in dosing.events("glucose-read")] == [131]


def test_a_reading_beside_no_food_is_told(dosing):
    assert "is not logged" in dosing.say("bg 250 mg/dL, going for a run").text


def test_a_reading_of_a_count_is_told_as_logged(dosing):
    found = dosing.say("how many carbs are in 2 slices of rye bread, glucose 151 mg/dL")
    assert "151 milligrams per decilitre is logged" in found.text


QUESTIONS = {
    "IOB": "No insulin is active",
    "what is on board": "No insulin is active",
    "bolus?": "A dose is worked out for a meal",
    "what dose": "A dose is worked out for a meal",
    "how much do I take": "A dose is worked out for a meal",
    "last dose": "No dose is in the journal",
    "when did I last take insulin": "No dose is in the journal",
    "how much insulin today": "today",
    "what's my ratio": "10 grams per unit",
    "what is my ratio": "10 grams per unit",
    "week": "2 March",
    "how many carbs": "Of what?",
    "why 4?": "Nothing was counted yet",
    "exit": '"bye" leaves it',
    "q": '"bye" leaves it',
    "can I have 200 ml milk?": "cannot tell",
    "no dose": "no food with it",
    "ketones 1.5": "care team's plan",
    "rising fast": "no dose is changed",
    "I only ate 1 slice": "No meal",
}


@pytest.mark.parametrize("words", QUESTIONS)
def test_a_question_gets_its_answer_and_is_no_new_food(dosing, words):
    found = dosing.say(words)
    assert found.status == "answered"
    assert QUESTIONS[words].replace('"', "") in found.text
    assert "new food" not in found.text
    for line in found.reply.lines:
        if line.role == "next":
            for sentence in line.args["sentences"].items:
                assert dosing.say(sentence.text).status in {"answered", "asked"}
                assert "did not understand" not in dosing.say(sentence.text).text


@pytest.mark.parametrize(
    "words",
    [
        *("correction for 250", "sugar 130", "3u", "3 units at 8", "forgot to log 3 units at 8"),
        *("7.2", "correction 50", "forgot to log 3 units at 25"),
        *("2 slices of rye bread, ketones 1.5, no reading", "200 ml milk, rising, no reading"),
    ],
)
def test_what_may_be_two_things_is_asked_and_each_choice_works(dosing, words):
    asked = dosing.say(words)
    assert asked.status == "asked"
    assert "new food" not in asked.text
    assert not dosing.events("dose-taken", "glucose-read", "meal-counted")
    for number in range(1, len(asked.choices) + 1):
        dosing.say(words)
        found = dosing.say(str(number))
        assert "did not understand" not in found.text
        dosing.say("cancel")


def test_units_that_may_have_been_taken_hold_back_the_next_dose(dosing):
    dosing.say("forgot to log 3 units at 8", "12:00")
    assert "unsettled-dose" in dosing.say("2 slices of rye bread, no reading").rules
    dosing.say("1")
    taken = dosing.events("dose-taken")
    assert [(e.units, f"{e.taken_at:%H:%M}") for e in taken] == [(3, "08:00")]


def test_a_reading_without_a_meal_is_logged_and_no_correction_is_worked_out(dosing):
    found = dosing.say("bg 250 mg/dL, no food")
    assert found.data["dose"] is None
    assert [e.glucose.value for e in dosing.events("glucose-read")] == [250]
    assert "no correction without a meal" in found.text


def test_the_last_dose_is_the_newest_by_when_it_was_taken(dosing):
    dosing.say("took 5 units", "09:00")
    dosing.say("took 2 units at 08:00", "09:01")
    assert "5 units at 09:00" in dosing.say("last dose").text


def test_no_with_an_open_dose_asks_in_its_own_sense(dosing):
    dosing.say("2 slices of rye bread, no reading")
    assert "did not take 3 units" in dosing.say("no").text
    assert "not taken" in dosing.say("not taken").text


@pytest.mark.parametrize(
    "words", ["IOB please", "what about tomorrow", "forgot my insulin", "is this right?",
              "my levels were odd", "please restart", "should I worry"]
)  # fmt: skip
def test_a_new_food_is_never_offered_for_a_question_or_a_statement(dosing, words):
    assert "new food" not in dosing.say(words).text


def test_a_new_food_is_offered_for_what_may_be_one(dosing):
    assert "new food coffee" in dosing.say("coffee").text


def test_an_amount_that_is_known_is_not_blamed(dosing):
    found = dosing.say("3 slices smeared rye bread")
    assert "understand 3" not in found.text


@pytest.mark.parametrize("text", ["lunch: 200 ml milk", "my sugar is 130 mg/dL, eating 200 ml milk",
                                  "ate 200 ml milk", "200 ml milk, feeling sick"])  # fmt: skip
def test_meals_in_a_hurry_are_meals(dosing, text):
    found = dosing.say(text)
    found = dosing.say("no reading") if found.status == "asked" else found
    assert found.counted == pytest.approx(9.6)  # 4.8 g in 100 ml


def test_feeling_sick_is_illness(dosing):
    well = dosing.say("200 ml milk, no reading").rules
    dosing.say("not taken")
    assert set(dosing.say("100 ml milk, no reading, feeling sick").rules) - set(well)


def test_a_reading_of_yesterday_is_no_low_of_now(dosing):
    found = dosing.say("glucose 3 mmol/L yesterday", "08:00")
    assert found.status == "asked"
    assert not dosing.events("glucose-read", "low-felt")
    dosing.say("21:00")
    read = dosing.events("glucose-read")[0]
    assert f"{read.taken_at:%d %H:%M}" == "01 21:00"


@pytest.mark.parametrize(
    ("text", "counted"),
    [
        ("half of 2 slices of rye bread, no reading", 16.8),
        ("50% of 70 g rye bread, no reading", 16.8),
        ("half of 200 ml milk, no reading", 4.8),
    ],
)
def test_a_part_of_a_measured_amount(dosing, text, counted):
    assert dosing.say(text).counted == pytest.approx(counted)


def test_pounds_with_ounces_are_one_weight(dosing):
    """18 ounces of 28.349523125 g each (NIST Handbook 44, appendix C): 48 g per 100 g."""
    from fractions import Fraction

    found = dosing.say("1 lb 2 oz rye bread, count only")
    assert found.counted == 18 * Fraction("28.349523125") * Fraction(48, 100)


def test_half_of_a_meal_is_still_a_change_of_it(counting):
    counting.say("2 slices of rye bread")
    assert counting.say("I only ate half of it").counted == pytest.approx(16.8)


def test_a_name_with_a_joiner_is_told_in_one_piece(dosing):
    dosing.all("new food salt and vinegar crisps: EU label, per 100 g: carbohydrate 50 g")
    found = dosing.say("30 g salt and vinegar crisps, 200 ml milk and wibble, no reading")
    assert "I understood 30 grams salt and vinegar crisps, 200 millilitres milk." in found.text

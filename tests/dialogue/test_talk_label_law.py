"""A law that was set and that a label is at odds with is asked about, not held against it."""


def test_a_set_law_that_the_label_contradicts_is_asked(empty):
    empty.all("my labels are EU labels", "count total carbohydrate")
    found = empty.say(
        "new food bar: Nutrition Facts, serving size 40 g, Total Carbohydrate 27 g, "
        "Dietary Fiber 6 g, blorb zork"
    )
    assert found.codes[-3] == "ask-label-unread"
    asked = empty.say("1")
    assert "ask-region" in asked.codes
    assert "food-saved" in empty.say("US").codes

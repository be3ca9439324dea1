"""Which measure of its source the words of a portion mean: one, several that are asked, or none.

Every food is invented. The rule: what was said has to be part of the measure's words; what may be
two weights is asked; what stands in brackets in the source need not be said.
"""

from fractions import Fraction

import pytest

from assistant.counting.facts import FoodFacts, Measure
from assistant.counting.source_measures import (
    Which,
    density,
    has_how,
    hops,
    meant,
    of_source,
    told_apart,
)
from grammar.nodes import MeasureWord


def src(unit, grams=None, how="", note="", count="1", ml=None):
    return Measure(
        Fraction(count), unit, None if grams is None else Fraction(grams),
        None if ml is None else Fraction(ml), how, note, of_source=True,
    )  # fmt: skip


def own(unit, grams="200"):
    return Measure(Fraction(1), unit, Fraction(grams))


def food(*extra, name="Onions, mill, raw"):
    return FoodFacts(name, "table-available", "100 g", {}, extra=extra)


def word(unit, kind="kitchen", size=None, how="", said=None):
    return MeasureWord(unit, kind, said or unit, size, how)


CHOPPED, SLICED = src("cup", "160", "chopped"), src("cup", "115", "sliced")
FINE = src("cup", "170", "chopped, fine")
RING = src("slice", "10")
ONION = food(CHOPPED, FINE, SLICED, RING)


@pytest.mark.parametrize(
    ("measure", "told"),
    [
        (src("cup"), "cup"),
        (src("cup", how="chopped"), "cup, chopped"),
        (src("cup", note="8 fl oz"), "cup (8 fl oz)"),
        (src("cup", how="chopped", note="dry"), "cup, chopped (dry)"),
    ],
)
def test_a_measure_is_told_in_the_words_of_its_source(measure, told):
    assert measure.told == told


def test_a_measure_that_the_user_told_has_no_words_of_a_source():
    told = Measure(Fraction(1), "cup", Fraction(200))
    assert (told.how, told.note, told.of_source) == ("", "", False)
    assert food().licence == food().dated == ""


@pytest.mark.parametrize(
    ("how", "found"),
    [
        # the measure that says just this, though another says it and more
        ("chopped", CHOPPED),
        ("sliced", SLICED),
        # in any order, number and case
        ("fine chopped", FINE),
        ("Sliced", SLICED),
        # one measure that says more than was said is asked, though no other could be meant
        ("fine", Which((FINE,))),
        # words that no measure knows are not dropped: all of its cups are asked
        ("grated", Which((CHOPPED, FINE, SLICED))),
        ("chopped grated", Which((CHOPPED, FINE, SLICED))),
        # nothing behind the cup: any of them
        ("", Which((CHOPPED, FINE, SLICED))),
    ],
)
def test_words_behind_a_measure_pick_it(how, found):
    assert meant(ONION, word("cup", how=how), "onion") == found


def test_words_that_fit_two_weights_are_asked():
    facts = food(src("cup", "160", "chopped, raw"), src("cup", "200", "chopped, cooked"))
    assert meant(facts, word("cup", how="chopped"), "onion") == Which(facts.extra)


def test_one_measure_that_says_more_than_was_said_is_asked():
    """ "1 cup" where the source knows a chopped one only."""
    assert meant(food(CHOPPED), word("cup"), "onion") == Which((CHOPPED,))


def test_what_stands_in_brackets_need_not_be_said_but_may():
    noted = src("cup", "160", "chopped", "dry")
    assert meant(food(noted), word("cup", how="chopped"), "onion") == noted
    assert meant(food(noted, SLICED), word("cup", how="chopped dry"), "onion") == noted
    assert meant(food(noted, SLICED), word("cup", how="dry"), "onion") == Which((noted,))
    bare = src("cup", "160", note="8 fl oz")
    assert meant(food(bare, SLICED), word("cup"), "onion") == bare


@pytest.mark.parametrize(("grams", "one"), [("102", True), ("102.01", False), ("100", True)])
def test_two_of_one_wording_are_one_within_two_per_cent(grams, one):
    """The share is this program's own (two rounded weights), no source."""
    for first, second in (("100", grams), (grams, "100")):
        facts = food(src("cup", first, note="a"), src("cup", second, note="b"))
        found = meant(facts, word("cup"), "onion")
        assert found == (facts.extra[0] if one else Which(facts.extra))


def test_two_weights_of_the_very_words_are_asked_and_no_other():
    first, second = src("cup", "100"), src("cup", "200")
    facts = food(CHOPPED, first, second)
    assert meant(facts, word("cup"), "onion") == Which((first, second))
    assert meant(facts, word("cup", "source"), "onion") == Which((first, second))


def test_the_words_of_the_source_are_compared_by_their_singular():
    plain, thin = src("cup", "100", "Slices"), src("cup", "120", "slices, thin")
    assert meant(food(thin, plain), word("cup", how="slices"), "apple") == plain


def test_weights_are_compared_for_one_of_the_measure():
    facts = food(src("cup", "200", note="a", count="2"), src("cup", "100", note="b"))
    assert meant(facts, word("cup"), "onion") == facts.extra[0]
    halves = food(src("cup", "200", note="a", count="2"), src("cup", "200", note="b"))
    assert meant(halves, word("cup"), "onion") == Which(halves.extra)


def test_volumes_are_compared_where_no_weight_is_known():
    same = food(src("cup", ml="240", note="a"), src("cup", ml="240", note="b"))
    assert meant(same, word("cup"), "milk") == same.extra[0]
    other = food(src("cup", ml="240", note="a"), src("cup", ml="250", note="b"))
    assert meant(other, word("cup"), "milk") == Which(other.extra)


def test_a_weight_is_not_compared_with_a_volume():
    """240 g of syrup are no 240 ml of it."""
    mixed = food(src("cup", "240", note="a"), src("cup", ml="240", note="b"))
    assert meant(mixed, word("cup"), "syrup") == Which(mixed.extra)
    # what says more than was said is not asked about beside them
    assert meant(food(*mixed.extra, CHOPPED), word("cup"), "syrup") == Which(mixed.extra)
    both = food(src("cup", "240", note="a", ml="180"), src("cup", "240", note="b"))
    assert meant(both, word("cup"), "syrup") == both.extra[0]


def test_a_measure_in_the_sources_own_words_is_that_one():
    """As a choice among several is typed back."""
    wide = src("slice", "20", note='3" dia')
    facts = food(CHOPPED, FINE, wide, RING)
    for said, found in (
        ("cup, chopped", CHOPPED), ("Cups chopped fine", FINE), ("slice", RING),
        ("slice (3 dia)", wide), ('slice (3" dia)', wide),
    ):  # fmt: skip
        assert meant(facts, word(said, "source"), "onion") == found
    assert meant(facts, word("cup", "source"), "onion") is None


@pytest.mark.parametrize(
    ("unit", "kind"), [("gram", "mass"), ("ounce", "oz"), ("unit", "letter"), ("litre", "volume")]
)
def test_a_weight_or_a_volume_is_never_a_measure_of_the_source(unit, kind):
    assert meant(food(src(unit, "28")), word(unit, kind), "onion") is None


def test_a_volume_with_words_behind_it_is_looked_for():
    heaped = src("litre", "700", "heaped")
    assert meant(food(heaped), word("litre", "volume", how="heaped"), "onion") == heaped
    assert meant(food(heaped), word("gram", "mass", how="heaped"), "onion") is None


@pytest.mark.parametrize(
    "unit",
    ["ring", "red ring", "red", "item", "each", "whole", "unit", "fruit"],
)
def test_a_bare_count_is_of_the_food_itself(unit):
    """ "2 red rings": its last word, its name, its first word ("Rings, red, raw"), or one piece."""
    one = src(unit, "30")
    assert meant(food(src("cup", "90"), one), None, "Red rings") == one


def test_a_bare_count_goes_by_the_likeliest_unit_first():
    units = ("ring", "red ring", "red", "item", "each", "whole", "unit", "fruit")
    for place in range(len(units)):
        left = [src(unit, str(30 * n)) for n, unit in enumerate(units[place:], 1)]
        assert meant(food(*reversed(left)), None, "red rings") == left[0]


def test_a_bare_count_without_a_name_knows_one_piece_only():
    assert meant(food(src("item", "30")), None, "") == src("item", "30")
    assert meant(food(src("something", "30")), None, "") is None


@pytest.mark.parametrize(
    "unit",
    ["small", "medium", "large", "extra small"],
)
def test_a_bare_count_of_a_food_that_has_sizes_is_asked(unit):
    one = src(unit, "150")
    assert meant(food(src("cup", "90"), one), None, "apple") == Which((one,))


def test_sizes_of_a_piece_are_asked_where_no_size_was_said():
    large, small = src("large slice", "40"), src("small slice", "20")
    facts = food(large, CHOPPED, small, src("medium", "150"))
    assert meant(facts, word("slice", "piece"), "bread") == Which((large, small))
    # a size, or words behind the measure, were said: none of those without them
    for said in (
        word("slice", "piece", "medium"), word("slice", "size"), word("slice", "piece", how="x"),
    ):  # fmt: skip
        assert meant(facts, said, "bread") is None


def test_sizes_stand_beside_other_measures_that_may_be_meant_in_the_sources_order():
    thin, large = src("slice", "20", "thin"), src("large slice", "40")
    for facts in (food(thin, large), food(large, thin)):
        assert meant(facts, word("slice", "piece"), "bread") == Which(facts.extra)
    plain = src("slice", "30")
    assert meant(food(large, plain, thin), word("slice", "piece"), "bread") == plain


@pytest.mark.parametrize(
    "unit",
    ["large", "large ring", "large red", "large item", "large each", "large whole", "large unit",
     "large fruit"],
)  # fmt: skip
def test_a_size_is_of_the_food_itself(unit):
    one = src(unit, "30")
    facts = food(src("small", "10"), one, src("large cup", "90"))
    assert meant(facts, word("large", "size"), "red rings") == one
    assert meant(facts, word("medium", "size"), "red rings") is None


def test_a_measure_with_a_size_is_that_size_of_it():
    large, plain = src("large slice", "40"), src("slice", "30")
    assert meant(food(plain, large), word("slice", "piece", "large"), "bread") == large
    assert meant(food(plain), word("slice", "piece", "large"), "bread") is None


def test_a_measure_that_is_no_size_is_not_looked_for_before_the_foods_name():
    assert meant(food(src("slice item", "30")), word("slice", "piece"), "bread") is None


@pytest.mark.parametrize("kind", ["word", "pack", "vessel"])
def test_a_word_or_a_container_is_taken_as_it_was_said(kind):
    """A packet need not be the pack that the program writes for it."""
    packet, pack = src("packet", "30"), src("pack", "300")
    assert meant(food(pack, packet), word("pack", kind, said="Packets"), "tea") == packet
    assert meant(food(pack, packet), word("pack", "piece", said="Packets"), "tea") == pack


def test_a_measure_that_the_user_told_goes_before_the_sources():
    told = own("cup")
    facts = food(told, src("cup", "150"), CHOPPED, RING)
    assert of_source(facts) == (CHOPPED, RING)
    assert meant(facts, word("cup"), "onion") is None
    assert meant(facts, word("cup", how="chopped"), "onion") == CHOPPED
    assert meant(facts, word("slice", "piece"), "onion") == RING
    assert of_source(food(CHOPPED, src("cup", "150"))) == (CHOPPED, src("cup", "150"))


def test_a_measure_of_another_name_is_none_of_the_sources():
    assert meant(ONION, word("tablespoon"), "onion") is None
    assert meant(ONION, word("tablespoon", how="chopped"), "onion") is None


@pytest.mark.parametrize(
    ("unit", "how", "known"),
    [
        ("cup", "chopped", True), ("cup", "Fine", True), ("cup", "fine chopped", True),
        ("cup", "grated", False), ("cup", "chopped grated", False), ("cup", "", False),
        ("slice", "chopped", False), ("tablespoon", "chopped", False),
    ],
)  # fmt: skip
def test_words_are_of_a_measure_where_the_source_has_them(unit, how, known):
    assert has_how(ONION, word(unit), "onion", how) is known


def test_quotation_marks_are_no_words():
    assert has_how(food(src("cup", "90", '"fine" cut')), word("cup"), "onion", 'fine "cut"') is True


def test_words_in_brackets_are_no_words_of_the_measure():
    assert has_how(food(src("cup", "90", note="dry")), word("cup"), "onion", "dry") is False


# What a volume of the food weighs.


def test_the_largest_volume_tells_the_weight_best():
    cup, spoon = src("cup", "245", ml="240"), src("tablespoon", "15", ml="15")
    for facts in (food(cup, spoon), food(spoon, cup)):
        assert density(facts) == (cup,)


def test_a_volume_with_further_words_or_without_a_weight_tells_none():
    told = own("mug")
    for extra in ((), (CHOPPED,), (src("cup", "245", "hot", ml="240"),), (src("cup", ml="240"),),
                  (src("cup", "245"),), (told,)):  # fmt: skip
        assert density(food(*extra)) == ()


@pytest.mark.parametrize(("grams", "agree"), [("105", True), ("105.1", False), ("95", False)])
def test_volumes_that_disagree_by_more_than_five_per_cent_tell_no_weight(grams, agree):
    """The share is this program's own, no source. 100 ml weigh 100 g by the larger one."""
    large, small = src("mug", "300", ml="300"), src("cup", grams, ml="100")
    assert density(food(small, large)) == ((large,) if agree else ())


# From the measure to grams or millilitres.

OWN = {"cup": Fraction(250)}


@pytest.mark.parametrize(
    ("measure", "kitchen", "expected"),
    [
        # as the source has it, for one of it
        (src("cup", "320", "chopped", count="2"), {},
         [("cup, chopped", "gram", "160", "source")]),
        (src("cup", ml="480", note="hot", count="2"), {},
         [("cup (hot)", "millilitre", "240", "source")]),
        (src("slice", "30", ml="60"), OWN, [("slice", "gram", "30", "source")]),
        # a cup that the user set: by its volume against the source's
        (src("cup", "120", ml="240"), OWN,
         [("cup", "millilitre", "250", "kitchen"), ("millilitre", "gram", "1/2", "source")]),
        (src("cup", ml="240"), OWN, [("cup", "millilitre", "250", "kitchen")]),
    ],
)  # fmt: skip
def test_each_hop_tells_what_it_rests_on(measure, kitchen, expected):
    assert hops(measure, kitchen) == tuple((a, b, Fraction(r), why) for a, b, r, why in expected)


def test_a_cup_of_the_users_is_not_the_sources_where_the_volume_of_that_is_unknown():
    assert hops(src("cup", "160"), OWN) is None


@pytest.mark.parametrize(
    ("unit", "said", "source"),
    [
        ("cup", "packed", "loosely packed"),
        ("cup", "dry", "dry mix, prepared"),
        ("slice", "thin crust", "thin, crust not eaten"),
    ],
)
def test_a_measure_that_may_say_the_opposite_of_what_was_said_is_asked_about(unit, said, source):
    only = src(unit, "60", source)
    assert meant(food(only), word(unit, how=said), "kale") == Which((only,))
    assert meant(food(only), word(unit, how=source.replace(",", "")), "kale") == only


def test_a_measure_for_one_thing_or_the_other_is_for_each_of_them():
    either = src("cup", "125", "quartered or chopped")
    assert meant(food(either), word("cup", how="chopped"), "apple") == either
    assert meant(food(either), word("cup", how="quartered"), "apple") == either
    assert meant(food(either), word("cup"), "apple") == Which((either,))


SMALL, BIG = src("piece", "19"), src("piece", "28")
TWO, THREE = (
    src("serving", "45", note="links", count="2"),
    src("serving", "60", note="links", count="3"),
)
JUG, CARTON = src("carton", ml="240"), src("carton", "240")
TWINS = food(SMALL, BIG, TWO, THREE, JUG, CARTON, src("slice", "10"))


@pytest.mark.parametrize(
    ("measure", "words"),
    [
        (SMALL, "piece [19 g]"),
        (BIG, "piece [28 g]"),
        (TWO, "serving (links) [45 g for 2]"),
        (THREE, "serving (links) [60 g for 3]"),
        (JUG, "carton [240 ml]"),
        (CARTON, "carton [240 g]"),
        (src("slice", "10"), "slice"),
    ],
)
def test_measures_of_the_same_words_are_told_apart_by_their_weight(measure, words):
    """What a question offers has to mean one measure, or its answer asks the same again."""
    assert told_apart(measure, of_source(TWINS)) == words
    assert meant(TWINS, word(words, "source"), "") == measure
    spoken = words.replace(" g", " grams").replace(" ml", " millilitres")
    assert meant(TWINS, word(spoken, "source"), "") == measure


@pytest.mark.parametrize(
    "words",
    ["piece [20 g]", "piece [19 ml]", "piece [19 kg]", "piece [19 g for 2]", "piece [1.9.1 g]",
     "piece [1/0 g]", "piece [19 bananas]", "crumb [19 g]"],
)  # fmt: skip
def test_a_weight_that_the_source_does_not_have_is_no_measure(words):
    assert meant(TWINS, word(words, "source"), "") is None


def test_a_source_may_write_brackets_itself():
    odd = src("piece [5 g]", "7")
    assert meant(food(odd, SMALL), word("piece [5 g]", "source"), "") == odd


def test_the_words_alone_are_still_asked_about():
    assert meant(TWINS, word("piece", "source"), "") == Which((SMALL, BIG))

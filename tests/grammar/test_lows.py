"""A low told in words is found wherever it stands; what turns it round is a doubt, no low.

The wordings are common practice, no source: what meters show ("LO"), and what people type.
"""

import pytest

from grammar.lows import LONGEST, read_low

LOWS = """
bg LO
bg low
BG LO
bg: LO
bg=lo
meter says LO
my meter shows LO
meter LO
meter reads low
the meter is reading LO
glucose low
glucose LO
my glucose is low
my blood glucose is very low
blood sugar low
my blood sugar's low
sugar low
sugars are low
my sugar is low
sensor low
sensor says low
sensor LO
cgm low
reading low
reading is LO
reading LO
my levels are low
level low
I feel low
i'm low
im low
I am low
am I low
low
lo
LO
LOW!
hypo
hypo now
having a hypo
I'm having a hypo
i think i'm having a low
having a low
I am hypo
going low
I'm going low
feeling low
feeling shaky
shaky
bit shaky
I feel shaky
still low
very low
low again
low now
low bg
low blood sugar
low sugar
low glucose
low reading
got a low reading
sensor alarm low
low alarm
urgent low
low alert on my sensor
my sugar keeps going low
it says LO
says LO
it reads low
gone low
I've gone low
dropped low
i am really low
help I'm low
treating a low
2 slices of rye bread, bg LO
2 slices of rye bread bg low
2 slices of rye bread and bg low
2 slices of rye bread, low
2 slices of rye bread, LO
2 slices of rye bread LO
2 slices of rye bread, no reading, low
shaky, 2 slices of rye bread, no reading
low, 2 slices of rye bread, no reading
feeling low, 2 slices of rye bread, no reading
I feel low and ate 2 slices of rye bread
2 slices of rye bread, my meter shows LO
2 slices of rye bread meter LO
2 slices of rye bread, hypo
2 slices of rye bread for a hypo
2 slices of rye bread to treat a low
2 slices of rye bread, I'm low
2 slices of rye bread because I'm low
2 slices of rye bread while low
2 slices of rye bread, glucose says low
what do I do, my meter says LO
why am I low
is my glucose low
took 4 units, feeling low
bg is on the low side
glucose reading of LO
glucose reads "LO"
my glucose level is low
bg L0
hypoglycemic
hypoglycaemia
I am hypoglycaemic
think I'm low
might be low
maybe low
crashing
I went low an hour ago
was low earlier
had a hypo
just had a low
my pump says low
bgl low
bs low
low according to my meter
I feel really low and shaky
low bg, 2 slices of rye bread, no reading
was low this morning
""".strip().split("\n")
DOUBTS = """
not low
I'm not low
I am not low
bg not low
bg is not low
my glucose isn't low
no longer low
not feeling low
I don't feel low
not shaky
no hypo
no low
no lows today
2 slices of rye bread, not low
2 slices of rye bread, no reading, not low
2 slices of rye bread, not low, no reading
what if I go low
what is a hypo
if I go low
to avoid a low, 2 slices of rye bread
I was low yesterday
hypo last night
dizzy
I feel dizzy
sweaty
bg dropping
dropping fast
falling
2 slices of rye bread, bg falling
arrow down
lowish
how do I treat a hypo
never low
""".strip().split("\n")
NEITHER = """
200 ml low fat milk
low fat milk
2 slices low carb bread
low sugar jam 20 g
20 g low sugar jam
low-fat yoghurt 100 g
100 g lo mein
LO MEIN 100 G
low GI bread 2 slices
2 slices of rye bread, bg 131
marshmallows
I'm having low fat milk
having low carb bread
I have low fat milk, glucose 120
glucose 120, low carb wrap 1
1 shake
2 milkshakes
1 glass of low alcohol beer
very low calorie drink 200 ml
2 slices of rye bread and low fat milk 200 ml
new food low fat milk: EU label, per 100 ml: carbohydrate 4.8 g
slow cooked beef 100 g
30 g tank
yellow lollies 3
1 low calorie soda
reading glasses
allow
blow
hello
lower my target
below
load the labels
show low fat milk
my pump low fat
""".strip().split("\n")


@pytest.mark.parametrize("text", LOWS)
def test_a_low_in_any_words_is_found(text):
    found = read_low(text)
    assert found is not None
    assert found.sure


@pytest.mark.parametrize("text", DOUBTS)
def test_words_that_may_tell_none_are_a_doubt_and_no_low(text):
    found = read_low(text)
    assert found is not None
    assert not found.sure


@pytest.mark.parametrize("text", NEITHER)
def test_what_foods_are_low_in_tells_nothing(text):
    assert read_low(text) is None


READERS = (
    *("bg", "glucose", "my glucose", "blood sugar", "my blood glucose", "sugar", "meter", "cgm"),
    *("my meter", "sensor", "reading"),
)
VERBS = ("", "is", "says", "reads", "shows", "is reading", "still says", ":")


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("verb", VERBS)
@pytest.mark.parametrize("low", ["LO", "lo", "low", "Low", "LOW"])
def test_every_word_for_a_reading_with_every_low(reader, verb, low):
    """Alone, before a meal and behind one."""
    told = " ".join(f"{reader} {verb} {low}".split())
    for text in (told, f"{told}, 2 slices of rye bread", f"2 slices of rye bread, {told}"):
        found = read_low(text)
        assert found is not None, text
        assert found.sure, text


@pytest.mark.parametrize(
    ("text", "rest"),
    [
        ("2 slices of rye bread, not low, no reading", "2 slices of rye bread, no reading"),
        ("not low, 2 slices of rye bread", "2 slices of rye bread"),
        ("2 slices of rye bread and not low", "2 slices of rye bread"),
        ("not low", ""),
    ],
)
def test_the_rest_is_the_sentence_without_the_doubt_alone(text, rest):
    found = read_low(text)
    assert found is not None
    assert found.rest == rest


def test_a_book_is_not_looked_through():
    assert read_low("bg LO " + "a" * LONGEST) is None

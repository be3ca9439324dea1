"""Trials of a library of any size: invented foods in any number, by a seed.

Every name, word and figure is made up. The words follow the lengths and the unevenness of real
food lists: few words are in very many names, many words in few.
"""

import random
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from assistant.counting.facts import FoodFacts, Measure, Nutrient
from assistant.store import codec, shelf_writer

SEED = 20260302

KNOWN = (
    "Oat cereal",
    "Milk",
    "Milk, semi-skimmed",
    "Crème fraîche",
    "Rye bread",
    "Orange juice",
    "Strawberries",
    "Ice cream, vanilla",
    "Wholemeal pita",
    "Apple, raw, with skin",
)
"""Foods that are on every shelf of the trials, whatever its size."""

SLIPS = (
    ("mlik", "Milk"),
    ("oat ceral", "Oat cereal"),
    ("cereal oat", "Oat cereal"),
    ("oat cereals", "Oat cereal"),
    ("creme fraiche", "Crème fraîche"),
    ("créme-fraiche", "Crème fraîche"),
    ("semi skimmed milk", "Milk, semi-skimmed"),
    ("skimmed-milk semi", "Milk, semi-skimmed"),
    ("rye braed", "Rye bread"),
    ("ornage jiuce", "Orange juice"),
    ("straw berry", "Strawberries"),
    ("strawbery", "Strawberries"),
    ("vanilla icecream", "Ice cream, vanilla"),
    ("wholemael pitta", "Wholemeal pita"),
    ("raw apple with skin", "Apple, raw, with skin"),
)
"""What may be typed, and the name that must be offered, whatever else there is."""

_COMMON = """
oat cereal milk bread rice apple orange juice cake soup bean pie bar drink cheese cream sauce
pasta potato onion tomato chicken beef fish egg sugar salt flour corn wheat rye barley plum
cherry berry peach pear grape lemon lime carrot pepper garlic butter oil yogurt chocolate
vanilla biscuit cracker muffin waffle pancake bagel noodle lentil pea nut almond raisin honey
raw cooked dried frozen canned baked fried roasted sliced chopped whole skimmed plain sweet
with without and in low fat sugar-free reduced organic unsalted light dark fresh ready mixed
"""
_PARTS = "ba ke li mo nu ra so ti ve wa zu pre sta dri glo min tor cal fen dou pis ram jel kor"


def _word(chance: random.Random, parts: list[str]) -> str:
    return "".join(chance.choices(parts, k=chance.choice((2, 2, 3, 3, 4))))


def _names(count: int, seed: int) -> Iterator[str]:
    """So many names, each different by the number that some carry."""
    chance = random.Random(seed)  # noqa: S311 - a trial that comes out the same each time
    common, parts = _COMMON.split(), _PARTS.split()
    rare = sorted({_word(chance, parts) for _ in range(60_000)})
    chance.shuffle(rare)
    yield from KNOWN[:count]
    for number in range(count - len(KNOWN)):
        words = chance.choices(common, k=chance.choice((1, 2, 2, 3, 3, 4)))
        # a few of the rare words are in many names, most of them in few
        words.append(rare[int(len(rare) * chance.random() ** 4)])
        if chance.random() < 0.6:
            words.insert(0, rare[int(len(rare) * chance.random() ** 2)])
        if chance.random() < 0.3:
            words.append(str(number))
        yield ", ".join((" ".join(words[:2]).capitalize(), *words[2:]))


def _facts(name: str, chance: random.Random) -> FoodFacts:
    most = {"carbohydrate": (100, 600), "fibre": (0, 80), "fat": (0, 150), "protein": (0, 150)}
    nutrients = {
        nutrient: Nutrient(Fraction(chance.randint(*tenths), 10), "g", decimals=1)
        for nutrient, tenths in most.items()
    }
    measure = Measure(Fraction(1), "cup", Fraction(chance.randrange(30, 300)))
    return FoodFacts(name, "US", "100 g", nutrients, extra=(measure,), source="invented")


def rows(count: int, seed: int = SEED) -> Iterator[tuple[str, str, str]]:
    """(identity, name, facts as text): a few sets of figures, since the names are what is tried."""
    chance = random.Random(seed)  # noqa: S311 - as above
    blank = "NAME-OF-THE-FOOD"
    texts = [codec.facts_short(_facts(blank, chance)) for _ in range(500)]
    for number, name in enumerate(_names(count, seed)):
        yield f"invented:{number}", name, texts[number % len(texts)].replace(blank, name)


def fill(home: Path, count: int, seed: int = SEED) -> None:
    """Puts so many invented foods on the shelf of a folder."""
    with shelf_writer.filling(home) as writer:
        source = writer.source("invented foods", "made up for the benchmark")
        for food_id, name, facts in rows(count, seed):
            writer.add_row(food_id, name, facts, source)

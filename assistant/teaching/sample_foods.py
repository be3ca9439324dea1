"""Invented foods of the demo and of practice, as they are typed, and ways to say a portion."""

from collections.abc import Mapping
from types import MappingProxyType

from msgspec import Struct

DEMO_FOODS = (
    "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, carbohydrate 27 g, "
    "fibre 6 g",
    "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g",
    "new food rye bread: EU label, serving 1 slice (35 g), per 100 g: carbohydrate 42 g, "
    "fibre 8.5 g",
    "new food crackers: US label, serving 5 crackers (15 g), 12 servings, carbohydrate 10 g, "
    "fibre 1 g",
    "new food apple: EU label, serving 1 medium (150 g), per 100 g: carbohydrate 12 g, fibre 2.4 g",
    "new food cooked rice: EU label, serving 1 cup (160 g), per 100 g: carbohydrate 28 g, "
    "fibre 0.4 g",
    "new food orange juice: EU label, per 100 ml: carbohydrate 9 g, fibre 0.2 g",
    "new food half and half: US label, serving 2 tbsp (30 ml), 15 servings, carbohydrate 1 g, "
    "fibre 0 g",
)
PRACTICE_FOODS = (
    "new food bean soup: US label, serving 1 cup (240 ml), 2 servings, carbohydrate 22 g, "
    "fibre 7 g",
    "new food seed bar: US label, serving 1 bar (40 g), 6 servings, carbohydrate 23 g, fibre 4 g",
    "new food mint bar: US label, serving 1 bar (40 g), 6 servings, carbohydrate 24 g, fibre 3 g, "
    "sugar alcohol 10 g",
    "new food cocoa wafer: US label, serving 2 wafers (25 g), 8 servings, carbohydrate 17 g, "
    "fibre 2 g, sugar alcohol 8 g",
    "new food lentil salad: EU label, pack 300 g, per 100 g: carbohydrate 14 g, fibre 6 g",
    "new food ginger biscuits: EU label, serving 1 biscuit (12 g), per 100 g: carbohydrate 70 g, "
    "fibre 2.5 g",
    "new food berry drops: EU label, serving 1 drop (4 g), per 100 g: carbohydrate 90 g, "
    "polyols 60 g, fibre 1 g",
    "new food pea flakes: US label, serving 3/4 cup (30 g), 10 servings, carbohydrate 20 g, "
    "fibre 8 g",
)


class Ways(Struct, frozen=True):
    """How portions of a food are said, {} for the figure: by servings, pieces, weight, volume."""

    servings: str = ""
    pieces: str = ""
    weight: str = ""
    volume: str = ""
    packs: tuple[str, ...] = ()


WAYS: Mapping[str, Ways] = MappingProxyType({
    "oat cereal": Ways("{} servings of oat cereal", "", "{} g oat cereal", "",
                       ("1/3 of a pack of oat cereal",)),
    "milk": Ways("", "", "", "{} ml milk"),
    "rye bread": Ways("{} servings of rye bread", "{} slices of rye bread", "{} g rye bread"),
    "crackers": Ways("{} servings of crackers", "{} crackers", "{} g crackers", "",
                     ("1/4 of a pack of crackers", "1/2 pack of crackers")),
    "apple": Ways("{} servings of apple", "{} medium apples", "{} g apple"),
    "cooked rice": Ways("{} servings of cooked rice", "", "{} g cooked rice"),
    "orange juice": Ways("", "", "", "{} ml orange juice"),
    "half and half": Ways("{} servings of half and half", "", "", "{} ml half and half"),
    "bean soup": Ways("{} servings of bean soup", "", "", "{} ml bean soup",
                      ("1 pack of bean soup", "1/2 pack of bean soup")),
    "seed bar": Ways("{} servings of seed bar", "{} seed bars", "{} g seed bar"),
    "mint bar": Ways("{} servings of mint bar", "{} mint bars", "{} g mint bar"),
    "cocoa wafer": Ways("{} servings of cocoa wafer", "{} cocoa wafers", "{} g cocoa wafer"),
    "lentil salad": Ways("", "", "{} g lentil salad", "",
                         ("1 pack of lentil salad", "1/2 pack of lentil salad")),
    "ginger biscuits": Ways("{} servings of ginger biscuits", "{} ginger biscuits",
                            "{} g ginger biscuits"),
    "berry drops": Ways("{} servings of berry drops", "{} berry drops", "{} g berry drops"),
    "pea flakes": Ways("{} servings of pea flakes", "", "{} g pea flakes"),
})  # fmt: skip

"""Phrases written by hand, with the count worked from the labels below, or what must be asked.

The labels are invented. Net carbohydrate is counted: fibre comes off on the US labels; on the EU
and UK ones it stands outside already. A US label's cup is 240 ml, its tablespoon 15, its teaspoon
5, its fluid ounce 30 (21 CFR 101.9(b)(5)(viii)). The pound is 453.59237 g, the ounce a sixteenth.
What is right and what is asked follows the decisions on how phrases are read: a word that changes
a meaning never vanishes, an amount that could be two things is asked.
"""

from dataclasses import dataclass
from fractions import Fraction as F  # noqa: N817 - the table is read by its figures

from assistant.shell.sample_numbers import NUMBERS as SAMPLE

FOODS = (
    "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, carbohydrate 27 g, "
    "fibre 6 g",
    "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g",
    "new food rye bread: EU label, serving 1 slice (35 g), per 100 g: carbohydrate 48 g",
    "new food apple: US label, serving 1 medium (150 g), carbohydrate 21 g, fibre 4 g",
    "new food crackers: US label, serving 5 crackers (15 g), 8 servings, carbohydrate 10 g, "
    "fibre 1 g",
    "new food half and half: US label, serving 2 tbsp (30 ml), carbohydrate 1 g, fibre 0 g",
    "new food salt and vinegar crisps: UK label, serving 1 bag (25 g), per 100 g: "
    "carbohydrate 52 g",
    "new food 7-grain bread: EU label, serving 1 slice (40 g), per 100 g: carbohydrate 45 g",
    "new food 2% milk: US label, serving 1 cup (240 ml), carbohydrate 12 g, fibre 0 g",
    "new food cooked rice: EU label, serving 1 cup (160 g), per 100 g: carbohydrate 28 g",
    "new food dry rice: EU label, per 100 g: carbohydrate 79 g",
    "new food olive oil: US label, serving 1 tbsp (14 g), carbohydrate 0 g, fibre 0 g",
    "new food sugar: US label, serving 1 tsp (4 g), carbohydrate 4 g, fibre 0 g",
    "new food chickpeas: EU label, per 100 g: carbohydrate 16 g",
    "new food tomatoes: EU label, per 100 g: carbohydrate 3.5 g",
    "new food honey: US label, serving 1 tbsp (21 g), carbohydrate 17 g, fibre 0 g",
    "new food egg: US label, serving 1 egg (50 g), carbohydrate 1 g, fibre 0 g",
    "new food banana: US label, serving 1 banana (118 g), carbohydrate 27 g, fibre 3 g",
    "new food muffin: UK label, serving 1 muffin (75 g), per 100 g: carbohydrate 44 g",
    "1 large muffin weighs 110 g",
    "new food orange juice: EU label, per 100 ml: carbohydrate 9 g",
    "new food flour: EU label, per 100 g: carbohydrate 70 g",
    "1 cup of flour weighs 125 g",
    "new food plain yogurt: EU label, serving 1 pot (150 g), per 100 g: carbohydrate 6 g",
    "new food mac and cheese: US label, serving 1 cup (200 g), carbohydrate 45 g, fibre 1 g",
    "new food pound cake: US label, serving 1 slice (60 g), carbohydrate 30 g, fibre 0 g",
    "new food crème fraîche: EU label, per 100 g: carbohydrate 2.4 g",
    "new food butter: EU label, per 100 g: carbohydrate 0.6 g",
    "new food fish: EU label, per 100 g: carbohydrate 15 g",
    "new food chips: EU label, per 100 g: carbohydrate 30 g",
    "new food fish and chips: EU label, per 100 g: carbohydrate 20 g",
    "new food tomato soup: US label, serving 1 cup (240 ml), 2 servings, carbohydrate 20 g, "
    "fibre 2 g",
    "new food ice cream: EU label, per 100 g: carbohydrate 24 g",
    "1 scoop of ice cream weighs 60 g",
    "new food potato: EU label, serving 1 medium (150 g), per 100 g: carbohydrate 17 g",
    "new food frozen peas: EU label, per 100 g: carbohydrate 9 g",
    "new food strawberries: EU label, per 100 g: carbohydrate 6 g",
    "new food wrap: UK label, serving 1 wrap (60 g), per 100 g: carbohydrate 50 g",
    "new food pizza: US label, serving 1 slice (100 g), carbohydrate 33 g, fibre 2 g",
    "count net carbohydrate",
)

NUMBERS = (*SAMPLE, "reductions up to 50%")

# What one of each counts, from the labels above
CEREAL = F(27 - 6)  # a serving, half a cup, 40 g
CEREAL_G = CEREAL / 40
CEREAL_CUP = CEREAL * 2
CEREAL_PACK = CEREAL * 9
MILK = F("4.8") / 100  # a millilitre
BREAD_G = F(48, 100)
SLICE = BREAD_G * 35
APPLE = F(21 - 4)
CRACKER = F(10 - 1, 5)
CRACKERS_G = F(10 - 1, 15)
CRACKERS_PACK = F(10 - 1) * 8
CREAM_TBSP = F(1, 2)
CRISPS_G = F(52, 100)
CRISPS_BAG = CRISPS_G * 25
GRAIN_G = F(45, 100)
GRAIN_SLICE = GRAIN_G * 40
SEMI_CUP = F(12)  # 2% milk
SEMI_ML = F(12, 240)
RICE_G = F(28, 100)
RICE_CUP = RICE_G * 160
SUGAR_TSP = F(4)
SUGAR_TBSP = F(4) * 3
CHICKPEAS_G = F(16, 100)
TOMATOES_G = F("3.5") / 100
HONEY_TBSP = F(17)
EGG = F(1)
BANANA = F(27 - 3)
MUFFIN = F(44, 100) * 75
LARGE_MUFFIN = F(44, 100) * 110
JUICE = F(9, 100)
FLOUR_G = F(70, 100)
FLOUR_CUP = FLOUR_G * 125
POT = F(6, 100) * 150
MAC_CUP = F(45 - 1)
CAKE = F(30)
CAKE_G = F(30, 60)
SOUP_CUP = F(20 - 2)
SOUP_ML = SOUP_CUP / 240
SCOOP = F(24, 100) * 60
POTATO = F(17, 100) * 150
PEAS_G = F(9, 100)
BERRIES_G = F(6, 100)
WRAP = F(50, 100) * 60
PIZZA = F(33 - 2)
POUND = F("453.59237")
OUNCE = POUND / 16


@dataclass(frozen=True)
class Row:
    """A phrase, or sentences said one after the other of which the last is judged.

    count: the exact count, or None where it is asked. names: words that the reply must hold.
    between: the two ends of a range, before the labels' own rounding. either: a question will do
    too. wide: the range must be 20 per cent wider either way.
    """

    said: tuple[str, ...]
    count: F | None
    names: tuple[str, ...] = ()
    between: tuple[F, F] | None = None
    either: bool = False
    wide: bool = False

    @property
    def text(self) -> str:
        return " > ".join(self.said)


def right(*said_and_count: str | F | int, names: tuple[str, ...] = ()) -> Row:
    """The last argument is the count."""
    *said, count = said_and_count
    return Row(tuple(str(s) for s in said), F(count), names)


def about(said: str, count: F) -> Row:
    return Row((said,), F(count), wide=True)


def either(said: str, count: F) -> Row:
    return Row((said,), F(count), either=True)


def asks(*said: str, names: tuple[str, ...] | str = ()) -> Row:
    return Row(said, None, (names,) if isinstance(names, str) else names)


def spans(said: str, low: F, high: F) -> Row:
    return Row((said,), None, between=(F(low), F(high)))


NUMBERS_SAID = (
    right("1.5 servings of oat cereal", CEREAL * F("1.5")),
    right(".5 servings of oat cereal", CEREAL / 2),
    right("0.25 cup of oat cereal", CEREAL_CUP / 4),
    right("1 1/2 slices of rye bread", SLICE * F(3, 2)),
    right("1½ slices of rye bread", SLICE * F(3, 2)),
    right("1 ½ slices of rye bread", SLICE * F(3, 2)),
    right("½ slice of rye bread", SLICE / 2),
    right("1/2 cup of oat cereal", CEREAL),
    right("3/4 cup oat cereal", CEREAL_CUP * F(3, 4)),
    right("2/3 cup cooked rice", RICE_CUP * F(2, 3)),
    right("⅓ cup cooked rice", RICE_CUP / 3),
    right("half a banana", BANANA / 2),
    right("a half banana", BANANA / 2),
    right("a half slice of rye bread", SLICE / 2),
    right("half a cup of oat cereal", CEREAL),
    right("one and a half bananas", BANANA * F(3, 2)),
    right("one and a half cups of oat cereal", CEREAL_CUP * F(3, 2)),
    right("1 and a half slices of rye bread", SLICE * F(3, 2)),
    right("two and a half servings of oat cereal", CEREAL * F(5, 2)),
    right("three quarters of a cup of cooked rice", RICE_CUP * F(3, 4)),
    right("three quarters of a banana", BANANA * F(3, 4)),
    right("two thirds of a cup of oat cereal", CEREAL_CUP * F(2, 3)),
    right("a quarter of a cup of flour", FLOUR_CUP / 4),
    right("a third of a cup of flour", FLOUR_CUP / 3),
    right("a slice of rye bread", SLICE),
    right("an egg", EGG),
    right("one egg", EGG),
    right("two slices of rye bread", SLICE * 2),
    right("eleven crackers", CRACKER * 11),
    right("twenty one crackers", CRACKER * 21),
    right("twenty-one crackers", CRACKER * 21),
    right("two hundred and fifty ml milk", MILK * 250),
    right("two hundred fifty ml of milk", MILK * 250),
    right("a hundred grams of rye bread", BREAD_G * 100),
    right("one hundred and twenty g of cooked rice", RICE_G * 120),
    right("a thousand two hundred ml of milk", MILK * 1200),
    right("one thousand two hundred ml of milk", MILK * 1200),
    right("a dozen crackers", CRACKER * 12),
    right("half a dozen crackers", CRACKER * 6),
    right("half a dozen eggs", EGG * 6),
    right("two dozen crackers", CRACKER * 24),
    right("a dozen and a half crackers", CRACKER * 18),
    right("a pound and a half of frozen peas", PEAS_G * POUND * F(3, 2)),
    right("a cup and a half of oat cereal", CEREAL_CUP * F(3, 2)),
    right("2 cups and a half of oat cereal", CEREAL_CUP * F(5, 2)),
    right("half a pound of chickpeas", CHICKPEAS_G * POUND / 2),
    right("half a pound of pound cake", CAKE_G * POUND / 2),
    right("a slice and a half of pizza", PIZZA * F(3, 2)),
    asks("1,5 servings of oat cereal", names="1.5"),
    asks("1,5 slices of rye bread", names="1.5"),
    asks("1,200 ml milk", names=("1200", "1.2")),
    asks("1,500 g of oat cereal", names=("1500", "1.5")),
    asks("1.500 g of oat cereal", names=("1500", "1.5")),
    asks("0 slices of rye bread"),
    asks("zero slices of rye bread"),
    asks("-2 slices of rye bread"),
    asks("1/0 servings of oat cereal"),
    asks("99999999999 crackers"),
    asks("1e9 crackers"),
    asks("1.2.3 slices of rye bread"),
    asks("1/2/3 slices of rye bread"),
)

TIMES_SAID = (
    right("2 x 30 g oat cereal", CEREAL_G * 60),
    right("2x30g oat cereal", CEREAL_G * 60),
    right("2x30 g oat cereal", CEREAL_G * 60),
    right("2 × 30 g of oat cereal", CEREAL_G * 60),
    right("2 x 1 slice of rye bread", SLICE * 2),
    right("3 x 2 slices of rye bread", SLICE * 6),
    right("30 g oat cereal x2", CEREAL_G * 60),
    right("30 g oat cereal x 2", CEREAL_G * 60),
    right("1 slice of rye bread x 2", SLICE * 2),
    right("1 slice rye bread x3", SLICE * 3),
    right("x2 slices of rye bread", SLICE * 2),
    right("2x slices of rye bread", SLICE * 2),
    right("2x slices rye bread", SLICE * 2),
    right("2 x 30 g oat cereal and 200 ml milk", CEREAL_G * 60 + MILK * 200),
    right("200 ml milk and 30 g oat cereal x2", MILK * 200 + CEREAL_G * 60),
    right("3 x 1/2 cup oat cereal", CEREAL * 3),
    asks("twice 30 g oat cereal", names="twice"),
    asks("double 30 g oat cereal", names="double"),
    asks("2 slices of rye bread, 30 g each", names="each"),
    asks("30 g oat cereal twice", names="twice"),
    asks("a double serving of oat cereal", names="double"),
)

COUPLE_SAID = (
    asks("a couple of slices of rye bread", names="couple"),
    asks("a couple of crackers", names="couple"),
    asks("couple of eggs", names="couple"),
    right("a couple means 2", "a couple of slices of rye bread", SLICE * 2, names=("couple",)),
    right("a couple means 2", "a couple of crackers and an egg", CRACKER * 2 + EGG,
          names=("couple",)),
    right("a couple of slices of rye bread", "2", SLICE * 2),
)  # fmt: skip

VAGUE_SAID = tuple(
    asks(said, names=word)
    for said, word in (
        ("a few crackers", "few"),
        ("some crackers", "some"),
        ("some milk", "some"),
        ("several slices of rye bread", "several"),
        ("a splash of milk", "splash"),
        ("2 slices of rye bread and a splash of milk", "splash"),
        ("a bit of honey", "bit"),
        ("a handful of crackers", "handful"),
        ("a pinch of sugar", "pinch"),
        ("a heaped tablespoon of sugar", "heaped"),
        ("2 heaping teaspoons of sugar", "heaping"),
        ("1 rounded tsp sugar", "rounded"),
        ("a scant cup of flour", "scant"),
        ("a generous cup of flour", "generous"),
        ("the rest of the crackers", "rest"),
        ("the rest of the milk", "rest"),
        ("leftovers of pizza", "leftovers"),
        ("nearly 2 slices of rye bread", "nearly"),
        ("almost 200 ml milk", "almost"),
        ("at least 2 slices of rye bread", "least"),
        ("up to 3 slices of rye bread", "up to"),
        ("more than 2 slices of rye bread", "more"),
        ("less than 200 ml milk", "less"),
        ("under 200 ml milk", "under"),
        ("over 200 ml milk", "over"),
        ("lots of crackers", "lots"),
        ("a little milk", "little"),
        ("a drizzle of honey", "drizzle"),
        ("a dollop of plain yogurt", "dollop"),
        ("a knob of butter", "knob"),
    )
)

RANGES_SAID = (
    spans("2-3 slices of rye bread", SLICE * 2, SLICE * 3),
    spans("2 - 3 slices of rye bread", SLICE * 2, SLICE * 3),
    spans("2–3 slices of rye bread", SLICE * 2, SLICE * 3),
    spans("2 to 3 slices of rye bread", SLICE * 2, SLICE * 3),
    spans("2 or 3 slices of rye bread", SLICE * 2, SLICE * 3),
    spans("two or three slices of rye bread", SLICE * 2, SLICE * 3),
    spans("two to three slices of rye bread", SLICE * 2, SLICE * 3),
    spans("between 2 and 3 slices of rye bread", SLICE * 2, SLICE * 3),
    spans("30-40 g oat cereal", CEREAL_G * 30, CEREAL_G * 40),
    spans("30 to 40 g of oat cereal", CEREAL_G * 30, CEREAL_G * 40),
    spans("30 g to 40 g oat cereal", CEREAL_G * 30, CEREAL_G * 40),
    spans("1/2 to 1 cup oat cereal", CEREAL, CEREAL_CUP),
    spans("1-2 tbsp sugar", SUGAR_TBSP, SUGAR_TBSP * 2),
    spans("10-12 crackers", CRACKER * 10, CRACKER * 12),
    spans("2-3 slices of rye bread and 200 ml milk", SLICE * 2 + MILK * 200,
          SLICE * 3 + MILK * 200),
    spans("200 ml milk and 2-3 slices of rye bread", SLICE * 2 + MILK * 200,
          SLICE * 3 + MILK * 200),
    right("2-3 slices of rye bread", "2.5", SLICE * F(5, 2)),
    right("2-3 slices of rye bread", "3", SLICE * 3),
    right("30-40 g oat cereal", "35 g", CEREAL_G * 35),
    right("30-40 g oat cereal and 200 ml milk", "35 g", CEREAL_G * 35 + MILK * 200),
    right("between 2 and 3 slices of rye bread", "2", SLICE * 2),
)  # fmt: skip

ABOUT_SAID = (
    about("about 60 g oat cereal", CEREAL_G * 60),
    about("around 60 g of oat cereal", CEREAL_G * 60),
    about("roughly 60 g oat cereal", CEREAL_G * 60),
    about("approximately 60 g oat cereal", CEREAL_G * 60),
    about("approx 60 g oat cereal", CEREAL_G * 60),
    about("approx. 60 g oat cereal", CEREAL_G * 60),
    about("circa 60 g oat cereal", CEREAL_G * 60),
    about("ca. 60 g oat cereal", CEREAL_G * 60),
    about("~60 g oat cereal", CEREAL_G * 60),
    about("~ 60 g oat cereal", CEREAL_G * 60),
    about("60 g or so of oat cereal", CEREAL_G * 60),
    about("oat cereal, about 60 g", CEREAL_G * 60),
    about("oat cereal about 60 g", CEREAL_G * 60),
    about("about half a cup of oat cereal", CEREAL),
    about("about a cup of cooked rice", RICE_CUP),
    about("about 10 crackers", CRACKER * 10),
    about("I'm having about 2 slices of rye bread", SLICE * 2),
    asks("60ish g oat cereal"),
    asks("60 g ish oat cereal"),
)

UNITS_SAID = (
    *(
        right(f"{said} oat cereal", CEREAL_G * 60)
        for said in (
            *("60 g", "60g", "60 gr", "60 gm", "60 gms", "60 grams", "60 gram", "60 grammes"),
            *("0.06 kg", "0.06kg", "60 G", "60000 mg"),
        )
    ),
    *(
        right(f"{said} milk", MILK * 200)
        for said in (
            *("200 ml", "200ml", "200 mls", "200 mL", "200 millilitres", "200 milliliters"),
            *("20 cl", "2 dl", "0.2 l", "0.2 L", "0.2 litres", "0.2 liters", "200 cc"),
        )
    ),
    *(
        right(f"{said} honey", HONEY_TBSP * 2)
        for said in (
            *("2 tbsp", "2 tbsps", "2 tbs", "2 tablespoons", "2 tablespoonfuls", "2 tbsp."),
            *("2 Tbsp", "2 tbsp of", "2tbsp"),
        )
    ),
    *(
        right(f"{said} sugar", SUGAR_TSP * 2)
        for said in ("2 tsp", "2 tsps", "2 teaspoons", "2 tsp.", "2 tsp of", "2 teaspoonfuls")
    ),
    right("1 lb chickpeas", CHICKPEAS_G * POUND),
    right("2 lbs of frozen peas", PEAS_G * POUND * 2),
    right("4 oz chickpeas", CHICKPEAS_G * OUNCE * 4),
    right("4 ounces of rye bread", BREAD_G * OUNCE * 4),
    right("4 oz. rye bread", BREAD_G * OUNCE * 4),
    right("8 fl oz 2% milk", SEMI_CUP),
    right("8 fl. oz. of 2% milk", SEMI_CUP),
    right("8 fluid ounces of 2% milk", SEMI_CUP),
    right("8 oz of 2% milk", SEMI_CUP),
    asks("4 oz oat cereal", names="ounce"),
    asks("2 T honey", names=("tablespoon", "teaspoon")),
    asks("2 t honey", names=("tablespoon", "teaspoon")),
    asks("1 T of sugar", names=("tablespoon", "teaspoon")),
    asks("1 cup milk", names="cup"),
    asks("1 cup of orange juice", names="cup"),
    asks("100 ml of rye bread"),
    asks("100 g of milk"),
    asks("2 pints of milk", names="pint"),
    asks("60 oat cereal"),
    asks("2 oat cereal"),
    asks("2 zogs of oat cereal", names="zog"),
    right("my cup is 250 ml", "1 cup of milk", MILK * 250),
)

MEASURES_SAID = (
    right("a medium apple", APPLE),
    right("2 medium apples", APPLE * 2),
    right("half a medium apple", APPLE / 2),
    right("1 medium potato", POTATO),
    right("2 medium potatoes", POTATO * 2),
    right("a large muffin", LARGE_MUFFIN),
    right("2 large muffins", LARGE_MUFFIN * 2),
    right("a muffin", MUFFIN),
    asks("a small apple", names="small"),
    asks("a large apple", names="large"),
    asks("a big apple", names="big"),
    asks("a little apple", names="little"),
    asks("a mini muffin", names="mini"),
    asks("a jumbo muffin", names="jumbo"),
    asks("an extra large muffin", names="extra"),
    asks("an extra-large muffin", names="extra"),
    asks("2 apples", names="apple"),
    asks("a large slice of rye bread", names="large"),
    asks("a small serving of oat cereal", names="small"),
    right("1 mini muffin weighs 20 g", "3 mini muffins", F(44, 100) * 20 * 3),
    right("1 big apple weighs 300 g", "a big apple", APPLE * 2),
    right("1 bag of salt and vinegar crisps", CRISPS_BAG),
    right("a bag of salt and vinegar crisps", CRISPS_BAG),
    right("half a bag of salt and vinegar crisps", CRISPS_BAG / 2),
    right("half the pack of crackers", CRACKERS_PACK / 2),
    right("a pack of crackers", CRACKERS_PACK),
    right("a packet of crackers", CRACKERS_PACK),
    right("a box of oat cereal", CEREAL_PACK),
    right("2 pots of plain yogurt", POT * 2),
    right("a pot of plain yogurt", POT),
    right("a can of tomato soup", SOUP_CUP * 2),
    right("half a tin of tomato soup", SOUP_CUP),
    right("2 scoops of ice cream", SCOOP * 2),
    right("2 slices of pizza", PIZZA * 2),
    right("2 portions of oat cereal", CEREAL * 2),
    right("3 crackers", CRACKER * 3),
    right("2 wraps", WRAP * 2),
    asks("a packet of salt and vinegar crisps", names="packet"),
    asks("half the crackers", names="half"),
    asks("a bowl of oat cereal", names="bowl"),
    asks("a bowl of tomato soup", names="bowl"),
    asks("a mug of milk", names="mug"),
    asks("a glass of orange juice", names="glass"),
    asks("a plate of chips", names="plate"),
    asks("a jug of milk", names="jug"),
    asks("2 ladles of tomato soup", names="ladle"),
    asks("a bowl of rye bread", names="bowl"),
    right("my bowl holds 350 ml", "a bowl of tomato soup", SOUP_ML * 350),
    right("my bowl holds 350 ml", "half a bowl of tomato soup", SOUP_ML * 175),
    right("my mug is 250 ml", "a mug of milk", MILK * 250),
    right("my mug is 250 ml", "1 mug of milk and a slice of rye bread", MILK * 250 + SLICE),
    right("my glass is 200 ml", "2 glasses of orange juice", JUICE * 400),
    asks("my bowl holds 350 ml", "a bowl of frozen peas", names="bowl"),
    asks("my bowl holds 350 ml", "a mug of milk", names="mug"),
    right("my bowl holds 350 ml", "a bowl of milk holds 300 ml", "a bowl of milk", MILK * 300),
    right("my bowl holds 350 ml", "a bowl of milk holds 300 ml", "a bowl of tomato soup",
          SOUP_ML * 350),
    right("a glass of orange juice holds 150 ml", "a glass of orange juice", JUICE * 150),
)  # fmt: skip

ORDER_SAID = (
    *(
        right(said, CEREAL_G * 60)
        for said in (
            *("60 g oat cereal", "60 g of oat cereal", "60 g of the oat cereal"),
            *("60 g of my oat cereal", "oat cereal 60 g", "oat cereal, 60 g", "oat cereal: 60 g"),
            *("oat cereal (60 g)", "oat cereal - 60 g", "oat cereal 60g", "the oat cereal 60 g"),
            *("oat cereal – 60 g", "Oat cereal: 60 grams"),
        )
    ),
    right("rye bread, 2 slices", SLICE * 2),
    right("rye bread (2 slices)", SLICE * 2),
    right("oat cereal 60 g, milk 200 ml", CEREAL_G * 60 + MILK * 200),
    right("oat cereal, 60 g, milk, 200 ml", CEREAL_G * 60 + MILK * 200),
    right("oat cereal: 60 g, milk: 200 ml", CEREAL_G * 60 + MILK * 200),
    right("oat cereal (60 g), milk (200 ml)", CEREAL_G * 60 + MILK * 200),
    right("oat cereal - 60 g\nmilk - 200 ml", CEREAL_G * 60 + MILK * 200),
    right("oat cereal 60 g and 200 ml milk", CEREAL_G * 60 + MILK * 200),
    right("60 g oat cereal and milk 200 ml", CEREAL_G * 60 + MILK * 200),
    right("60 g oat cereal, 200 ml milk, 1 egg", CEREAL_G * 60 + MILK * 200 + EGG),
    right("60 g oat cereal; 200 ml milk; 1 egg", CEREAL_G * 60 + MILK * 200 + EGG),
    right("60 g oat cereal + 200 ml milk + 1 egg", CEREAL_G * 60 + MILK * 200 + EGG),
    right("60 g oat cereal & 200 ml milk", CEREAL_G * 60 + MILK * 200),
    right("60 g oat cereal with 200 ml milk", CEREAL_G * 60 + MILK * 200),
    right("60 g oat cereal w/ 200 ml milk", CEREAL_G * 60 + MILK * 200),
    right("60 g oat cereal, 200 ml milk, and 1 egg", CEREAL_G * 60 + MILK * 200 + EGG),
    right("60 g oat cereal\n200 ml milk\n1 egg", CEREAL_G * 60 + MILK * 200 + EGG),
    right(
        "1 egg, 1 slice of rye bread, 10 g butter, 100 g strawberries, 1 pot of plain yogurt, "
        "1 tbsp honey, 200 ml milk, 1 banana",
        EGG + SLICE + F("0.06") + BERRIES_G * 100 + POT + HONEY_TBSP + MILK * 200 + BANANA,
    ),
    right(", ".join(["1 cracker"] * 40), CRACKER * 40),
    asks(", ".join(["1 cracker"] * 41)),
    asks("oat cereal and 200 ml milk", names="oat cereal"),
    asks("200 ml milk and oat cereal", names="oat cereal"),
    asks("60 g", names="60 g"),
    asks("60 g and 200 ml milk", names="60 g"),
    # two amounts for one food
    right("1 cup (240 ml) 2% milk", SEMI_CUP),
    right("1 cup (80 g) oat cereal", CEREAL_CUP),
    right("2 slices (70 g) of rye bread", SLICE * 2),
    asks("2 slices (60 g) of rye bread", names="60 g"),
    asks("1 cup (100 g) oat cereal", names="100 g"),
    right("1 cup (240 ml) milk", MILK * 240),
    right("1 bowl (60 g) of oat cereal", CEREAL_G * 60),
    asks("2 bowls (60 g) of oat cereal"),
    asks("60 g oat cereal 30 g", names="30 g"),
    asks("30 g oat cereal (60 g)", names="60 g"),
)

WRAPPED_SAID = (
    *(
        right(said, SLICE * 2)
        for said in (
            *("2 slices of rye bread please", "please, 2 slices of rye bread"),
            *("2 slices of rye bread, thanks", "thanks, 2 slices of rye bread"),
            *("2 slices of rye bread, thank you!", "hi, 2 slices of rye bread"),
            *("Hello! 2 slices of rye bread", "hey 2 slices of rye bread"),
            *("ok 2 slices of rye bread", "okay, 2 slices of rye bread"),
            *("so 2 slices of rye bread", "well 2 slices of rye bread"),
            *("well, 2 slices of rye bread", "right, 2 slices of rye bread"),
            *("um, 2 slices of rye bread", "er 2 slices of rye bread"),
            *("I'm having 2 slices of rye bread", "I’m having 2 slices of rye bread"),
            *("im having 2 slices of rye bread", "I am having 2 slices of rye bread"),
            *("I'll have 2 slices of rye bread", "I will have 2 slices of rye bread"),
            *("I'd like 2 slices of rye bread", "I want 2 slices of rye bread"),
            *("I've got 2 slices of rye bread", "I have 2 slices of rye bread"),
            *("I had 2 slices of rye bread", "I ate 2 slices of rye bread"),
            *("I just ate 2 slices of rye bread", "I'm eating 2 slices of rye bread"),
            *("I'm about to eat 2 slices of rye bread", "we're having 2 slices of rye bread"),
            *("going to have 2 slices of rye bread", "I'm going to have 2 slices of rye bread"),
            *("having 2 slices of rye bread", "eating 2 slices of rye bread"),
            *("can you count 2 slices of rye bread", "can you count 2 slices of rye bread?"),
            *("could you please count 2 slices of rye bread?", "count 2 slices of rye bread"),
            *("would you work out 2 slices of rye bread please", "log 2 slices of rye bread"),
            *("can you add up 2 slices of rye bread", "please count 2 slices of rye bread"),
            *("for breakfast 2 slices of rye bread", "2 slices of rye bread for breakfast"),
            *("for lunch, 2 slices of rye bread", "2 slices of rye bread for dinner"),
            *("for supper I'm having 2 slices of rye bread", "2 slices of rye bread for my lunch"),
            *("2 slices of rye bread today", "2 slices of rye bread now"),
            *("2 slices of rye bread right now please", "ok so I'm having 2 slices of rye bread"),
            *("hi, could you please count 2 slices of rye bread for lunch, thanks",),
            *("how many carbs are in 2 slices of rye bread", "carbs in 2 slices of rye bread"),
            *("how many carbs in 2 slices of rye bread?",),
            *("HOW MANY CARBS IN 2 SLICES OF RYE BREAD",),
            *("how much carbohydrate is in 2 slices of rye bread?",),
            *("what are the carbs in 2 slices of rye bread?",),
        )
    ),
    right("hello, I had 1 egg please and 2 slices of rye bread for breakfast, thank you",
          EGG + SLICE * 2),
    right("how many carbs are in a medium apple and 200 ml milk?", APPLE + MILK * 200),
    asks("2 slices of rye bread for tea", names="tea"),
    asks("for tea 2 slices of rye bread", names="tea"),
    asks("I didn't have 2 slices of rye bread"),
    asks("I might have 2 slices of rye bread", names="might"),
    asks("I never ate 2 slices of rye bread"),
)  # fmt: skip

KEPT_WORDS = tuple(
    asks(said, names=word)
    for said, word in (
        ("60 g oat cereal without milk", "without"),
        ("60 g oat cereal without 200 ml milk", "without"),
        ("60 g oat cereal, no milk", "no milk"),
        ("60 g oat cereal and no 200 ml milk", "no"),
        ("60 g oat cereal minus 20 g", "minus"),
        ("60 g oat cereal minus 200 ml milk", "minus"),
        ("2 slices of rye bread except 1 slice", "except"),
        ("60 g oat cereal except 20 g milk", "except"),
        ("2 slices of rye bread but 1 egg", "but"),
        ("60 g oat cereal but not 200 ml milk", "not"),
        ("1 egg instead of 2 slices of rye bread", "instead"),
        ("2 slices of rye bread instead of 1 egg", "instead"),
        ("not 2 slices of rye bread", "not"),
        ("2 slices of rye bread each", "each"),
        ("60 g oat cereal twice", "twice"),
        ("another slice of rye bread", "another"),
        ("2 more slices of rye bread", "more"),
        ("only 2 slices of rye bread", "only"),
        ("2 slices of rye bread only", "only"),
        ("2 slices of rye bread left", "left"),
        ("60 g dry oat cereal", "dry"),
        ("60 g raw chickpeas", "raw"),
        ("60 g cooked chickpeas", "cooked"),
        ("240 g drained chickpeas", "drained"),
        ("240 g chickpeas, drained", "drained"),
        ("100 g frozen strawberries", "frozen"),
        ("200 ml sugar-free orange juice", "sugar-free"),
        ("200 ml light milk", "light"),
        ("1 tbsp light honey", "light"),
        ("2 slices of large rye bread", "large"),
        ("60 g small crackers", "small"),
        ("2 slices of zorp rye bread", "zorp"),
        ("2 zorp slices of rye bread", "zorp"),
        ("2 slices of rye bread zorp", "zorp"),
        ("150 g rice", "rice"),
        ("150 g cooked dry rice", "cooked dry rice"),
        ("150 g peas", "peas"),
        ("2 slices of toasted rye bread", "toasted"),
        ("200 ml milk or 200 ml orange juice", "or"),
        ("half eaten banana", "eaten"),
        ("2 slices of rye bread shared between two", "shared"),
    )
)
KEPT_SAID = (
    *KEPT_WORDS,
    right("150 g frozen peas", PEAS_G * 150),
    right("150 g cooked rice", RICE_G * 150),
    right("150 g dry rice", F(79, 100) * 150),
)

TALKED = (
    right("1 serving of oat cereal", "make that two servings", CEREAL * 2, names=("oat cereal",)),
    right("1 slice of rye bread", "make it 2 slices", SLICE * 2, names=("rye bread",)),
    right("200 ml milk", "I meant 150", MILK * 150, names=("milk",)),
    right("200 ml milk", "I meant 150 ml", MILK * 150, names=("milk",)),
    right("200 ml milk", "no, 150 ml", MILK * 150, names=("milk",)),
    right("200 ml milk", "sorry, 150 ml", MILK * 150, names=("milk",)),
    right("60 g oat cereal and 200 ml milk", "actually 150 ml milk", CEREAL_G * 60 + MILK * 150),
    right("60 g oat cereal and 200 ml milk", "no milk after all", CEREAL_G * 60),
    right("60 g oat cereal and 200 ml milk", "no milk", CEREAL_G * 60),
    right("60 g oat cereal and 200 ml milk", "without the milk", CEREAL_G * 60),
    right("60 g oat cereal and 200 ml milk", "leave out the milk", CEREAL_G * 60),
    right("60 g oat cereal and 200 ml milk", "not the milk", CEREAL_G * 60),
    right("1 slice of rye bread", "and another slice", SLICE * 2, names=("rye bread",)),
    right("1 slice of rye bread", "another slice", SLICE * 2, names=("rye bread",)),
    right("60 g oat cereal", "plus 200 ml milk", CEREAL_G * 60 + MILK * 200),
    right("60 g oat cereal", "and 200 ml milk", CEREAL_G * 60 + MILK * 200),
    right("60 g oat cereal", "also 200 ml milk", CEREAL_G * 60 + MILK * 200),
    right("60 g oat cereal", "and 200 ml milk", "no milk after all", CEREAL_G * 60),
    right("60 g oat cereal", "the same again", CEREAL_G * 60),
    right("60 g oat cereal", "same again", CEREAL_G * 60),
    right("60 g oat cereal", "same as before", CEREAL_G * 60),
    right("60 g oat cereal and 200 ml milk", "I only ate half of it",
          (CEREAL_G * 60 + MILK * 200) / 2),
    right("60 g oat cereal", "only ate half", CEREAL_G * 30),
    right("60 g oat cereal and 200 ml milk", "ate half of the milk", CEREAL_G * 60 + MILK * 100),
    right("60 g oat cereal", "left half", CEREAL_G * 30),
    right("60 g oat cereal and 200 ml milk", "left the milk", CEREAL_G * 60),
    asks("60 g oat cereal and 2 slices of rye bread", "I meant 150"),
    asks("60 g oat cereal and 80 g chickpeas", "I meant 50 g"),
    asks("60 g oat cereal", "no milk"),
    asks("60 g oat cereal", "without the milk"),
    asks("60 g oat cereal", "another slice"),
    asks("make that two servings"),
    asks("I meant 150"),
    asks("no milk after all"),
    asks("and another slice"),
    asks("the same again"),
    asks("only ate half"),
    asks("left the milk"),
    asks("plus 200 ml milk"),
    asks("same as yesterday's breakfast"),
    right("oat cereal", "60 g", CEREAL_G * 60),
    right("oat cereal and 200 ml milk", "2 servings", CEREAL * 2 + MILK * 200),
    asks("some oat cereal", "yes"),
    asks("2 servings of oat cereel", "cancel", "1"),
)  # fmt: skip

RESOLVED = (
    right("2 tbsp half and half", CREAM_TBSP * 2),
    right("2 tbsp of half and half", CREAM_TBSP * 2),
    right("half and half 2 tbsp", CREAM_TBSP * 2),
    right("half and half, 2 tbsp", CREAM_TBSP * 2),
    right("half a cup of half and half", CREAM_TBSP * 8),
    right("half a cup half and half", CREAM_TBSP * 8),
    right("1 tbsp half and half and half a banana", CREAM_TBSP + BANANA / 2),
    right("2 tbsp half and half and 1 slice of rye bread", CREAM_TBSP * 2 + SLICE),
    right("25 g salt and vinegar crisps", CRISPS_BAG),
    right("1 bag of salt and vinegar crisps and an egg", CRISPS_BAG + EGG),
    right("an egg and 1 bag of salt and vinegar crisps", CRISPS_BAG + EGG),
    right("2 slices of 7-grain bread", GRAIN_SLICE * 2),
    right("2 slices 7-grain bread", GRAIN_SLICE * 2),
    right("2 slices of 7 grain bread", GRAIN_SLICE * 2),
    right("80 g 7-grain bread", GRAIN_SLICE * 2),
    right("7-grain bread 80 g", GRAIN_SLICE * 2),
    right("1 cup 2% milk", SEMI_CUP),
    right("200 ml of 2% milk", SEMI_ML * 200),
    right("200 ml 2 % milk", SEMI_ML * 200),
    right("2% milk 200 ml", SEMI_ML * 200),
    right("200 ml milk and 200 ml 2% milk", MILK * 200 + SEMI_ML * 200),
    right("1 cup mac and cheese", MAC_CUP),
    either("1 cup of mac & cheese and 200 ml milk", MAC_CUP + MILK * 200),
    right("1 slice of pound cake", CAKE),
    right("200 g fish and 100 g chips", F(30) + F(30)),
    asks("200 g fish and chips", names="fish and chips"),
    asks("200 ml mlik", names="milk"),
    asks("60 g oat ceral", names="oat cereal"),
    asks("60 g cereal oat", names="oat cereal"),
    asks("2 slcies of rye bread"),
    asks("1 slice of rye berad", names="rye bread"),
    asks("2 slices of bread", names="bread"),
    asks("60 g zorp", names="zorp"),
    asks("60 g oat cereal and 20 g zorp", names="zorp"),
    right("60 g Oat Cereal", CEREAL_G * 60),
    right("60 g OAT CEREAL", CEREAL_G * 60),
    right("60 g oat-cereal", CEREAL_G * 60),
    right("60 g oat cereals", CEREAL_G * 60),
    right("15 g crème fraîche", F("0.36")),
    right("15 g creme fraiche", F("0.36")),
    right("100 g strawberry", BERRIES_G * 100),
    right("2 Eggs", EGG * 2),
    right("10 cracker", CRACKER * 10),
    right('60 g "oat cereal"', CEREAL_G * 60),
)

IMPLAUSIBLE = (
    asks("5000 g oat cereal", names="5000"),
    asks("200 eggs", names="200"),
    asks("5 kg rye bread"),
    asks("300 crackers", names="300"),
    asks("4 litres of orange juice"),
    right("5000 g oat cereal", "60 g oat cereal", CEREAL_G * 60),
)

RECIPES = (
    asks("1 (400 g) tin chickpeas, drained", names="drained"),
    right("1 (400 g) tin chickpeas", CHICKPEAS_G * 400),
    either("1 x 400 g tin tomatoes", TOMATOES_G * 400),
    either("1 x 400g tin of tomatoes", TOMATOES_G * 400),
    either("400 g tin of tomatoes", TOMATOES_G * 400),
    asks("2 x 400 g tins chickpeas, rinsed", names="rinsed"),
    # 250 ml and 9 fl oz (US label 270 ml) differ by more than 2 per cent; 8 fl oz is 240 ml
    asks("250 ml/9 fl oz 2% milk"),
    asks("250 ml/9 fl oz milk"),
    right("1 cup (240 ml) 2% milk", SEMI_CUP),
    either("1 cup/240 ml 2% milk", SEMI_CUP),
    asks("salt to taste", names="salt"),
    asks("60 g oat cereal, salt to taste", names="salt"),
    right("2 tbsp. olive oil", 0),
    right("2 tbsp olive oil", 0),
    right("1 tbsp. honey", HONEY_TBSP),
    spans("1-2 tbsp sugar", SUGAR_TBSP, SUGAR_TBSP * 2),
    asks("juice of 1 lemon", names="lemon"),
    asks("1 lemon, juiced", names="lemon"),
    right("120 g plain yogurt", F("7.2")),
    right("1 1/2 cups flour", FLOUR_CUP * F(3, 2)),
    right("1½ cups flour", FLOUR_CUP * F(3, 2)),
    right("1 cup flour\n2 eggs\n1 tbsp sugar\n1 cup 2% milk",
          FLOUR_CUP + EGG * 2 + SUGAR_TBSP + SEMI_CUP),
    right("- 1 cup flour\n- 2 eggs\n- 1 tbsp sugar", FLOUR_CUP + EGG * 2 + SUGAR_TBSP),
    right("• 1 cup flour\n• 2 eggs", FLOUR_CUP + EGG * 2),
    asks("1 cup flour, sifted", names="sifted"),
    asks("2 eggs, beaten", names="beaten"),
    asks("1 banana, mashed", names="mashed"),
    asks("50 g butter, plus extra for greasing", names="greasing"),
    asks("100 g butter, softened", names="softened"),
    asks("a knob of butter", names="knob"),
    asks("1 packed cup of sugar", names="packed"),
    either("1 level tbsp sugar", SUGAR_TBSP),
    asks("2 eggs (optional)", names="optional"),
    asks("serves 4: 2 cups flour", names="serves"),
    # 5 oz is 141.7 g: 5 per cent away
    asks("150 g (5 oz) rye bread"),
)  # fmt: skip

HURRIED = (
    asks("2 slices rye bread n 1 egg"),
    right("ok so um 2 slices rye bread and an egg", SLICE * 2 + EGG),
    either("had 2 eggs + 1 slice rye bread", EGG * 2 + SLICE),
    either("just had a banana", BANANA),
    asks("just a banana please", names="just"),
    either("banana x1", BANANA),
    right("1 banana, 200ml milk, 60g oat cereal", BANANA + MILK * 200 + CEREAL_G * 60),
    either("60g oat cereal 200ml milk", CEREAL_G * 60 + MILK * 200),
    right("Milk 200ml. Oat cereal 60g.", MILK * 200 + CEREAL_G * 60),
    right("2 slices rye bread w/ 10g butter", SLICE * 2 + F("0.06")),
    right("i had 1 wrap and 1 bag salt and vinegar crisps", WRAP + CRISPS_BAG),
    asks("two eggs on two slices of rye bread", names="on"),
    asks("2 slices rye bred", names="rye bread"),
    asks("60g oat cerael and 200ml milk", names="oat cereal"),
    asks("a bananna", names="banana"),
    asks("200 ml orang juice", names="orange juice"),
    either("2 tblsp honey", HONEY_TBSP * 2),
    asks("1 tabelspoon honey", names="tabelspoon"),
    asks("1/2 cupp flour", names="cupp"),
    asks("1 teaspon sugar", names="teaspon"),
    asks("60gg oat cereal"),
    asks("60 oat cereal g"),
    asks("lunch: the usual", names="usual"),
    asks("same as usual"),
    asks("2 slices rye bread, well maybe 3", names="maybe"),
    asks("2 no wait 3 slices of rye bread", names="wait"),
    asks("2, no 3 slices of rye bread"),
    asks("half of my sister's muffin", names="sister"),
    asks("3 bites of muffin", names="bite"),
    asks("a sip of orange juice", names="sip"),
    asks("most of a muffin", names="most"),
    asks("all the crackers"),
    asks("a muffin minus the top", names="minus"),
    asks("the other half of the muffin"),
    asks("1 slice of rye bread with the crusts cut off", names="crusts"),
    asks("pizza, like 3 slices", names="like"),
    asks("3ish slices of pizza"),
    asks("pizza 3 or 4 slices maybe", names="maybe"),
    asks("2 big slices of pizza", names="big"),
    asks("one of those muffins", names="those"),
    asks("a muffin, the big one", names="big"),
    asks("coffee with a splash of milk"),
    asks("oj 200 ml", names="oj"),
    asks("200 ml juice", names="juice"),
    asks("chips", names="chips"),
    asks("milk", names="milk"),
    asks("2 eggs and toast", names="toast"),
    right("2 eggs and 1 slice of rye bread and 10 g of butter and 200 ml of orange juice",
          EGG * 2 + SLICE + F("0.06") + JUICE * 200),
    right("For breakfast I had 60g of oat cereal with 200ml of milk and half a banana.",
          CEREAL_G * 60 + MILK * 200 + BANANA / 2),
    right("I'm having 150g cooked rice, 100g chickpeas and a pot of plain yogurt",
          RICE_G * 150 + CHICKPEAS_G * 100 + POT),
    either("dinner: 200g chips", F(60)),
    either("can u count 200g chips", F(60)),
    either("pls count 200g chips", F(60)),
    either("200g chips thx", F(60)),
    right("a cup of tomato soup and 2 slices of rye bread for lunch please", SOUP_CUP + SLICE * 2),
    right("1/2 pack of crackers", CRACKERS_PACK / 2),
    right("half pack crackers", CRACKERS_PACK / 2),
    right("3 scoops ice cream", SCOOP * 3),
    asks("2 tsp sugar in 200 ml milk", names="in"),
    right("1 TBSP HONEY, 1 POT OF PLAIN YOGURT", HONEY_TBSP + POT),
    right("100g  strawberries ,  1 pot of plain yogurt", BERRIES_G * 100 + POT),
    either("- 60 g oat cereal",
                                                                  CEREAL_G * 60),
    right("2 slices of rye bread.", SLICE * 2),
    right("2 slices of rye bread!!", SLICE * 2),
    right("2  slices   of rye bread", SLICE * 2),
    right("Two slices of the rye bread, a large muffin and an egg", SLICE * 2 + LARGE_MUFFIN + EGG),
    asks("1 lg muffin", names="lg"),
    asks("3/4c flour"),
    asks("2 c flour", names="c"),
    asks("1 serv oat cereal", names="serv"),
    right("one hundred and fifty grams of chips", F(45)),
    asks("quarter of a pizza slice"),
)  # fmt: skip

GROUPS = {
    "numbers": NUMBERS_SAID,
    "times": TIMES_SAID,
    "couple": COUPLE_SAID,
    "vague": VAGUE_SAID,
    "ranges": RANGES_SAID,
    "about": ABOUT_SAID,
    "units": UNITS_SAID,
    "measures": MEASURES_SAID,
    "order": ORDER_SAID,
    "wrapped": WRAPPED_SAID,
    "kept": KEPT_SAID,
    "talked": TALKED,
    "resolved": RESOLVED,
    "implausible": IMPLAUSIBLE,
    "recipes": RECIPES,
    "hurried": HURRIED,
}

"""What the benchmark says: the phrase of the README, its two foods, and its invented numbers."""

from assistant.shell import sample_numbers

PHRASE = "1.5 servings of the oat cereal plus 200 ml milk, glucose 162"

FOODS = (
    "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, carbohydrate 27 g, "
    "fibre 6 g",
    "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g",
)
NUMBERS = ("count net carbohydrate", *sample_numbers.NUMBERS)

"""What the benchmark says: the phrase of the README, its two foods, and its invented numbers."""

PHRASE = "1.5 servings of the oat cereal plus 200 ml milk, glucose 162"

FOODS = (
    "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, carbohydrate 27 g, "
    "fibre 6 g",
    "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g",
)
NUMBERS = (
    "count net carbohydrate",
    "my ratio is 1 unit per 10 g",
    "correction factor 45 mg/dL per unit",
    "target 110 mg/dL",
    "my insulin lasts 4 hours",
    "active insulin falls in a straight line",
    "active insulin comes off the correction only",
    "my pen goes in half units, round down",
    "never more than 8 units at once",
    "never more than 15 units in 4 hours",
)

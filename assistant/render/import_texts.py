"""What is said about imported foods, their sources and their measures; see texts.py."""

from collections.abc import Mapping

IMPORT_TEXTS: Mapping[str, str] = {
    # Measures of a source
    "step-source": "{times} {words} is {into}, as its source says.",
    "food-measure-source": "{count} {words} is {amount}, as its source says.",
    "choice-source-measure": "{text}: {count} is {amount}.",
    "ask-which-measure": "{item}: which measure of {food} is meant? These have different weights.",
    "ask-this-measure": "{item}: the source of {food} knows only this measure. Is it what you mean? Else "
    "type the grams.",
    "ask-no-serving": "You count fibre over 5 grams in a serving as half. The table that {food} is from "
    "states no serving, so that cannot be worked out. Choose another way to count, or use its label.",
    # Which food
    "choice-name-of": "{food}, from {source}, number {id}.",
    "ask-which-food": "Several foods are called {said}. Which one is meant?",
    # Where a food is from
    "food-source": "It is from {source}.",
    "food-dated": "Its date there is {day}.",
    "food-licence": "Terms: {licence}.",
}

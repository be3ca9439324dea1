"""Sentences about the library: new food, other names, measures, questions about a food.

Each form is one pattern that has to cover the whole sentence.
"""

import re
from collections.abc import Mapping
from functools import cache

from msgspec import Struct

from grammar import patterns
from grammar.nodes import Number, Quantity
from grammar.numbers import read_number


class FoodSentence(Struct, frozen=True):
    """A sentence about a food. parts are the words by name; number is its figure, if any."""

    form: str
    parts: Mapping[str, str]
    number: Quantity | None = None


_NUMBER = r"(?P<number>[-−]?[\d.,/½¼¾⅓⅔]+(?:\s+\d+/\d+)?)"
_SURE = r"(?P<sure>\s*,\s*that\s+is\s+right)?"
_FORMS: tuple[tuple[str, str], ...] = (
    (
        "new-food",
        r"(?P<how>new\s+food|add\s+(?:a\s+)?(?:new\s+)?food|new\s+label\s+for)"
        r"(?:\s+called)?\s*:?\s+(?P<name>[^:\n]+?)"
        r"(?P<sure>\s*,\s*unread\s+words\s+left\s+out)?"
        r"(?P<checked>\s*,\s*figures\s+checked)?\s*(?::|\n)\s*(?P<label>.*)",
    ),
    ("new-food-open", r"(?P<how>new\s+food|add\s+(?:a\s+)?(?:new\s+)?food|new\s+label\s+for)"
                      r"(?:\s+called)?\s*:?\s+"
                      r"(?P<name>[^:\n]+?)\s*:?"),
    ("alias", r"(?P<name>.+?)\s+is\s+also\s+(?:called|known\s+as)\s+(?P<alias>.+?)"),
    ("fast", r"(?P<name>.+?)\s+(?:is|are)\s+(?P<how>not\s+)?fast[\s-]+acting"),
    ("measure", r"my\s+(?P<mine>"
                r"(?:handful|bowl|mug|glass|plate|cup|ladle|scoop|slice|piece|portion)\s+of\s+.+?)"
                r"\s+is\s+" + _NUMBER
                + r"\s*(?P<unit>g|grams?|kg|oz|ml|millilit(?:re|er)s?|l|lit(?:re|er)s?|cl|dl)"
                + _SURE),
    ("measure", r"(?P<left>.+?)\s+(?:weighs|weigh)\s+" + _NUMBER
                + r"\s*(?P<unit>g|grams?|kg|oz)" + _SURE),
    ("measure", r"(?P<left>.+?)\s+(?:holds|hold|measures)\s+" + _NUMBER
                + r"\s*(?P<unit>g|grams?|ml|millilit(?:re|er)s?|l|lit(?:re|er)s?|cl|dl)" + _SURE),
    ("pack", r"(?:an?|1|one|the)\s+"
        r"(?P<pack>pack|packet|package|container|box|bag|bottle|can|tin|jar|carton|tub)\s+of\s+(?P<name>.+?)\s+"
             r"(?:holds|has|contains)\s+" + _NUMBER + r"\s+servings?"),
    ("nutrient", r"(?P<nutrient>fib(?:re|er)|carbohydrates?|carbs?|sugar\s+alcohols?|polyols?)\s+"
                 r"(?:of|in)\s+(?P<name>.+?)\s+is\s+" + _NUMBER + r"\s*(?:g|grams?)"),
    ("how-much", r"how\s+much\s+(?:of\s+)?(?:the\s+)?(?P<name>.+?)\s+"
                 r"(?:is|has|makes|gives|comes\s+to|for)\s+" + _NUMBER
                 + r"\s*(?:g|grams?)(?:\s+(?:of\s+)?carb(?:ohydrate)?s?)?"),
    ("compare", r"compare\s+(?P<first>.+?)\s+(?:and|with|to)\s+(?P<second>.+?)"),
    ("list", r"(?:(?:show|list)\s+(?:me\s+)?)?(?:all\s+)?(?:my\s+|the\s+)?foods|"
             r"what\s+foods\s+do\s+(?:i|you)\s+have|(?:show|list)\s+(?:my\s+)?library"),
    ("holding", r"(?:show|list|find)\s+(?:me\s+)?(?:all|every)\s+(?:the\s+|my\s+|kinds\s+of\s+)?"
                r"(?P<name>.+?)(?:\s+foods?)?"),
    ("barcode", r"(?:(?:find|show|what\s+(?:food\s+)?has)\s+(?:the\s+)?)?barcode\s*:?\s*"
                r"(?P<digits>\d[\d\s-]{6,20})"),
    ("like", r"(?:(?:show|find)\s+)?foods?\s+(?:like|called)\s+(?P<name>.+?)"),
    ("show", r"(?:what\s+does\s+the\s+label\s+of|what\s+does\s+the\s+label\s+on)\s+"
             r"(?P<name>.+?)\s+say"),
    ("explain", r"explain\s+(?:to\s+)?(?:me\s+)?(?:the\s+)?label\s+(?:of|for|on)\s+"
                r"(?:the\s+)?(?P<name>.+?)"),
    ("show", r"show\s+(?:me\s+)?(?:the\s+)?(?:label\s+(?:of|for|on)\s+)?"
             r"(?:the\s+)?(?P<name>.+?)"),
    ("forget", r"(?:forget|delete|remove)\s+(?:the\s+)?(?:food\s+)?(?P<name>.+?)"),
)  # fmt: skip


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple(
        (form, patterns.compile(rf"\s*(?:{pattern})\s*[.!?]*\s*", re.I | re.S))
        for form, pattern in _FORMS
    )


def unquoted(name: str) -> str:
    """A name without quotation marks around it."""
    return name.strip().strip('"“”').strip()


def read_food_sentence(text: str) -> FoodSentence | None:
    """The sentence, or None when it is about no food of the library.

    >>> read_food_sentence("oat cereal is also called morning oats").parts["alias"]
    'morning oats'
    """
    for form, pattern in _patterns():
        match = pattern.fullmatch(text)
        if match:
            parts = {k: v.strip() for k, v in match.groupdict().items() if v is not None}
            number = read_number(parts["number"]) if "number" in parts else None
            return FoodSentence(form, parts, number)
    return None


def is_number(quantity: Quantity | None) -> bool:
    """True for a clear figure."""
    return isinstance(quantity, Number)

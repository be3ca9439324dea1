"""Words of labels: nutrient names and spellings, their units, headings and standing phrases.

Spellings are patterns in which a space stands for any run of spaces or line breaks. Names follow
21 CFR 101.9(c) (United States), Regulation (EU) 1169/2011 Annex XV, the Canadian Food and Drug
Regulations B.01.401, and the Food Standards Code 1.2.8 (Australia and New Zealand); abbreviations
are common practice. The French names are read only beside the English ones, on bilingual lines.
"""

import re
from collections.abc import Mapping
from functools import cache, lru_cache

from grammar import patterns

ENERGY = "energy"
"""A row whose figures are filed by their unit, as ENERGY_KCAL or ENERGY_KJ."""
ENERGY_KCAL = "energy kcal"
ENERGY_KJ = "energy kJ"
SATURATED_AND_TRANS = "saturated and trans fat"
"""Canadian labels print one per cent for both; no figure of its own."""

SPELLINGS: Mapping[str, tuple[str, ...]] = {
    "energy from fat": (
        r"cal(?:ories|\.)? from fat",
        r"energy from fat",
        r"fat cal(?:ories|\.)?",
    ),
    ENERGY_KJ: (
        r"energy(?: value)?,?\s*\(kj\)",
        r"energy kj(?=\s*(?::\s*)?[0-9])",
        r"kj(?=\s*(?::\s*)?[0-9])",
    ),
    ENERGY_KCAL: (
        r"calories",
        r"energy(?: value)?,?\s*\((?:kcal|cal)\)",
        r"energy kcal(?=\s*(?::\s*)?[0-9])",
        r"kcal(?=\s*(?::\s*)?[0-9])",
    ),
    ENERGY: (r"energy(?: value)?",),
    "fat": (r"total fats?", r"fats?(?:, | - |\s*)\(?total\)?", r"tot\. fat", r"fats?"),
    "saturated fat": (
        r"saturated fat(?:ty acids)?",
        r"sat\.? fat",
        r"fat(?:, | - )saturated",
        r"satfat",
        r"saturates",
        r"saturated",
    ),
    "trans fat": (r"\+?\s*trans fat(?:ty acids)?", r"fat(?:, | - )trans", r"\+?\s*trans"),
    "monounsaturated fat": (
        r"mono-?unsaturated fat(?:ty acids)?",
        r"mono-?unsat\.? fat",
        r"mono-?unsaturate[sd]",
    ),
    "polyunsaturated fat": (
        r"poly-?unsaturated fat(?:ty acids)?",
        r"poly-?unsat\.? fat",
        r"poly-?unsaturate[sd]",
    ),
    "omega-3": (r"omega[\s-]?3(?: fatty acids)?",),
    "omega-6": (r"omega[\s-]?6(?: fatty acids)?",),
    "cholesterol": (r"cholesterol", r"cholest\.?"),
    "sodium": (r"sodium",),
    "salt": (r"salt equivalent", r"salt"),
    "available carbohydrate": (
        r"available carbohydrates?",
        r"carbohydrates?, available",
        r"saccharides?(?:\s*\(t[oō]o?u?shitsu\))?",
        r"t[oō]o?u?shitsu",
    ),
    "other carbohydrate": (r"other carbohydrates?", r"other carb(?:s|\.)?"),
    "carbohydrate": (
        r"total carbohydrates?",
        r"carbohydrates?(?:, | - |\s*)\(?total\)?",
        r"tot(?:al|\.)? carb(?:s|\.)?",
        r"carbohydrates?",
        r"carb(?:s|\.)?",
    ),
    "soluble fibre": (r"soluble(?: dietary)? fib(?:re|er)", r"fib(?:re|er)(?:, | - )soluble"),
    "insoluble fibre": (r"insoluble(?: dietary)? fib(?:re|er)", r"fib(?:re|er)(?:, | - )insoluble"),
    "fibre": (
        r"total dietary fib(?:re|er)",
        r"dietary fib(?:re|er)(?:, total| - total)?",
        r"total fib(?:re|er)",
        r"diet\. fib(?:re|er)",
        r"fib(?:re|er)",
    ),
    "added sugars": (
        r"incl(?:udes|uding|\.)? added sugars?",
        r"added sugars?",
        r"sugars?(?:, | - )added",
    ),
    "polyols": (r"sugar alcohols?", r"sugar alc\.?", r"polyols?"),
    "sugars": (r"total sugars?", r"sugars?(?:, | - )total", r"sugars?"),
    "starch": (r"starch",),
    "erythritol": (r"erythritol",),
    "xylitol": (r"xylitol",),
    "maltitol": (r"maltitol",),
    "sorbitol": (r"sorbitol",),
    "mannitol": (r"mannitol",),
    "isomalt": (r"isomalt",),
    "lactitol": (r"lactitol",),
    "allulose": (r"allulose",),
    "protein": (r"proteins?(?:(?:, | - )total)?", r"total protein"),
    "alcohol": (r"alcohol",),
    "vitamin A": (r"vit(?:amin|\.)? a",),
    "vitamin C": (r"vit(?:amin|\.)? c",),
    "vitamin D": (r"vit(?:amin|\.)? d3?",),
    "vitamin E": (r"vit(?:amin|\.)? e",),
    "vitamin K": (r"vit(?:amin|\.)? k1?",),
    "vitamin B6": (r"vit(?:amin|\.)? b-?6",),
    "vitamin B12": (r"vit(?:amin|\.)? b-?12",),
    "thiamin": (
        r"thiamine?(?: \((?:vitamin )?b1\))?",
        r"vit(?:amin|\.)? b-?1(?![0-9])(?: \(thiamine?\))?",
    ),
    "riboflavin": (
        r"riboflavin(?: \((?:vitamin )?b2\))?",
        r"vit(?:amin|\.)? b-?2(?![0-9])(?: \(riboflavin\))?",
    ),
    "niacin": (
        r"niacin(?: \((?:vitamin )?b3\))?",
        r"vit(?:amin|\.)? b-?3(?![0-9])(?: \(niacin\))?",
    ),
    "folate": (r"folate",),
    "folic acid": (r"folic acid",),
    "biotin": (r"biotin",),
    "pantothenic acid": (r"pantothenic acid", r"vit(?:amin|\.)? b-?5"),
    "choline": (r"choline",),
    "calcium": (r"calcium",),
    "iron": (r"iron",),
    "potassium": (r"potassium", r"potas\."),
    "phosphorus": (r"phosphorus",),
    "iodine": (r"iodine",),
    "magnesium": (r"magnesium",),
    "zinc": (r"zinc",),
    "selenium": (r"selenium",),
    "copper": (r"copper",),
    "manganese": (r"manganese",),
    "chromium": (r"chromium",),
    "molybdenum": (r"molybdenum",),
    "chloride": (r"chloride",),
    "fluoride": (r"fluoride",),
}

FRENCH: Mapping[str, str] = {
    "fat": r"lipides",
    "saturated fat": r"satur[ée]s",
    "trans fat": r"trans",
    "monounsaturated fat": r"mono-?insatur[ée]s",
    "polyunsaturated fat": r"poly-?insatur[ée]s",
    "omega-3": r"om[ée]ga-?3",
    "omega-6": r"om[ée]ga-?6",
    "cholesterol": r"cholest[ée]rol",
    "sodium": r"sodium",
    "carbohydrate": r"glucides",
    "fibre": r"fibres(?: alimentaires)?",
    "sugars": r"sucres",
    "polyols": r"polyalcools",
    "starch": r"amidon",
    "protein": r"prot[ée]ines",
    "vitamin A": r"vitamine a",
    "vitamin C": r"vitamine c",
    "vitamin D": r"vitamine d",
    "calcium": r"calcium",
    "iron": r"fer",
    "potassium": r"potassium",
    ENERGY_KCAL: r"calories",
    ENERGY: r"[ée]nergie",
}

NUTRIENTS: tuple[str, ...] = (
    *(name for name in SPELLINGS if name != ENERGY),
    SATURATED_AND_TRANS,
)
"""Our names, as used in Column.figures and Column.percents."""

_MASS_MG = frozenset({"mg"})
_TRACE = frozenset({"mg", "mcg", "IU"})
_MILLIGRAMS = {"cholesterol", "sodium", "potassium", "chloride"}
_TRACES = {
    name
    for name in SPELLINGS
    if name.startswith("vitamin")
    or name
    in {
        *("thiamin", "riboflavin", "niacin", "folate", "folic acid", "biotin", "pantothenic acid"),
        *("choline", "calcium", "iron", "phosphorus", "iodine", "magnesium", "zinc", "selenium"),
        *("copper", "manganese", "chromium", "molybdenum", "fluoride"),
    }
}
PERCENT_ONLY = frozenset(_TRACES | _MILLIGRAMS | {SATURATED_AND_TRANS})
"""Nutrients that a label may state by per cent alone, as 'Vitamin A 4%'."""


def units_of(nutrient: str) -> frozenset[str]:
    """The units in which a figure of this nutrient is printed; any other leads to a question."""
    if nutrient == ENERGY:
        return frozenset({"kcal", "kJ"})
    if nutrient in {ENERGY_KCAL, "energy from fat"}:
        return frozenset({"kcal"})
    if nutrient == ENERGY_KJ:
        return frozenset({"kJ"})
    if nutrient in _MILLIGRAMS:
        return _MASS_MG
    if nutrient in _TRACES:
        return _TRACE
    if nutrient in {"omega-3", "omega-6"}:
        return frozenset({"g", "mg"})
    return frozenset({"g"})


def spaced(pattern: str) -> str:
    """A pattern in which ' - ', ', ' and ' ' allow the spacing that labels are printed with."""
    return pattern.replace(" - ", r"\s*[-–—]\s*").replace(", ", r"\s*,\s*").replace(" ", r"\s+")


END = r"(?![^\W\d_])(?!-[^\W\d_])"
"""Not in the middle of a word: 'fat' is not read in 'fatty' or 'fat-free'."""
_LEAD = r"(?:of\s+(?:which\s*(?::\s*)?(?:[-–—]\s*)?)?)?"


STEMS = (
    *("cal", "energy", "kj", "fat", "satur", "trans", "omega", "cholest", "sodium", "salt", "carb"),
    *("saccharide", "shitsu", "fib", "sugar", "polyol", "starch", "erythritol", "xylitol"),
    *("maltitol", "sorbitol", "mannitol", "isomalt", "lactitol", "allulose", "protein", "alcohol"),
    *("vit", "thiamin", "riboflavin", "niacin", "fol", "biotin", "pantothenic", "choline", "iron"),
    *("potas", "phosphorus", "iodine", "magnesium", "zinc", "selenium", "copper", "manganese"),
    *("chromium", "molybdenum", "chloride", "fluoride"),
)
"""Every spelling of a nutrient holds one of these, in small letters. They are looked for first: the
one pattern of all tokens takes longer to make than a meal takes to read."""


def _with_french(name: str, pattern: str) -> str:
    english = spaced(pattern)
    if name not in FRENCH:
        return english
    french = spaced(FRENCH[name])
    return rf"(?:{french}\s*/\s*)?{english}(?:\s*/\s*{french})?"


@cache
def nutrient_pattern() -> str:
    """One pattern for every spelling, the longest first; without named groups."""
    pairs = [(name, pattern) for name, many in SPELLINGS.items() for pattern in many]
    pairs.sort(key=lambda pair: -len(pair[1]))
    # Bilingual spellings stand first, so that 'trans' does not end before '/ trans'.
    return rf"{_LEAD}(?:{'|'.join(_with_french(*pair) for pair in pairs)}){END}"


@cache
def _by_name() -> tuple[tuple[str, "re.Pattern[str]"], ...]:
    return tuple(
        (name, patterns.compile(rf"{_LEAD}(?:{_with_french(name, pattern)})", re.IGNORECASE))
        for name, many in SPELLINGS.items()
        for pattern in many
    )


@lru_cache(maxsize=512)
def nutrient_name(said: str) -> str:
    """Our name for a spelling that nutrient_pattern() matched; KeyError for any other text."""
    # A digit after the spelling satisfies patterns that look ahead for a figure ('kJ 1686').
    for name, pattern in _by_name():
        match = pattern.match(said + " 0")
        if match and match.end() == len(said):
            return name
    raise KeyError(said)


ALLERGEN_WORDS = (
    r"milk|eggs?|fish|shellfish|crustaceans?|molluscs?|nuts?|tree nuts?|almonds?|hazelnuts?|"
    r"walnuts?|cashews?|pecans?|pistachios?|coconuts?|wheat|gluten|barley|rye|oats?|spelt|"
    r"cereals containing gluten|soya?|soybeans?|peanuts?|sesame|sulphites?|sulfites?|"
    r"sulphur dioxide|mustard|celery|lupins?|dairy|lactose"
)
"""Allergens named by law: 21 USC 343(w), Regulation (EU) 1169/2011 Annex II; from memory."""

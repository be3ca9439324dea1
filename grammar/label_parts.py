"""Servings, counts, pack sizes, lists and barcodes: the parts of a label beside its figures."""

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction

from msgspec import Struct, field
from msgspec.structs import replace

from grammar import patterns
from grammar.label_counts import first_count, further_count, worded_count
from grammar.label_lists import LIST_HEADS, check_digit_holds, split_list
from grammar.label_nodes import ServingSize
from grammar.label_numbers import Dubious, read_count, read_figure, slip_readings
from grammar.label_segments import Notes, Segment
from grammar.parsing import Token

_IN_GRAMS = {"g": Fraction(1), "kg": Fraction(1000)}
_IN_MILLILITRES = {"ml": Fraction(1), "cl": Fraction(10), "l": Fraction(1000)}
_ROUGHLY = {"about", "approx", "approximately", "around"}
_WEIGHTS = {("oz",), ("lb",), ("ounces",), ("ounce",), ("fl", "oz")}


class _Household(Struct):
    """One pair of a count and the words behind it, with the tokens that say them."""

    count: Fraction | None = None
    words: list[str] = field(default_factory=list)
    tokens: list[Token] = field(default_factory=list)


class _Size(Struct):
    """A serving while it is read. pairs are its household measures, first printed first."""

    grams: Fraction | None = None
    millilitres: Fraction | None = None
    pairs: list[_Household] = field(default_factory=list)
    taken: list[Token] = field(default_factory=list)
    unclear: bool = False

    @property
    def weighed(self) -> bool:
        return self.grams is not None or self.millilitres is not None


def read_size(
    tokens: Sequence[Token], start: int, notes: Notes, *, one: bool = False
) -> ServingSize | None:
    """'1/2 cup (40 g)', '1 oz (28 g/about 15 chips)', '40 g' from the tokens of an item.

    one: words without a count are one of them ("per slice (35 g)"), if a mass is beside them.
    Takes the tokens that belong to the size and leaves the rest without a role. None if there is
    neither a count nor a mass. Grams and millilitres are exact; start is where the item begins.
    """
    size = _Size()
    bracket, last = False, None
    for token in tokens:
        fresh_line = last is not None and "\n" in notes.text[last.end : token.start]
        if token.type == "SEP":
            if not bracket and token in {",", ";"} and (size.weighed or size.pairs):
                break
            bracket = token in {"("} or (bracket and token not in {")"})
        elif not bracket and fresh_line and size.pairs and (size.weighed or token.type != "FIGURE"):
            break
        elif one and not size.pairs and not size.weighed and token.type == "WORD":
            if not token[0].isalpha():
                break
            first = first_count(token.casefold())
            words = [] if first else [token.casefold()]
            size.pairs.append(_Household(first or Fraction(1), words, [token]))
        elif not _take(token, size, notes, bracket=bracket):
            break
        last = token
    if one and not size.weighed and size.pairs and size.pairs[0].tokens[0].type == "WORD":
        return None
    return _finish(size, start, notes)


def _take(token: Token, size: _Size, notes: Notes, *, bracket: bool) -> bool:
    """Give the token its part in the size; False where the size ends before it."""
    if token.type == "FIGURE":
        return _take_mass(token, size, notes)
    if token.type in {"NUMBER", "FRACTION"}:
        return _take_count(token, size, notes, bracket=bracket)
    if token.type == "WORD":
        return _take_word(token, size, bracket=bracket)
    if token.type in {"SLIP", "RANGE", "NEGATIVE"} and not size.weighed:
        code = {"SLIP": "ocr", "RANGE": "range", "NEGATIVE": "negative"}[token.type]
        notes.doubt_token(code, token, slip_readings(token) if code == "ocr" else ())
        size.unclear = True
        return True
    return False


def _take_mass(token: Token, size: _Size, notes: Notes) -> bool:
    exact = read_figure(token, notes.region)
    if isinstance(exact, Dubious):
        notes.doubt_token(exact.code, token, exact.readings)
        size.unclear = True
        return True
    if exact.unit in _IN_GRAMS:
        name, value = "grams", exact.value * _IN_GRAMS[exact.unit]
    elif exact.unit in _IN_MILLILITRES:
        name, value = "millilitres", exact.value * _IN_MILLILITRES[exact.unit]
    else:
        return False
    before = getattr(size, name)
    if exact.below or value == 0 or before not in {None, value}:
        notes.doubt_token("serving", token)
        size.unclear = True
        return True
    if before is None and size.weighed and not _beside_slash(token, notes):
        return False  # "40 g, 30 ml" in two places: the second is no part of this size
    setattr(size, name, value)
    size.taken.append(token)
    return True


def _beside_slash(token: Token, notes: Notes) -> bool:
    return notes.text[: token.start].rstrip().endswith(("/", "("))


def _take_count(token: Token, size: _Size, notes: Notes, *, bracket: bool) -> bool:
    if size.weighed and not bracket:
        return False
    if size.pairs and not size.pairs[-1].words:
        return False
    exact = read_count(token, notes.region)
    if isinstance(exact, Dubious) or exact.below or exact.unit or exact.value == 0:
        code = exact.code if isinstance(exact, Dubious) else "serving"
        notes.doubt_token(code, token, exact.readings if isinstance(exact, Dubious) else ())
        size.unclear = True
        return True
    size.pairs.append(_Household(exact.value, [], [token]))
    return True


def _take_word(token: Token, size: _Size, *, bracket: bool) -> bool:
    word = token.casefold()
    if size.weighed and not bracket:
        return False
    if word in _ROUGHLY or token in {"~"}:
        size.taken.append(token)
        return True
    if not word[0].isalpha():
        return False
    if not size.pairs and (count := first_count(word)) is not None:
        size.pairs.append(_Household(count, [], [token]))
        return True
    if not size.pairs:
        return False
    size.pairs[-1].words.append(word)
    size.pairs[-1].tokens.append(token)
    return True


def _settled(pairs: Sequence[_Household]) -> list[_Household]:
    """Pairs with their whole count: number words, parts and "and" behind the first of it.

    Two pairs that "and" joins are one count ("1 and 1/2 cups"), or nothing that can be counted
    ("1 cup and 2 spoons"); those are left out, and so are told as not read.
    """
    whole: list[_Household] = []
    for pair in pairs:
        last = whole[-1] if whole else None
        if last is not None and last.words[-1:] == ["and"]:
            part = pair.count if pair.count is not None else Fraction(1)
            if len(last.words) > 1 or last.count is None or part >= 1:
                return []
            count, tokens = last.count + part, [*last.tokens, *pair.tokens]
            whole[-1] = _Household(count, pair.words, tokens)
        else:
            whole.append(pair)
    return [_counted(pair) for pair in whole]


def _counted(pair: _Household) -> _Household:
    """The pair with the words that belong to its count read as such."""
    if pair.count is None or not pair.tokens:
        return pair
    said = [token.casefold() for token in pair.tokens]
    if all(token.type == "WORD" for token in pair.tokens):
        read = worded_count(said) if first_count(said[0]) is not None else None
    else:
        read = further_count(pair.count, pair.words)
    return _Household(read[0], list(read[1]), pair.tokens) if read else pair


def _finish(size: _Size, start: int, notes: Notes) -> ServingSize | None:
    # An ounce beside grams says the same mass again: the household words are the measure.
    pairs = _settled(size.pairs)
    rest = [pair for pair in pairs if tuple(pair.words) not in _WEIGHTS]
    kept = (rest or pairs)[:1]
    weights = [pair for pair in pairs if rest and tuple(pair.words) in _WEIGHTS]
    if not size.weighed and (not kept or not kept[0].tokens or size.unclear):
        return None
    for pair in [*kept, *weights]:
        size.taken += pair.tokens
    notes.use(size.taken)
    end = max(token.end for token in size.taken)
    if notes.text[end : end + 1] == ")" and "(" in notes.text[start:end]:
        end += 1
    household = kept[0] if kept else _Household()
    return ServingSize(
        notes.text[start:end],
        start,
        end,
        household.count,
        " ".join(household.words) or None,
        size.grams,
        size.millilitres,
    )


def one_serving(sizes: Iterable[ServingSize], notes: Notes) -> ServingSize | None:
    """One size from all that are printed; different grams or millilitres lead to a doubt."""
    kept: ServingSize | None = None
    for size in sizes:
        if kept is None:
            kept = size
            continue
        for first, second in ((kept.grams, size.grams), (kept.millilitres, size.millilitres)):
            if first is not None and second is not None and first != second:
                notes.doubt("serving", size.start, size.end, (kept.said, size.said))
        kept = replace(
            kept,
            count=size.count if kept.count is None else kept.count,
            measure=size.measure if kept.count is None else kept.measure,
            grams=size.grams if kept.grams is None else kept.grams,
            millilitres=size.millilitres if kept.millilitres is None else kept.millilitres,
        )
    return kept


def read_servings(found: Sequence[Segment], notes: Notes) -> tuple[Fraction | None, bool]:
    """Servings per pack, and whether the label says 'about'. Two different counts: a doubt."""
    value, about = None, False
    for item in found:
        if item.kind != "count" or item.head is None:
            continue
        head = item.head
        notes.use([head])
        numbers = patterns.findall(r"[0-9.,½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⁄/]+(?:\s+[0-9]+/[0-9]+)?", head)
        numbers = [n.rstrip(".,") for n in numbers if patterns.search(r"[0-9½-⅞¼-¾]", n)]
        exact = read_count(numbers[0], notes.region) if len(numbers) == 1 else Dubious("range")
        if isinstance(exact, Dubious):
            notes.doubt_token(exact.code, head, exact.readings)
        elif exact.value == 0 or value not in {None, exact.value}:
            notes.doubt_token("servings", head)
        else:
            value = exact.value
            about = about or bool(patterns.search(r"about|approx|around", head, re.IGNORECASE))
    return value, about


def read_pack(found: Sequence[Segment], notes: Notes) -> tuple[Fraction | None, Fraction | None]:
    """Net contents in grams and in millilitres, from 'Net Wt 360 g', 'pack 360 g', 'e 500 g'."""
    sizes = []
    for item in found:
        if item.kind == "pack" and item.head is not None:
            size = read_size(item.tail, item.start, notes)
            if size is not None and (size.grams is not None or size.millilitres is not None):
                notes.use([item.head])
                sizes.append(size)
        elif item.kind == "packed" and item.head is not None:
            figure = patterns.sub(r"\s*[e℮]\Z", "", item.head)
            end = item.start + len(figure)
            token = Token("FIGURE", figure, start=item.start, end=end)
            size = read_size([token], item.start, notes)
            if size is not None:
                sizes.append(size)
    whole = one_serving(sizes, notes)
    return (whole.grams, whole.millilitres) if whole else (None, None)


def read_list(found: Sequence[Segment], kind: str, notes: Notes) -> tuple[str, ...]:
    """The entries of every list of this kind (INGREDIENTS, ALLERGENS, MAY_CONTAIN), in order."""
    entries: list[str] = []
    for item in found:
        if item.head is None or item.head.type != kind:
            continue
        notes.use([item.head])
        begin = patterns.match(LIST_HEADS[kind], item.head, re.IGNORECASE)
        body = item.head[begin.end() if begin else 0 :]
        entries += split_list(body.lstrip(": "), also_and=kind != "INGREDIENTS")
    return tuple(dict.fromkeys(entries))


def read_barcode(found: Sequence[Segment], notes: Notes) -> str | None:
    """The digits of the barcode as text; a check digit that does not hold leads to a doubt."""
    codes = []
    for item in found:
        if item.kind != "barcode" or item.head is None:
            continue
        notes.use([item.head])
        after = patterns.sub(
            r"\A[a-z]+(?:-?(?:8|12|13|14|a|e)\b)?", "", item.head, flags=re.IGNORECASE
        )
        digits = patterns.sub(r"[^0-9]", "", after)
        if not check_digit_holds(digits):
            notes.doubt_token("barcode", item.head)
        elif digits not in codes:
            codes.append(digits)
    return codes[0] if len(codes) == 1 else None

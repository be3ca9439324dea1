"""The project's own format, a food a line as JSON: exact, so that what is written reads back.

The first line is {"countaloud_foods": 1}. Figures are text ("27", "1/3", "0.5"), so that none is
ever rounded. What is not stated is left out. A key that is not known is a fault, so that nothing is
dropped unseen.
"""

import json
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any, cast, get_args

from msgspec.structs import replace

from assistant.counting.facts import Food, FoodFacts, Measure, Nutrient, Region
from assistant.counting.labels import impossible
from assistant.importing import names
from assistant.importing.common import contradiction, ranges_of
from assistant.importing.energy import far_off
from assistant.importing.places import Place
from assistant.importing.rows import Fault, Row, Source, Why
from grammar import patterns
from grammar.label_words import units_of
from grammar.words import name_key

MARK = "countaloud_foods"
VERSION = 1
_FIGURES = ("serving_grams", "serving_millilitres", "household_count", "servings_per_pack",
            "pack_grams", "pack_millilitres")  # fmt: skip
_WORDS = ("household_unit", "barcode", "source", "licence", "dated")
_LISTS = ("ingredients", "allergens", "may_contain", "failed_checks")
_FLAGS = ("prepared", "fast")
_MEASURE = {"count", "unit", "grams", "millilitres", "how", "note", "of_source"}
_NUTRIENT = {"value", "unit", "below", "decimals", "off_by"}
KEYS = {*("name", "id", "own", "aliases", "region", "per", "nutrients", "measures", "percents"),
        *_FIGURES, *_WORDS, *_LISTS, *_FLAGS}  # fmt: skip


def _figure(value: Fraction) -> str:
    return str(value)


def written(foods: Iterable[Food]) -> Iterator[str]:
    """The lines of these foods of the user's own, without line ends."""
    yield json.dumps({MARK: VERSION})
    for food in foods:
        yield json.dumps(_plain(food), ensure_ascii=False)


def _plain(food: Food) -> dict[str, object]:
    facts = food.facts
    said: dict[str, object] = {
        "name": facts.name, "id": food.food_id, "own": True, "region": facts.region,
        "per": facts.per, "aliases": list(food.aliases),
        "nutrients": {n: _nutrient(f) for n, f in facts.nutrients.items()},
        "measures": [_measure(m) for m in facts.extra],
        "percents": {n: _figure(v) for n, v in facts.percents.items()},
    }  # fmt: skip
    for key in _FIGURES:
        value = getattr(facts, key)
        said[key] = None if value is None else _figure(value)
    for key in (*_WORDS, *_FLAGS):
        said[key] = getattr(facts, key)
    for key in _LISTS:
        said[key] = list(getattr(facts, key))
    return {key: value for key, value in said.items() if value not in (None, "", [], {}, False)}


def _nutrient(figure: Nutrient) -> dict[str, object]:
    said: dict[str, object] = {"value": _figure(figure.value), "unit": figure.unit}
    if figure.below:
        said["below"] = True
    if figure.decimals:
        said["decimals"] = figure.decimals
    if figure.off_by is not None:
        said["off_by"] = _figure(figure.off_by)
    return said


def _measure(measure: Measure) -> dict[str, object]:
    said: dict[str, object] = {"count": _figure(measure.count), "unit": measure.unit}
    for key in ("grams", "millilitres"):
        value = getattr(measure, key)
        if value is not None:
            said[key] = _figure(value)
    for key in ("how", "note", "of_source"):
        if getattr(measure, key):
            said[key] = getattr(measure, key)
    return said


def fits(place: Place) -> bool:
    """One file that begins with the mark of this format."""
    return len(place.names) == 1 and _marked(place.head(place.names[0]).split("\n", 1)[0])


def _marked(line: str) -> bool:
    try:
        found = json.loads(line)
    except ValueError:
        return False
    return isinstance(found, dict) and found.get(MARK) == VERSION


def read(place: Place) -> Iterator[Row | Fault]:
    """Foods in the order of the lines."""
    name = place.names[0]
    with place.binary(name) as stream:
        for number, raw in enumerate(stream, 1):
            line = raw.decode("utf-8", "replace").strip()
            if number == 1 or not line:
                continue
            try:
                found = json.loads(line, parse_float=Decimal, object_pairs_hook=_once)
            except _TwiceError as twice:
                yield Fault(name, number, "stated-twice", f"{twice}: {line[:60]}")
                continue
            except (ValueError, RecursionError):
                yield Fault(name, number, "not-json", line[:60])
                continue
            yield _row(found, name, number)


class _TwiceError(ValueError):
    """A key that is there twice."""


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise _TwiceError(key)
        found[key] = value
    return found


class _OddError(ValueError):
    """A value that cannot be taken; its words."""


def _row(found: Any, file: str, line: int) -> Row | Fault:
    if not isinstance(found, dict):
        return Fault(file, line, "not-json", str(found)[:60])
    said = str(found.get("name", ""))[:80]
    unknown = sorted(set(found) - KEYS)
    if unknown:
        return Fault(file, line, "unknown-value", f"{said}: {unknown[0]}")
    try:
        facts = _facts(found)
        aliases = _list(found, "aliases")
        own = _flag(found, "own")
    except _OddError as odd:
        return Fault(file, line, "unknown-value", f"{said}: {odd}")
    if not names.usable(facts.name):
        return Fault(file, line, "no-name", said)
    if "carbohydrate" not in facts.nutrients:
        return Fault(file, line, "no-carbohydrate", said)
    wrong = impossible(facts)
    if wrong is not None:
        why: Why = "over-hundred" if wrong.why == "over-hundred" else "part-over-whole"
        return Fault(file, line, why, said)
    identity = found.get("id") or name_key(facts.name)
    if not isinstance(identity, str):
        return Fault(file, line, "unknown-value", f"{said}: id")
    if own:
        source = Source(facts.source, facts.licence)
        return Row(identity, facts, source, aliases, own, file=file, line=line)
    if aliases:  # only foods of one's own have other names
        return Fault(file, line, "unknown-value", f"{said}: aliases")
    return _of_a_table(facts, identity, file, line)


def _of_a_table(facts: FoodFacts, identity: str, file: str, line: int) -> Row | Fault:
    """A food that is not the user's own is checked as those of any table are."""
    if names.day(facts.dated) is None:
        return Fault(file, line, "date", f"{facts.name}: {facts.dated}")
    ranges = ranges_of(facts)
    wrong = contradiction(facts, ranges)
    if wrong is not None:
        return Fault(file, line, wrong, facts.name)
    if far_off(facts, ranges) and "energy" not in facts.failed_checks:
        facts = replace(facts, failed_checks=(*facts.failed_checks, "energy"))
    plain = replace(facts, name=names.clean(facts.name), barcode=names.barcode(facts.barcode))
    source = Source(facts.source, facts.licence)
    return Row(f"plain:{name_key(names.clean(identity))}", plain, source, file=file, line=line)


_FIGURE = patterns.compile(r"-?\d{1,30}(?:/\d{1,30}|(?:\.\d{1,30})?(?:[eE][+-]?\d{1,2})?)")
"""A figure of a length that a file of foods could have: a long exponent would fill the memory."""


def _facts(found: Mapping[str, Any]) -> FoodFacts:
    name, region, per = (_word(found, key) for key in ("name", "region", "per"))
    if region not in get_args(Region):
        raise _OddError(f"region {region}")
    if per not in {"serving", "100 g", "100 ml"}:
        raise _OddError(f"per {per}")
    nutrients = _checked(found, "nutrients", dict)
    percents = _checked(found, "percents", dict)
    measures = _checked(found, "measures", list)
    for nutrient, figure in nutrients.items():
        if isinstance(figure, dict) and figure.get("unit") not in units_of(str(nutrient)):
            raise _OddError(f"{nutrient} {figure.get('unit')}")
    extras: dict[str, Any] = {}
    for key in _FIGURES:
        extras[key] = _number(found, key, above=True) if key in found else None
    for key in _WORDS:
        if key in found:
            extras[key] = _word(found, key)
    for key in _LISTS:
        extras[key] = _list(found, key)
    for key in _FLAGS:
        extras[key] = _flag(found, key)
    return FoodFacts(
        name, cast(Region, region), cast(Any, per),
        {str(n): _read_nutrient(f) for n, f in nutrients.items()},
        extra=tuple(_read_measure(m) for m in measures),
        percents={str(n): _number(percents, n) for n in percents}, **extras,
    )  # fmt: skip


def _checked(found: Mapping[str, Any], key: str, kind: type) -> Any:
    value = found.get(key, kind())
    if not isinstance(value, kind):
        raise _OddError(key)
    return value


def _known(found: Any, keys: set[str], what: str) -> Mapping[str, Any]:
    if not isinstance(found, dict) or set(found) - keys:
        raise _OddError(what)
    return found


def _read_nutrient(found: Any) -> Nutrient:
    figure = _known(found, _NUTRIENT, "nutrients")
    decimals = figure.get("decimals", 0)
    if not isinstance(decimals, int) or not 0 <= decimals <= 12:
        raise _OddError("decimals")
    off_by = _number(figure, "off_by") if "off_by" in figure else None
    return Nutrient(_number(figure, "value"), _word(figure, "unit"), _flag(figure, "below"),
                    decimals, off_by)  # fmt: skip


def _read_measure(found: Any) -> Measure:
    measure = _known(found, _MEASURE, "measures")
    grams, held = (
        _number(measure, key, above=True) if key in measure else None
        for key in ("grams", "millilitres")
    )
    if grams is None and held is None:
        raise _OddError("measures")
    how, note = (_word(measure, key) if key in measure else "" for key in ("how", "note"))
    return Measure(_number(measure, "count", above=True), _word(measure, "unit"), grams, held, how,
                   note, _flag(measure, "of_source"))  # fmt: skip


def _number(found: Mapping[str, Any], key: str, *, above: bool = False) -> Fraction:
    """An exact figure: text, a whole number, or a decimal. Never a binary fraction."""
    value = found.get(key)
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
        raise _OddError(key)
    if not _FIGURE.fullmatch(str(value)):
        raise _OddError(f"{key} {value}")
    try:
        figure = Fraction(value)
    except (ValueError, ZeroDivisionError, OverflowError):
        raise _OddError(f"{key} {value}") from None
    if figure < 0 or (above and figure == 0):
        raise _OddError(f"{key} {value}")
    return figure


def _word(found: Mapping[str, Any], key: str) -> str:
    value = found.get(key)
    if not isinstance(value, str):
        raise _OddError(key)
    return value


def _list(found: Mapping[str, Any], key: str) -> tuple[str, ...]:
    value = found.get(key, [])
    if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
        raise _OddError(key)
    return tuple(value)


def _flag(found: Mapping[str, Any], key: str) -> bool:
    value = found.get(key, False)
    if not isinstance(value, bool):
        raise _OddError(key)
    return value

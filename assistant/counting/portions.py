"""How much of a food was said, in terms of what its label is for.

A food's facts are a small graph: a serving is 40 grams, half a cup is a serving, a pack is nine
servings, a millilitre is 1/240 of a label's cup. A portion is a walk from the said measure to
the label's reference amount. Each step of the walk is a line of the working. No walk: a question.
"""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from assistant.counting import source_measures
from assistant.counting.facts import FoodFacts, Measure
from assistant.counting.units import KITCHEN, LABEL_MILLILITRES, conversion
from grammar.measures import find_measure
from grammar.nodes import MeasureWord
from grammar.words import name_key

Why = Literal["label", "law", "kitchen", "metric", "told", "source", "recipe"]


class Step(Struct, frozen=True):
    """count of unit is result of into, because of why."""

    count: Fraction
    unit: str
    result: Fraction
    into: str
    why: Why


class Weighed(Struct, frozen=True):
    """A portion as a multiple of the reference amount, with the walk that led there.

    unit is the measure as counted (gram, serving, slice, item ...).
    """

    quantity: Fraction
    unit: str
    factor: Fraction
    steps: tuple[Step, ...]
    grams: Fraction | None
    millilitres: Fraction | None


class Need(Struct, frozen=True):
    """What is missing to walk from the measure to the label.

    why: measure (nothing tells what one unit weighs), kitchen (what a cup holds is not set),
    pack (servings in the pack), count (a bare number: of what?), ounce (mass or volume?),
    volume (millilitres of a food known by weight), mass (the other way round), conflict (two
    facts of the food disagree: both results are in factors), which (measures of its source that
    may be meant are in measures).
    """

    why: Literal[
        "measure", "kitchen", "pack", "count", "ounce", "volume", "mass", "conflict", "which"
    ]
    unit: str
    known: tuple[str, ...] = ()
    factors: tuple[Fraction, ...] = ()
    measures: tuple[Measure, ...] = ()


class _Edge(Struct, frozen=True):
    a: str
    b: str
    ratio: Fraction  # one a is so many b
    why: Why


_METRIC = {"milligram": "gram", "kilogram": "gram", "pound": "gram", "ounce": "gram"} | {
    "centilitre": "millilitre",
    "decilitre": "millilitre",
    "litre": "millilitre",
}


def _label_unit(unit: str) -> str:
    """A label's household measure as a node: kitchen measures are the label's own.

    A packet or tub keeps its own word: it need not be the pack that the servings are counted in.
    """
    found = find_measure(unit)
    if found and found[1] == "kitchen":
        return f"label {found[0]}"
    return found[0] if found and found[1] == "piece" else name_key(unit)


def _is_container(unit: str) -> bool:
    found = find_measure(unit)
    return found is not None and found[1] == "pack"


def _told_edges(facts: FoodFacts) -> Iterator[_Edge]:
    """The user's own measures; and what a volume weighs, where the source of the food tells it."""
    for best in source_measures.density(facts):
        assert best.grams is not None
        assert best.millilitres is not None
        yield _Edge("millilitre", "gram", best.grams / best.millilitres, "source")
    for measure in facts.extra:
        if measure.of_source:
            continue
        if measure.grams is not None:
            yield _Edge(measure.unit, "gram", measure.grams / measure.count, "told")
        if measure.millilitres is not None:
            yield _Edge(measure.unit, "millilitre", measure.millilitres / measure.count, "told")


def _serving_edges(facts: FoodFacts, told: set[str]) -> Iterator[_Edge]:
    """The label's serving, in weight, volume and household measure."""
    if facts.serving_grams is not None:
        yield _Edge("serving", "gram", facts.serving_grams, "label")
    if facts.serving_millilitres is not None:
        yield _Edge("serving", "millilitre", facts.serving_millilitres, "label")
    if facts.household_count and facts.household_unit:
        unit = _label_unit(facts.household_unit)
        if unit not in told:
            yield _Edge("serving", unit, facts.household_count, "label")


def _pack_edges(facts: FoodFacts) -> Iterator[_Edge]:
    """The pack: by its servings; by its net weight only where servings are not stated."""
    if facts.servings_per_pack is not None:
        yield _Edge("pack", "serving", facts.servings_per_pack, "label")
    elif facts.pack_grams is not None:
        yield _Edge("pack", "gram", facts.pack_grams, "label")
    elif facts.pack_millilitres is not None:
        yield _Edge("pack", "millilitre", facts.pack_millilitres, "label")


WHOLE = ("pot", "pan", "batch", "tray")
"""Words for all of a recipe, beside "recipe" itself, where its portions are not called so."""


def _recipe_edges(facts: FoodFacts) -> Iterator[_Edge]:
    """A recipe's portions, and the weight or volume of the finished food. Raw weights lead
    nowhere: water boils off or is taken up."""
    recipe = facts.recipe
    if recipe is None:
        return
    units = {made.unit for made in (*recipe.makes, *facts.extra)}
    for made in recipe.makes:
        yield _Edge("recipe", made.unit, made.count, "recipe")
    if recipe.cooked_grams is not None:
        yield _Edge("recipe", "gram", recipe.cooked_grams, "recipe")
    if recipe.cooked_millilitres is not None:
        yield _Edge("recipe", "millilitre", recipe.cooked_millilitres, "recipe")
    for word in WHOLE:
        if word not in units:
            yield _Edge(word, "recipe", Fraction(1), "recipe")


_REFERENCES = {
    "serving": ("serving", Fraction(1)),
    "100 g": ("gram", Fraction(100)),
    "100 ml": ("millilitre", Fraction(100)),
    "recipe": ("recipe", Fraction(1)),
}


def _edges(
    facts: FoodFacts, kitchen: Mapping[str, Fraction], said: str | None = None
) -> list[_Edge]:
    """The graph of a food. said: the unit of the portion, where it has one.

    Kilograms and ounces are in it only where something is said or stated in them: pint, which
    knows them, is slow to load.
    """
    told = {measure.unit for measure in facts.extra if not measure.of_source}
    if facts.recipe is not None:
        told |= {made.unit for made in facts.recipe.makes}
    edges = [*_told_edges(facts), *_serving_edges(facts, told), *_recipe_edges(facts)]
    if "pack" not in told:
        edges.extend(_pack_edges(facts))
    into, count = _REFERENCES[facts.per]
    edges.append(_Edge("reference", into, count, "label"))
    edges.extend(_kitchen_edges(facts, kitchen, {e.b for e in edges}, told))
    met = {said, *(e.a for e in edges), *(e.b for e in edges)}
    edges.extend(_Edge(u, to, conversion(u, to), "metric") for u, to in _METRIC.items() if u in met)
    return edges


def _kitchen_edges(
    facts: FoodFacts, kitchen: Mapping[str, Fraction], nodes: set[str], told: set[str]
) -> Iterator[_Edge]:
    """Cups and spoons: the user's own if set; else as the label's law or the label has them."""
    for unit in KITCHEN:
        if unit in told:
            continue
        by_law = facts.region == "US" and unit in LABEL_MILLILITRES
        if by_law:
            yield _Edge(f"label {unit}", "millilitre", LABEL_MILLILITRES[unit], "law")
        if unit in kitchen:
            yield _Edge(unit, "millilitre", kitchen[unit], "kitchen")
        elif by_law or f"label {unit}" in nodes:
            yield _Edge(unit, f"label {unit}", Fraction(1), "label")
    for unit, held in kitchen.items():  # a bowl, a mug: the food's own wins over the user's
        if unit not in KITCHEN and unit not in told and unit not in nodes:
            yield _Edge(unit, "millilitre", held, "kitchen")


def _walks(
    edges: list[_Edge], start: str, goal: str
) -> list[tuple[Fraction, tuple[tuple[str, str, Fraction, Why], ...]]]:
    """Every walk without a circle, shortest first: total ratio, and its hops."""
    found = []
    queue: list[tuple[str, Fraction, tuple[tuple[str, str, Fraction, Why], ...]]] = [
        (start, Fraction(1), ())
    ]
    while queue:
        node, ratio, hops = queue.pop(0)
        if node == goal:
            found.append((ratio, hops))
            continue
        seen = {start, *(hop[1] for hop in hops)}
        for edge in edges:
            if edge.a == node and edge.b not in seen:
                queue.append(
                    (edge.b, ratio * edge.ratio, (*hops, (node, edge.b, edge.ratio, edge.why)))
                )
            elif edge.b == node and edge.a not in seen:
                back = 1 / edge.ratio
                queue.append((edge.a, ratio * back, (*hops, (node, edge.a, back, edge.why))))
    return found


def _reaches(edges: list[_Edge], start: str) -> bool:
    return bool(_walks(edges, start, "reference"))


def known_measures(facts: FoodFacts) -> tuple[str, ...]:
    """The household measures and pieces that the food's own facts know."""
    known = [f"{m.unit}, {m.how}" if m.how else m.unit for m in facts.extra]
    if facts.household_unit:
        known.append(facts.household_unit)
    if facts.recipe is not None:
        known.extend(made.unit for made in facts.recipe.makes if made.unit != "serving")
    return tuple(dict.fromkeys(known))


def _first_known(nodes: set[str], *candidates: str) -> str | None:
    return next((c for c in candidates if c in nodes), None)


def _start_node(edges: list[_Edge], measure: MeasureWord | None, name: str) -> str | Need:
    """Where the walk begins: the measure as a node of the food's graph."""
    nodes = {e.a for e in edges} | {e.b for e in edges}
    last = (name_key(name).split()[-1:] or [""])[0]
    if measure is None:
        pieces = {n for n in nodes if not _is_reserved(n)}
        return _first_known(pieces, last, name_key(name)) or Need("count", last)
    unit = measure.unit
    if measure.kind == "oz":
        return _ounce(edges)
    if measure.kind == "serving":
        return f"{measure.size} {unit}" if measure.size else "serving"
    if measure.kind == "pack":
        return _container(edges, measure)
    if measure.kind == "size":
        known = _first_known(nodes, f"{unit} {last}", unit, f"{unit} {name_key(name)}")
        return known or f"{unit} {last}"
    if measure.kind in {"word", "vessel"}:
        unit = name_key(unit)
        if _is_reserved(unit):
            return Need("measure", unit)
    return f"{measure.size} {unit}" if measure.size else unit


def _is_reserved(node: str) -> bool:
    """Nodes that no bare count and no word of the user may name: units, packs, internal ones."""
    if node == "reference" or node.startswith("label "):
        return True
    found = find_measure(node)
    return found is not None and found[1] not in {"piece", "vessel"}


def _container(edges: list[_Edge], measure: MeasureWord) -> str | Need:
    """ "half the box": the pack of the label, unless a container has a weight of its own.

    "A packet" and "a pack" may be two things where the label's serving is 1 packet: it is asked.
    """
    said = name_key(measure.said)
    own = {e.a for e in edges if e.why == "told" and _is_container(e.a)}
    own |= {e.b for e in edges if _is_container(e.b)}  # of the serving, or of a recipe
    if said in own and not measure.size:
        return said
    return Need("pack", said) if own or measure.size else "pack"


def _ounce(edges: list[_Edge]) -> str | Need:
    """Ounces are mass or volume: as the food's own facts have it; where both, it is asked."""
    mass, volume = _reaches(edges, "gram"), _reaches(edges, "millilitre")
    if mass and volume:
        return Need("ounce", "ounce")
    if mass:
        return "ounce"
    return "fluid ounce" if volume else Need("measure", "ounce")


def _need(node: str, edges: list[_Edge], measure: MeasureWord | None) -> Need:
    if node in KITCHEN and not any(e.a == node for e in edges):
        return Need("kitchen" if _reaches(edges, "millilitre") else "measure", node)
    if measure is not None and measure.size:
        return Need("measure", node)
    if measure is not None and measure.kind == "pack":
        return Need("pack", measure.unit)
    if measure is not None and measure.kind == "volume":
        return Need("volume", "millilitre")
    if measure is not None and measure.kind == "mass":
        return Need("mass", "gram")
    return Need("measure", node)


TOLERANCE = Fraction(2, 100)
"""Two walks may differ by this share: a label's grams and cups are rounded apart."""


def weigh(
    facts: FoodFacts,
    quantity: Fraction,
    measure: MeasureWord | None,
    name: str,
    kitchen: Mapping[str, Fraction],
) -> Weighed | Need:
    """The portion as a multiple of the reference amount, or what is missing.

    kitchen holds the user's own cups and spoons, in millilitres. name is the food as said, for
    bare counts ("10 crackers" needs a measure named cracker).
    """
    meant = source_measures.meant(facts, measure, name)
    if isinstance(meant, source_measures.Which):
        return Need("which", meant.measures[0].unit, measures=meant.measures)
    if meant is not None:
        found = _by_source(facts, quantity, meant, kitchen)
        return _as_the_label(facts, quantity, meant, found, kitchen)
    if measure is not None and (measure.how or measure.kind == "source"):
        said = f"{measure.unit}, {measure.how}" if measure.how else measure.unit
        return Need("measure", said, known_measures(facts))
    edges = _edges(facts, kitchen, measure.unit if measure is not None else None)
    node = _start_node(edges, measure, name)
    if isinstance(node, Need) and node.why == "count" and source_measures.of_source(facts):
        return Need("which", node.unit, measures=source_measures.of_source(facts))
    if isinstance(node, Need):
        return Need(node.why, node.unit, known_measures(facts))
    walks = _walks(edges, node, "reference")
    if not walks:
        missing = _need(node, edges, measure)
        return Need(missing.why, missing.unit, known_measures(facts))
    ratios = [ratio for ratio, _ in walks]
    if max(ratios) > min(ratios) * (1 + TOLERANCE):
        return Need("conflict", node, known_measures(facts), tuple(quantity * r for r in ratios))
    ratio, hops = walks[0]
    steps = []
    count = quantity
    for a, b, hop_ratio, why in hops:
        steps.append(Step(count, a, count * hop_ratio, b, why))
        count *= hop_ratio
    return Weighed(
        quantity,
        node,
        quantity * ratio,
        tuple(steps),
        _amount_in(edges, node, quantity, "gram"),
        _amount_in(edges, node, quantity, "millilitre"),
    )


def _by_source(
    facts: FoodFacts, quantity: Fraction, measure: Measure, kitchen: Mapping[str, Fraction]
) -> Weighed | Need:
    """A portion in a measure of the food's source: to grams, and from there as any other."""
    hops = source_measures.hops(measure, kitchen)
    if hops is None:
        return Need("measure", measure.unit)
    steps, count = [], quantity
    for a, b, ratio, why in hops:
        steps.append(Step(count, a, count * ratio, b, why))
        count *= ratio
    reached = hops[-1][1]
    rest = weigh(facts, count, MeasureWord(reached, _METRIC_KINDS[reached], reached), "", kitchen)
    if isinstance(rest, Need):
        return rest
    return replace(rest, quantity=quantity, unit=measure.unit, steps=(*steps, *rest.steps))


def _as_the_label(
    facts: FoodFacts,
    quantity: Fraction,
    measure: Measure,
    found: Weighed | Need,
    kitchen: Mapping[str, Fraction],
) -> Weighed | Need:
    """What the source's measure comes to, unless the label's own of that name differs from it."""
    count, unit = facts.household_count, facts.household_unit
    if count is None or unit is None or measure.how or isinstance(found, Need):
        return found
    if _label_unit(unit).removeprefix("label ") != name_key(measure.unit):
        return found
    servings = MeasureWord("serving", "serving", "serving")
    own = weigh(facts, quantity / count, servings, "", kitchen)
    if isinstance(own, Need):
        return found
    low, high = sorted((own.factor, found.factor))
    if high > low * (1 + TOLERANCE):
        return Need("conflict", measure.unit, known_measures(facts), (own.factor, found.factor))
    return found


_METRIC_KINDS: Mapping[str, Literal["mass", "volume"]] = {"gram": "mass", "millilitre": "volume"}


def _amount_in(edges: list[_Edge], node: str, quantity: Fraction, unit: str) -> Fraction | None:
    walks = _walks(edges, node, unit)
    return quantity * walks[0][0] if walks else None

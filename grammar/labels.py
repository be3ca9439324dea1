"""The door of the label reader: a typed or pasted nutrition label to a LabelReading.

read_label('US label, serving 1/2 cup (40 g), carbohydrate 27 g, fibre 6 g') -> one column per
serving. What it cannot read exactly it reports: a Doubt where a figure could be several things,
an Unread where text has no role. It never guesses a figure and never raises.
"""

import re
from collections.abc import Sequence
from itertools import pairwise

from msgspec.structs import replace

from grammar import patterns
from grammar.label_columns import build_columns
from grammar.label_nodes import Column, Doubt, LabelReading
from grammar.label_parts import (
    one_serving,
    read_barcode,
    read_list,
    read_pack,
    read_servings,
    read_size,
)
from grammar.label_region import find_region
from grammar.label_segments import Notes, Segment, segments
from grammar.label_table import Table, read_table
from grammar.label_tokens import tokens
from grammar.label_words import STEMS

LONGEST = 20_000
"""Characters. No label is longer; a longer text is refused with the doubt 'too-long'."""
_QUIET = frozenset({"heading", "boiler", "footnote", "region"})
_SURE_STARTS = frozenset({"REGION", "HEADING"})


def read_label(text: str) -> LabelReading:
    """Read a label, in any of its printed forms, from one line or many.

    Args:
        text: the label as typed or pasted; up to LONGEST characters are read.

    Returns:
        Columns of exact figures in printed order; figures a doubt concerns are left out of them.
        Positions are characters in text, and text[start:end] == said for each reported part.
        Doubt codes: too-long, comma, ocr, apart, no-unit, no-figure, unit, negative, range,
        fraction, number, huge, columns, twice, two-labels, per, order, name, serving, servings,
        barcode, region. Sources of the forms: 21 CFR 101.9(c), (d); Regulation (EU) 1169/2011
        Annex XV; Canadian Food and Drug Regulations B.01.401; Food Standards Code 1.2.8.
    """
    if len(text) > LONGEST:
        return LabelReading(doubts=(Doubt("too-long", text[:80], 0, 80),))
    items = segments(text)
    every = [token for item in items for token in item.tokens]
    notes = Notes(text)
    found = find_region(text, every)
    notes.region = found.region
    if found.conflict:
        notes.doubt("region", *found.conflict)
    title, items = _title(items, notes)
    for item in items:
        if item.kind in _QUIET and item.head is not None:
            notes.use([item.head])
    return _read(items, notes, LabelReading(title=title, region_said=found.said))


def _read(items: Sequence[Segment], notes: Notes, reading: LabelReading) -> LabelReading:
    own_sizes = []
    for item in items:
        if item.kind == "serving" and item.head is not None:
            size = read_size(item.tail, item.start, notes)
            if size is not None:
                notes.use([item.head])
                own_sizes.append(size)
    table = read_table(items, notes)
    servings, about = read_servings(items, notes)
    pack_grams, pack_millilitres = read_pack(items, notes)
    serving = one_serving([*own_sizes, *table.sizes], notes)
    has_serving = any(item.kind == "serving" for item in items) and serving is not None
    columns = build_columns(table, notes, has_serving=has_serving)
    barcode = read_barcode(items, notes)
    _two_labels(items, table, notes)
    if _order_unsure(items, notes):
        columns = tuple(Column(column.per, {}, {}, column.state) for column in columns)
    claims = _claims(items, notes)
    every = [token for item in items for token in item.tokens]
    return replace(
        reading,
        columns=columns,
        region=notes.region,
        serving=serving,
        servings_per_pack=servings,
        servings_about=about,
        pack_grams=pack_grams,
        pack_millilitres=pack_millilitres,
        ingredients=read_list(items, "INGREDIENTS", notes),
        allergens=read_list(items, "ALLERGENS", notes),
        may_contain=read_list(items, "MAY_CONTAIN", notes),
        barcode=barcode,
        claims=claims,
        doubts=tuple(sorted(notes.doubts, key=lambda doubt: (doubt.start, doubt.end))),
        unread=notes.unread(every),
    )


def _title(items: list[Segment], notes: Notes) -> tuple[str | None, list[Segment]]:
    """The first line if it is words alone and a label follows; and the items behind it.

    Names of nutrients may stand in it ("Protein bar"), figures with units may not.
    """
    lead: list[Segment] = []
    for item in items:
        if not item.tokens:
            continue
        bare = all(token.type in {"SEP", "NUMBER", "PERCENT"} for token in item.tail)
        wordy = item.kind == "junk" and bare
        named = item.kind == "nutrient" and all(token.type == "SEP" for token in item.tail)
        fresh = bool(lead) and "\n" in notes.text[lead[-1].end : item.start]
        if fresh or not (wordy or named):
            break
        lead.append(item)
    rest = [item for item in items if item not in lead]
    labelled = any(item.tokens and item.kind not in {"junk", "preamble"} for item in rest)
    if not lead or not labelled or not any(item.kind == "junk" for item in lead):
        return None, items
    after = next(item for item in rest if item.tokens)
    if "\n" not in notes.text[lead[-1].end : after.start] and after.kind == "nutrient":
        return None, items  # "impact carbs 3 g": words in front of a nutrient are no title
    for item in lead:
        notes.use(item.tokens)
    return notes.text[lead[0].start : lead[-1].end], rest


def _claims(items: Sequence[Segment], notes: Notes) -> tuple[str, ...]:
    """Front-of-pack lines such as 'net carbs 0.7 g', as printed."""
    found = []
    for item in items:
        if item.kind == "claim":
            notes.use(item.tokens)
            found.append(notes.text[item.start : item.end])
    return tuple(found)


def _two_labels(items: Sequence[Segment], table: Table, notes: Notes) -> None:
    """Two headings with rows under each, many rows twice, or two barcodes: two labels."""
    heads = [item for item in items if item.kind == "heading"]
    starts = [row.start for row in table.rows]
    for first, second in pairwise(heads):
        between = any(first.start < start < second.start for start in starts)
        if between and any(start > second.start for start in starts):
            notes.doubt("two-labels", second.start, second.end)
            return
    twice = [doubt for doubt in notes.doubts if doubt.code == "twice"]
    if len(twice) >= 3:
        notes.doubt("two-labels", twice[0].start, twice[0].end)
        return
    codes = {patterns.sub(r"[^0-9]", "", str(i.head)): i for i in items if i.kind == "barcode"}
    if len(codes) > 1:
        last = [*codes.values()][-1]
        notes.doubt("two-labels", last.start, last.end)


def _order_unsure(items: Sequence[Segment], notes: Notes) -> bool:
    """True if figures seem to stand before their names: '27 g carbohydrate, 6 g fibre'.

    Then every figure of the label may be its neighbour's, and none is given.
    """
    told = [item for item in items if item.tokens]
    for item, after in pairwise(told):
        figure = item.tokens[-1]
        stray = figure.type == "FIGURE" and figure.start not in notes.used
        name = after.head if after.kind == "nutrient" else None
        if stray and name is not None and notes.beside(figure, name):
            notes.doubt("order", figure.start, after.end)
    return any(doubt.code in {"order", "two-labels"} for doubt in notes.doubts)


_OPENINGS = patterns.compile(
    r"[\W_]*(?:/|per|amount|us|u\.s|american|eu|uk|british|ca|au|new\s|nz|japan|jp)", re.IGNORECASE
)


def _may_be_label(text: str) -> bool:
    """False only where looks_like_label is: no nutrient or heading; no region, no basis first."""
    low = text.casefold()
    return "nutrition" in low or any(stem in low for stem in STEMS) or bool(_OPENINGS.match(text))


def looks_like_label(text: str) -> bool:
    """True if the text should be tried as a label rather than as what somebody ate.

    A heading or a region's name at its start, a column heading with a nutrient figure, or two
    nutrients each followed by a figure. '30 g protein powder' is a meal: its figure comes first.
    """
    if not _may_be_label(text):
        return False
    found = [t for t in tokens(text[:LONGEST]) if t.type != "SEP"]
    kinds = {token.type for token in found}
    if not found:
        return False
    if "HEADING" in kinds or found[0].type == "REGION":
        return True
    if found[0].type == "BASIS" and found[0].casefold().startswith(("per", "amount", "/")):
        return True
    behind = {"FIGURE", "SLIP", "NUMBER", "PERCENT", "UNIT", "RANGE", "NEGATIVE"}
    rows = {
        first.casefold()
        for first, second in pairwise(found)
        if first.type == "NUTRIENT"
        and second.type in behind
        and (second.type != "NUMBER" or first.casefold().startswith("calor"))
    }
    if len(rows) >= 2:
        return True
    return bool(rows) and bool(kinds & {"BASIS", "SERVING", "REGION", "COUNT"})

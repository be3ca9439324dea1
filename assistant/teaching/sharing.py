"""A session without what could tell who and where: names, dates, the clock, barcodes.

Only what was typed is changed; every reply is then made anew by a replay. So no reply can still
tell a name, and the counts and doses of the replay are compared with those of the talk.
"""

import json
import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime, timedelta, timezone
from typing import Any

from msgspec import Struct

from assistant.counting.facts import TYPED
from assistant.store import codec
from assistant.store.journal import TurnRow
from assistant.teaching.recording import header_with
from assistant.teaching.session_file import EarlierRow, FoodRow, Header, SettingRow
from grammar.saving import Replacing
from grammar.words import name_key

_ISO = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?(?:Z|[+-]\d{2}:\d{2})")
_DAY = re.compile(r"(?<!\d)\d{4}-\d{2}-\d{2}(?!\d)")
_BARCODE = re.compile(r"(?<![\d.,])(?:\d{14}|\d{12,13}|\d{8})(?![\d.,]*\d)")
_BARCODE_SAID = re.compile(r"[,;]?\s*(?:barcode|ean|gtin|upc)\s*:?\s*\d[\d\s-]{6,17}\d", re.I)
_WORD = re.compile(r"[^\W\d_]+(?:[-'’][^\W\d_]+)*")
_ADDRESS = re.compile(r"\S+@\S+\w|(?:https?://|www\.)\S+\w", re.I)
_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_DATE = re.compile(
    rf"(?<!\d)\d{{1,2}}([./-])\d{{1,2}}\1(?:\d{{4}}|\d{{2}})(?!\d)|\b\d{{1,2}}(?:st|nd|rd|th)?\s+{_MONTH}\b(?:\s+\d{{4}})?"
    rf"|\b{_MONTH}\s+\d{{1,2}}(?:st|nd|rd|th)?\b(?:,?\s+\d{{4}})?",
    re.I,
)
_CODE = re.compile(
    r"(?<![\w.,])\+?\d(?:[\d ()/-]*\d)?(?:[ ()/-]?\d){5,}(?![\w])|\b[a-z]{1,4}-?\d{4,}\b", re.I
)
"""Telephone numbers, numbers of accounts and the like: six digits or more, or letters and four."""
_POSSESSIVE = re.compile(r"['’]s?$")


class Plan(Struct, frozen=True):
    """What is changed. weeks: how far back the times go; offset: minutes taken off the clock."""

    words: tuple[Replacing, ...]
    barcodes: tuple[str, ...]
    weeks: int
    offset: int

    @property
    def stand_ins(self) -> dict[str, str]:
        """Each word that goes -> what stands for it, in the order in which they were named."""
        named = {}
        for at, word in enumerate(self.words):
            named[word.word] = word.with_ or f"Name{_letters(at)}"
        return named


def _letters(at: int) -> str:
    """a, b, ... z, aa, ab: a stand-in is one word of letters, so that it can stand in a name."""
    text = ""
    at += 1
    while at:
        at, rest = divmod(at - 1, 26)
        text = chr(ord("a") + rest) + text
    return text


def possible_names(
    texts: Iterable[str], known: Callable[[str], bool], settled: Iterable[str] = ()
) -> tuple[str, ...]:
    """What may tell who, where or when, each once: words with a capital, words that own something
    ("vela's"), words of a script without capitals, addresses, dates and long numbers.

    Not words that the program knows by itself, nor what stands inside a phrase that is settled.
    Other words in small letters tell nothing of a name; those are for the reader to find.
    """
    found: dict[str, None] = {}
    phrases = sorted({composed(phrase) for phrase in settled}, key=len, reverse=True)
    for text in texts:
        left = _BARCODE_SAID.sub(" ", composed(text))
        for phrase in phrases:
            left = word_pattern(phrase).sub(" ", left)
        for pattern in (_ADDRESS, _DATE, _CODE):
            found.update((match[0].strip(), None) for match in pattern.finditer(left))
            left = pattern.sub(" ", left)
        for match in _WORD.finditer(left):
            word = _POSSESSIVE.sub("", match[0])
            caseless = any(c.isalpha() and c.lower() == c.upper() for c in word)
            marked = caseless or any(c.isupper() for c in word) or word != match[0]
            new = not known(match[0].casefold()) and not known(word.casefold())
            if (len(word) > 1 or caseless) and marked and new:
                found[word] = None
    return tuple(found)


def composed(text: str) -> str:
    """The text with each letter and its accents in one, as people take them for the same."""
    return unicodedata.normalize("NFC", text)


def word_pattern(phrase: str) -> re.Pattern[str]:
    """Finds the phrase where it is no part of a longer word."""
    start = r"(?<![^\W_])" if phrase[:1].isalnum() else ""
    end = r"(?![^\W_])" if phrase[-1:].isalnum() else ""
    return re.compile(start + re.escape(phrase) + end, re.I)


def barcodes_in(header: Header, texts: Iterable[str]) -> tuple[str, ...]:
    """Every barcode of the foods, and every figure in the words that could be one."""
    found: dict[str, None] = {f.facts.barcode: None for f in header.foods if f.facts.barcode}
    for text in texts:
        found.update(dict.fromkeys(_BARCODE.findall(text)))
    return tuple(found)


def one_clock(header: Header, rows: Sequence[TurnRow]) -> int | None:
    """Minutes of the one offset of all times; None where the clock changes in the session."""
    times = [row.said_at for row in rows]
    times += [row.at for row in header.settings]
    times += [row.at for row in header.earlier]
    offsets = {at.utcoffset() for at in times}
    settled = any(e.kind == "clock-settled" for row in header.earlier for e in row.events)
    if len(offsets) != 1 or settled:
        return None
    return (offsets.pop() or timedelta(0)) // timedelta(minutes=1)


class Changed:
    """A header and turns with a plan carried out on all that was typed."""

    def __init__(self, plan: Plan, header: Header) -> None:
        self._plan = plan
        ordered = sorted(plan.stand_ins.items(), key=lambda pair: len(pair[0]), reverse=True)
        self._words = [(word_pattern(composed(word)), new) for word, new in ordered]
        self._ids = {
            food.food_id: name_key(self.text(food.facts.name))
            if food.food_id == name_key(food.facts.name)
            else self.text(food.food_id)
            for food in header.foods
        }

    def text(self, text: str) -> str:
        """Typed words without names, barcodes and days of their time."""
        text = _BARCODE_SAID.sub("", composed(text))
        for code in self._plan.barcodes:
            text = re.sub(rf"(?<!\d){code}(?!\d)", "no barcode", text)
        for pattern, new in self._words:
            text = pattern.sub(new, text)
        return _DAY.sub(lambda found: self._day(found[0]), text)

    def _day(self, text: str) -> str:
        try:
            day = datetime.fromisoformat(f"{text}T00:00:00+00:00")
        except ValueError:
            return text
        return (day - timedelta(weeks=self._plan.weeks)).date().isoformat()

    def at(self, at: datetime) -> datetime:
        """A time, moved by the one span that all times are moved by."""
        off = (at.utcoffset() or timedelta(0)) - timedelta(minutes=self._plan.offset)
        return at.replace(tzinfo=timezone(off)) - timedelta(weeks=self._plan.weeks)

    def value(self, value: Any) -> Any:
        """A value of JSON, all the way down."""
        if isinstance(value, str):
            if _ISO.fullmatch(value):
                return self.at(datetime.fromisoformat(value)).isoformat()
            return self.text(value)
        if isinstance(value, list):
            return [self.value(item) for item in value]
        if isinstance(value, Mapping):
            return {
                key: self._ids.get(item, item) if key == "food_id" else self.value(item)
                for key, item in value.items()
                if not (key == "barcode" and isinstance(item, str))
            }
        return value

    def header(self, header: Header, title: str, changed: tuple[str, ...]) -> Header:
        """The header with every row changed."""
        settings = tuple(
            codec.record_of(SettingRow, json.dumps(self.value(json.loads(codec.written(s)))))
            for s in header.settings
        )
        earlier = tuple(
            codec.record_of(EarlierRow, json.dumps(self.value(_without_codes(row, self._plan))))
            for row in header.earlier
        )
        first = self.at(datetime.fromisoformat(f"2026-03-02T00:00:00{header.clock}"))
        foods = tuple(self._food(row) for row in header.foods)
        return header_with(title, header.teaches, header.note, first, settings, foods, earlier,
                           changed)  # fmt: skip

    def _food(self, row: FoodRow) -> FoodRow:
        shown = json.loads(codec.written(row))
        shown["aliases"] = [a for a in shown["aliases"] if a not in self._plan.barcodes]
        shown["facts"]["source"] = TYPED
        return codec.record_of(FoodRow, json.dumps(self.value(shown)))

    def turns(self, rows: Sequence[TurnRow]) -> tuple[TurnRow, ...]:
        """The turns as they would have been typed."""
        return tuple(
            TurnRow(row.id, self.at(row.said_at), self.text(row.text), row.status, row.reply)
            for row in rows
        )


def _without_codes(row: EarlierRow, plan: Plan) -> Any:
    """An earlier row as JSON, without names that are barcodes."""
    shown = json.loads(codec.written(row))
    shown["events"] = [e for e in shown["events"] if e.get("alias") not in plan.barcodes]
    return shown


def different(was: str, now: str) -> bool:
    """Do two replies (JSON text) differ in what is counted, dosed or decided?"""
    old, new = json.loads(was), json.loads(now)
    figures = ("suggested_units", "exact_units", "meal_units", "correction_units", "active_units")
    for reply in (old, new):
        reply["dose"] = [reply["dose"][f] for f in figures] if reply["dose"] else None
        reply["rules"] = [hit["rule"] for hit in reply["rules"]]
        reply["portions"] = [{**p, "said": "", "food": ""} for p in reply["portions"]]
        reply["question"] = len(reply["question"]["choices"]) if reply["question"] else None
    keys = ("status", "counted_carbs_g", "range_g", "dose", "rules", "portions", "question")
    return any(old[key] != new[key] for key in keys)


def still_there(text: str, plan: Plan, days: Iterable[str]) -> tuple[str, ...]:
    """What should be gone and is still in the file's text."""
    text = composed(text)
    kept = {new.casefold() for new in plan.stand_ins.values()}
    found = [
        word.word
        for word in plan.words
        if word.word.casefold() not in kept and word_pattern(composed(word.word)).search(text)
    ]
    found += [code for code in plan.barcodes if re.search(rf"(?<!\d){code}(?!\d)", text)]
    return (*found, *(day for day in days if day in text))

"""Saves a talk under a name: chooses the turns, writes the file beside the journal, tells of it."""

import io
import secrets
from collections.abc import Callable, Iterable
from datetime import date, datetime, timedelta
from fractions import Fraction
from pathlib import Path

from msgspec import Struct

from assistant.dialogue.nearest import ABOUT_FOODS, ABOUT_TWO, ALWAYS
from assistant.dialogue.outcome import answer, caution, fact, next_step
from assistant.dialogue.replies import Line, Reply
from assistant.store.backups import make_private_folder, write_new
from assistant.store.forgetting import SESSIONS
from assistant.store.journal import TurnRow
from assistant.store.store import Store
from assistant.teaching import sharing
from assistant.teaching.recording import Saved, header_of, recorded, save
from assistant.teaching.session_file import Header
from assistant.values import Amount, Listed, Moment, Name, Said, Typed
from grammar import patterns
from grammar.label_words import SPELLINGS
from grammar.measures import word_type
from grammar.saving import SaveMisread, SaveSentence

MOST = 100_000
"""Turns of one file."""
EXAMPLES = ("save this session as breakfast", "save yesterday as my day",
            "save today for sharing as lunch")  # fmt: skip
_NAME = patterns.compile(r"[^\W_]+(?:[ -]+[^\W_]+)*")
_MANY_WEEKS = 500


class Wish(Struct, frozen=True):
    """A sentence that saves, with where and when it was said."""

    sentence: SaveSentence
    text: str
    now: datetime
    first: int | None
    """The first turn of this run; None where it is this one."""


class Share(Struct, frozen=True):
    """What is told of a shared file, and the check of its text: None, or why it is not written.

    rows: the turns with their own times.
    """

    rows: tuple[TurnRow, ...]
    lines: tuple[Line, ...]
    check: Callable[[str], Reply | None]


def folder_of(home: Path) -> Path:
    """Where saved talks are."""
    return home / SESSIONS


def path_of(home: Path, name: str) -> Path:
    """The file of a name."""
    return folder_of(home) / f"{'-'.join(name.casefold().split())}.jsonl"


def names(home: Path) -> tuple[str, ...]:
    """Names of saved talks, in order."""
    try:
        return tuple(sorted(path.stem for path in folder_of(home).glob("*.jsonl")))
    except OSError:
        return ()


def saved(
    store: Store, said: SaveSentence | SaveMisread, text: str, now: datetime, first: int | None
) -> Reply:
    """Saves, or says why not. first: the first turn of this run. Raises StoreProblem alone."""
    if isinstance(said, SaveMisread):
        return _asked("save-misread", said=Said(said.said))
    wish = Wish(said, text, now, first)
    wrong = _wrong_name(store.home, said.name)
    if wrong is not None:
        return wrong
    rows = _rows(store, wish)
    if isinstance(rows, Reply):
        return rows
    header = header_of(store, rows, said.name, "", "")
    if said.sharing:
        return _shared(store, wish, header, rows)
    return _written(store, wish, header, rows)


def _asked(code: str, **args: Said | Name | Amount) -> Reply:
    lines = (Line("question", code, args), next_step(*EXAMPLES))
    return Reply("asked", lines, facts={"aside": "save"})


def _wrong_name(home: Path, name: str) -> Reply | None:
    if not name:
        return _asked("save-no-name")
    if not _NAME.fullmatch(name) or len(name) > 60:
        return _asked("save-odd-name", said=Said(name))
    if path_of(home, name).exists():
        return _asked("save-taken", name=Name(name))
    return None


def _rows(store: Store, wish: Wish) -> tuple[TurnRow, ...] | Reply:
    said = wish.sentence
    if said.span == "session":
        if wish.first is None:
            return _asked("save-no-session")
        found = list(store.turns(after=wish.first - 1))
    elif said.span == "last" and said.unit == "turn":
        found = [row for row in store.history(said.count + 50) if recorded(row)][-said.count :]
    else:
        span = _span(said, wish.now)
        if isinstance(span, Reply):
            return span
        found = list(store.turns(*span))
    rows = tuple(row for row in found if recorded(row))
    if not rows:
        return _asked("save-nothing")
    if len(rows) > MOST:
        limit = Amount(Fraction(MOST), "turn")
        return _asked("save-too-many", turns=_turns(len(rows)), limit=limit)
    return rows


def _span(said: SaveSentence, now: datetime) -> tuple[datetime, datetime] | Reply:
    """The times between which the turns were said, on the clock of now."""
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0)
    day = timedelta(days=1)
    match said.span:
        case "today":
            return midnight, midnight + day
        case "yesterday":
            return midnight - day, midnight
        case "last":
            span = timedelta(hours=1) if said.unit == "hour" else day
            return now - span * said.count, now + timedelta(seconds=1)
    first = _day(said.day, midnight)
    last = _day(said.end_day, midnight) if said.end_day else first
    if first is None or last is None:
        return _asked("save-bad-time", said=Said(said.end_day if first else said.day))
    if said.span == "day":
        return (first, last + day) if first <= last else _asked("save-backwards")
    times = [_clock(text) for text in (said.start, said.end)]
    if None in times:
        wrong = said.start if times[0] is None else said.end
        return _asked("save-bad-time", said=Said(wrong))
    start, end = first + (times[0] or day), last + (times[1] or timedelta())
    return (start, end) if start < end else _asked("save-backwards")


def _day(text: str, midnight: datetime) -> datetime | None:
    if text in ("", "today", "yesterday"):
        return midnight - timedelta(days=text == "yesterday")
    try:
        found = date.fromisoformat(text)
    except ValueError:
        return None
    return midnight.replace(year=found.year, month=found.month, day=found.day)


def _clock(text: str) -> timedelta | None:
    hours, minutes = (int(part) for part in text.split(":"))
    if hours > 24 or minutes > 59 or (hours == 24 and minutes):
        return None
    return timedelta(hours=hours, minutes=minutes)


def _turns(count: int) -> Amount:
    return Amount(Fraction(count), "turn")


def _written(
    store: Store,
    wish: Wish,
    header: Header,
    rows: tuple[TurnRow, ...],
    share: "Share | None" = None,
) -> Reply:
    """Writes the file whole, under a name that nothing has, and tells of it."""
    out = io.StringIO()
    done = save(rows, header, out, again=share is not None)
    if share is not None and (wrong := share.check(out.getvalue())) is not None:
        return wrong
    path = path_of(store.home, wish.sentence.name)
    try:
        make_private_folder(path.parent)
        write_new(path, out.getvalue())
    except FileExistsError:
        return _asked("save-taken", name=Name(wish.sentence.name))
    except OSError as fault:
        return _asked("save-cannot", why=Name((fault.strerror or str(fault)).casefold()))
    told = share.rows if share else rows
    return _told(wish, done, told, path, share.lines if share else ())


def _told(
    wish: Wish, done: Saved, rows: tuple[TurnRow, ...], path: Path, extra: tuple[Line, ...]
) -> Reply:
    name = path.stem
    first, last = (Moment(row.said_at, wish.now) for row in (rows[0], rows[-1]))
    lines = [
        answer("saved", turns=_turns(done.turns), name=Name(name)),
        fact("saved-from", first=first, last=last),
        fact("saved-inside"),
    ]
    if done.differ:
        count, turn = Amount(Fraction(len(done.differ)), ""), Amount(Fraction(done.differ[0]), "")
        lines.append(caution("saved-differ", count=count, turn=turn))
    lines += extra
    lines.append(Line("next", "saved-replay", {"typed": Typed(f"countaloud replay {name}")}))
    facts = {"aside": "save", "saved": name, "file": str(path), "turns": done.turns}
    return Reply("answered", tuple(lines), facts=facts)


def _known(word: str) -> bool:
    return word_type(word) is not None or word in _vocabulary()


def _vocabulary() -> frozenset[str]:
    """Words that the program's own sentences are made of."""
    told = " ".join((*ALWAYS, *ABOUT_FOODS, *ABOUT_TWO, *SPELLINGS, "us eu uk au nz jp ca vlc"))
    return frozenset(patterns.findall(r"[^\W\d_]+(?:[-'’][^\W\d_]+)*", told.casefold())) | _COMMON


_COMMON = frozenset(
    {
        *(
            "the",
            "this",
            "that",
            "these",
            "what",
            "who",
            "when",
            "where",
            "how",
            "and",
            "or",
            "not",
        ),
        *("with", "without", "plus", "for", "from", "my", "our", "your", "it", "its", "is", "are"),
        *(
            "was",
            "were",
            "i'm",
            "i've",
            "it's",
            "what's",
            "that's",
            "today's",
            "yesterday's",
            "of",
            "on",
            "in",
            "at",
            "to",
            "no",
            "yes",
            "please",
        ),
        *("thanks", "took", "eaten", "had", "ate", "breakfast", "lunch", "dinner", "supper"),
        *("snack", "canadian", "european", "australian", "japanese", "british", "american", "kj"),
        *("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "kcal"),
    }
)


def _texts(header: Header, rows: Iterable[TurnRow]) -> tuple[str, ...]:
    """All that was typed, and the names and ingredients of foods."""
    said = [row.say for row in header.settings]
    said += [row.say for row in header.earlier]
    said += [row.text for row in rows]
    for food in header.foods:
        said += [food.facts.name, *food.aliases, *food.facts.ingredients]
    return tuple(said)


def _shared(store: Store, wish: Wish, header: Header, rows: tuple[TurnRow, ...]) -> Reply:
    said = wish.sentence
    texts = (*_texts(header, rows), said.name)
    wrong = _wrong_words(said, texts)
    if wrong is not None:
        return wrong
    settled = (*(pair.word for pair in said.without), *said.keeping)
    open_words = () if said.rest else sharing.possible_names(texts, _known, settled)
    if open_words:
        return _ask_words(wish.text, open_words)
    offset = sharing.one_clock(header, rows)
    plan = sharing.Plan(
        said.without,
        sharing.barcodes_in(header, texts),
        secrets.randbelow(_MANY_WEEKS) + 20,
        offset or 0,
    )
    changed = sharing.Changed(plan, header)
    kinds = ("names",) * bool(plan.words) + ("barcodes",) * bool(plan.barcodes) + ("times",)
    new = changed.header(header, wish.sentence.name, kinds)
    new_rows = changed.turns(rows)
    share = Share(rows, _gone(plan, new, offset), lambda text: _checked(text, plan, rows))
    return _written(store, wish, new, new_rows, share)


def _wrong_words(said: SaveSentence, texts: tuple[str, ...]) -> Reply | None:
    whole = sharing.composed("\n".join(texts))
    for word in (*(w.word for w in said.without), *said.keeping):
        if not sharing.word_pattern(sharing.composed(word)).search(whole):
            return _asked("share-word-not-there", word=Said(word))
    for pair in said.without:
        if pair.with_ and not patterns.fullmatch(r"[^\W\d_]{2,30}", pair.with_):
            return _asked("share-bad-word", word=Said(pair.with_))
    return None


def _ask_words(text: str, words: tuple[str, ...]) -> Reply:
    said = text.strip().rstrip(".!")
    listed = ", ".join(words)
    lines = (
        Line("question", "share-ask", {"words": Listed(tuple(Said(w) for w in words))}),
        Line("next", "share-ask-how"),
        next_step(f"{said} without {listed}", f"{said} keeping {listed}"),
    )
    return Reply("asked", lines, facts={"aside": "save", "words": list(words)})


def _gone(plan: sharing.Plan, header: Header, offset: int | None) -> tuple[Line, ...]:
    lines: list[Line] = []
    if plan.words:
        words = Listed(tuple(Said(w.word) for w in plan.words))
        lines.append(fact("share-removed-words", words=words))
    if plan.barcodes:
        count = Amount(Fraction(len(plan.barcodes)), "barcode")
        lines.append(fact("share-removed-barcodes", count=count))
    lines += [fact("share-removed-notes"), fact("share-moved")]
    lines.append(fact("share-clock") if offset is not None else caution("share-clock-kept"))
    lines += [fact("share-kept"), fact("share-checked")]
    foods = tuple(Name(food.facts.name) for food in header.foods)
    if foods:
        lines.append(fact("share-foods", foods=Listed(foods)))
    lines.append(caution("share-read"))
    return tuple(lines)


def _checked(text: str, plan: sharing.Plan, rows: tuple[TurnRow, ...]) -> Reply | None:
    """None where the file's text is as it should be, else why it is not written."""
    import json  # noqa: PLC0415 - only a shared file is read back

    written = [json.loads(line) for line in text.splitlines()][1:-1]
    for row, new in zip(rows, written, strict=True):
        if sharing.different(row.reply, json.dumps(new["reply"])):
            number = Amount(Fraction(new["turn"]), "")
            return _asked("share-differs", turn=number, said=Said(row.text))
    days = {row.said_at.date().isoformat() for row in rows}
    left = sharing.still_there(text, plan, days)
    if left:
        words = Listed(tuple(Said(word) for word in left))
        lines = (Line("question", "share-left", {"words": words}), next_step(*EXAMPLES))
        return Reply("asked", lines, facts={"aside": "save"})
    return None

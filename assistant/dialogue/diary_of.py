"""The record as a diary: meals that stand, doses, readings, refusals, settings said. Read only."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta

from msgspec import Struct

from assistant.dialogue.events import (
    IMPORT,
    DoseRefused,
    DoseSuggested,
    DoseTaken,
    GlucoseRead,
    LowFelt,
    MealCounted,
    ReadingsImported,
    RecordGap,
    SettingSaid,
    SuggestionClosed,
    UnreadLine,
)
from assistant.dialogue.last_meal import standing
from assistant.dialogue.record import Kept, Record
from assistant.dialogue.replies import Portion
from assistant.dialogue.said_around import meal_name, meal_time
from assistant.diary.entries import (
    Changed,
    Declined,
    Diary,
    Dose,
    Meal,
    Part,
    Reading,
    Refusal,
    minute_of,
)
from assistant.values import Glucose, Name
from grammar.nodes import Complaint
from grammar.phrases import read_phrase

_KINDS = (
    "meal-counted", "dose-suggested", "dose-refused", "dose-taken", "suggestion-closed",
    "glucose-read", "readings-imported", "low-felt", "setting-said", "record-gap",
)  # fmt: skip
AROUND = timedelta(days=2)
"""So much before a range is read too: a meal of its first day may be near one of the day before."""


class Read(Struct, frozen=True):
    """A diary, and what was counted of each of its meals, in the same order."""

    diary: Diary
    counted: tuple[MealCounted, ...]


def diary_of(record: Record, since: date | None = None) -> Diary:
    """As read_diary, without what was counted."""
    return read_diary(record, since).diary


def read_diary(record: Record, since: date | None = None) -> Read:
    """All entries said since two days before this day; without a day, all there are.

    What is said is never said before it happens, so none of a later day is missed.
    """
    start = None
    if since is not None and since - date.min > AROUND:
        # midnight at the clock that is furthest ahead
        start = datetime.fromisoformat(f"{since - AROUND}T00:00:00+14:00")
    kept = record.events(_KINDS, since=start)
    ways = _ways_of_counting(record, kept)
    told = [(_meal(said, ways), said[-1].event) for said in standing(kept)]
    told.sort(key=lambda pair: pair[0].at)
    declined, unsettled = _not_taken(kept)
    diary = Diary(
        readings=tuple(sorted(readings(kept), key=lambda r: r.at)),
        meals=tuple(meal for meal, _ in told),
        doses=tuple(sorted(_doses(kept), key=lambda d: d.at)),
        refusals=tuple(
            Refusal(k.said_at, k.event.said, k.event.rules)
            for k in kept
            if isinstance(k.event, DoseRefused)
        ),
        declined=declined,
        unsettled=unsettled,
        changes=tuple(
            dict.fromkeys(
                Changed(k.event.said, k.said_at) for k in kept if isinstance(k.event, SettingSaid)
            )
        ),
        felt=_felt(kept),
        unread=_unread(kept),
        highs=_highs(kept),
        gaps=tuple(k.said_at for k in kept if isinstance(k.event, RecordGap)),
    )
    return Read(diary, tuple(event for _, event in told if isinstance(event, MealCounted)))


def readings(kept: Iterable[Kept]) -> tuple[Reading, ...]:
    """Every reading, typed or imported, in the order of saying; the same one twice counts once.

    The same figure in the same minute is the same one, since files often have no seconds.
    """
    found: dict[tuple[datetime, Glucose], Reading] = {}
    for each in kept:
        event = each.event
        if isinstance(event, GlucoseRead):
            reading = Reading(event.glucose, event.taken_at, event.imported or _of_file(each))
            found.setdefault((minute_of(reading.at), reading.glucose), reading)
        elif isinstance(event, ReadingsImported):
            for one in event.readings:
                reading = Reading(one.glucose, one.taken_at, imported=True)
                found.setdefault((minute_of(reading.at), reading.glucose), reading)
    return tuple(found.values())


def _lines(kept: Iterable[Kept]) -> Iterator[UnreadLine]:
    """What imports left out that matters when looking back."""
    for each in kept:
        if isinstance(each.event, ReadingsImported):
            yield from each.event.unread


def _felt(kept: Sequence[Kept]) -> tuple[datetime, ...]:
    """When a low was felt or shown without a figure, typed or out of a file; each minute once."""
    times = [line.at for line in _lines(kept) if line.what == "low" and line.at is not None]
    for each in kept:
        event = each.event
        if not isinstance(event, LowFelt):
            continue
        if event.imported and event.at is not None:
            times.append(event.at)
        elif not event.imported and not _of_file(each):
            times.append(each.said_at)
    return tuple(sorted({minute_of(at): at for at in reversed(times)}.values()))


def _unread(kept: Sequence[Kept]) -> tuple[datetime, ...]:
    """Lines of files that may be a low: when, or else when the file was imported; each once."""
    found: dict[str, datetime] = {}
    for each in kept:
        event = each.event
        if isinstance(event, ReadingsImported):
            for line in event.unread:
                if line.what == "maybe-low" or (line.what == "low" and line.at is None):
                    found.setdefault(line.said, line.at or each.said_at)
        elif isinstance(event, LowFelt) and event.at is None and (event.imported or _of_file(each)):
            found.setdefault(event.said, each.said_at)
    return tuple(sorted(found.values()))


def _highs(kept: Iterable[Kept]) -> tuple[datetime, ...]:
    """When a file has a high without a figure; each minute once."""
    times = [line.at for line in _lines(kept) if line.what == "high" and line.at is not None]
    return tuple(sorted({minute_of(at): at for at in times}.values()))


def _of_file(kept: Kept) -> bool:
    return kept.text.startswith(IMPORT)


def _doses(kept: Iterable[Kept]) -> Iterable[Dose]:
    return (
        Dose(k.event.units, k.event.taken_at, k.turn)
        for k in kept
        if isinstance(k.event, DoseTaken)
    )


def _not_taken(kept: Iterable[Kept]) -> tuple[tuple[Declined, ...], tuple[Declined, ...]]:
    """Suggestions that were not taken, and those that are still open."""
    declined: list[Declined] = []
    waiting: Declined | None = None
    for each in kept:
        event = each.event
        if isinstance(event, DoseSuggested):
            waiting = Declined(event.units, each.said_at)
        elif isinstance(event, SuggestionClosed):
            if event.how == "not taken" and waiting is not None:
                declined.append(waiting)
            waiting = None
    return tuple(declined), (waiting,) if waiting else ()


def _ways_of_counting(record: Record, kept: Sequence[Kept]) -> tuple[Kept, ...]:
    """The settings of how to count that these entries may have met, oldest first."""
    if not any(_is_way(each) for each in kept):
        return tuple(filter(_is_way, record.settings()))
    return tuple(filter(_is_way, record.events(("setting-said",))))


def _is_way(kept: Kept) -> bool:
    return isinstance(kept.event, SettingSaid) and kept.event.name == "policy"


def _way_at(ways: Sequence[Kept], turn: int) -> str:
    """How was counted in a turn; "" where that is not known. Turn 0 is being said."""
    before = [k.event for k in ways if not turn or 0 < k.turn <= turn]
    last = before[-1] if before else None
    return str(last.value["policy"]) if isinstance(last, SettingSaid) else ""


_ESTIMATED = frozenset({"portion-estimate", "estimate-used"})
"""Lines of a working that tell that a food is an estimate."""


def _meal(said: tuple[Kept, ...], ways: Sequence[Kept]) -> Meal:
    """A meal as it was last said, at the time at which it was first said."""
    events = [k.event for k in said if isinstance(k.event, MealCounted)]
    last = events[-1]
    phrase = read_phrase(events[0].said)
    at = None if isinstance(phrase, Complaint) else meal_time(phrase, said[0].said_at)
    named = next(filter(None, (meal_name(e.said) for e in reversed(events))), "")
    args = (line.args.get("food") for line in last.lines if line.code in _ESTIMATED)
    estimates = {food.text for food in args if isinstance(food, Name)}
    parts = tuple(_part(p, estimated=p.food in estimates) for p in last.portions)
    return Meal(
        at or said[0].said_at,
        last.said,
        parts,
        last.counted,
        named,
        said[0].turn,
        _way_at(ways, said[-1].turn),
    )


def _part(portion: Portion, *, estimated: bool) -> Part:
    return Part(portion.food, portion.counted, portion.quantity, portion.unit, portion.grams,
                portion.millilitres, estimated)  # fmt: skip

"""Turns and events: what is kept comes back the same, in order, and nothing changes it."""

import json
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta, timezone
from fractions import Fraction
from types import MappingProxyType

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.counting.facts import FoodFacts, Ingredient, Measure, Nutrient, Recipe
from assistant.dialogue import events as ev
from assistant.dialogue.replies import Choice, Line, Portion, Question, Slot
from assistant.dosing.settings import topic
from assistant.store import codec
from assistant.store.problems import StoreProblem
from assistant.store.store import Store
from assistant.values import (
    Amount,
    Between,
    ClockTime,
    Day,
    Glucose,
    Listed,
    Moment,
    Name,
    Phrase,
    Ranged,
    Said,
    Spark,
    Typed,
)
from grammar.nodes import MeasureWord

ALL = tuple(sorted(codec.KINDS))

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
fractions = st.fractions(max_denominator=10**9) | st.just(Fraction(1, 3))
maybe = st.none() | fractions
offsets = st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m)))
YEARS = (datetime(1971, 1, 1), datetime(2200, 1, 1))  # noqa: DTZ001
times = st.datetimes(*YEARS, timezones=offsets)
plain_json = st.recursive(
    st.none() | st.booleans() | st.integers() | texts,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts, inner, max_size=3),
    max_leaves=6,
)
flat_args = st.one_of(
    st.builds(Amount, fractions, texts, st.integers(0, 9)),
    st.builds(Between, fractions, fractions, texts),
    st.builds(Said, texts),
    st.builds(Name, texts),
    st.builds(Typed, texts),
    st.builds(Moment, times, times),
    st.builds(ClockTime, st.integers(0, 1439)),
    st.builds(Phrase, texts),
    st.builds(Day, st.dates()),
    st.builds(Spark, st.lists(maybe, max_size=3).map(tuple), texts),
)
args = st.recursive(
    flat_args,
    lambda inner: st.builds(Listed, st.lists(inner, max_size=3).map(tuple)),
    max_leaves=4,
)
roles = st.sampled_from(["answer", "refusal", "question", "choice", "caution", "next"])
lines = st.builds(Line, roles, texts, st.dictionaries(texts, args, max_size=2), st.booleans())
many_lines = st.lists(lines, max_size=3).map(tuple)
words = st.lists(texts, max_size=3).map(tuple)
choices = st.builds(Choice, lines, words, st.none() | texts, st.none() | texts)
slots = st.none() | st.builds(Slot, texts, words)
questions = st.builds(Question, texts, lines, st.lists(choices, max_size=3).map(tuple), slots)
ranges = st.builds(Ranged, fractions, fractions, fractions)
portions = st.builds(Portion, texts, texts, fractions, texts, maybe, maybe, ranges)
measures = st.builds(Measure, fractions, texts, maybe, maybe)
nutrients = st.builds(Nutrient, fractions, texts, st.booleans(), st.integers(0, 3))
label_facts = st.builds(
    FoodFacts,
    name=texts,
    region=st.sampled_from(["US", "CA", "EU", "UK", "AU", "NZ", "JP"]),
    per=st.sampled_from(["serving", "100 g", "100 ml"]),
    nutrients=st.dictionaries(texts, nutrients, max_size=3),
    serving_grams=maybe,
    serving_millilitres=maybe,
    household_count=maybe,
    household_unit=st.none() | texts,
    servings_per_pack=maybe,
    extra=st.lists(measures, max_size=2).map(tuple),
    percents=st.dictionaries(texts, fractions, max_size=2),
    ingredients=words,
    allergens=words,
    may_contain=words,
    barcode=st.none() | texts,
    source=texts,
)
measure_words = st.none() | st.builds(
    MeasureWord, texts, st.sampled_from(["mass", "word", "vessel"]), texts, st.none() | texts
)


def recipes(inside):
    """Facts of recipes with these foods in them."""
    parts = st.builds(Ingredient, texts, texts, inside, ranges, ranges, measure_words, texts,
                      maybe, texts)  # fmt: skip
    many = st.lists(parts, max_size=2).map(tuple)
    recipe = st.builds(Recipe, many, st.lists(measures, max_size=2).map(tuple), maybe, maybe, words)
    return st.builds(
        FoodFacts, texts, st.just("EU"), st.just("recipe"), st.just({}), recipe=recipe, like=words
    )


food_facts = st.recursive(label_facts, recipes, max_leaves=2)
eaten = st.builds(ev.Eaten, texts, fractions, texts, st.integers(0, 9), st.integers(0, 9))
glucoses = st.builds(Glucose, fractions, st.sampled_from(["mg/dL", "mmol/L"]))
STRATEGIES = {
    "food-saved": st.builds(ev.FoodSaved, texts, food_facts),
    "recipe-saved": st.builds(ev.RecipeSaved, texts, food_facts),
    "recipe-begun": st.builds(ev.RecipeBegun, texts),
    "recipe-named": st.builds(ev.RecipeNamed, texts),
    "goal-said": st.builds(ev.GoalSaid, maybe),
    "measure-saved": st.builds(ev.MeasureSaved, texts, measures),
    "alias-saved": st.builds(ev.AliasSaved, texts, texts),
    "food-forgotten": st.builds(ev.FoodForgotten, texts),
    "setting-said": st.builds(
        ev.SettingSaid, texts, st.dictionaries(texts, plain_json, max_size=3), texts
    ),
    "glucose-read": st.builds(ev.GlucoseRead, glucoses, times),
    "readings-imported": st.builds(
        ev.ReadingsImported,
        texts,
        st.lists(st.builds(ev.ImportedReading, glucoses, times), max_size=3).map(tuple),
    ),
    "low-felt": st.builds(ev.LowFelt, texts),
    "meal-counted": st.builds(
        ev.MealCounted,
        texts,
        st.lists(portions, max_size=3).map(tuple),
        ranges,
        many_lines,
        st.none() | st.integers(1, 99),
        st.lists(eaten, max_size=2).map(tuple),
    ),
    "dose-suggested": st.builds(ev.DoseSuggested, texts, fractions, fractions, many_lines),
    "dose-refused": st.builds(ev.DoseRefused, texts, words, many_lines),
    "suggestion-closed": st.builds(
        ev.SuggestionClosed, st.sampled_from(["taken", "not taken", "cancelled"])
    ),
    "clock-right": st.builds(ev.ClockRight),
    "clock-settled": st.builds(ev.ClockSettled, st.integers(-840, 840), st.integers(-840, 840)),
    "dose-taken": st.builds(ev.DoseTaken, fractions, times),
    "record-gap": st.builds(ev.RecordGap, st.none() | times),
    "record-complete": st.builds(ev.RecordComplete),
    "question-asked": st.builds(ev.QuestionAsked, texts, questions),
    "question-closed": st.builds(ev.QuestionClosed),
    "list-shown": st.builds(ev.ListShown, texts, st.integers(0, 1000)),
    "manner-said": st.builds(ev.MannerSaid, texts, texts),
    "undone": st.builds(ev.Undone, st.integers(1, 10**9)),
}
NEEDS_FOOD = {"measure-saved", "alias-saved", "food-forgotten"}


def test_every_kind_has_its_strategy():
    assert set(STRATEGIES) == set(codec.KINDS)


@pytest.mark.more
@pytest.mark.parametrize("kind", ALL)
def test_every_kind_comes_back_the_same_from_its_text(kind):
    @settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
    @given(STRATEGIES[kind])
    def check(event):
        again = codec.event_of(event.kind, codec.event_json(event))
        assert again == event
        assert type(again) is type(event)

    check()


@pytest.fixture(scope="module")
def shared(tmp_path_factory):
    with closing(Store.open(tmp_path_factory.mktemp("shared"), datetime.now(UTC))) as store:
        yield store


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.one_of([STRATEGIES[k] for k in ALL if k != "undone" and k not in NEEDS_FOOD]),
        max_size=4,
    ),
    times,
    texts,
)
def test_every_event_comes_back_the_same_from_the_file(shared, events, at, text):
    with shared.turn() as tx:
        turn = tx.keep(at, text, "answered", "{}", events)
    with shared.reading() as (record, _):
        found = [kept for kept in record.events(ALL) if kept.turn == turn]
    assert [kept.event for kept in found] == events
    for kept in found:
        assert (kept.text, kept.said_at) == (text, at)
        assert kept.said_at.utcoffset() == at.utcoffset()
    row = shared.history(1)[0]
    assert (row.id, row.text, row.said_at) == (turn, text, at)


def test_a_turn_without_events_is_kept(store, keep):
    assert keep(store, text="hello \x00 \x1b[31m é") == 1
    row = store.history(5)[0]
    assert (row.text, row.status, row.reply) == ("hello \x00 \x1b[31m é", "answered", "{}")
    assert not row.undone


def test_lone_surrogates_of_the_words_are_marked(store, keep):
    keep(store, text="caf\udce9")
    assert store.history(1)[0].text == "caf\ufffd"


def test_a_mapping_of_another_sort_is_kept(store, keep):
    proxy = MappingProxyType({"carbohydrate": Nutrient(Fraction(1, 3), "g")})
    keep(store, ev.FoodSaved("x", FoodFacts("X", "US", "serving", proxy)))
    keep(store, ev.SettingSaid("ratio", MappingProxyType({"grams": "10"}), "1 per 10"))
    with store.reading() as (record, foods):
        assert foods.by_id("x").facts.nutrients == dict(proxy)
        assert record.events(("setting-said",))[0].event.value == {"grams": "10"}


def test_tuples_of_a_setting_become_lists(store, keep):
    keep(store, ev.SettingSaid("ratio", {"hours": ((0, 360), (360, 1440))}, "by the hour"))
    with store.reading() as (record, _):
        value = record.events(("setting-said",))[0].event.value
    assert value == {"hours": [[0, 360], [360, 1440]]}


NAIVE = datetime(2026, 1, 1)  # noqa: DTZ001

UNKEEPABLE = [
    ev.AliasSaved("x", "caf\udce9"),
    ev.DoseTaken("four", datetime(2026, 1, 1, tzinfo=UTC)),
    ev.DoseTaken(Fraction(4), NAIVE),
    ev.GlucoseRead(Glucose(Fraction(5), "mg/dL"), NAIVE),
    ev.SettingSaid("ratio", {"grams": Fraction(1, 3)}, "a fraction is not JSON"),
    ev.SettingSaid("ratio", {"grams": float("nan")}, "not a number"),
    ev.DoseTaken(0.1, datetime(2026, 1, 1, tzinfo=UTC)),
    ev.SuggestionClosed("forgotten"),
    ev.Undone(1),
    ev.Undone(99),
    ev.MeasureSaved("nothing", Measure(Fraction(1), "slice", Fraction(30))),
    ev.AliasSaved("nothing", "nil"),
    ev.FoodForgotten("nothing"),
]


@pytest.mark.parametrize("event", UNKEEPABLE, ids=lambda event: f"{event.kind}")
def test_what_could_not_be_read_back_is_refused_at_once(store, keep, now, event):
    dose = ev.DoseTaken(Fraction(2), now)
    with pytest.raises(ValueError, match=r"."):
        keep(store, dose, event)
    assert store.history(5) == ()
    assert keep(store, dose) == 1


def test_half_a_keep_is_not_committed_by_a_caller_that_goes_on(store, now):
    with store.turn() as tx:
        with pytest.raises(ValueError, match="undo"):
            tx.keep(now, "a", "answered", "{}", [ev.DoseTaken(Fraction(2), now), ev.Undone(9)])
        tx.keep(now, "b", "answered", "{}", [])
    assert [row.text for row in store.history(5)] == ["b"]
    with store.reading() as (record, _):
        assert record.events(("dose-taken",)) == ()


def test_a_time_needs_its_offset(store, keep):
    with pytest.raises(ValueError, match="offset"):
        keep(store, at=NAIVE)
    with store.reading() as (record, _), pytest.raises(ValueError, match="offset"):
        record.events(("dose-taken",), since=NAIVE)


def test_a_kind_that_does_not_exist_is_no_empty_answer(store):
    with store.reading() as (record, _), pytest.raises(ValueError, match="no such kind"):
        record.events(("dose_taken",))


def test_since_compares_instants(store, keep, now):
    early = datetime(2026, 3, 2, 9, 0, tzinfo=timezone(timedelta(hours=9)))  # 00:00 UTC
    late = datetime(2026, 3, 2, 1, 0, tzinfo=timezone(timedelta(hours=-5)))  # 06:00 UTC
    for at in (early, late):
        keep(store, ev.DoseTaken(Fraction(1), at), at=at, text=at.isoformat())
    moment = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)
    with store.reading() as (record, _):
        at_it = record.events(("dose-taken",), since=moment)
        after = record.events(("dose-taken",), since=moment + timedelta(microseconds=1))
        before = record.events(("dose-taken",), since=moment - timedelta(hours=6))
    assert [kept.said_at for kept in at_it] == [late]
    assert after == ()
    assert [kept.said_at for kept in before] == [early, late]


def test_the_last_so_many_oldest_first_across_kinds(store, keep, now):
    for units in range(1, 5):
        keep(store, ev.DoseTaken(Fraction(units), now), ev.SuggestionClosed("taken"))
    with store.reading() as (record, _):
        both = record.events(("dose-taken", "suggestion-closed"), last=3)
        assert [kept.event.kind for kept in both] == [
            "suggestion-closed",
            "dose-taken",
            "suggestion-closed",
        ]
        assert record.events(("dose-taken",), last=1)[0].event.units == 4
        assert record.events(("dose-taken",), last=0) == ()
        assert len(record.events(("dose-taken", "dose-taken"), last=99)) == 4
        assert record.events(()) == ()


def test_undo_hides_the_turn_and_itself(store, keep, now):
    first = keep(store, ev.DoseTaken(Fraction(1), now), ev.SuggestionClosed("taken"))
    second = keep(store, ev.DoseTaken(Fraction(2), now))
    undo = keep(store, ev.Undone(second), ev.QuestionClosed())
    with store.reading() as (record, _):
        assert [kept.turn for kept in record.events(ALL)] == [first, first, undo]
        assert record.events(ALL, last=1)[0].turn == undo
        assert record.events(("dose-taken",), last=1)[0].turn == first
        assert record.events(("undone",)) == ()
        assert record.events(("dose-taken",), since=now)[-1].turn == first
    assert [row.undone for row in store.history(9)] == [False, True, False]


def test_undo_of_an_undo_brings_nothing_back(store, keep, now):
    dose = keep(store, ev.DoseTaken(Fraction(2), now))
    undo = keep(store, ev.Undone(dose), ev.QuestionClosed())
    keep(store, ev.Undone(undo))
    with store.reading() as (record, _):
        assert record.events(ALL) == ()


def test_a_turn_sees_what_it_kept_and_a_failed_turn_leaves_nothing(store, now):
    with pytest.raises(ZeroDivisionError), store.turn() as tx:  # noqa: PT012
        tx.keep(now, "a", "answered", "{}", [ev.DoseTaken(Fraction(2), now)])
        assert len(tx.record.events(("dose-taken",))) == 1
        raise ZeroDivisionError
    assert store.history(5) == ()
    with pytest.raises(RuntimeError, match="ended"):
        tx.keep(now, "b", "answered", "{}", [])
    with store.turn(), pytest.raises(RuntimeError, match="in progress"), store.turn():
        pass


def test_two_stores_on_one_folder_see_each_others_turns(opened, keep, now):
    one, two = opened(), opened()
    keep(one, ev.DoseTaken(Fraction(1), now), text="one")
    keep(two, ev.DoseTaken(Fraction(2), now), text="two")
    for store in (one, two):
        assert [row.text for row in store.history(9)] == ["one", "two"]
        with store.reading() as (record, _):
            assert [kept.event.units for kept in record.events(("dose-taken",))] == [1, 2]
    with one.turn() as tx:
        with pytest.raises(StoreProblem) as caught:
            keep(two)
        assert caught.value.code == "locked"
        tx.keep(now, "three", "answered", "{}", [])
    assert keep(two) == 4


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE turns SET text = 'changed'",
        "DELETE FROM turns",
        "UPDATE events SET data = '{}'",
        "DELETE FROM events",
        "REPLACE INTO turns SELECT * FROM turns",
        "REPLACE INTO events SELECT * FROM events",
        "INSERT INTO turns SELECT * FROM turns WHERE true ON CONFLICT DO UPDATE SET text = 'x'",
    ],
)
def test_the_journal_is_append_only(store, home, keep, now, statement):
    keep(store, ev.DoseTaken(Fraction(2), now))
    with closing(sqlite3.connect(home / "countaloud.db")) as other:
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            other.execute(statement)
        other.rollback()
        assert other.execute("SELECT count(*) FROM events").fetchone() == (1,)


def damage(home, statement):
    """What a failing disk or a stranger's tool might do: the triggers are taken away first."""
    with closing(sqlite3.connect(home / "countaloud.db")) as other:
        for table in ("turns", "events"):
            other.execute(f"DROP TRIGGER {table}_no_update")
        other.execute("PRAGMA ignore_check_constraints = ON")
        other.execute(statement)
        other.commit()


@pytest.mark.parametrize(
    "change",
    [
        'data = \'{"kind": "dose-taken"\'',
        'data = \'{"kind": "dose-taken", "units": "many", "taken_at": "2026-03-02T07:30Z"}\'',
        'data = \'{"kind": "question-closed"}\'',
        "data = x'00ff'",
        "said_at = 'yesterday'",
        "said_at = '2026-03-02T07:30:00'",
        "said_us = said_us + 1",
    ],
)
def test_a_row_that_cannot_be_read_is_never_skipped(store, home, keep, now, change):
    keep(store, ev.DoseTaken(Fraction(2), now))
    keep(store, ev.DoseTaken(Fraction(3), now))
    damage(home, f"UPDATE events SET {change} WHERE id = 2")
    with store.reading() as (record, _), pytest.raises(StoreProblem) as caught:
        record.events(("dose-taken",))
    assert caught.value.code == "journal-damaged"
    assert caught.value.path == home
    assert "Row 2 of the table events" in caught.value.detail


def test_a_turn_that_cannot_be_read_is_told(store, home, keep):
    keep(store)
    damage(home, "UPDATE turns SET said_at = 'yesterday'")
    with pytest.raises(StoreProblem, match="Row 1 of the table turns"):
        store.history(1)


def test_turns_between_two_times_in_pages(store, now):
    with store.turn() as tx:
        for minute in range(1203):
            at = now + timedelta(minutes=minute)
            tx.keep(at, str(minute), "answered", json.dumps({"n": minute}), [])
    assert [row.text for row in store.turns()] == [str(n) for n in range(1203)]
    some = store.turns(now + timedelta(minutes=5), now + timedelta(minutes=8))
    assert [row.text for row in some] == ["5", "6", "7"]
    assert [row.text for row in store.history(2)] == ["1201", "1202"]
    assert store.history(0) == ()


SAID = (
    ("cap_dose", {"units": "8"}),
    ("cap_dose", {"units": "9"}),
    ("policy", {"policy": "net"}),
    ("kitchen", {"unit": "cup", "millilitres": "250"}),
    ("kitchen", {"unit": "bowl", "millilitres": "350"}),
)


@given(
    said=st.lists(st.lists(st.sampled_from(SAID), max_size=3), max_size=8), since=st.integers(0, 10)
)
@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_settings_since_a_turn_are_those_of_a_walk_over_all(tmp_path_factory, said, since):
    home = tmp_path_factory.mktemp("settings")
    at = datetime(2026, 3, 2, 8, tzinfo=UTC)
    with closing(Store.open(home, at)) as one:
        for number, each in enumerate(said):
            with one.turn() as tx:
                events = [ev.SettingSaid(name, value, f"{number}") for name, value in each]
                tx.keep(at + timedelta(minutes=number), "x", "answered", "{}", events)
        with one.reading() as (record, _):
            every = record.events(("setting-said",))
            places = {id(k): n for n, k in enumerate(every)}
            before = {topic(k.event.name, k.event.value): k for k in every if k.turn < since}
            kept = {*(places[id(k)] for k in before.values()),
                    *(n for n, k in enumerate(every) if k.turn >= since)}  # fmt: skip
            assert list(record.settings(since)) == [every[n] for n in sorted(kept)]
            last = {topic(k.event.name, k.event.value): n for n, k in enumerate(every)}
            assert list(record.settings()) == [every[n] for n in sorted(last.values())]

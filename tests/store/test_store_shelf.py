"""The shelf of imported foods: found by name and by likeness, filled whole or not at all."""

import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.counting.facts import FoodFacts, Measure, Nutrient
from assistant.dialogue.events import (
    AliasSaved,
    FoodForgotten,
    FoodSaved,
    MealCounted,
    MeasureSaved,
    Undone,
)
from assistant.dialogue.replies import Portion
from assistant.shell import library_trials
from assistant.store import alike, codec, shelf, shelf_writer
from assistant.store.problems import StoreProblem
from assistant.values import Ranged
from grammar.words import name_key


@pytest.fixture
def put(home, facts):
    """Puts foods of these names on the shelf: put(a="Apple", b="Pear")."""

    def one(**names):
        with shelf_writer.filling(home) as writer:
            source = writer.source("invented foods", "made up")
            return {key: writer.add(key, facts(name), source) for key, name in names.items()}

    return one


@pytest.fixture
def look(store):
    def one(method, *args):
        with store.reading() as (_, foods):
            return getattr(foods, method)(*args)

    return one


def ids(foods):
    return [food.food_id for food in foods]


def test_an_imported_food_is_found_by_its_name(put, look, facts):
    assert put(a="Oat cereals, sweet") == {"a": "added"}
    (food,) = look("exact", name_key("oat-cereal sweet"))
    kept = replace(facts("Oat cereals, sweet"), source="invented foods", licence="made up")
    assert (food.food_id, food.version, food.facts) == ("a", 1, kept)
    assert look("by_id", "a") == food
    assert look("exact", "oat") == ()
    assert look("by_id", "b") is None
    assert look("names") == ()  # the user's own alone


def test_a_chat_that_is_open_sees_what_is_imported(put, look):
    assert look("exact", "apple") == ()
    put(a="Apple")
    assert ids(look("exact", "apple")) == ["a"]
    put(b="Pear")
    assert ids(look("exact", "pear")) == ["b"]


def test_again_changes_nothing(put, look, home):
    put(a="Apple", b="Pear")
    assert put(a="Apple", b="Pear") == {"a": "same", "b": "same"}
    with closing(shelf.Shelf(home)) as one:
        assert one.count() == 2
    assert look("near", "aple") == ("Apple",)


def test_again_does_not_touch_the_file(put, home):
    put(a="Apple")
    before = (home / shelf.FILE).stat()
    put(a="Apple")
    after = (home / shelf.FILE).stat()
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_a_food_of_a_later_date_stays(home, facts, look):
    new = replace(facts("Apple", 12), dated="2025-04-24")
    old = replace(facts("Apple", 10), dated="2019-04-01")
    with shelf_writer.filling(home) as writer:
        source = writer.source("invented foods", "made up")
        assert writer.add("a", new, source) == "added"
    with shelf_writer.filling(home) as writer:
        assert writer.add("a", old, writer.source("invented foods", "made up")) == "older"
    assert look("by_id", "a").facts.nutrients == new.nutrients


def test_what_was_eaten_lately_stands_before_what_is_as_like(put, look, store, keep):
    put(a="Oat cereal, golden", b="Oat cereal, silver", c="Oat cereal, violet")
    counted = Ranged.exactly(Fraction(20))
    grams = Fraction(40)
    portion = Portion("x", "Oat cereal, violet", grams, "gram", grams, None, counted)
    assert look("near", "oat ceral")[0] != "Oat cereal, violet"
    keep(store, MealCounted("x", (portion,), counted, ()))
    assert look("near", "oat ceral")[0] == "Oat cereal, violet"


def test_every_food_with_a_word_is_found(put, look, store, keep, facts):
    put(a="Bread, rye", b="Breads of the mill", c="Gingerbread", d="Rye flour")
    keep(store, FoodSaved("mine", facts("my bread")))
    assert look("holding", "breads") == ("my bread", "Bread, rye", "Breads of the mill")
    assert look("holding", "rye bread") == ("Bread, rye",)
    assert look("holding", "qqq") == look("holding", "  ") == ()


GTIN = "2001234567893"
"""A number for use within one shop (GS1 prefix 200), with a right check digit."""


@pytest.mark.parametrize("typed", [GTIN, "0" + GTIN])
def test_a_food_is_found_by_its_barcode(home, facts, look, typed):
    with shelf_writer.filling(home) as writer:
        source = writer.source("invented foods", "made up")
        writer.add("a", replace(facts("Hillmoor Mill bar"), barcode="0" + GTIN), source)
    assert ids(look("exact", typed)) == ["a"]
    assert look("exact", GTIN[:-1] + "2") == ()


def test_a_barcode_of_the_users_own_is_found_with_noughts_before_it(store, keep, facts, look):
    keep(store, FoodSaved("mine", replace(facts("my bar"), barcode=GTIN)), AliasSaved("mine", GTIN))
    assert ids(look("exact", GTIN)) == ids(look("exact", "0" + GTIN)) == ["mine"]


def test_foods_of_one_name_are_told_apart_by_their_identity(put, look):
    put(**{"sr:1": "Milk, whole", "cnf:2": "Milk whole"})
    assert ids(look("exact", "milk whole")) == ["sr:1", "cnf:2"]
    assert ids(look("exact", name_key("Milk, whole [cnf:2]"))) == ["cnf:2"]
    assert look("exact", name_key("Cream [cnf:2]")) == ()
    assert look("exact", name_key("Milk, whole [cnf:3]")) == ()


def test_a_changed_name_leaves_no_trace_of_the_old(put, look, home):
    put(a="Apple", b="Pear")
    assert put(a="Quince") == {"a": "changed"}
    assert look("exact", "apple") == look("near", "aple") == ()
    assert ids(look("exact", "quince")) == ["a"]
    assert look("near", "quinec") == ("Quince",)
    with closing(shelf.Shelf(home)) as one:
        assert one.count() == 2


OLD_INDEX = """
DROP TABLE vocabulary; DROP TABLE search; DROP TABLE words; DROP TABLE slips;
CREATE TABLE words (id INTEGER PRIMARY KEY, word TEXT NOT NULL, uses INTEGER NOT NULL);
CREATE TABLE slips (form TEXT NOT NULL, word INTEGER NOT NULL, PRIMARY KEY (form, word))
    WITHOUT ROWID;
CREATE VIRTUAL TABLE search USING fts5
    (words, content = '', detail = none, columnsize = 0, tokenize = 'ascii');
CREATE UNIQUE INDEX words_by_word ON words (word);
PRAGMA user_version = 1;
"""


@pytest.fixture
def of_before(home):
    """The shelf as it was laid out before: the number of a row is its place in the index, and the
    index has the numbers of words in their place."""

    def one():
        with closing(sqlite3.connect(home / shelf.FILE)) as connection, connection:
            connection.executescript(OLD_INDEX)
            known = {}
            for key, number in connection.execute(
                "SELECT key, id FROM foods ORDER BY id"
            ).fetchall():
                place = shelf.place(key, number & shelf.NUMBER)
                for table in ("foods", "facts"):
                    connection.execute(f"UPDATE {table} SET id = ? WHERE id = ?", (place, number))
                words = list(dict.fromkeys(key.split()))
                for word in words:
                    known.setdefault(word, [len(known) + 1, 0])[1] += 1
                tokens = " ".join(f"w{known[word][0]}" for word in words)
                connection.execute(
                    "INSERT INTO search (rowid, words) VALUES (?, ?)", (place, tokens)
                )
            for word, (number, uses) in known.items():
                connection.execute("INSERT INTO words VALUES (?, ?, ?)", (number, word, uses))
                rows = [(form, number) for form in alike.forms(word)]
                connection.executemany("INSERT INTO slips VALUES (?, ?)", rows)

    return one


@pytest.mark.parametrize(
    "word",
    [
        "2%",
        "x+y",
        "1:2",
        "é",
        "[x]",
        "{a}",
        "#1",
        "~a",
        "1;2",
        "<3",
        "日本",
        "a*",
        "^b",
        "c|d",
        "e=f",
        "q?",
        "w!",
        "$5",
        "`k`",
        "m@n",
        "\\o",
    ],
)
def test_a_word_with_a_sign_in_it_is_one_word(put, look, home, word):
    put(a=f"Tea {word}", b="Tea 2", c="Tea x", d="Tea a")
    with closing(shelf.Shelf(home)) as one:
        assert [c.food_id for c in one.holding(name_key(f"tea {word}"), 9)] == ["a"]
        assert "a" in {c.food_id for c in one.candidates(name_key(word))}
    with closing(sqlite3.connect(home / shelf.FILE)) as connection:
        told = dict(connection.execute("SELECT word, uses FROM words").fetchall())
    assert told == {"tea": 4, "2": 1, "x": 1, "a": 1, name_key(word): 1}


def test_the_uses_of_words_follow_what_is_there(put, home):
    put(a="Rye bread", b="Rye rye roll", c="Roll")
    put(a="Oat bread", d="Oat roll")

    with closing(sqlite3.connect(home / shelf.FILE)) as connection:
        told = dict(connection.execute("SELECT word, uses FROM words").fetchall())
    assert told == {"rye": 1, "bread": 1, "roll": 3, "oat": 2}
    put(b="Oats")
    with closing(sqlite3.connect(home / shelf.FILE)) as connection:
        told = dict(connection.execute("SELECT word, uses FROM words").fetchall())
    assert told == {"rye": 0, "bread": 1, "roll": 2, "oat": 3}


def test_a_shelf_of_before_is_read_and_filled_on(put, look, home, facts, of_before):
    put(a="Rye bread", b="Rye", c="Rye bread, toasted, thick")
    named = {"near": "rye bred", "holding": "rye"}
    new = {method: look(method, *args) for method, args in
           {"near": (named["near"],), "exact": ("rye bread",)}.items()}  # fmt: skip
    of_before()
    assert {"near": look("near", named["near"]), "exact": look("exact", "rye bread")} == new
    with closing(shelf.Shelf(home)) as old:
        assert [c.food_id for c in old.holding("rye", 9)] == ["b", "a", "c"]
    assert put(a="Rye bread", b="Rye grain", d="Rye roll") == {
        "a": "same", "b": "changed", "d": "added",
    }  # fmt: skip
    with closing(shelf.Shelf(home)) as mixed:
        assert [c.food_id for c in mixed.holding("rye", 9)] == ["d", "a", "b", "c"]
        assert {c.food_id for c in mixed.candidates("rye bred")} == {"a", "b", "c", "d"}
        assert mixed.candidates("rye grain")[0].key == "rye grain"
        assert [f.facts.name for f in mixed.exact("rye grain")] == ["Rye grain"]
        assert mixed.exact("rye") == ()


def test_twice_in_one_import_the_later_stands(home, facts, look):
    with shelf_writer.filling(home) as writer:
        source = writer.source("invented foods", "made up")
        early = replace(facts("Apple", 10), dated="2019-04-01")
        later = replace(facts("Apple", 12), dated="2025-04-24")
        assert writer.add("a", early, source) == "added"
        assert writer.add("a", later, source) == "changed"
    assert look("by_id", "a").facts.nutrients == facts("Apple", 12).nutrients
    assert look("near", "aplpe") == ("Apple",)


def test_a_name_without_letters_is_refused(home, facts):
    with pytest.raises(ValueError, match="letter"), shelf_writer.filling(home) as writer:
        writer.add("a", facts("- ' -"), 1)
    assert not (home / shelf.FILE).exists()


def test_own_foods_settle_a_name(put, look, store, keep, facts):
    put(a="Milk", b="Milk drink")
    keep(store, FoodSaved("mine", facts("milk", 5)))
    assert ids(look("exact", "milk")) == ["mine"]
    assert ids(look("exact", "milk drink")) == ["b"]
    assert look("near", "mlik")[0] in {"milk", "Milk"}
    keep(store, FoodForgotten("mine"))
    assert ids(look("exact", "milk")) == ["a"]


def test_own_names_stand_first_where_they_are_as_like(put, look, store, keep, facts):
    put(a="Oat cereal, golden", b="Oat cereal, silver")
    keep(store, FoodSaved("mine", facts("Oat cereal, copper")))
    assert look("near", "oat ceral")[0] == "Oat cereal, copper"
    assert len(look("near", "oat ceral")) == 3


@pytest.mark.parametrize(
    "event",
    [
        MeasureSaved("a", Measure(Fraction(1), "slice", Fraction(30))),
        AliasSaved("a", "morning apple"),
        FoodForgotten("a"),
    ],
)
def test_an_imported_food_that_is_changed_becomes_the_users_own(put, look, store, keep, event):
    put(a="Apple", b="Pear")
    turn = keep(store, event)
    with store.reading() as (record, _):
        kinds = {k.event.kind for k in record.events(("food-saved", event.kind))}
    assert kinds == {"food-saved", event.kind}
    put(a="Quince")  # whatever is imported later, the journal alone tells what is the user's own
    if isinstance(event, FoodForgotten):
        assert look("exact", "apple") == look("exact", "quince") == ()
        assert look("near", "aplpe") == ()
    else:
        assert ids(look("exact", "apple")) == ["a"]
        assert look("exact", "quince") == ()
    keep(store, Undone(turn))
    assert ids(look("exact", "quince")) == ["a"]


def test_an_alias_of_no_food_is_still_refused(put, store, keep):
    put(a="Apple")
    with pytest.raises(ValueError, match="no food"):
        keep(store, AliasSaved("nothing", "x"))


def test_a_fault_half_way_leaves_the_shelf_as_it_was(put, home, facts, look):
    put(a="Apple")
    before = (home / shelf.FILE).read_bytes()

    def fails():
        with shelf_writer.filling(home) as writer:
            writer.add("b", facts("Pear"), 1)
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fails()
    assert (home / shelf.FILE).read_bytes() == before
    assert sorted(p.name for p in home.glob("imported*")) == [shelf.FILE, "imported-foods.lock"]


HALF_WAY = """
import sys
from pathlib import Path
from assistant.dialogue.replies import Portion
from assistant.shell import library_trials
from assistant.store import shelf_writer
with shelf_writer.filling(Path(sys.argv[1])) as writer:
    for food_id, name, facts in library_trials.rows(1_000_000):
        writer.add_row("killed " + food_id, name, facts, 1)
        if food_id == "invented:3000":
            print("half", flush=True)
"""


def test_killed_half_way_the_shelf_is_as_it_was_and_can_be_filled(put, home, look):
    put(a="Apple")
    before = (home / shelf.FILE).read_bytes()
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}
    with subprocess.Popen(
        [sys.executable, "-c", HALF_WAY, home], stdout=subprocess.PIPE, env=environment
    ) as filler:
        assert filler.stdout.readline() == b"half\n"
        with pytest.raises(StoreProblem) as caught, shelf_writer.filling(home):
            pass
        assert caught.value.code == "locked"  # one import at a time
        filler.send_signal(signal.SIGKILL)
    assert (home / shelf.FILE).read_bytes() == before
    assert ids(look("exact", "apple")) == ["a"]
    assert put(b="Pear") == {"b": "added"}
    assert not (home / f"{shelf.FILE}.new").exists()


def test_no_room_leaves_the_shelf_as_it_was(put, home, facts):
    put(a="Apple")
    before = (home / shelf.FILE).read_bytes()

    def fills():
        with shelf_writer.filling(home) as writer:
            pages = writer._connection.execute("PRAGMA page_count").fetchone()[0]
            writer._connection.execute(f"PRAGMA max_page_count = {pages + 2}")
            for number in range(2000):
                writer.add(f"b{number}", facts(f"Pear {number}"), 1)

    with pytest.raises(StoreProblem) as caught:
        fills()
    assert caught.value.code == "disk-full"
    assert (home / shelf.FILE).read_bytes() == before


@pytest.mark.parametrize("content", [b"", b"my notes " * 900])
def test_a_damaged_shelf_is_told_and_never_taken_for_an_empty_one(put, look, home, content):
    put(a="Apple")
    (home / shelf.FILE).write_bytes(content)
    for method in ("exact", "near", "by_id"):
        with pytest.raises(StoreProblem) as caught:
            look(method, "apple")
        assert caught.value.code == "library-damaged"


def test_the_files_are_private(put, home):
    put(a="Apple")
    assert {p.stat().st_mode & 0o777 for p in home.glob("imported*")} == {0o600}


# Names that are like what was typed


@pytest.fixture(scope="module")
def crowd(tmp_path_factory):
    """A few thousand invented names, and those that are meant among them."""
    home = tmp_path_factory.mktemp("crowd")
    library_trials.fill(home, 5000)
    with closing(shelf.Shelf(home)) as one:
        yield one


@pytest.mark.parametrize(("typed", "meant"), library_trials.SLIPS)
def test_slips_and_other_orders_are_offered(store, crowd, typed, meant, monkeypatch):
    monkeypatch.setattr(store, "_shelf", crowd)
    with store.reading() as (_, foods):
        assert meant in foods.near(typed), foods.near(typed)


def test_few_names_are_compared_however_many_there_are(crowd):
    for typed in (
        "milk",
        "oat cereal",
        "raw apple with skin",
        "m",
        "mil",
        "low fat milk and bread",
    ):
        assert len(crowd.candidates(typed)) <= 1500


@pytest.mark.parametrize("typed", ["zzzzzzzz", "qqqq xxxx", "%%", "*", '"', "w1", "OR", "(", "é"])
def test_what_is_like_nothing_finds_nothing_and_breaks_nothing(crowd, typed):
    key = name_key(typed)
    assert crowd.candidates(key) == [] or key == "w1"


words = st.text(st.sampled_from("abcdeino"), min_size=4, max_size=9)


@settings(max_examples=150, deadline=None)
@given(words, st.data())
def test_one_slip_in_a_word_leaves_a_form_in_common(word, data):
    at = data.draw(st.integers(0, len(word) - 2))
    letter = data.draw(st.sampled_from("abcdeino"))
    slips = {
        word[:at] + word[at + 1 :],  # left out
        word[:at] + letter + word[at:],  # one more
        word[:at] + letter + word[at + 1 :],  # another
        word[:at] + word[at + 1] + word[at] + word[at + 2 :],  # swapped
    }
    for slip in slips:
        assert alike.forms(word) & alike.forms(slip), slip


@settings(max_examples=50, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30))
def test_any_name_is_found_by_its_key(tmp_path_factory, facts, name):
    home = tmp_path_factory.mktemp("any")
    if not name_key(" ".join(name.split())):
        return
    try:
        with shelf_writer.filling(home) as writer:
            writer.add("a", facts(name), writer.source("invented", ""))
    except ValueError:
        return  # control characters alone
    with closing(shelf.Shelf(home)) as one, closing(sqlite3.connect(home / shelf.FILE)) as raw:
        key = raw.execute("SELECT key FROM foods").fetchone()[0]
        assert ids(one.exact(key)) == ["a"]
        assert [c.food_id for c in one.candidates(key)] == ["a"]


def test_the_short_text_of_facts_reads_back_the_same(facts):
    plain = facts("Apple")
    full = FoodFacts(
        "Pear", "EU", "100 g",
        {"carbohydrate": Nutrient(Fraction(1, 3), "g", True, 2), "fat": Nutrient(Fraction(0), "g")},
        extra=(Measure(Fraction(1, 2), "cup", None, Fraction(120)),),
        percents={"iron": Fraction(7)}, ingredients=("pear",), barcode="0012", source="invented",
        failed_checks=("energy",), prepared=True,
    )  # fmt: skip
    for one in (plain, full):
        assert codec.facts_of(codec.facts_short(one)) == one

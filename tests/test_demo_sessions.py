"""The sessions in demo_sessions: each is replayed whole, on another clock and in another locale.

The invented scenario: Ines, who teaches others to count, and Oluf, who learns it from her.
The figures in FIGURES were worked out by hand from the labels and the settings in the files.
"""

import itertools
import json
import os
import subprocess
import sys
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path

import pytest

from assistant.teaching.session_file import Damage, Header, read
from assistant.teaching.verify import Damage as FileDamage
from assistant.teaching.verify import verified

ROOT = Path(__file__).parent.parent
SESSIONS = sorted((ROOT / "demo_sessions").glob("*.jsonl"))

FIGURES = {
    # oat cereal: 27 - 6 = 21 g a serving; milk 4.8 g in 100 ml; ratio 10, from 11:00 12;
    # factor 45 mg/dL, target 110
    ("breakfast", "1.5 servings of the oat cereal plus 200 ml milk, glucose 162"):
        (41.1, 5.0),  # 4.11 + 52/45 = 5.27
    ("breakfast", "a serving of oat cereal, glucose 200"):
        (21, 2.0),  # 2.1; the correction of 2 is covered by 2.5 active units
    ("breakfast", "2 servings of oat cereal, glucose 110"): (42, 3.5),  # 42/12
    ("refusals", "5 servings of oat cereal, glucose 120"): (105, None),  # 10.7 > 8
    ("refusals", "1 serving of oat cereal, glucose 62"): (21, None),
    ("questions", "1"): (42, 4.0),
    ("questions", "250 ml"): (12, 1.0),
    ("two_labels", "1 western oat bar"): (27, None),  # 32 - 5
    ("two_labels", "1 island oat bar"): (27, None),  # 54 / 2, fibre outside
    ("label_read_aloud", "1.5 servings of hazel granola"): (48, None),  # (37 - 5) * 1.5
    ("label_read_aloud", "half the pack of hazel granola"): (128, None),  # 4 * 32
    ("eating_out", "1 bowl of barley soup and 2 slices of rye bread, glucose 130"):
        (57.4, 5.0),  # 3.5 * 8 + 0.7 * 42; 57.4/12 + 20/45 = 5.23
    ("a_low", "2 servings of oat cereal, glucose 94"): (42, 3.0),  # 3.5 - 16/45 = 3.14
    ("two_meals", "4 servings of oat cereal, glucose 180"): (84, None),  # 5 + 2 + 8 > 12
    # 4 x 48 + 2.4 x 8 + 12 x 0.4 = 216 g, in 6 bowls; 2350 g less the pot of 750 g
    ("kitchen", "1 bowl of lentil stew, glucose 130"): (36, 3.0),  # 36/12 + 20/45 = 3.44
    ("kitchen", "750"): (33.75, 3.0),  # 216 x 250 / 1600; 33.75/12 + 20/45 = 3.26
    # as rice 28 g in 100 g, as bread 48 g: the middle of both
    ("market", "100 g of pan noodles, glucose 110"): (None, None),  # asked first
    ("teaching", "60 g of oat cereal plus 200 ml milk"): (41.1, None),
}  # fmt: skip


def lines_of(path: Path) -> list[str]:
    return path.read_text(encoding="utf-8").splitlines()


def test_there_are_at_least_ten_and_each_teaches_one_thing() -> None:
    headers = [read(lines_of(path))[0] for path in SESSIONS]
    assert len(headers) >= 10
    assert all(isinstance(h, Header) and h.teaches and "Invented" in h.note for h in headers)
    assert len({h.title for h in headers}) == len(headers)


@pytest.mark.parametrize("path", SESSIONS, ids=lambda p: p.stem)
def test_a_session_replays_as_it_was(path: Path) -> None:
    header, turns = read(lines_of(path))
    assert isinstance(header, Header)
    found = list(verified(header, turns))
    assert not [item for item in found if isinstance(item, Damage | FileDamage)]
    assert not [part for item in found for part in item.parts]
    assert len(found) == len(lines_of(path)) - 2


@pytest.mark.parametrize(("name", "say"), FIGURES, ids=lambda value: value)
def test_figures_worked_by_hand(name: str, say: str) -> None:
    rows = [json.loads(line) for line in lines_of(ROOT / "demo_sessions" / f"{name}.jsonl")]
    replies = [row["reply"] for row in rows[1:-1] if row["say"] == say]
    counted, dose = FIGURES[name, say]
    assert replies
    for reply in replies:
        assert reply["counted_carbs_g"] == counted
        assert (reply["dose"] or {}).get("suggested_units") == dose


def test_the_sugar_alcohols_of_the_bar() -> None:
    """18 g total, 3 g fibre inside, 9 g erythritol: half off, none left of it, then all of it."""
    rows = [json.loads(x) for x in lines_of(ROOT / "demo_sessions" / "sugar_alcohols.jsonl")]
    counts = [r["reply"]["counted_carbs_g"] for r in rows[1:-1] if r["reply"]["portions"]]
    assert counts == [10.5, 6, 18]


def test_an_estimate_is_the_middle_and_its_upper_end_is_held_against_the_cap() -> None:
    """200 g: 56 g as rice, 96 g as bread, 76 g in the middle; up to 1.2 x 97 = 116.4 g, which is
    9.7 units at 12 g a unit and above the cap of 8. 100 g: 38 g, up to 58.2 g, 4.85 units."""
    rows = [json.loads(line) for line in lines_of(ROOT / "demo_sessions" / "market.jsonl")]
    replies = [row["reply"] for row in rows[1:-1] if row["say"] == "yes"]
    assert [r["counted_carbs_g"] for r in replies] == [76, 38]
    assert [r["dose"]["suggested_units"] for r in replies] == [6, 3]  # 6.33 and 3.17
    rules = [{rule["rule"] for rule in r["rules"]} for r in replies]
    assert ["range-over-dose-cap" in found for found in rules] == [True, False]
    assert "9.7" not in replies[0]["text"]
    assert "9.5 units" not in replies[0]["text"]


def test_they_verify_in_another_time_zone_and_locale(tmp_path) -> None:
    """As a user would, with the program in a process of its own."""
    environ = {**os.environ, "TZ": "Pacific/Chatham", "LC_ALL": "C", "PYTHONPATH": str(ROOT),
               "HOME": str(tmp_path)}  # fmt: skip
    for path in (SESSIONS[0], SESSIONS[-1]):
        done = subprocess.run(
            [sys.executable, "-m", "assistant.shell.main", "replay", "--verify", str(path)],
            env=environ, capture_output=True, check=False, text=True, timeout=120,
        )  # fmt: skip
        assert done.returncode == 0, done.stdout + done.stderr
    assert not list(tmp_path.iterdir())  # no data folder was made


def test_the_low_is_measured_again_no_sooner_than_after_15_minutes() -> None:
    """Published guidance: 15 g of fast carbohydrate, wait 15 minutes, measure again."""
    rows = [json.loads(line) for line in lines_of(ROOT / "demo_sessions" / "a_low.jsonl")][1:-1]
    times = [datetime.fromisoformat(row["at"]) for row in rows if "glucose" in row["say"]]
    assert all(b - a >= timedelta(minutes=15) for a, b in itertools.pairwise(times[:3]))
    treat = rows[0]["reply"]["text"]
    assert "170 millilitres" in treat  # 9 g sugars in 100 ml: 15 g is 166.7 ml, told as 170 ml
    assert Fraction(9, 100) * 170 >= 15

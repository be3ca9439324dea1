"""The sessions in demo_sessions are replayed: same words, same times, same answers.

A session file is JSON Lines: a header, then one object a turn with the time, the words, and what
has to come of them. The invented scenario: Ines, who teaches others to count, and her kitchen.
"""

import json
from datetime import datetime
from pathlib import Path

import pytest

from assistant.dialogue.turn import turn
from assistant.render.as_json import as_json, one_line_json
from assistant.store.store import Store

SESSIONS = sorted((Path(__file__).parent.parent / "demo_sessions").glob("*.jsonl"))


def test_there_are_demo_sessions() -> None:
    assert len(SESSIONS) >= 3


@pytest.mark.parametrize("path", SESSIONS, ids=lambda p: p.stem)
def test_a_session_replays_as_it_was(path: Path, tmp_path: Path) -> None:
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    header, turns = rows[0], rows[1:]
    assert header["format"] == "countaloud session"
    assert turns
    store = Store.open(tmp_path / "home", datetime.fromisoformat(turns[0]["at"]))
    try:
        for row in turns:
            now = datetime.fromisoformat(row["at"])
            with store.turn() as tx:
                outcome = turn(tx.record, tx.foods, row["say"], now)
                reply = as_json(outcome.reply)
                tx.keep(now, row["say"], reply["status"], one_line_json(reply), outcome.events)
            found = {
                "status": reply["status"],
                "counted_carbs_g": reply["counted_carbs_g"],
                "suggested_units": reply["dose"]["suggested_units"] if reply["dose"] else None,
                "rules": [r["rule"] for r in reply["rules"]],
            }
            expected = {key: row[key] for key in found if key in row}
            assert {k: found[k] for k in expected} == expected, row["say"]
    finally:
        store.close()

"""Sessions that an older version saved still verify where only their form has grown."""

import json

from assistant.teaching.verify import _apart

FAT = {"nutrient": "fat", "amount": "1", "unit": "g", "known": 1, "missing": 0}
CARBOHYDRATE = {**FAT, "nutrient": "carbohydrate", "amount": "27"}


def apart(was, now) -> list:
    return list(_apart("events", [json.loads(json.dumps(was))], [now]))


def test_a_nutrient_that_was_added_later_is_no_difference() -> None:
    was = {"kind": "meal-counted", "eaten": [FAT]}
    assert apart(was, {**was, "eaten": [FAT, CARBOHYDRATE]}) == []


def test_a_nutrient_that_is_another_or_gone_is_one() -> None:
    was = {"kind": "meal-counted", "eaten": [FAT, CARBOHYDRATE]}
    assert apart(was, {**was, "eaten": [FAT]})
    assert apart(was, {**was, "eaten": [{**FAT, "amount": "2"}, CARBOHYDRATE]})


def test_a_field_that_was_added_later_is_no_difference() -> None:
    was = {"kind": "glucose-read", "taken_at": "2026-03-02T08:00:00+01:00"}
    assert apart(was, {**was, "imported": False}) == []

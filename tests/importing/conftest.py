"""Readers on small files: foods by identity, and faults."""

import pytest

from assistant.importing.layouts import recognised
from assistant.importing.places import Place
from assistant.importing.rows import Fault, Row


@pytest.fixture
def take():
    """Reads a path: the name of its layout, foods by identity, faults."""

    def one(path):
        place = Place(path)
        try:
            layout = recognised(place)
            rows = list(layout.read(place))
        finally:
            place.close()
        foods = {row.food_id: row.facts for row in rows if isinstance(row, Row)}
        return layout.name, foods, [row for row in rows if isinstance(row, Fault)]

    return one


@pytest.fixture
def written(tmp_path):
    """Writes a file: written("name.csv", "text")."""

    def one(name, text, encoding="utf-8"):
        path = tmp_path / name
        path.write_bytes(text.encode(encoding))
        return path

    return one

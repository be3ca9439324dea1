"""Every value of the room is frozen: what was counted is what is told."""

from importlib import import_module
from pkgutil import iter_modules

from msgspec import Struct

import assistant.counting


def test_no_value_of_the_room_can_be_changed_in_place():
    looked = 0
    for found in iter_modules(assistant.counting.__path__):
        module = import_module(f"assistant.counting.{found.name}")
        for held in vars(module).values():
            if (
                isinstance(held, type)
                and issubclass(held, Struct)
                and held.__module__ == module.__name__
            ):
                looked += 1
                assert held.__struct_config__.frozen, held
    assert looked >= 12

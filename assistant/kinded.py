"""What a union of records is told apart by, in memory and in JSON alike."""

from msgspec import Struct


class Kinded(Struct, frozen=True, tag_field="kind"):
    """A record of one kind of several. Its JSON begins with the kind."""

    @property
    def kind(self) -> str:
        """The kind, as it is written."""
        return kind_of(type(self))


def kind_of(record: type[Kinded]) -> str:
    """The kind of such records, as it is written."""
    return str(record.__struct_config__.tag)

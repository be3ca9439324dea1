"""Which layout a file or a folder has, by its content. Never a guess: one that fits, or none."""

from msgspec import Struct

from assistant.importing import (
    canada,
    columns,
    plain_lines,
    plain_table,
    sr28,
    usda_csv,
    usda_json,
    usda_tidy,
)
from assistant.importing.places import Place
from assistant.importing.rows import Layout

LAYOUTS = (
    Layout("usda-csv", usda_csv.fits, usda_csv.read),
    Layout("usda-json", usda_json.fits, usda_json.read),
    Layout("usda-sr28", sr28.fits, sr28.read),
    Layout("usda-sr28-tidy", sr28.tidy_fits, sr28.tidy_read),
    Layout("usda-tidy", usda_tidy.fits, usda_tidy.read),
    Layout("canada-file", canada.file_fits, canada.file_read),
    Layout("canada-booklet", canada.booklet_fits, canada.booklet_read),
    Layout("canada-booklet-tidy", canada.tidy_fits, canada.tidy_read),
    Layout("swiss", columns.swiss_fits, columns.swiss_read),
    Layout("ciqual", columns.french_fits, columns.french_read),
    Layout("indian", columns.indian_fits, columns.indian_read),
    Layout("plain-table", plain_table.fits, plain_table.read),
    Layout("plain-lines", plain_lines.fits, plain_lines.read),
)
"""Every layout that is read. Each is named in the texts as layout-<name>."""


ONE_FILE = frozenset(
    {"canada-booklet-tidy", "swiss", "ciqual", "indian", "plain-table", "plain-lines"}
)
"""Layouts of one file: of a folder with several such files, one has to be named."""


class Unknown(Struct, frozen=True):
    """No layout fits, several do, or one that is known and not taken.

    why: unknown; other-scale; several (names: the layouts); one-by-one (names: the files, all of
    one layout); mixed (files of several layouts in one folder); doubled (names: what several files
    are called). groups: each layout with the files that have it by themselves.
    """

    why: str
    names: tuple[str, ...] = ()
    groups: tuple[tuple[str, tuple[str, ...]], ...] = ()


_TABLES = (".csv", ".tsv", ".txt", ".json", ".jsonl")
_OF_PACKAGES = ("package.json", "package-lock.json")
"""Files that each part of an npm package has."""


def recognised(place: Place) -> Layout | Unknown:
    """The one layout that fits the place; or why there is none."""
    doubled = [n for n in place.doubled if n.endswith(_TABLES) and n not in _OF_PACKAGES]
    if doubled:
        return Unknown("doubled", tuple(doubled))
    fitting = {layout.name: layout for layout in LAYOUTS if layout.fits(place)}
    groups = _groups(place) if len(place.names) > 1 else {}
    kinds = {**dict.fromkeys(fitting, ()), **groups}
    if not kinds:
        return Unknown("other-scale" if columns.british_fits(place) else "unknown")
    if len(kinds) > 1:
        return Unknown("mixed" if groups else "several", tuple(kinds), tuple(kinds.items()))
    ((name, files),) = kinds.items()
    if name in fitting and (name not in ONE_FILE or len(files) <= 1):
        return fitting[name]
    return Unknown("one-by-one", files, ((name, files),))


def _groups(place: Place) -> dict[str, tuple[str, ...]]:
    """The files that have a layout each by itself, by the layout."""
    found: dict[str, tuple[str, ...]] = {}
    for name in place.names:
        fitting = [layout.name for layout in LAYOUTS if layout.fits(place.only(name))]
        if len(fitting) == 1:
            found[fitting[0]] = (*found.get(fitting[0], ()), name)
    return found

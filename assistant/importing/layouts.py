"""Which layout a file or a folder has, by its content. Never a guess: one that fits, or none."""

from dataclasses import dataclass

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


@dataclass(frozen=True, slots=True)
class Unknown:
    """No layout fits, several do, or one that is known and not taken.

    why: unknown, several, mixed (files of other layouts in one folder), other-scale. names: the
    layouts, or the files.
    """

    why: str
    names: tuple[str, ...] = ()


def recognised(place: Place) -> Layout | Unknown:
    """The one layout that fits the place; or why there is none."""
    fitting = [layout for layout in LAYOUTS if layout.fits(place)]
    if len(fitting) == 1:
        if fitting[0].name not in ONE_FILE or len(place.names) == 1:
            return fitting[0]
        alone = [n for n in place.names if any(x.fits(place.only(n)) for x in LAYOUTS)]
        return Unknown("mixed", tuple(alone)) if len(alone) > 1 else fitting[0]
    if fitting:
        return Unknown("several", tuple(layout.name for layout in fitting))
    if columns.british_fits(place):
        return Unknown("other-scale")
    within = [n for n in place.names if any(x.fits(place.only(n)) for x in LAYOUTS)]
    if len(place.names) > 1 and within:
        return Unknown("mixed", tuple(within))
    return Unknown("unknown")

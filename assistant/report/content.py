"""What stands in a report: from the visit's figures to sentences, tables and plots."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from fractions import Fraction

from assistant.dialogue import lookback_lines as told
from assistant.dialogue.outcome import fact
from assistant.dialogue.replies import Line
from assistant.dialogue.visit import Visit
from assistant.diary.bands import BANDS, EDGES, Band, share
from assistant.diary.entries import Meal, units_of
from assistant.diary.figures import FEW, After, Figures, Low
from assistant.diary.pairing import Pair
from assistant.diary.spread import Spread
from assistant.render.aloud import MONTHS
from assistant.render.arguments import argument, cautioned, figure, sentence
from assistant.render.texts import TEXTS
from assistant.report.document import Document, Mark, Plot, Section, Table
from assistant.values import Amount, Arg, Between, GlucoseUnit


def text(code: str, **fields: object) -> str:
    """The report's own words."""
    return TEXTS[f"report-{code}"].format(**fields)


def told_line(line: Line) -> str:
    """A line as a sentence for the eye."""
    return cautioned(line, sentence(line, "sighted"))


def day(on: date) -> str:
    """'2 March 2026'."""
    return f"{on.day} {MONTHS[on.month - 1]} {on.year}"


def _short(on: date) -> str:
    """'2 Mar', below a plot."""
    return f"{on.day} {MONTHS[on.month - 1][:3]}"


Clock = Callable[[datetime], str]
"""How the times of one report are written."""


def moment(at: datetime) -> str:
    """'2 March 2026, 07:30', by the clock that the time carries."""
    return f"{day(at.date())}, {at.hour:02}:{at.minute:02}"


def moment_with_offset(at: datetime) -> str:
    """'2 March 2026, 07:30 (UTC+01:00)': for a range in which the clock changed, so that rows in
    order of time are seen to be so."""
    return f"{moment(at)} (UTC{at.isoformat()[-6:]})"


def clock_of(found: Figures) -> Clock:
    """With the offset, where the entries of the range have more than one."""
    return moment_with_offset if found.diary.clocks_differ() else moment


def plain(value: Fraction, places: int) -> str:
    """A figure of a table, rounded half to even; the minus is a real one, which readers speak."""
    return figure(value, places)[0].replace("-", "\u2212")


def document(visit: Visit) -> Document:
    """The report: two minutes first, then each thing in full."""
    found = visit.figures
    when = clock_of(found)
    sections = (
        Section(text("head-summary"), tuple(map(told_line, visit.summary))),
        Section(text("head-days"), (text("rounded"),), (_days(found),), _day_plots(found)),
        _glucose(found),
        _lows(found, when),
        _after(found, when),
        _refused(visit, when),
        _settings(visit, when),
        Section(text("head-missing"), tuple(map(told_line, visit.missing))),
        _entries(found, when),
        Section(text("head-how"), tuple(text(f"how-{n}") for n in range(1, 9))),
    )
    span = {"first": day(found.days.first), "last": day(found.days.last)}
    return Document(
        text("title", **span),
        TEXTS["visit-typed"],
        tuple(s for s in sections if s.lines or s.tables),
        text("made", moment=moment(visit.made_at)),
    )


def _head(*codes: str, **fields: object) -> tuple[str, ...]:
    return tuple(text(f"col-{code}", **fields) for code in codes)


def _days(found: Figures) -> Table:
    places = told.PLACES[found.unit]
    rows = [
        (
            day(d.day),
            str(d.meals),
            text("none") if d.counted is None else plain(d.counted, 1),
            str(d.doses),
            plain(d.units, 2),
            str(d.readings),
            _or_none(d.lowest, places),
            _or_none(d.highest, places),
            str(d.lows),
            str(d.refused),
        )
        for d in found.by_day
    ]
    total = (
        text("all-days"),
        str(len(found.diary.meals)),
        plain(found.counted, 1),
        str(len(found.diary.doses)),
        plain(found.units, 2),
        str(len(found.diary.readings)),
        _or_none(found.glucose.low if found.glucose else None, places),
        _or_none(found.glucose.high if found.glucose else None, places),
        str(len(found.lows)),
        str(len(found.diary.refusals)),
    )
    head = _head("day", "meals", "carbs", "doses", "units", "readings", "lowest", "highest", "lows",
                 "refused", unit=found.unit)  # fmt: skip
    return Table(text("cap-days"), head, (*rows, total))


def _or_none(value: Fraction | None, places: int) -> str:
    return text("none") if value is None else plain(value, places)


def _day_plots(found: Figures) -> tuple[Plot, ...]:
    plots = []
    if found.diary.meals:
        said = tuple(
            text("plot-day-carbs", day=day(d.day), counted=_or_none(d.counted, 1))
            for d in found.by_day
        )
        marks = tuple(Mark(_short(d.day), Fraction(0) if d.counted is not None else None,
                           d.counted) for d in found.by_day)  # fmt: skip
        plots.append(Plot(text("plot-carbs"), "g", "up", marks, said))
    return tuple(plots)


def _glucose(found: Figures) -> Section:
    heading = text("head-glucose")
    if found.glucose is None:
        return Section(heading, (TEXTS["visit-no-readings"],))
    lines = [line for line in told.glucose_lines(found) if not line.code.startswith("glucose-band")]
    total = found.glucose.n
    rows = tuple(
        (band_text(name, found.unit), str(found.bands[name]),
         plain(share(found.bands[name], total), 1))
        for name in BANDS
    )  # fmt: skip
    bands = Table(text("cap-bands"), _head("band", "readings", "share"), rows)
    marks = tuple(Mark(row[0], Fraction(0), share(found.bands[name], total))
                  for row, name in zip(rows, BANDS, strict=True))  # fmt: skip
    shares = Plot(text("plot-bands"), "percent", "across", marks,
                  tuple(text("plot-band", band=row[0], share=row[2]) for row in rows))  # fmt: skip
    return Section(heading, tuple(map(told_line, lines)), (bands,), (_readings_plot(found), shares))


def _readings_plot(found: Figures) -> Plot:
    places = told.PLACES[found.unit]
    marks, said = [], []
    for each in found.by_day:
        dots = tuple(
            r.glucose.as_unit(found.unit) for r in found.diary.readings if r.at.date() == each.day
        )
        marks.append(Mark(_short(each.day), each.lowest, each.highest, dots))
        if dots:
            figures = ", ".join(plain(value, places) for value in dots)
            said.append(text("plot-day-readings", day=day(each.day), figures=figures))
        else:
            said.append(text("plot-day-none", day=day(each.day)))
    _, low, high, _ = EDGES[found.unit]
    return Plot(text("plot-readings", unit=found.unit), found.unit, "up", tuple(marks),
                tuple(said), (low, high))  # fmt: skip


def band_text(name: Band, unit: GlucoseUnit) -> str:
    """'70 to 180 mg/dL'."""
    code, edges = told.band_label(name, unit)
    return text(f"band-{code}", edges=argument(edges, "sighted"))


def _lows(found: Figures, when: Clock) -> Section:
    heading = text("head-lows")
    if not found.lows:
        return Section(heading, (TEXTS["lows-none"],))
    rows = tuple((when(low.at), _low_level(low), _before(low)) for low in found.lows)
    return Section(
        heading, (), (Table(text("cap-lows"), _head("when", "glucose", "before"), rows),)
    )


def _low_level(low: Low) -> str:
    if low.reading is None:
        return text("low-felt")
    return argument(_level(low.reading.glucose.value, low.reading.glucose.unit), "sighted")


def _level(value: Fraction, unit: GlucoseUnit) -> Arg:
    return Amount(value, unit)


def _before(low: Low) -> str:
    return " ".join(told_line(line) for line in told.before_lines(low))


def _after(found: Figures, when: Clock) -> Section:
    groups = [
        (text("cap-after-meal", unit=found.unit), found.after_meal),
        (text("cap-after-food", unit=found.unit), found.after_food),
    ]
    tables = [_after_table(caption, afters, found.unit) for caption, afters in groups if afters]
    tables += [
        _after_bands(text(f"cap-bands-{what}"), afters, found.unit)
        for what, afters in (("meal", found.after_meal), ("food", found.after_food))
        if any(a.two for a in afters)
    ]
    pairs = _pairs(found.after.paired.measured, found.unit, when)
    if not tables:
        return Section(text("head-after"), (TEXTS["visit-no-meals"],))
    lines = [told_line(line) for line in told.left_lines(found.after)]
    rise = found.after.rise
    if rise is not None and rise.n < FEW:
        few = fact("few-meals", count=told.counted(rise.n, "meal"))
        lines.append(told_line(few))
    lines += [text("after-means"), text("after-other-foods"), TEXTS["after-facts-only"]]
    return Section(text("head-after"), tuple(lines), (*tables, *pairs))


def _after_table(caption: str, afters: Sequence[After], unit: GlucoseUnit) -> Table:
    places = told.PLACES[unit]

    def mean(spread: Spread | None) -> str:
        return text("none") if spread is None else f"{plain(spread.mean, places)} ({spread.n})"

    rows = tuple(
        (
            argument(told.called(a.name), "sighted"),
            str(a.meals),
            str(len(a.paired.close)),
            str(a.unmeasured),
            mean(a.start),
            mean(a.two),
            mean(a.four),
            mean(a.rise),
            _or_none(a.rise.low if a.rise else None, places),
            _or_none(a.rise.high if a.rise else None, places),
            _or_none(a.rise.sd if a.rise else None, places),
        )
        for a in afters
    )
    head = _head("after", "meals", "close", "unmeasured", "start", "two", "four", "rise",
                 "rise-low", "rise-high", "rise-sd", unit=unit)  # fmt: skip
    return Table(caption, head, rows)


def _after_bands(caption: str, afters: Sequence[After], unit: GlucoseUnit) -> Table:
    rows = []
    for each in afters:
        total = sum(each.bands.values())
        if total:
            cells = (f"{each.bands[n]} ({plain(share(each.bands[n], total), 0)})" for n in BANDS)
            rows.append((argument(told.called(each.name), "sighted"), str(total), *cells))
    head = (*_head("after", "readings"), *(band_text(name, unit) for name in BANDS))
    return Table(caption, head, tuple(rows))


def _pairs(pairs: Sequence[Pair], unit: GlucoseUnit, when: Clock) -> tuple[Table, ...]:
    if not pairs:
        return ()
    places = told.PLACES[unit]
    rows = []
    for pair in pairs:
        levels = (None if r is None else r.glucose.as_unit(unit)
                  for r in (pair.start, pair.two, pair.four))  # fmt: skip
        rows.append((when(pair.meal.at), pair.meal.said, plain(pair.meal.counted.value, 1),
                     *(_or_none(level, places) for level in levels),
                     _or_none(pair.rise(unit), places)))  # fmt: skip
    head = _head(
        "when", "said", "carbs", "pair-start", "pair-two", "pair-four", "pair-rise", unit=unit
    )
    return (Table(text("cap-pairs"), head, tuple(rows)),)


def _refused(visit: Visit, when: Clock) -> Section:
    heading = text("head-refused")
    if not visit.refused:
        return Section(heading, (text("refused-none"),))
    counts = tuple((rule.replace("-", " "), str(n)) for rule, n in visit.figures.refused.items())
    by_rule = Table(text("cap-rules"), _head("rule", "refused"), counts)
    rows = tuple(
        (when(each.at), each.said, " ".join(map(told_line, each.why)) or text("none"))
        for each in visit.refused
    )
    table = Table(text("cap-refused"), _head("when", "said", "why"), rows)
    return Section(heading, (text("rules-several"),), (by_rule, table))


def _settings(visit: Visit, when: Clock) -> Section:
    heading = text("head-settings")
    if not visit.settings:
        return Section(heading, (text("settings-none"),))
    lines = [text("settings-on", day=day(visit.figures.days.last))]
    lines += map(told_line, visit.settings)
    since = tuple(
        (TEXTS[f"setting-{name}"], when(at))
        for name, at in visit.since
        if f"setting-{name}" in TEXTS
    )
    tables = [Table(text("cap-since"), _head("setting", "since"), since)]
    changes = tuple((when(c.at), c.said) for c in visit.figures.diary.changes)
    if changes:
        tables.append(Table(text("cap-changes"), _head("when", "said"), changes))
    else:
        lines.append(text("changes-none"))
    return Section(heading, tuple(lines), tuple(tables))


def _entries(found: Figures, when: Clock) -> Section:
    here = found.diary
    several = len(told.ways_of(here.meals)) > 1
    meals = tuple(_meal_row(m, when, way=several) for m in here.meals)
    meal_head = ("when", "said", "carbs", "range", *(("way",) if several else ()))
    doses = tuple((when(d.at), plain(d.units, 2)) for d in here.doses)
    readings = tuple(
        (when(r.at), argument(_level(r.glucose.value, r.glucose.unit), "sighted"),
         text("imported" if r.imported else "typed"))
        for r in here.readings
    )  # fmt: skip
    by_meal = [
        (argument(told.called(m.name), "sighted"), str(m.meals), plain(m.counted, 1),
         plain(m.mean, 1), str(m.doses), plain(m.units, 2))
        for m in found.by_meal
    ]  # fmt: skip
    if found.apart:
        by_meal.append((text("apart"), "0", text("none"), text("none"), str(len(found.apart)),
                        plain(units_of(found.apart), 2)))  # fmt: skip
    tables = (
        Table(
            text("cap-by-meal"),
            _head("meal", "meals", "carbs", "mean", "doses", "units"),
            tuple(by_meal),
        ),
        Table(text("cap-meals"), _head(*meal_head), meals),
        Table(text("cap-doses"), _head("when", "units"), doses),
        Table(text("cap-readings"), _head("when", "glucose", "source"), readings),
    )
    return Section(text("head-entries"), (), _filled(tables))


def _meal_row(meal: Meal, when: Clock, *, way: bool) -> tuple[str, ...]:
    """A meal; estimates are called so. way: how it was counted is told too."""
    said = "; ".join((meal.said, *(text("estimate", food=food) for food in meal.estimates)))
    ends = argument(Between(meal.counted.low, meal.counted.high, "g"), "sighted")
    row = (when(meal.at), said, plain(meal.counted.value, 1), ends)
    if not way:
        return row
    return (*row, TEXTS[f"way-{meal.policy}"] if meal.policy else text("none"))


def _filled(tables: Iterable[Table]) -> tuple[Table, ...]:
    return tuple(table for table in tables if table.rows)

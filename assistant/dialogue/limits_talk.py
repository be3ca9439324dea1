"""The user's limits, said as sentences: kept at once when lower, spelled out when higher."""

from collections.abc import Mapping
from fractions import Fraction

from assistant.dialogue.offers import SETTING_SENTENCES
from assistant.dialogue.outcome import Ask, Outcome, answer, ask
from assistant.dialogue.replies import Line
from assistant.dialogue.said_setting import HARD, SaidSetting, clear
from assistant.dosing.limits import raised
from assistant.dosing.rules_record import raised_args
from assistant.dosing.settings import Settings, fold
from assistant.values import Amount, Arg, Phrase
from grammar.statements import Statement


def _keep(
    said: SaidSetting,
    name: str,
    data: Mapping[str, object],
    usual: Fraction,
    shown: Mapping[str, Arg],
) -> Outcome:
    """The limit as an answer; a higher one only when its sentence spells the confirmation out.

    A plain "yes" never raises: no question waits, and the whole sentence has to be typed.
    """
    new = fold([(name, data, said.ctx.now)])
    step = raised(name, said.ctx.settings, new, said.ctx.now)
    if step is not None and not said.sure:
        code = "ask-raise-window" if name == "cap_window" else "ask-raise"
        args = {**raised_args(step), "setting": Phrase(f"setting-{name}")}
        spelled = f"{said.text.strip(' .!')}, confirmed with my care team"
        return ask(Ask("raise", code, args, hint=(spelled,)), said.ctx.text)
    odd = said.unusual(name, usual, shown["value"])
    if odd:
        return odd
    told = (Line("caution", "limit-raised"),) if step is not None else ()
    return said.keep(name, data, answer(f"set-{name}", **shown), *told)


def cap(said: SaidSetting, statement: Statement) -> Outcome:
    """ "never more than 8 units at once", "... in 4 hours", "never more than 100 g in a meal"."""
    value = clear(statement.number, said.ctx)
    if isinstance(value, Outcome):
        return value
    name = statement.form
    unit = "g" if name == "cap_meal" else "unit"
    if value > HARD[name]:
        return ask(Ask("unusual", "cap-too-large", {"value": Amount(value, unit)}), said.ctx.text)
    data: dict[str, object] = {"grams" if name == "cap_meal" else "units": str(value)}
    args: dict[str, Arg] = {"value": Amount(value, unit)}
    if name == "cap_window":
        if statement.minutes is None or statement.minutes > HARD["cap_window_minutes"]:
            return ask(
                Ask("number", "window-unclear", hint=(SETTING_SENTENCES["cap_window"],)),
                said.ctx.text,
            )
        data["minutes"] = str(statement.minutes)
        args["hours"] = Amount(statement.minutes / 60, "hour")
    return _keep(said, name, data, value, args)


def _share(said: SaidSetting, statement: Statement, name: str) -> Outcome:
    value = clear(statement.number, said.ctx)
    if isinstance(value, Outcome):
        return value
    shown = Amount(value * 100, "percent")
    if value >= 1:
        return ask(Ask("unusual", f"too-large-{name}", {"value": shown}), said.ctx.text)
    return _keep(said, name, {"share": str(value)}, value, {"value": shown})


def max_reduction(said: SaidSetting, statement: Statement) -> Outcome:
    """ "reductions up to 50%"."""
    return _share(said, statement, "max_reduction")


def ask_range(said: SaidSetting, statement: Statement) -> Outcome:
    """ "ask me when the range is wider than 20%"."""
    return _share(said, statement, "ask_range")


def reading_age(said: SaidSetting, statement: Statement) -> Outcome:
    """ "a reading counts for 15 minutes"."""
    minutes = clear(statement.number, said.ctx)
    if isinstance(minutes, Outcome):
        return minutes
    shown = Amount(minutes, "minute")
    if minutes > HARD["reading_age"]:
        return ask(Ask("unusual", "too-large-reading_age", {"value": shown}), said.ctx.text)
    return _keep(said, "reading_age", {"minutes": str(minutes)}, minutes, {"value": shown})


def limit_lines(s: Settings) -> list[Line]:
    """The limits that no dose needs, as they stand."""
    lines = []
    for name, share in (("max_reduction", s.max_reduction), ("ask_range", s.ask_range)):
        if share is not None:
            lines.append(answer(f"set-{name}", value=Amount(share * 100, "percent")))
    if s.reading_age is not None:
        minutes = Fraction(s.reading_age.days * 1440) + Fraction(s.reading_age.seconds, 60)
        lines.append(answer("set-reading_age", value=Amount(minutes, "minute")))
    return lines

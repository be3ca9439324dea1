"""A glucose figure as said, in the user's unit: taken, or asked about. Never guessed."""

from collections.abc import Callable

from assistant.dialogue.outcome import Ask, choice
from assistant.diary.doubtful_lines import OTHER, plausible
from assistant.dosing.settings import Settings
from assistant.values import Amount, Glucose, GlucoseUnit, Said
from grammar.nodes import Number, Quantity, Unclear

UNITS: tuple[GlucoseUnit, ...] = ("mg/dL", "mmol/L")


def user_unit(settings: Settings) -> GlucoseUnit | None:
    """The unit that the user set, or said with the target or the correction factor."""
    if settings.glucose_unit:
        return settings.glucose_unit
    said = {s.unit for s in (settings.target, settings.factor) if s is not None}
    return said.pop() if len(said) == 1 else None


def settle(
    quantity: Quantity, unit: GlucoseUnit | None, settings: Settings, said: Callable[[str], str]
) -> Glucose | Ask:
    """The figure, or the question. said(figure) is the user's whole sentence with it in place."""
    if isinstance(quantity, Unclear):
        code = f"glucose-{quantity.why}" if quantity.why == "comma" else "glucose-unclear"
        args = {"said": Said(quantity.said)}
        choices = (
            tuple(choice("choice-text", said(r), text=Said(r)) for r in quantity.readings)
            if quantity.why == "comma"
            else ()
        )
        return Ask("glucose-figure", code, args, choices=choices, hint=("glucose ...",))
    assert isinstance(quantity, Number)
    value = quantity.value
    if unit is not None:
        if plausible(value, unit):
            return Glucose(value, unit)
        return Ask(
            "glucose-figure",
            "glucose-implausible",
            {"glucose": Amount(value, unit)},
            hint=("glucose ... mg/dL", "glucose ... mmol/L"),
        )
    usual = user_unit(settings)
    fits = tuple(u for u in UNITS if plausible(value, u))
    if usual is not None and fits == (usual,):
        return Glucose(value, usual)
    if not fits:
        return Ask(
            "glucose-figure",
            "glucose-no-unit-fits",
            {"said": Said(quantity.said)},
            hint=("glucose ... mg/dL", "glucose ... mmol/L"),
        )
    choices = tuple(
        choice(
            "choice-glucose",
            said(f"{quantity.said} {u}"),
            word=u,
            glucose=Amount(value, u),
            same=Amount(Glucose(value, u).as_unit(OTHER[u]), OTHER[u], places=1),
        )
        for u in UNITS
        if u in fits or u == usual
    )
    code = "glucose-which-unit" if usual is None or len(fits) > 1 else "glucose-other-unit"
    return Ask("glucose-unit", code, {"said": Said(quantity.said)}, choices=choices)

"""The arguments of a line as text, in the written and in the spoken form."""

import re
from collections.abc import Callable, Mapping
from datetime import timedelta
from fractions import Fraction

from msgspec.structs import replace

from assistant.dialogue.replies import Choice, Line, Reply
from assistant.render.aloud import MONTHS, aloud, one_line, without_signs
from assistant.render.parts import part_words
from assistant.render.texts import TEXTS, without_marks
from assistant.render.units import Form, unit_words
from assistant.values import (
    Amount,
    Arg,
    Between,
    CalendarDay,
    ClockTime,
    Day,
    Listed,
    Moment,
    Name,
    Part,
    Phrase,
    Said,
    Spark,
    Typed,
)
from grammar import patterns

LONGEST_QUOTE = 200
"""Characters of the user's own words that a reply repeats before it cuts, visibly."""
CUT_OFF = " and so on"


def figure(value: Fraction, places: int) -> tuple[str, bool, Fraction]:
    """A figure in decimals, whether it had to be rounded, and the value that is shown.

    Shown in full if it ends within so many places, else rounded half to even. No trailing
    nought, always a leading one; a minus is '-'.
    """
    shown = Fraction(round(value * 10**places), 10**places)
    whole, part = divmod(abs(shown), 1)
    digits = str(int(part * 10**places)).rjust(places, "0").rstrip("0") if places else ""
    text = f"{int(whole)}.{digits}" if digits else str(int(whole))
    return ("-" if shown < 0 else "") + text, shown != value, shown


def _signed(text: str, form: Form) -> str:
    return text.replace("-", "minus ", 1) if form == "spoken" else text


def _with_unit(figures: str, unit: str, shown: Fraction, form: Form) -> str:
    words, close = unit_words(unit, shown, form)
    if form == "spoken":
        words = in_words(words)
    return f"{figures}{'' if close or not words else ' '}{words}"


def amount(arg: Amount, form: Form) -> str:
    """'41.1 g' or '41.1 grams'; a rounded figure is 'about 1.1556 units'."""
    text, rounded, shown = figure(arg.value, arg.places)
    about = "about " if rounded else ""
    return about + _with_unit(_signed(text, form), arg.unit, shown, form)


def between(arg: Between, form: Form) -> str:
    """'39.5 to 42.7 g'; one figure where both ends show the same."""
    low, low_rounded, low_shown = figure(arg.low, arg.places)
    high, high_rounded, high_shown = figure(arg.high, arg.places)
    about = "about " if low_rounded or high_rounded else ""
    figures = _signed(high, form)
    if low_shown != high_shown:
        figures = f"{_signed(low, form)} to {figures}"
    return about + _with_unit(figures, arg.unit, high_shown, form)


def quoted(text: str, form: Form = "sighted") -> str:
    """Words in double quotes, cut visibly past LONGEST_QUOTE characters.

    For the ear without the marks, which a reader says aloud each time, and in words.
    """
    cleaned = one_line(_in_one_line(text))
    if form == "spoken":
        cleaned = _PLAIN_NAME.sub(r"\1", cleaned)
    cleaned = cleaned.replace('"', "'")
    cut = len(cleaned) > LONGEST_QUOTE
    cleaned = cleaned[:LONGEST_QUOTE]
    if form == "spoken":
        return _open_ended(cleaned) + (CUT_OFF if cut else "")
    return f'"{cleaned}{" ..." if cut else ""}"'


_PLAIN_NAME = patterns.compile(
    r'(?<=\bof )"((?:(?!\b(?:and|plus|with|of|or)\b)[^",;:\d])+)"(?=$|[,.;])', re.I
)
"""A name in quotation marks that means the same without them. Elsewhere they may be all that tells
two readings apart: 2 "pound cake", 2 pound "cake"."""


def _in_one_line(text: str) -> str:
    """Lines with a comma between them, so that "serves 4" and "100 g" do not run together."""
    text = patterns.sub(r"([:,;])\s*\n\s*", r"\1 ", text.strip())
    return patterns.sub(r"\s*\n\s*", ", ", text)


def _open_ended(text: str) -> str:
    """A text for the ear without a stop of its own: the sentence around it has one."""
    said = aloud(text)
    return said.rstrip(" .:;,") or said


def in_words(text: str) -> str:
    """A name for the ear: signs become words, drawings go, letters of every script stay."""
    return without_signs(text)


def moment(arg: Moment) -> str:
    """'08:00', '18:00 yesterday' or '08:00 on 2 March 2026', by the clock of today.

    The catalogue writes "at" before it, which a voice needs to say a clock time as one.
    """
    at = arg.at.astimezone(arg.today.tzinfo)
    clock = f"{at.hour:02}:{at.minute:02}"
    if at.date() == arg.today.date():
        return clock
    if at.date() == arg.today.date() - timedelta(days=1):
        return f"{clock} yesterday"
    if at.date() == arg.today.date() + timedelta(days=1):
        return f"{clock} tomorrow"
    return f"{clock} on {at.day} {MONTHS[at.month - 1]} {at.year}"


def listed(items: tuple[Arg, ...], say: Callable[[Arg], str], form: Form = "sighted") -> str:
    """'a', 'a and b', 'a, b and c'; sentences to type are alternatives: 'a, b or c'.

    For the ear a comma stands before the last one too where the parts are whole phrases: it is the
    pause that marks where one ends.
    """
    parts = [say(item) for item in items]
    if len(parts) < 2:
        return "".join(parts)
    link = "or" if all(isinstance(item, Typed) for item in items) else "and"
    quotes = form == "spoken" and all(isinstance(item, Typed | Said) for item in items)
    return f"{', '.join(parts[:-1])}{',' if quotes else ''} {link} {parts[-1]}"


BLOCKS = "▁▂▃▄▅▆▇█"
"""From nought to the largest of a row."""
NO_BLOCK = "."
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def spark(arg: Spark, form: Form) -> str:
    """A block for each figure, for the eye; for the ear the figures, one after the other."""
    if form == "spoken":
        each = (None if v is None else Amount(v, arg.unit, 1) for v in arg.values)
        return ", ".join("none" if a is None else amount(a, form) for a in each)
    most = max((v for v in arg.values if v is not None), default=Fraction(0)) or Fraction(1)
    top = len(BLOCKS) - 1
    return "".join(
        NO_BLOCK if v is None else BLOCKS[round(max(v, Fraction(0)) / most * top)]
        for v in arg.values
    )


def _of_calendar(arg: Day | CalendarDay | ClockTime) -> str:
    match arg:
        case Day(on):
            return f"{WEEKDAYS[on.weekday()]} {on.day} {MONTHS[on.month - 1]}"
        case CalendarDay(on):
            return f"{on.day} {MONTHS[on.month - 1]} {on.year}"
        case ClockTime(minutes):
            return f"{minutes // 60:02}:{minutes % 60:02}"


def argument(arg: Arg, form: Form, texts: Mapping[str, str] = TEXTS) -> str:
    """One argument as text."""
    match arg:
        case Amount():
            return amount(arg, form)
        case Between():
            return between(arg, form)
        case Said(text) | Typed(text):
            return quoted(text, form)
        case Name(text):
            return in_words(text) if form == "spoken" else one_line(text)
        case Moment():
            return moment(arg)
        case Day() | CalendarDay() | ClockTime():
            return _of_calendar(arg)
        case Spark():
            return spark(arg, form)
        case Part(value):
            return part_words(value)
        case Phrase(code):
            return texts[code]
        case Listed(items):
            return listed(items, lambda item: argument(item, form, texts), form)


_QUOTED = patterns.compile(r'"([^"{}]*)"')
"""A sentence to type that stands in a text of the catalogue itself."""


_TWO = patterns.compile(r'("[^"{}]+ [^"{}]+ [^"{}]+") (or|and) (?=")')
"""Between two sentences to type a pause is needed, or they are heard as one."""


def without_quotes(text: str) -> str:
    """A text for the ear: what is to be typed stands in it without the marks, as it is said."""
    text = _TWO.sub(r"\1, \2 ", text)
    return _QUOTED.sub(lambda match: _open_ended(match[1]), text)


ArgumentText = Callable[[Arg], str]


def fill(
    line: Line, say: ArgumentText, texts: Mapping[str, str] = TEXTS, form: Form = "sighted"
) -> str:
    """The line's sentence with its arguments, each put into words by say.

    A code or a field that the catalogue lacks is a bug and raises KeyError; session.py renders
    before it commits, so such a turn fails as a whole and leaves nothing half said.
    """
    template = without_marks(texts[line.code])
    if form == "spoken":
        template = without_quotes(template)
    said = {name: say(arg) for name, arg in line.args.items()}
    if form == "spoken":
        said = {name: _paused(name, text, line.args[name], template) for name, text in said.items()}
    text = template.format_map(said)
    return f"{texts['list-line'].format_map(said)} {text}" if "line_of" in said else text


def _paused(name: str, text: str, arg: Arg, template: str) -> str:
    """What was typed, with a pause behind it where the sentence goes on: else its end is lost."""
    runs_on = isinstance(arg, Said) and text.count(" ") >= _LONG_QUOTE
    return f"{text}," if runs_on and patterns.search(rf"\{{{name}\}} (?=\w)", template) else text


_LONG_QUOTE = 7
"""Blanks in the user's own words from which their end is marked by a pause."""


def sentence(line: Line, form: Form, texts: Mapping[str, str] = TEXTS) -> str:
    """The line's sentence in one form."""
    text = fill(line, lambda arg: argument(arg, form, texts), texts, form)
    return "A" + text[1:] if text.startswith("about ") else text


def cautioned(line: Line, text: str) -> str:
    """A caution says that it is one, for eye and ear, unless its text does already."""
    if line.role != "caution" or text.startswith("Caution"):
        return text
    return f"Caution: {text}"


def choice_opening(number: int, choice: Choice | None, text: str, form: Form = "sighted") -> str:
    """'1' or '1 or "yes"': what may be typed, the word only where the text does not show it."""
    if choice is None or choice.word is None:
        return str(number)
    word = one_line(choice.word)
    return (
        str(number)
        if text.casefold().startswith((word.casefold(), aloud(word).casefold()))
        else f"{number} or {quoted(word, form)}"
    )


def with_choices(reply: Reply) -> tuple[Line, ...]:
    """The reply's lines, with the question and its choices in their place if they are not there.

    A question that is open is always told in full, whoever made the lines.
    """
    question = reply.question
    if question is None:
        return reply.lines
    lines = list(reply.lines)
    roles = [line.role for line in lines]
    if "question" not in roles:
        lines.append(replace(question.asked, role="question"))
        roles.append("question")
    if "choice" not in roles:
        labels = [replace(choice.label, role="choice") for choice in question.choices]
        after = len(roles) - roles[::-1].index("question")
        lines[after:after] = labels
    return tuple(lines)

"""What a turn leaves in the journal. Events are facts: they are added, never changed."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import Literal

from assistant.counting.facts import FoodFacts, Measure
from assistant.dialogue.replies import Line, Portion, Question
from assistant.values import Glucose, Ranged


@dataclass(frozen=True, slots=True)
class FoodSaved:
    """A new food, or a new version of one (the store numbers the versions)."""

    food_id: str
    facts: FoodFacts
    kind: Literal["food-saved"] = "food-saved"


@dataclass(frozen=True, slots=True)
class RecipeSaved:
    """A new recipe, or a new version of one: a food whose facts hold its ingredients."""

    food_id: str
    facts: FoodFacts
    kind: Literal["recipe-saved"] = "recipe-saved"


@dataclass(frozen=True, slots=True)
class RecipeBegun:
    """The sentence of a recipe that could not be saved yet; empty where it was dropped."""

    said: str
    kind: Literal["recipe-begun"] = "recipe-begun"


@dataclass(frozen=True, slots=True)
class RecipeNamed:
    """A recipe was talked about: "it" is that one."""

    recipe_id: str
    kind: Literal["recipe-named"] = "recipe-named"


@dataclass(frozen=True, slots=True)
class GoalSaid:
    """The user's own goal of counted carbohydrate for a day, in grams; None takes it back."""

    grams: Fraction | None
    kind: Literal["goal-said"] = "goal-said"


@dataclass(frozen=True, slots=True)
class MeasureSaved:
    """A measure of a food that the user told; it makes a new version of the food's facts."""

    food_id: str
    measure: Measure
    kind: Literal["measure-saved"] = "measure-saved"


@dataclass(frozen=True, slots=True)
class AliasSaved:
    """Another name of a food."""

    food_id: str
    alias: str
    kind: Literal["alias-saved"] = "alias-saved"


@dataclass(frozen=True, slots=True)
class FoodForgotten:
    """The food leaves the library; old meals keep their figures."""

    food_id: str
    kind: Literal["food-forgotten"] = "food-forgotten"


@dataclass(frozen=True, slots=True)
class SettingSaid:
    """One setting, from now on. value is plain JSON, read by dosing.settings."""

    name: str
    value: Mapping[str, object]
    said: str
    kind: Literal["setting-said"] = "setting-said"


@dataclass(frozen=True, slots=True)
class ClockSettled:
    """Times of day go by the clock of one offset, said while the clock had another (minutes)."""

    seen: int
    goes_by: int
    kind: Literal["clock-settled"] = "clock-settled"


@dataclass(frozen=True, slots=True)
class ClockRight:
    """The user said that the clock of now is right, where the journal has later times."""

    kind: Literal["clock-right"] = "clock-right"


@dataclass(frozen=True, slots=True)
class GlucoseRead:
    """A glucose reading and when it was taken. imported: it came out of a file (older records tell
    that by the words of the turn alone)."""

    glucose: Glucose
    taken_at: datetime
    imported: bool = False
    kind: Literal["glucose-read"] = "glucose-read"


IMPORT = "readings import "
"""How the words of a turn begin that brought readings out of a file."""


@dataclass(frozen=True, slots=True)
class ImportedReading:
    """A reading out of a file."""

    glucose: Glucose
    taken_at: datetime


@dataclass(frozen=True, slots=True)
class UnreadLine:
    """A line of a file without a figure that matters when looking back: the meter showed a low or a
    high, or it could not be read and may be a low. at: its time, where that could be read."""

    said: str
    what: Literal["low", "high", "maybe-low"]
    at: datetime | None


@dataclass(frozen=True, slots=True)
class ReadingsImported:
    """Readings of the past out of a file. No rule of a dose reads them.

    Lows of the last days are in the journal as GlucoseRead instead, since rules look for those:
    an import can bring a low, and can never take one away.
    """

    file: str
    readings: tuple[ImportedReading, ...]
    unread: tuple[UnreadLine, ...] = ()
    kind: Literal["readings-imported"] = "readings-imported"


@dataclass(frozen=True, slots=True)
class LowFelt:
    """The user said that they feel low, or that the meter shows a low without a figure.

    imported: a line of a file told it, or may tell it; at: when that was, where it is no doubt a
    low and its time could be read.
    """

    said: str
    at: datetime | None = None
    imported: bool = False
    kind: Literal["low-felt"] = "low-felt"


@dataclass(frozen=True, slots=True)
class Eaten:
    """One nutrient of a meal: the sum over the foods whose label has it, and how many have not."""

    nutrient: str
    amount: Fraction
    unit: str
    known: int
    missing: int


@dataclass(frozen=True, slots=True)
class MealCounted:
    """A meal that was counted, with the lines of its working.

    replaces is the number of the turn whose meal this one stands for, since it was changed.
    eaten: nutrients beside carbohydrate, as the labels were then; empty in older meals.
    """

    said: str
    portions: tuple[Portion, ...]
    counted: Ranged
    lines: tuple[Line, ...]
    replaces: int | None = None
    eaten: tuple[Eaten, ...] = ()
    kind: Literal["meal-counted"] = "meal-counted"


@dataclass(frozen=True, slots=True)
class DoseSuggested:
    """A suggestion that waits for 'took', 'not taken' or 'cancel'."""

    said: str
    units: Fraction
    exact: Fraction
    lines: tuple[Line, ...]
    kind: Literal["dose-suggested"] = "dose-suggested"


@dataclass(frozen=True, slots=True)
class DoseRefused:
    """A dose that a rule refused; the count is kept for 'why'."""

    said: str
    rules: tuple[str, ...]
    lines: tuple[Line, ...]
    kind: Literal["dose-refused"] = "dose-refused"


@dataclass(frozen=True, slots=True)
class SuggestionClosed:
    """How the open suggestion ended."""

    how: Literal["taken", "not taken", "cancelled"]
    kind: Literal["suggestion-closed"] = "suggestion-closed"


@dataclass(frozen=True, slots=True)
class DoseTaken:
    """Insulin that is in the body: units, and when."""

    units: Fraction
    taken_at: datetime
    kind: Literal["dose-taken"] = "dose-taken"


@dataclass(frozen=True, slots=True)
class RecordGap:
    """The record was put back from a backup, or begun anew: what was said since may be missing.

    since: the last thing that the backup knows of; None where nothing is known.
    """

    since: datetime | None
    kind: Literal["record-gap"] = "record-gap"


@dataclass(frozen=True, slots=True)
class RecordComplete:
    """The user says that the doses of the gap are typed, or that there were none."""

    kind: Literal["record-complete"] = "record-complete"


@dataclass(frozen=True, slots=True)
class QuestionAsked:
    """A question that waits for its answer.

    said_at: when the sentence was said that waits, where an answer to an earlier question led
    here; None where it was said in this very turn. read_at: likewise of the glucose in it.
    """

    text: str
    question: Question
    said_at: datetime | None = None
    read_at: datetime | None = None
    kind: Literal["question-asked"] = "question-asked"


@dataclass(frozen=True, slots=True)
class QuestionClosed:
    """The open question was answered, replaced or cancelled.

    closes: the turn that asked it; None in older records, where it is the one before.
    answered: by an answer; not dropped, replaced or too old.
    """

    closes: int | None = None
    answered: bool = False
    kind: Literal["question-closed"] = "question-closed"


@dataclass(frozen=True, slots=True)
class Undone:
    """Every event of an earlier turn counts as if it had not been said."""

    turn: int
    kind: Literal["undone"] = "undone"


@dataclass(frozen=True, slots=True)
class MannerSaid:
    """How answers are given from now on (see manners.py); it touches no figure."""

    name: str
    value: str
    kind: Literal["manner-said"] = "manner-said"


@dataclass(frozen=True, slots=True)
class ListShown:
    """A list that was told up to a line; sentence asks for it again, and is '' at its end."""

    sentence: str
    told: int
    kind: Literal["list-shown"] = "list-shown"


Event = (
    FoodSaved
    | RecipeSaved
    | RecipeBegun
    | RecipeNamed
    | GoalSaid
    | MeasureSaved
    | AliasSaved
    | FoodForgotten
    | SettingSaid
    | ClockSettled
    | ClockRight
    | GlucoseRead
    | ReadingsImported
    | LowFelt
    | MealCounted
    | DoseSuggested
    | DoseRefused
    | SuggestionClosed
    | DoseTaken
    | RecordGap
    | RecordComplete
    | QuestionAsked
    | QuestionClosed
    | Undone
    | MannerSaid
    | ListShown
)

"""What a turn leaves in the journal. Events are facts: they are added, never changed."""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from assistant.counting.facts import FoodFacts, Measure
from assistant.dialogue.replies import Line, Portion, Question
from assistant.kinded import Kinded
from assistant.values import Glucose, Ranged


class FoodSaved(Kinded, frozen=True, tag="food-saved"):
    """A new food, or a new version of one (the store numbers the versions)."""

    food_id: str
    facts: FoodFacts


class RecipeSaved(Kinded, frozen=True, tag="recipe-saved"):
    """A new recipe, or a new version of one: a food whose facts hold its ingredients."""

    food_id: str
    facts: FoodFacts


class RecipeBegun(Kinded, frozen=True, tag="recipe-begun"):
    """The sentence of a recipe that could not be saved yet; empty where it was dropped."""

    said: str


class RecipeNamed(Kinded, frozen=True, tag="recipe-named"):
    """A recipe was talked about: "it" is that one."""

    recipe_id: str


class GoalSaid(Kinded, frozen=True, tag="goal-said"):
    """The user's own goal of counted carbohydrate for a day, in grams; None takes it back."""

    grams: Fraction | None


class MeasureSaved(Kinded, frozen=True, tag="measure-saved"):
    """A measure of a food that the user told; it makes a new version of the food's facts."""

    food_id: str
    measure: Measure


class AliasSaved(Kinded, frozen=True, tag="alias-saved"):
    """Another name of a food."""

    food_id: str
    alias: str


class FoodForgotten(Kinded, frozen=True, tag="food-forgotten"):
    """The food leaves the library; old meals keep their figures."""

    food_id: str


class SettingSaid(Kinded, frozen=True, tag="setting-said"):
    """One setting, from now on. value is plain JSON, read by dosing.settings."""

    name: str
    value: Mapping[str, object]
    said: str


class ClockSettled(Kinded, frozen=True, tag="clock-settled"):
    """Times of day go by the clock of one offset, said while the clock had another (minutes)."""

    seen: int
    goes_by: int


class ClockRight(Kinded, frozen=True, tag="clock-right"):
    """The user said that the clock of now is right, where the journal has later times."""


class GlucoseRead(Kinded, frozen=True, tag="glucose-read"):
    """A glucose reading and when it was taken. imported: it came out of a file (older records tell
    that by the words of the turn alone)."""

    glucose: Glucose
    taken_at: datetime
    imported: bool = False


IMPORT = "readings import "
"""How the words of a turn begin that brought readings out of a file."""


class ImportedReading(Struct, frozen=True):
    """A reading out of a file."""

    glucose: Glucose
    taken_at: datetime


class UnreadLine(Struct, frozen=True):
    """A line of a file without a figure that matters when looking back: the meter showed a low or a
    high, or it could not be read and may be a low. at: its time, where that could be read."""

    said: str
    what: Literal["low", "high", "maybe-low"]
    at: datetime | None


class ReadingsImported(Kinded, frozen=True, tag="readings-imported"):
    """Readings of the past out of a file. No rule of a dose reads them.

    Lows of the last days are in the journal as GlucoseRead instead, since rules look for those:
    an import can bring a low, and can never take one away.
    """

    file: str
    readings: tuple[ImportedReading, ...]
    unread: tuple[UnreadLine, ...] = ()


class LowFelt(Kinded, frozen=True, tag="low-felt"):
    """The user said that they feel low, or that the meter shows a low without a figure.

    imported: a line of a file told it, or may tell it; at: when that was, where it is no doubt a
    low and its time could be read.
    """

    said: str
    at: datetime | None = None
    imported: bool = False


class Eaten(Struct, frozen=True):
    """One nutrient of a meal: the sum over the foods whose label has it, and how many have not."""

    nutrient: str
    amount: Fraction
    unit: str
    known: int
    missing: int


class MealCounted(Kinded, frozen=True, tag="meal-counted"):
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


class DoseSuggested(Kinded, frozen=True, tag="dose-suggested"):
    """A suggestion that waits for 'took', 'not taken' or 'cancel'."""

    said: str
    units: Fraction
    exact: Fraction
    lines: tuple[Line, ...]


class DoseRefused(Kinded, frozen=True, tag="dose-refused"):
    """A dose that a rule refused; the count is kept for 'why'."""

    said: str
    rules: tuple[str, ...]
    lines: tuple[Line, ...]


class SuggestionClosed(Kinded, frozen=True, tag="suggestion-closed"):
    """How the open suggestion ended."""

    how: Literal["taken", "not taken", "cancelled"]


class DoseTaken(Kinded, frozen=True, tag="dose-taken"):
    """Insulin that is in the body: units, and when."""

    units: Fraction
    taken_at: datetime


class RecordGap(Kinded, frozen=True, tag="record-gap"):
    """The record was put back from a backup, or begun anew: what was said since may be missing.

    since: the last thing that the backup knows of; None where nothing is known.
    """

    since: datetime | None


class RecordComplete(Kinded, frozen=True, tag="record-complete"):
    """The user says that the doses of the gap are typed, or that there were none."""


class QuestionAsked(Kinded, frozen=True, tag="question-asked"):
    """A question that waits for its answer.

    said_at: when the sentence was said that waits, where an answer to an earlier question led
    here; None where it was said in this very turn. read_at: likewise of the glucose in it.
    """

    text: str
    question: Question
    said_at: datetime | None = None
    read_at: datetime | None = None


class QuestionClosed(Kinded, frozen=True, tag="question-closed"):
    """The open question was answered, replaced or cancelled.

    closes: the turn that asked it; None in older records, where it is the one before.
    answered: by an answer; not dropped, replaced or too old.
    """

    closes: int | None = None
    answered: bool = False


class Undone(Kinded, frozen=True, tag="undone"):
    """Every event of an earlier turn counts as if it had not been said."""

    turn: int


class MannerSaid(Kinded, frozen=True, tag="manner-said"):
    """How answers are given from now on (see manners.py); it touches no figure."""

    name: str
    value: str


class ListShown(Kinded, frozen=True, tag="list-shown"):
    """A list that was told up to a line; sentence asks for it again, and is '' at its end."""

    sentence: str
    told: int


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

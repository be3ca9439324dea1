"""Sentences for what is typed in a hurry: a low in words, a count alone, words of no meal."""

from collections.abc import Mapping

HURRIED_TEXTS: Mapping[str, str] = {
    # A low without a figure
    "low-told": "I read {said} as a low. Nothing else of that sentence was counted or kept.",
    "ask-low-or-not": "You wrote {said}. Are you low now? No low is logged from that, nothing was "
    "counted, and no dose was worked out. Measure if you can, and type the glucose.",
    "low-stands": "The low that you told before stands until a reading says otherwise.",
    "choice-low-now": "I am low, or I may be.",
    "choice-not-low": "Not low. Nothing is logged.",
    "choice-not-low-rest": "Not low. Go on with {text}.",
    # A dose told twice
    "dose-again": "{units} were logged already for {moment}. With these it is {all} in all. Was it taken "
    "twice, or told twice?",
    # A count alone
    "count-glucose-logged": "The glucose {glucose} is logged.",
    "count-or-dose": "If you eat it and want a suggestion, type the meal with your glucose, "
    "without {said}.",
}

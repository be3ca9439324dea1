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
    "count-alone": "{said} asks for a count and no dose, but I found no food with it. Nothing was "
    "changed. Type it in one sentence with the food.",
    # What became of a sentence that ended in a question
    "fate-understood": "I understood {said}.",
    "fate-unread": "Nor did I understand {said}.",
    "fate-nothing": "Nothing was counted, and no dose was worked out.",
    "fate-reading-waits": "{said} is not logged yet: it goes with the answer.",
    "fate-reading-lost": "{said} is not logged either. Type it again, by itself or with the meal.",
    # Words that are no sentence of a meal
    "dose-open": "{units} were suggested at {moment}. Type what you did with it.",
    "dose-how": "A dose is worked out for a meal: type what you eat with its amounts and your glucose, in "
    "one sentence. If glucose is left out, I ask for it.",
    "last-dose": "The last dose in the journal: {units} at {moment}.",
    "last-dose-none": "No dose is in the journal.",
    "how-many-what": "Of what? Type the food and its amount behind it.",
    "to-leave": 'In the chat, "bye" leaves it. Nothing was counted or changed.',
    "no-correction-alone": "I work out no correction without a meal. Follow your care team's plan for high "
    "glucose between meals.",
    "ask-time-yesterday": "At what time was {said}? It is not logged without one. If it is your glucose now, "
    "type it without the day.",
    "ask-correction": "What is {said}: your glucose now, or your correction factor? I work out no correction "
    "without a meal.",
    "ask-is-it-glucose": "Is {said} your glucose, or sugar that you eat? Nothing is logged yet.",
    "ask-number-of-what": "What is {said}? Nothing is logged yet.",
    "choice-is-reading": "My glucose is {text}.",
    "choice-neither": "Neither. Nothing is logged.",
    "ask-units-taken": "By {said}, do you mean insulin that you took? It is not logged yet.",
    "ask-units-when": "By {said}, do you mean insulin that you took? It is not logged yet, and I cannot read "
    'the time. Type "took", the units, and the time as in 08:00 or "20 minutes ago".',
    "choice-not-taken": "Not taken. Nothing is logged.",
    "may-i": "Whether you may eat something I cannot tell: ask your care team. I can count it. Nothing was "
    "counted yet.",
    "ask-only-ate": "By {said}, do you mean less of the last meal, or a meal of its own?",
    "choice-last-meal": "The last meal: {text}.",
    "choice-own-meal": "A meal of its own: {text}.",
    "only-ate-none": "No meal of the last 30 minutes is there to change, and I know no food in that. Nothing "
    "was changed. Type the meal whole.",
    "no-to-suggestion": "Do you mean that you did not take {units}? Please type it in words.",
    # Words beside a meal
    "beside-ketones": "{said}: I keep no ketones, and no dose is changed by them. With ketones, follow your "
    "care team's plan for them, and get help if you feel ill.",
    "beside-rising": "{said}: I do not take in where glucose is heading, and no dose is changed by it. Follow "
    "your care team's plan.",
    "ask-beside": "Nothing is counted or logged yet. Go on without {said}?",
    "choice-go-on": "Go on with {text}.",
}

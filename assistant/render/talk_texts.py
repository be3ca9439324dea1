"""Sentences of the first talk, of how answers are given, and of what can be said; see texts.py."""

from collections.abc import Mapping

TALK_TEXTS: Mapping[str, str] = {
    # The first talk
    "setup-intro": 'Here are a few short questions. Type "skip" to leave one out, "count only" to '
    'leave out all that a dose needs, or "set up" to go on later.',
    "setup-care": "Type only figures that your care team gave you. I count and suggest by them, and "
    "I cannot know whether they are right for you.",
    "setup-glucose_unit": "In which unit does your meter show glucose? I then know what a bare "
    "figure means.",
    "setup-label_region": "Which labels do your foods carry? The law decides whether fibre is "
    "inside the carbohydrate figure. A label that names its own law is read by that.",
    "setup-policy": "How do you count carbohydrate? Choose what your care team taught you.",
    "setup-ratio": 'How many grams of carbohydrate does 1 unit cover? Type the grams, or "... g '
    'per unit from ... and ... g per unit from ...".',
    "setup-factor": "How far does 1 unit lower your glucose? It is called the correction factor.",
    "setup-target": "Which glucose does a correction aim at? It is called the target.",
    "setup-duration": "How many hours does your mealtime insulin last? Until then a part of a dose "
    "is still active.",
    "setup-active_shape": "How does active insulin fall over that time? Ask your care team which of "
    "these fits your insulin.",
    "setup-active_rule": "What does active insulin come off?",
    "setup-pen_step": 'What is the smallest step of your pen or syringe? Type it in units, as '
    "a figure.",
    "setup-rounding": "How shall a dose be rounded to that step? Rounding up is not offered.",
    "setup-cap_dose": "What is the most that you take at once, in units? A dose above it is refused.",
    "setup-cap_window": 'What is the most in some hours? Type it as in "... units in ... hours". More '
    "than that is refused.",
    "setup-other": "Next is {setting}. Type it as your care team says it.",
    "unfit-leave": "To leave this, type {sentences}.",
    "setup-unfit": "I could not take {said} as an answer. Nothing was changed.",
    "setup-done": "All is set. Each answer shows its working, so that you can check it.",
    "setup-count-only": "You can count now. No dose is worked out, since some numbers are not set.",
    "setup-left": 'Not set: {missing}. To go on, type "set up".',
    "choice-skip": "Skip it for now.",
    "choice-unit": "{unit}.",
    "setting-label_region": "the kind of your labels",
    "set-label_region": "Your labels: {region}, where a label does not say its own law.",
    "region-as-set": "Read by the kind that you set: {region}. Type the law with the label if it "
    "is another.",
    # How answers are given
    "manner-form-spoken": 'Spoken form is on, and stays on. To turn it off, type "show it for '
    'the eye".',
    "manner-form-sighted": 'Answers are laid out for the eye. For the spoken form, type "speak '
    'plainly".',
    "manner-working-short": "Answers are short now: the dose, the count and each caution. For "
    'the working of the last one, type "why". To have it each time, type "full working".',
    "manner-working-full": 'Each answer has its full working now. For the last one, type "why".',
    "manner-history-off": "What you type is not kept for the arrow keys any more. What was kept for "
    "them is removed.",
    "manner-history-on": "What you type is kept for the arrow keys, in your data folder.",
    "manner-history-journal": "The journal still keeps each turn, since active insulin is worked "
    "out from it.",
    # Long lists
    "list-line": "Line {line} of {line_of}:",
    "list-food": "{food}.",
    "foods-many": "{count} in the library.",
    "nothing-more": "There is nothing more to tell.",
    # What can be said
    "nearest-forms": "Sentences like that: {sentences}.",
    "say-now": "This is what you can say now.",
    "say-open": "About the open suggestion: {sentences}.",
    "say-question": "About the open question: {sentences}.",
    "say-foods": "Your first food: {sentences}.",
    "say-meal": "About food: {sentences}.",
    "say-set-up": "About your numbers: {sentences}.",
    "say-questions": "About what was: {sentences}.",
    "say-help": "More help: {sentences}.",
    "help-9": 'For the ear or the eye: "speak plainly", "show it for the eye", "short answers".',
    "help-meals-1": "A meal is foods with amounts, joined by plus, and, with or commas.",
    "help-meals-2": 'Amounts: "1.5 servings", "200 ml", "60 g", "half the pack", "a medium apple".',
    "help-meals-3": 'Add your glucose for a dose: "1 serving of oat cereal, glucose 162", or "no '
    'reading".',
    "help-meals-4": "A food has to be in your library first. A name that I do not know is asked "
    "about.",
    "help-meals-5": 'After a dose, say what you did: "took it", "took 4 units" or "not taken".',
    "help-meals-6": 'See the working again: "why".',
    "help-chat-1": 'For a screen reader: "speak plainly". For the eye: "show it for the eye".',
    "help-chat-2": 'Length: "short answers" or "full working". For the last working: "why".',
    "help-chat-3": 'Long lists stop after 12 lines. To go on: "more".',
    "help-chat-4": "The up arrow brings back an earlier line to edit. Nothing is sent before Enter.",
    "help-chat-5": 'To keep no earlier lines: "keep no history". To keep them again: "keep history".',
    "help-chat-6": 'Choices are answered by number or by word. To leave: "bye".',
}  # fmt: skip

"""Every sentence that the assistant says, by code. No other room holds a sentence for the user.

The first talk and the shell have theirs in talk_texts.py and shell_texts.py, which are part of TEXTS.

{name} is an argument of the line; how it is written or spoken is up to the renderer. Short
sentences, plain words; the same text serves eye and ear.
"""

from collections.abc import Mapping

from assistant.render.hurried_texts import HURRIED_TEXTS
from assistant.render.import_texts import IMPORT_TEXTS
from assistant.render.kitchen_texts import KITCHEN_TEXTS
from assistant.render.learning_texts import LEARNING_TEXTS
from assistant.render.report_texts import REPORT_TEXTS
from assistant.render.session_texts import SESSION_TEXTS
from assistant.render.shell_texts import SHELL_TEXTS
from assistant.render.talk_texts import TALK_TEXTS

_PHRASES = {
    "setting-ratio": "the insulin-to-carb ratio",
    "setting-factor": "the correction factor",
    "setting-target": "the glucose target",
    "setting-duration": "how long your insulin lasts",
    "setting-active_shape": "the shape on which active insulin falls",
    "setting-max_reduction": "the most that a reduction may take off",
    "setting-reading_age": "how long a reading counts",
    "setting-ask_range": "the range that is asked about",
    "setting-active_rule": "what active insulin comes off",
    "setting-pen_step": "the steps of your pen",
    "setting-rounding": "how to round",
    "setting-cap_dose": "the most units at once",
    "setting-cap_window": "the most units in some hours",
    "setting-cap_meal": "the most carbohydrate in a meal",
    "setting-kitchen": "your kitchen measure",
    "form-ratio": "the insulin-to-carb ratio",
    "form-factor": "the correction factor",
    "form-target": "the glucose target",
    "form-duration": "how long your insulin lasts",
    "form-active_shape": "the shape on which active insulin falls",
    "form-max_reduction": "the most that a reduction may take off",
    "form-reading_age": "how long a reading counts",
    "form-ask_range": "the range that is asked about",
    "form-clock": "the clock of your times of day",
    "reduction-activity": "for activity",
    "reduction-illness": "for illness",
    "reduction-other": "as you said",
    "form-active_rule": "what active insulin comes off",
    "form-pen": "the steps of your pen",
    "form-rounding": "how to round",
    "form-cap": "a cap",
    "form-policy": "how carbohydrate is counted",
    "form-kitchen": "a kitchen measure",
    "form-couple": "how many a couple is",
    "form-glucose_unit": "your glucose unit",
    "form-polyol": "how a sugar alcohol counts",
    "form-avoid": "what you avoid",
    "form-took": "a dose that you took",
    "region-US": "US label",
    "region-CA": "Canadian label",
    "region-EU": "EU label",
    "region-UK": "UK label",
    "region-AU": "Australian label",
    "region-NZ": "New Zealand label",
    "region-JP": "Japanese label",
    "region-table-total": "food table, total carbohydrate",
    "region-table-available": "food table, available carbohydrate",
    "fibre-inside": "fibre is inside the carbohydrate",
    "fibre-outside": "fibre is outside the carbohydrate",
    "level-low": "low",
    "level-between": "between low and high",
    "level-high": "high",
    "because-label": "as the label says",
    "because-law": "as measures on a US label",
    "because-kitchen": "as you set your kitchen measure",
    "because-metric": "by definition",
    "because-told": "as you told me",
    "because-source": "as its source says",
    "unit-mg/dL": "milligrams per decilitre",
    "unit-mmol/L": "millimoles per litre",
    "kitchen-cup": "cup",
    "kitchen-tablespoon": "tablespoon",
    "kitchen-teaspoon": "teaspoon",
    "kitchen-fluid ounce": "fluid ounce",
    "kitchen-pint": "pint",
    "kitchen-quart": "quart",
    "kitchen-gallon": "gallon",
    "kitchen-vessel": "kitchen measure",
    "per-serving": "a serving",
    "per-100 g": "100 grams",
    "per-100 ml": "100 millilitres",
    "per-pack": "a pack",
    "per-None": "an amount that is not said",
}

_COUNTING = {
    "answer-count": "{counted} of carbohydrate counted. The range is {range}.",
    "total": "The meal counts || {counted}.\nThe range is {range}.",
    "portion": "{food}|:| {counted} |counted,|\nrange {range}, from {said}.",
    "step": "{from} |is| {into}, {why}.",
    "step-pack": "1 {unit} has {one}, as the label says.\nSo {from} |is| {into}.",
    "step-pack-part": "1 {unit} has {one}, as the label says.\nSo {share} of it |is| {into}.",
    "step-all": "{from} is the whole recipe.",
    "step-share": "{from} is {share} of the recipe.",
    "step-share-of": "{from} is {share} of the recipe, which makes {made}.",
    "step-part": "{from} is a part of the recipe.",
    "step-part-of": "{from} is a part of the recipe, which makes {made}.",
    "count-divided": "{one} divided by {parts} |is| {counted}.",
    "count-share": "{one} times {count}, divided by {parts}, |is| {counted}.",
    "step-reference": "{from} is {times} the {reference} that the label is for.",
    "step-same-measure": "I take the measure to be the same as on the label: {unit}.",
    "count-total": "{reference} has {carbohydrate} of carbohydrate. All of it counts, as you set.",
    "count-fibre-outside": "{reference} has {carbohydrate} of carbohydrate. On a label of this kind "
    "({region}) fibre is already outside that figure, so none is taken off.",
    "count-under-threshold": "{reference} has {carbohydrate} of carbohydrate. Its fibre is not over "
    "5 grams, so none is taken off, as you set.",
    "count-less-fibre": "{reference} has {carbohydrate} of carbohydrate with {fibre} of fibre inside "
    "({region}).\n{carbohydrate} minus {taken} |is| {less}.",
    "count-less-half-fibre": "{reference} has {carbohydrate} of carbohydrate with {fibre} of fibre "
    "inside ({region}).\nFibre over 5 grams is halved: {carbohydrate} minus {taken} |is| {less}.",
    "count-less-named-polyol": "It has {polyols} of {name}.\nAs you set for it, {taken} is taken off|:| "
    "{less}.",
    "count-less-other-polyols": "It has {polyols} of other sugar alcohol.\nHalf of it, {taken}, is taken off|:| "
    "{less}.",
    "count-less-polyols": "It has {polyols} of sugar alcohol.\nHalf of it, {taken}, is taken off|:| "
    "{less}.",
    "count-times": "{times} {one} |is| {counted}.",
    "hidden-zero": "0 grams on a label may be up to 0.49 grams a serving. {times} that may come to {most}.",
    "count-only": "No dose is worked out, since no numbers from your care team are set. "
    'Type "help numbers" to see how.',
    "last-reading": "Your last reading was {glucose} at {moment}. It is not used unless you type it.",
}

_DOSE = {
    "suggest": "Suggested dose: {units}.",
    "suggest-none": "The working rounds to no insulin: {units}.",
    "only-a-suggestion": "This is a suggestion, not an order. Check each line, and follow your care "
    "team where they differ.",
    "refused": "No dose is suggested.",
    "next-after-dose": "Type what you did: {sentences}.",
    "next-after-low": "After treating, measure again and type the new glucose.",
    "next-after-refusal": 'Type "why" to hear this again. Ask your care team if you are unsure.',
    "work-meal": "Meal part: {counted} divided by {ratio} |is| {meal}.",
    "work-meal-from": "Meal part, ratio from {time}: {counted} divided by {ratio} |is| {meal}.",
    "work-correction": "Correction: {glucose} minus the target {target} |is| {above},\ndivided by "
    "{factor} |is| {correction}.",
    "work-correction-below": "Correction, below the target: {glucose} minus the target {target} |is| "
    "{above},\ndivided by {factor} |is| {correction}.",
    "work-convert-glucose": "Glucose {said} |is| {same}.",
    "work-convert-target": "The target {said} |is| {same}.",
    "work-reading-age": "The reading is of {moment}, and so {age} old.",
    "work-no-reading": "No correction: there is no glucose reading.",
    "work-no-correction": "No correction.",
    "work-no-active": "Active insulin: none, as far as the journal knows.",
    "work-active-line": "Of {taken} at {moment}, {age} ago, || {left} |is| still active, on a straight line.",
    "work-active-curve": "Of {taken} at {moment}, {age} ago, || {left} |is| still active, on the "
    "two-compartment curve.",
    "work-active-ahead": "{taken} at {moment} is dated after now, so all of it counts as active|:| {left}.",
    "work-curve": "On the curve, 1 plus x, times e to the power of minus x, is left, with x such that "
    "5 percent is left after {hours}. It counts on until {twice}, when almost nothing is left.",
    "work-formula-correction": "The dose is carbohydrate divided by the ratio, plus glucose minus the "
    "target divided by the correction factor. Active insulin comes off the correction only.",
    "work-formula-whole": "The dose is carbohydrate divided by the ratio, plus glucose minus the "
    "target divided by the correction factor, minus active insulin.",
    "work-clock": "Your times of day go by the clock on which it is now {moment}.",
    "work-since": "Settings used, the last of them said at {moment}: {settings}.",
    "work-reduction": "Reduction {why}: {share} of {sum} |is| {off}.\n{sum} minus {off} |is| {exact}.",
    "work-range-weigh": "Most of that range comes from {food}. Weigh it to narrow the range.",
    "work-range-label": "Most of that range comes from {food}, since its label rounds its figures.",
    "work-range-inside": "Most of that range comes from {food}.",
    "work-active-correction": "Active insulin, {active} in all, comes off the correction only.\nWhat is "
    "left of the correction |is| {after}.",
    "work-active-floored": "Active insulin, {active} in all, comes off the correction only.\nIt is "
    "more than the correction, so no correction is left|:| {after}.",
    "work-active-no-correction": "Active insulin, {active} in all, comes off the correction only, "
    "and there is no correction above zero.",
    "work-active-whole": "Active insulin, {active} in all, comes off the whole dose.",
    "work-sum-plus": "Sum: {meal} plus {correction} |is| {exact}.",
    "work-sum-minus": "Sum: {meal} minus {correction} |is| {exact}.",
    "work-sum-plus-active": "Sum: {meal} plus {correction}, minus {active} active, |is| {exact}.",
    "work-sum-minus-active": "Sum: {meal} minus {correction}, minus {active} active, |is| {exact}.",
    "work-round-down": "Rounded down to a step of {step}: {exact} |becomes| {units}.",
    "work-round-nearest": "Rounded to the nearest step of {step}, a tie down: {exact} |becomes| "
    "{units}.",
    "work-range": "The count of {range} would give {low} to {high} before rounding, and "
    "{low_rounded} to {high_rounded} after.",
    "work-range-same": "The count of {range} would give {low} to {high} before rounding. Both round "
    "to {low_rounded}.",
    "work-range-over-cap": "At the low end of {range} it would be {low} before rounding, and "
    "{low_rounded} after. At its high end it would pass a cap of yours.",
    "rule-settings-missing": "Some numbers from your care team are missing: {missing}.",
    "rule-glucose-low": "Glucose {glucose} is low. A low is treated first, and no insulin is suggested.",
    "rule-unconfirmed-suggestion": "The suggestion of {units} at {moment} is still open. Whether it "
    "was taken decides how much insulin is active.",
    "rule-over-dose-cap": "The working comes to more than your cap of {cap} at once.",
    "rule-over-window-cap": "With {taken} already taken, the working would pass your cap of {cap} "
    "in {hours}.",
    "rule-over-window-cap-none-taken": "No units were taken in the last {hours}, and the working would pass "
    "your cap of {cap} in {hours}.",
    "rule-over-meal-cap": "The meal counts {counted}, more than your cap of {cap} in a meal.",
    "rule-below-zero": "The working comes to less than zero. Insulin is not needed by these numbers, "
    "and glucose may be going low. Ask your care team what to do then.",
    "rule-glucose-not-given": 'What is your glucose? Type the reading, or "no reading".',
    "rule-glucose-was-low": "The last reading was {glucose}, and it was low. Without a newer reading no "
    "insulin is suggested.",
    "rule-low-was-felt": "A low was felt or told, and no reading since says otherwise. No insulin is suggested.",
    "rule-glucose-doubted": "At {moment} a glucose figure was told that may be low, and its unit is not "
    "settled. No insulin is suggested. Measure again, or type the reading with its unit, as in {sentence}.",
    "rule-newer-reading": "The journal has a newer reading than that: {glucose} at {moment}. The older one "
    "cannot stand for now. Choose the newer one, or measure again and type the figure.",
    "choice-newer-reading": "The newer one: {glucose} at {moment}.",
    "ask-carried-glucose": "The glucose {glucose} was told {moment}. It is too old, or a newer reading "
    "or a low was told since. What is it now? Type it, and then the change again.",
    "rule-unsettled-dose": "A dose that you told me is not settled yet, so active insulin is not known. "
    'Type "question" to hear what is asked, or "cancel" if there was no such dose.',
    "rule-record-gap": "Doses may be missing from the record, so active insulin is not known. Type each dose "
    'of the last 24 hours with its time, and check your numbers. Then type "the record is complete".',
    "record-restored": "The backup is the record now. It ends at {moment}. What you typed later is not in it.",
    "record-begun": "A new record is begun. It knows no dose, no food and no number of yours.",
    "record-no-gap": "Nothing is known to be missing from the record.",
    "record-complete": "Thank you. Doses are worked out from the record again.",
    "meal-not-counted": "The meal was not counted.",
    "glucose-in-words": 'Type the glucose as a figure, or "no reading".',
    "low-stays": "The low reading stays in the journal.",
    "lows-stay": "The lows stay in the journal: {count}.",
    "ask-taken-when": "The suggestion of {units} is from {moment}. When was it taken?",
    "choice-then": "At that time, {moment}.",
    "choice-now": "Just now.",
    "food-pack-weighs": "The pack weighs {amount}.",
    "food-prepared": "The figures are for the food as prepared, not as sold.",
    "serving-is-on-label": 'The label of {food} states its serving. Type "new label for" and the label '
    "if it changed. Nothing was changed.",
    "label-columns-disagree": "The label of {food} gives one amount for 100 and another for a serving, and "
    "by its serving size they do not agree. Nothing was saved.",
    "took-comma": "I cannot read {said} as units of insulin. How many units were taken?",
    "took-zero": "I cannot read {said} as units of insulin. How many units were taken?",
    "took-negative": "I cannot read {said} as units of insulin. How many units were taken?",
    "took-zero-denominator": "I cannot read {said} as units of insulin. How many units were taken?",
    "took-huge": "I cannot read {said} as units of insulin. How many units were taken?",
    "took-odd": "I cannot read {said} as units of insulin. How many units were taken?",
    "took-range": "I cannot read {said} as units of insulin. How many units were taken?",
    "took-vague": "I cannot read {said} as units of insulin. How many units were taken?",
    "took-ordinal": "I cannot read {said} as units of insulin. How many units were taken?",
    "took-point": "I cannot read {said} as units of insulin. How many units were taken?",
    "took-part-of-what": "I cannot read {said} as units of insulin. How many units were taken?",
    "rule-no-reading": "Without a reading there is no correction, and a low or high glucose cannot "
    "be seen. Measure if you can.",
    "rule-glucose-very-high": "Glucose {glucose} is very high, above {limit}. Check ketones as your "
    "care team told you, and call them or emergency help if you feel ill.",
    "rule-glucose-below-target": "Glucose is below the target, so the correction is negative: "
    "{correction}.",
    "rule-clock-went-back": "The clock says {now}, but the journal has an entry at {moment}. With a "
    "wrong clock active insulin is wrong, so no dose is suggested. Set the clock. If it is right now, "
    'type "the clock is right".',
    "rule-clock-changed": "The clock has moved since your times of day were set. Which clock do they go "
    "by?",
    "rule-glucose-old": "That reading is {age} old. By your own limit a reading counts for {limit}. "
    "Measure again, and type the meal with the new reading.",
    "rule-reading-age-missing": "That reading is {age} old, and you have not said how long a reading "
    "counts. Measure again, or type your own limit as in {sentence}.",
    "rule-glucose-ahead": "That reading would be of {moment}, which is still to come. Type the time "
    "again.",
    "rule-meal-not-now": "That meal is at {moment}, more than {limit} away from now. A dose is only "
    "worked out for a meal of now. If you eat it now, type the whole meal again.",
    "rule-same-meal-twice": "The same meal was counted at {moment}. Is a dose still to be taken for this "
    "one?",
    "rule-same-meal-again": "The same meal was counted at {moment} too. You said that this is right.",
    "rule-reduction-no-bound": "You asked for {share} less, and no bound for reductions is set. Set the "
    "one that your care team gave you, as in {sentence}.",
    "rule-reduction-over-bound": "You asked for {share} less. Your bound for reductions is {bound}.",
    "rule-activity-not-settled": "You mentioned activity. How much less insulin, as your care team "
    'taught you? Type a percentage, as in "... percent less", or "no reduction".',
    "rule-activity": "Activity lowers glucose, at times for many hours after. Keep fast carbohydrate at "
    "hand, and do as your care team taught you.",
    "rule-illness": "When you are ill, your usual numbers may not hold. Never stop insulin. Test glucose "
    "and ketones every 2 to 4 hours, follow your sick-day plan, and call your care team.",
    "rule-alcohol": "Alcohol can lower glucose for many hours, also while you sleep. Eat with it, measure "
    "before you sleep, and do as your care team taught you.",
    "rule-high-fat-protein": "As far as their labels tell, these foods have {figures}. A "
    "meal rich in fat or protein can raise glucose later and for longer. No units are added for it. Measure later, "
    "and ask your care team.",
    "rule-food-doubted": "The label of {foods} was saved although its carbohydrate or fibre does not fit "
    'the rest of it. No dose is worked out from it. Check it and type "new label for" and the label.',
    "rule-food-failed-check": "The label of {foods} was saved although its figures do not fit together.",
    "rule-settings-changed": "Your numbers changed after that suggestion of {moment}. It did not know of "
    "the change.",
    "rule-raised-cap_dose": "Your cap at once was raised from {old} to {new} at {moment}.",
    "rule-raised-cap_window": "Your cap over hours was raised from {old} in {old_hours} to {new} in "
    "{hours} at {moment}.",
    "rule-raised-cap_meal": "Your cap on a meal was raised from {old} to {new} at {moment}.",
    "rule-raised-max_reduction": "Your bound for reductions was raised from {old} to {new} at {moment}.",
    "rule-raised-reading_age": "How long a reading counts was raised from {old} to {new} at {moment}.",
    "rule-raised-ask_range": "The range that is asked about was raised from {old} to {new} at {moment}.",
    "rule-range-too-wide": "The range of the count is {range}, wider than the {share} at which I ask. "
    "Weigh or measure it if you can. Shall I go on with this count?",
    "rule-range-wide": "The range of the count is {range}, wider than the {share} at which I ask. You said "
    "that the count is right.",
    "rule-range-moves-dose": "The range of the count moves the dose from {low} to {high}. Weigh or "
    "measure if you can.",
    "rule-range-over-dose-cap": "If the meal is at the low end of its range, the dose would be {low}. At "
    "its high end the working comes to more than your cap of {cap} at once, and I would suggest none. "
    "Weigh or measure if you can.",
    "rule-range-over-window-cap": "If the meal is at the low end of its range, the dose would be {low}. "
    "At its high end, with {taken} already taken, the working would pass your cap of {cap} in {hours}, "
    "and I would suggest none. Weigh or measure if you can.",
    "rule-range-over-meal-cap": "At the high end of its range the meal counts {counted}, more than your "
    "cap of {cap} in a meal.",
    "rule-rule-failed": "A safety rule could not be checked, so no dose is given. Please report this.",
    "treat-low-1": "Take 15 grams of fast carbohydrate, such as glucose tablets, juice or sugar, or "
    "what your care team told you.",
    "treat-low-food": "By its label {amount} of your {food} has at least 15 grams of fast carbohydrate. The amount is rounded up.",
    "treat-low-2": "Wait 15 minutes and measure again.",
    "treat-low-3": "Still low? Repeat.",
    "treat-low-4": "Do not take insulin for the carbohydrate that treats the low.",
    "treat-low-5": "If you cannot swallow, are confused or may pass out, others must call emergency "
    "help and not give food or drink.",
    "say-setting": "To set {setting}, type your own figures as in {sentence}.",
    "say-setting-of-two": "To set {setting}, type {sentence} or {other}, as your care team told you.",
    "settle-suggestion": "Type one of these first: {sentences}. Then type the meal again.",
    "open-suggestion": "A suggestion of {units} at {moment} is still open. Was it taken?",
}

_QUESTIONS = {
    "next-type": "You could type {sentences}.",
    "choice-yes": "Yes.",
    "choice-no": "No.",
    "choice-text": "{text}.",
    "choice-name": "{food}.",
    "choice-name-left-out": "{food}, leaving out {left}, so that it reads {text}.",
    "choice-name-in": "{food}, so that it reads {text}.",
    "choice-meaning": "{text}, which counts {counted}.",
    "choice-meaning-open": "{text}, which needs one more question.",
    "choice-glucose": "{glucose}, the same as {same}.",
    "choice-region": "{region}: {fibre}.",
    "choice-ounce-weight": "Ounces by weight.",
    "choice-ounce-fluid": "Fluid ounces.",
    "choice-clock-new": "The clock of now, {offset}, on which it is {moment}.",
    "choice-clock-old": "The earlier clock, {offset}, on which it is {moment}.",
    "choice-dose-right": "Yes: {text}.",
    "choice-dose-slip": "No, that was a slip: undo.",
    "choice-same-meal-twice": "Yes: it is eaten again, or no insulin was taken for it yet.",
    "choice-range-too-wide": "Go on with this count.",
    "choice-drop-meal": "Drop it. The meal is typed again.",
    "choice-yesterday": "It was yesterday.",
    "choice-policy-total": "Total carbohydrate: all of it.",
    "choice-policy-net": "Net carbohydrate: less fibre where it is inside, and less half of sugar "
    "alcohol.",
    "choice-policy-fibre-over-5": "Fibre over 5 grams halved, where it is inside.",
    "choice-out-of-range": "There is no such choice. Type a number from 1 to {count}.",
    "read-as": "I took your answer to mean {said}.",
    "question-dropped": "The earlier question about {said} is dropped.",
    "question-expired": "The question about {said} was too old to answer and is closed. Type the "
    "sentence again if you need it.",
    "question-waits": 'A question about {said} is still open. Type "question" to hear it.',
    "question-cancelled": "Dropped: {said}. Nothing was counted or changed.",
    "ask-policy": "How do you count carbohydrate? Choose what your care team taught you.",
    "ask-how-much": "How much {food}? Type an amount, in servings, grams or another measure.",
    "ask-comma-one": "In {said}, is the comma a decimal point: {reading}?",
    "ask-number-comma": "{said} could be {readings}. Type the number without the comma.",
    "ask-number-range": "{said} is a range. Which amount shall I count? Type one number.",
    "ask-number-vague": "{said} is no exact amount. How much is it? Type a number, with a measure if "
    "it needs one.",
    "loose-joiner": "{said} joins nothing, so something may be missing. Nothing was counted. Type the "
    "whole meal again.",
    "ask-forget": "Take {food} out of the library? A meal that was counted is not changed by this.",
    "ask-number-couple": "{said} is two for some people, and a few for others. How many do you mean? "
    "Type 1 for two, or type the amount with its measure.",
    "choice-couple": "{text}",
    "ask-number-bound": "{said} is no exact amount. How much is it?",
    "ask-spoon-letter": "{said} could be a tablespoon or a teaspoon. Which one?",
    "ask-narrow": "{said} {food} is a range: the plate comes to {range} of carbohydrate. A dose needs one "
    "amount. Type it, such as {readings}.",
    "ask-two-amounts": "In {item} there are two amounts, and they do not come to the same. Which one shall I "
    "count?",
    "bracket-agrees": "{said} in brackets agrees with that.",
    "bracket-used": "I counted the {said} in brackets.",
    "bracket-unchecked": "I could not check {said} against the label.",
    "ask-meal-time": "I cannot read the time in {said}. When is the meal?",
    "reduction-twice": "Two reductions are said. Which one?",
    "reduction-unclear": "I cannot read {said}. How many per cent less?",
    "read-change": "I read that as {said}.",
    "ask-lead-or-name": "{said} is a food in your library, and its first words could be courtesy. Which do "
    "you mean?",
    "count-only-dose-words": "No dose is worked out, since no numbers from your care team are set. What you "
    'said of exercise, illness or less insulin changes no count. Type "help numbers" to see how.',
    "ask-leave-out-or-forget": "By {said}, do you mean the last meal or the library?",
    "choice-leave-out": "Leave {food} out of the last meal.",
    "choice-forget-food": "Take {food} out of the library.",
    "no-meal-before": "No meal of the last two days is in your journal.",
    "no-meal-that-day": "No meal of that day is in your journal.",
    "ask-which-meal": "Which meal do you mean by {said}?",
    "choice-meal": "{moment}: {text}",
    "ask-which-item": "Which one do you mean by {said}?",
    "not-in-the-meal": "I do not find one food for {said} in the last meal, which has {foods}. Type the meal "
    "whole, or the food as it was said.",
    "nothing-left": "Without {said} nothing is left of the meal.",
    "change-unread": "I do not understand {said} as a change of the last meal. Type the meal whole.",
    "ask-taken-before-change": "I read that as {said}. The suggestion before the change was {units}. "
    "Was it taken?",
    "choice-not-taken-yet": "Not taken. Work it out again for the whole plate.",
    "choice-taken-then-added": "I took {units}. Count only what is added.",
    "choice-taken-count-stays": "I took {units}. Leave the meal as it is.",
    "ask-same-meal": "A meal is still open: {said}. Is {more} part of it?",
    "choice-both-meals": "Yes, one meal: {text}.",
    "choice-only-this": "No, only {text}. The open meal is dropped.",
    "more-after-dose": "The dose taken for this meal was {units}, at {moment}. It was for {dosed}. The change has "
    "{more} more, which has no dose yet.",
    "more-after-dose-added": "Only what is more is counted now, beside the meal that is in the journal, so "
    "nothing counts twice.",
    "more-after-dose-recorded": "All of it is in the journal for this meal. Do not type what is more as a meal of "
    "its own: it would count twice. Ask your care team about insulin for it.",
    "meal-before-midnight": "The last meal was said before midnight, and a few words change no meal of another day. "
    "Take it back, then type it whole with its time, such as at 23:50.",
    "no-meal-to-change": "No meal of the last 30 minutes is there to change. Type the meal whole.",
    "count-asked": "This is a count only. Nothing is kept as eaten, and no dose is worked out.",
    "changed-after-dose": "The dose taken for this meal was {units}, at {moment}. I do not work a dose out again.",
    "changed-after-dose-next": "If you ate less, glucose may go low: measure more often, and ask your "
    "care team. For more food, type only what is added.",
    "portion-range": "{said}: {food}, {range} of carbohydrate.",
    "about-widened": "About: I take {share} either way, so {range} of carbohydrate.",
    "ask-number-ordinal": "{said} could be a part, or one more of them. How much is it?",
    "figure-ordinal": "{said} is no clear number. Nothing was changed.",
    "ask-number-zero": "The amount in {item} is zero. How much is it?",
    "ask-number-negative": "The amount {said} is below zero. How much is it?",
    "ask-number-zero-denominator": "{said} divides by zero. How much is it?",
    "ask-number-odd": "I cannot read {said} as a number. How much is it?",
    "ask-number-huge": "{said} is too large to be a portion. How much is it?",
    "ask-number-part-of-what": "{said} of what, in {item}: of a pack, of one piece, of a serving? "
    "Type the amount in full, with its measure.",
    "ask-measure": "I do not know what 1 {unit} of {food} weighs. How many grams is it?",
    "ask-measure-known": "I do not know what 1 {unit} of {food} weighs. The label knows {known}. How "
    "many grams is 1 {unit}?",
    "ask-count-of-what": "{item}: what is counted? Choose a measure, or type one.",
    "ask-conflict": "The facts of {food} disagree on what {unit} comes to by more than 2 percent. "
    "Type the amount in grams.",
    "ask-kitchen": "How many millilitres does your {unit} hold? Cups and spoons differ from place to "
    "place.",
    "ask-pack": "How many grams of {food} are in 1 {unit}?",
    "ask-pack-known": "How many grams of {food} are in 1 {unit}? The label knows {known}.",
    "ask-volume": "I know {food} by weight only. How many grams do 100 millilitres of it weigh?",
    "ask-mass": "I know {food} by volume only. How many grams do 100 millilitres of it weigh?",
    "ask-ounce": "In {item}, are the ounces by weight, or fluid ounces?",
    "ask-unknown-figure": "The label of {food} does not state {nutrient}, and your way of counting "
    "needs it. How many grams are stated?",
    "ask-more-than-carbohydrate": "The label of {food} has more {nutrient} than carbohydrate, which "
    "cannot be on a label of this kind. Check the label and type it again.",
    "ask-name": "I know no food called {said}. Did you mean one of these?",
    "ask-name-always": 'I know no food called {said}. Did you mean one of these? Add "always" to the '
    "number to remember it.",
    "not-remembered": "That choice is for this once. It leaves words out, or could mean another food later, so "
    "it is not remembered.",
    "ask-left-over": "I know {food}. In {said} I did not understand {left}. Nothing was counted. "
    "Type what you mean in other words, without dropping anything that you eat.",
    "not-yes-or-no": "That question is not answered by yes or no.",
    "place-open": "{said} is a pattern. Its open places are for your own words or figures. Type it again "
    "with them filled in. Nothing was changed.",
    "no-question-open": "No question is open.",
    "feels-low": "If you may be low, measure now. If you cannot measure, it is safer to treat it as a "
    "low:",
    "meter-high": "A meter that shows high is above its range, and no dose can be worked out from it. "
    "Follow your care team's plan for very high glucose, check ketones, and get help if you feel ill.",
    "ask-measure-volume": "I do not know what 1 {unit} of {food} holds. How many millilitres is it?",
    "ask-number-point": "{said} could be {readings}. Type the number so that it can only be one.",
    "figure-point": "{said} could be a thousand or a decimal. Type it so that it can only be one. "
    "Nothing was changed.",
    "paste-unreadable": "I could not read these lines as a label or as a meal: {said}. Nothing was "
    "counted or saved. I read labels in English, and Canadian ones with French beside it. A recipe has "
    "to be typed food by food.",
    "paste-doubts": "Nothing was saved yet. Paste the whole label again with these places put right. If "
    "its lines arrive one by one, put them in one line.",
    "paste-no-carbohydrate": "I found no carbohydrate figure on that label. Nothing was saved. Paste "
    "all of it again with the carbohydrate line. If its lines arrive one by one, put them in one line.",
    "today-not-taken": "At {moment}: the suggested dose was not taken.",
    "ask-name-none": "I know no food called {said}. Nothing was counted. You can type its label.",
    "ask-name-other": "I know no food called {said}. The library has {foods}. That may count something "
    "else, so it is not taken for it. Nothing was counted. You can type the label of {said}.",
    "name-other": "I know no food called {said}. The library has {foods}. That may count something "
    "else, so it is not taken for it. Type the sentence again with the name that you mean.",
    "not-understood": "I did not understand {said}. No food is called that, and no sentence starts "
    "like it.",
    "forget-unknown": "I know no food called {said}, so none is forgotten. The library has {foods}. Type the whole name of the one to forget.",
    "no-such-food": "I know no food called {said}.",
    "ask-of-what": "{item} of what? Type the food.",
    "ask-which-meaning": "That can be read in more than one way. Which do you mean?",
    "recipe-too-light": "The finished {food} cannot weigh {made}: {counted} of carbohydrate is in it. "
    "Nothing was saved. Weigh it again.",
    "recipe-too-heavy": "No pot at home holds {made} of {food}. Nothing was saved. Weigh it again.",
    "ask-unlikely-measure": "{said} is far from what the label of {food} says, or from what such a "
    "measure can weigh. Is it right?",
    "ask-implausible": "{said} is a very large amount, {counted} of carbohydrate. Is it right?",
    "phrase-empty": "Nothing was typed.",
    "phrase-too-long": "That is too long for one meal. Type fewer foods at a time.",
    "phrase-symbols": "I could not read that. Use letters, numbers and plain marks.",
    "phrase-no-food": "I found no food in that.",
    "text-too-long": "That is too long to read: {length}. Type or paste one label or one meal.",
    "yes-to-nothing": "No question is open, so I do not know what that answers.",
    "yes-to-suggestion": "Do you mean that you took {units}? Please type it in words.",
    "misread": "I read this as {form}, but did not understand {said}. Nothing was changed.",
    "took-misread": "I read this as {form}, but did not understand {said}. It is not in the journal yet.",
    "took-misread-end": "I read this as {form}, but it seems to stop too early. It is not in the journal yet.",
    "misread-end": "I read this as {form}, but it seems to stop too early. Nothing was changed.",
    "figure-comma": "In {said} the comma could be a decimal point or not. Type the number with a "
    "point, or without a comma. Nothing was changed.",
    "figure-zero": "{said} is zero, and that cannot be. Nothing was changed.",
    "figure-negative": "{said} is below zero, and that cannot be. Nothing was changed.",
    "figure-zero-denominator": "{said} divides by zero. Nothing was changed.",
    "figure-huge": "{said} is far too large. Nothing was changed.",
    "figure-odd": "I cannot read {said} as a number. Nothing was changed.",
    "figure-range": "{said} is a range. Type one number. Nothing was changed.",
    "figure-vague": "{said} is no exact number. Nothing was changed.",
    "figure-part-of-what": "{said} is no whole amount. Nothing was changed.",
    "glucose-comma": "In {said}, is the comma a decimal point? Type the glucose with a point.",
    "glucose-unclear": "I cannot read {said} as a glucose reading. Type the figure on the meter.",
    "glucose-implausible": "{glucose} is not a glucose that a meter shows. Check the figure and the "
    "unit, and type it again.",
    "glucose-no-unit-fits": "{said} is not a glucose that a meter shows, in either unit. Check the "
    "figure and type it again.",
    "glucose-which-unit": "Glucose {said}: in which unit?",
    "glucose-other-unit": "Glucose {said} does not fit your unit. Which of these is it?",
    "glucose-twice": "More than one glucose figure was typed. Type the sentence again with one.",
    "ask-later-today": "That time is later than now, {moment}. Was it yesterday?",
    "took-how-many": "How many units did you take?",
    "took-very-many": "{units} is a very large dose. Is that what was taken?",
    "ask-undo-dose": "This takes {units} at {moment} out of the journal, and it no longer counts as "
    "active. Do so only if it was never taken. Take it out?",
    "ask-glucose-unit": "In which unit is that figure?",
    "ask-which-clock": "The clock has moved, so {said} may be by the clock of now or by an earlier one. "
    "Which is meant? You can also type how long ago it was, such as {sentence}.",
    "choice-time-here": "By the clock of now, {offset}. That is {moment}, {age} ago.",
    "choice-time-there": "By the clock at {offset}. By the clock of now that is {moment}, {age} ago.",
    "choice-time-here-ahead": "By the clock of now, {offset}. That is {moment}, in {age}.",
    "choice-time-there-ahead": "By the clock at {offset}. By the clock of now that is {moment}, in {age}.",
    "took-clock-back": "The clock says {now}, but the journal has an entry at {moment}. With a wrong "
    "clock the time of a dose is wrong. So these {units} are not logged yet, and no dose is suggested "
    "until they are. Set the clock. Then type how long ago it was, such as {sentence}.",
    "choice-clock-right": "The clock is right: it is {moment}.",
    "choice-drop-dose": "No such dose was taken. Drop it.",
    "choice-dose-meant": "Yes: {text}.",
    "low-clock-back": "The clock is behind the journal, so this low counts from {moment}. Set the clock.",
    "dose-told-number": "I read {said} as a dose that you took, but not how many units. How many units "
    "were taken? No dose is suggested until this is settled.",
    "dose-told-when": "I read {units} as taken, but did not understand {said}. When were they taken? "
    'Type "just now", "30 minutes ago" or a time, such as "at 12:45". No dose is suggested until this '
    "is settled.",
    "dose-told-bare": 'I read {units} as taken. When were they taken? Type "just now", "30 minutes ago" '
    'or a time, such as "at 12:45". No dose is suggested until this is settled.',
    "dose-told-sure": "I read {said} as a dose that you took. Is it meant as below? No dose is suggested "
    "until this is settled.",
    "dose-told-whole": "I read a dose that you took in {said}, but did not understand all of it. Nothing "
    "is logged yet, and no dose is suggested until it is. Type each dose in a sentence of its own, such "
    "as {sentence}. Type anything else in another.",
    "dose-waits-too": "The dose {said} is not settled either. It is asked next.",
    "ask-same-dose": "Is that the dose that you told before as {said}, or another one?",
    "choice-same-dose": "It is the same dose.",
    "choice-other-dose": "It is another dose. The earlier one is asked again.",
    "dose-same": "That settles {said}. In the journal it is {units} at {moment}.",
    "dose-other": "Then {said} is still to be settled.",
    "dose-answers": "That settles {said}.",
    "ask-half-day": "Is {said} in the morning or in the afternoon?",
    "ask-merge-units": "Your schedule is in another glucose unit. Type the whole day's schedule in "
    "one sentence, in one unit. Nothing was changed.",
    "cap-too-large": "{value} is too large to be a cap. Nothing was changed.",
    "ask-one-unit": "Use one glucose unit in one sentence.",
    "ask-times": "Each part of the day needs its own time, once.",
    "ask-merge": "You have a schedule already. Choose what shall hold for {setting}, the whole "
    "schedule or the one value all day.",
    "ask-unusual": "{value} is unusual for {setting}. Did your care team give you this?",
    "ask-unusual-kitchen": "{value} is unusual for a {setting}. Did you measure it?",
    "ask-replace-schedule": "You have several times of day for {setting}. Replace them all with this one "
    "value?",
    "measure-of-what": "Say which food that is, as in the example.",
    "ask-raise": "This would allow more than before: {new} instead of {old}, for {setting}. Nothing was "
    "changed. If your care team agreed, type the whole sentence with its confirmation.",
    "ask-raise-window": "This could allow more than before: {new} in {hours} instead of {old} in "
    "{old_hours}. Nothing was changed. If your care team agreed, type the whole sentence with its "
    "confirmation.",
    "too-long-duration": "{value} is longer than a day. Type the hours that your care team gave you.",
    "window-unclear": "Type the hours of the cap as a number, up to 24.",
    "no-rounding-up": "Rounding up is not offered, since it gives more insulin than the working.",
}

_FOODS = {
    "food-saved": "Saved {food}.",
    "food-replaced": "Saved a new label for {food}. Old meals keep their figures.",
    "food-changed": "Changed {food}. Old meals keep their figures.",
    "food-forgotten": "{food} is out of the library. Old meals keep their figures.",
    "food-serving": "A serving is {parts}.",
    "food-pack": "A pack has {count}.",
    "food-nutrient": "{reference} has {amount} of {nutrient}.",
    "food-nutrient-below": "{reference} has less than {amount} of {nutrient}.",
    "food-fibre-inside": "{region}: fibre is inside the carbohydrate figure.",
    "food-fibre-outside": "{region}: fibre is outside the carbohydrate figure and is never taken off.",
    "food-no-fibre": "Fibre is not stated. It is unknown, not zero.",
    "food-measure": "{count} is {amount}, as you told me.",
    "food-ingredients": "Ingredients, most first: {words}.",
    "food-allergens": "Contains {words}.",
    "food-may-contain": "May contain {words}.",
    "food-aliases": "Also called {words}.",
    "food-barcode": "Barcode {digits}.",
    "food-version": "This is version {version} of its label.",
    "label-of": "The label of {food} says:",
    "label-read": "I read {nutrient}: {amount} in {per}.",
    "label-left-out": "Left out, since I did not understand it: {unread}.",
    "check-energy": "The label states {stated}. From its fat, carbohydrate and protein it should be "
    "{range}.",
    "check-energy-units": "The label states {stated}. From its kilocalories it should be {range}.",
    "check-daily-value": "The label prints {stated} of the daily value for {nutrient}. From the grams "
    "it should be {range}.",
    "check-sum": "Fat, carbohydrate and protein come to at least {stated}, in a weight of {range}.",
    "check-pack": "The servings come to {stated}. The pack should hold {range} by its net weight.",
    "check-like": "One measure of it weighs {stated}. Going by {nutrient}, it should be {range}.",
    "check-density": "The serving weighs {stated}. By its household measure it should be {range}.",
    "barcode-unknown": "No food has the barcode {digits}. When you type its label, add the word barcode "
    "and the digits.",
    "barcode-wrong": "{digits} is no right barcode: its check digit is wrong. Type or scan it again.",
    "guide-name": "What is the food called?",
    "guide-law": "Which law does the label of {food} follow?",
    "guide-amount": "What are the figures of {food} for? Type the serving with its grams or "
    'millilitres, or "per 100 g" or "per 100 ml".',
    "guide-carbohydrate": "How many grams of carbohydrate does that have? Type the whole figure, not "
    "the sugars.",
    "guide-fibre": 'How many grams of fibre? Type "skip" if the label does not say.',
    "guide-pack": 'How many servings are in the pack? Type "skip" if the label does not say.',
    "choice-law": "{region}.",
    "check-salt": "The label states {stated} of salt. From its sodium it should be {range}.",
    "ask-label-check": "The figures of {food} do not fit together. One may be copied wrongly. Compare "
    "with the pack. Save it as typed?",
    "label-kept-doubted": "The carbohydrate or fibre is among them, so no dose will be worked out from this food.",
    "food-fast": "{food} is told when your glucose is low.",
    "food-not-fast": "{food} is no longer told when your glucose is low.",
    "fast-unknown": "The label of {food} does not tell how much of it has 15 grams of fast carbohydrate. Nothing was changed.",
    "label-kept-unchecked": "Saved although its figures do not fit together. Each count from it will "
    "say so.",
    "avoid-hit": "{food} names {word}, which you avoid.",
    "food-failed-check": "The label of {food} was saved although its figures do not fit together.",
    "explained": "The label of {food}, explained.",
    "explain-one-serving": "The pack is one serving.",
    "explain-pack": "The pack is more than one serving. With {servings} of {one} it has {whole} of "
    "carbohydrate in all.",
    "explain-dv": "{reference} has {amount} of {nutrient}, {percent} of the daily value: {level}.",
    "explain-intake": "{reference} has {amount} of {nutrient}, {percent} of an adult's reference "
    "intake: {level}.",
    "explain-counted": "By your way of counting, {reference} counts {counted}.",
    "explain-first": "By weight, most of it is {first}.",
    "explain-polyols": "Sugar alcohols among the ingredients: {words}.",
    "explain-hidden-polyols": "The ingredients name {words}, but the table has no line for sugar "
    "alcohol. How much is not known.",
    "explain-fast": "Near the front of the ingredients: {words}. Glucose may rise fast. This is a "
    "hint, not a promise.",
    "explain-slow": "Its fibre or fat may slow the rise of glucose. This is a hint, not a promise.",
    "label-claim": "{claim} is a claim on the pack. It is not used for counting.",
    "label-doubt": "The label of {food} has places that I cannot read.",
    "label-no-carbohydrate": "I found no carbohydrate figure for {food}. Nothing was saved. Type the "
    "label with it.",
    "label-columns": "The label of {food} has more than one column of a kind. Type the one to count "
    "from.",
    "label-no-basis": 'It is not clear what the carbohydrate of {food} is for. Say "serving ... g" or '
    '"per 100 g". Nothing was saved.',
    "label-part-over-whole": "The label of {food} has more {part} than {whole}. One of them was "
    "copied wrongly. Nothing was saved.",
    "label-over-hundred": "The label of {food} has more {part} than the amount it is for weighs. "
    "Nothing was saved.",
    "ask-label": "Type or paste the label of {food}. Say which law it follows, such as US label or EU "
    "label.",
    "ask-label-name": "That is a label. What is the food called?",
    "ask-label-name-title": "That is a label. What is the food called? The first line says {title}.",
    "ask-label-doubts": "Nothing was saved for {food} yet. Type the label again with these places "
    "put right.",
    "label-measure-apart": "{said} is no part of the label. Once the food is saved, type {sentence}.",
    "ask-label-order": "On the label of {food} each figure stands before its name. Is it meant like this: {said}?",
    "ask-label-unread": "On the label of {food} I did not understand {unread}. Save it without?",
    "ask-label-nothing": "I could not read a label for {food} in {unread}. Nothing was saved.",
    "ask-region": "Which law does the label of {food} follow? It decides whether fibre is inside the "
    "carbohydrate.",
    "ask-replace": "{food} is in the library already. Save this as its new label?",
    "alias-saved": "{food} is now also called {alias}.",
    "alias-known": "{food} is called {alias} already.",
    "alias-taken": "{alias} already means {food}. Nothing was changed.",
    "measure-saved": "Saved for {food}: {count} is {amount}.",
    "measure-unreadable": "Type one measure of one food and its weight.",
    "name-no-letters": "{said} is no name for a food.",
    "name-too-long": "{said} is too long for a name.",
    "foods": "{count} in the library: {foods}.",
    "no-foods": "The library is empty.",
    "foods-like": "{count} with a name like {said}.",
    "no-foods-like": "No food is like {said}.",
    "how-much": "For {counted}, the amount of {food} is {amount}.",
    "how-much-rounded": "For {counted}, the nearest amount of {food} is {amount}. It counts {got}.",
    "how-much-working": "{reference} counts || {one}.\n{counted} divided by {one} |is| {times}.",
    "how-much-none": "The label of {food} gives nothing to count from.",
    "policy-first": "First say how you count carbohydrate.",
    "compare": "{amount} of {food} counts {counted}, range {range}.",
    "compare-none": "{first} and {second} cannot be compared on the same amount by their labels.",
}

_DOUBTS = {
    "doubt-comma": "{said}: the comma could be a decimal point or not.",
    "doubt-comma-readings": "{said} could be {readings}.",
    "doubt-ocr": "{said} looks like a slip in copying.",
    "doubt-ocr-readings": "{said} looks like a slip in copying. It could be {readings}.",
    "doubt-order": "{said}: it is not clear which figure belongs to which name.",
    "doubt-order-readings": "{said}: it is not clear which figure belongs to which name. It could be {readings}.",
    "doubt-name": "{said}: it is not clear which nutrient that is.",
    "doubt-name-readings": "{said}: it is not clear which nutrient that is. It could be {readings}.",
    "doubt-fraction": "{said} is a fraction that I cannot be sure of.",
    "doubt-fraction-readings": "{said} is a fraction that I cannot be sure of. It could be {readings}.",
    "doubt-number": "{said} is no clear figure.",
    "doubt-number-readings": "{said} is no clear figure. It could be {readings}.",
    "doubt-huge": "{said} is too large to be right.",
    "doubt-huge-readings": "{said} is too large to be right. It could be {readings}.",
    "doubt-range": "{said} is a range.",
    "doubt-range-readings": "{said} is a range. It could be {readings}.",
    "doubt-serving": "{said}: the serving is not clear.",
    "doubt-serving-readings": "{said}: the serving is not clear. It could be {readings}.",
    "doubt-servings": "{said}: how many servings is not clear.",
    "doubt-servings-readings": "{said}: how many servings is not clear. It could be {readings}.",
    "doubt-no-figure": "{said} has no figure.",
    "doubt-no-figure-readings": "{said} has no figure. It could be {readings}.",
    "doubt-apart": "{said}: is the end of that one number or two? A blank stands in it.",
    "doubt-apart-readings": "{said}: is the end of that one number or two? It could be {readings}.",
    "doubt-no-unit": "{said} has no unit.",
    "doubt-no-unit-readings": "{said} has no unit. It could be {readings}.",
    "doubt-twice": "{said} is stated more than once, with different figures.",
    "doubt-twice-readings": "{said} is stated more than once, with different figures. It could be {readings}.",
    "doubt-two-labels": "{said}: that holds two labels. Paste one at a time.",
    "doubt-two-labels-readings": "{said}: that holds two labels. Paste one at a time. It could be {readings}.",
    "doubt-unit": "{said} has a unit that does not fit.",
    "doubt-unit-readings": "{said} has a unit that does not fit. It could be {readings}.",
    "doubt-negative": "{said} is below zero.",
    "doubt-negative-readings": "{said} is below zero. It could be {readings}.",
    "doubt-columns": "{said}: the columns and the figures do not match.",
    "doubt-columns-readings": "{said}: the columns and the figures do not match. It could be {readings}.",
    "doubt-per": "{said}: it is not said what the figures are for, a serving or 100 grams.",
    "doubt-per-readings": "{said}: it is not said what the figures are for, a serving or 100 grams. It could be {readings}.",
    "doubt-region": "{said}: the label says one law and looks like another.",
    "doubt-region-readings": "{said}: the label says one law and looks like another. It could be {readings}.",
    "doubt-barcode": "{said} is no right barcode: its check digit is wrong.",
    "doubt-barcode-readings": "{said} is no right barcode: its check digit is wrong. It could be {readings}.",
    "doubt-too-long": "{said} begins a text that is too long for one label.",
    "doubt-too-long-readings": "{said} begins a text that is too long for one label. It could be {readings}.",
}

_SETTINGS = {
    "set-ratio": "Ratio: {value}, all day.",
    "set-ratio-from": "Ratio from {start} until {until}: {value}.",
    "set-factor": "Correction factor: {value}, all day.",
    "set-factor-from": "Correction factor from {start} until {until}: {value}.",
    "set-target": "Target: {value}, all day.",
    "set-target-from": "Target from {start} until {until}: {value}.",
    "set-duration": "Your insulin lasts {value}.",
    "set-active_shape-line": "Active insulin falls in a straight line over the time that your insulin "
    "lasts: half is left at the middle, none at the end.",
    "set-active_shape-curve": "Active insulin follows the two-compartment curve of Hovorka and others, "
    "2004. 5 percent is left after the time that your insulin lasts, and it counts on for twice that time.",
    "set-max_reduction": "Reductions that you ask for may take off up to {value}.",
    "set-reading_age": "A reading counts for {value}.",
    "set-ask_range": "I ask you when the range of a count is wider than {value} of it.",
    "too-large-max_reduction": "A reduction of {value} would leave no insulin. Nothing was changed.",
    "too-large-ask_range": "{value} would never be asked about. Nothing was changed.",
    "too-large-reading_age": "A reading cannot count for {value}. Nothing was changed.",
    "clock-settled": "Your times of day go by the clock at {offset}. On it the time is now {moment}.",
    "clock-unknown": "None of your times of day was set on that clock. Known are {known}. Nothing was "
    "changed.",
    "limit-raised": "This allows more than before. Your next three doses will remind you.",
    "suggestion-before-setting": "The open suggestion of {units} at {moment} did not know of this. Say what "
    "became of it, and type the meal again if it was not taken.",
    "set-active-correction": "Active insulin comes off the correction only.",
    "set-active-whole": "Active insulin comes off the whole dose.",
    "set-pen-step": "Your pen goes in steps of {step}.",
    "set-rounding-down": "Doses are rounded down.",
    "set-rounding-nearest": "Doses are rounded to the nearest step, a tie down.",
    "set-cap_dose": "Cap: never more than {value} at once. A dose above it is refused.",
    "set-cap_window": "Cap: never more than {value} in {hours}. A dose above it is refused.",
    "set-cap_meal": "Cap: no dose for a meal above {value} of carbohydrate.",
    "set-policy-net": "Counting net carbohydrate: fibre is taken off where the label has it inside, "
    "and half of sugar alcohol.",
    "set-policy-total": "Counting total carbohydrate: all of it.",
    "set-policy-fibre-over-5": "Counting with fibre over 5 grams halved, where the label has it "
    "inside.",
    "set-glucose-unit": "Your glucose is in {unit}.",
    "set-kitchen": "Your {unit} holds {value}.",
    "set-couple": "A couple means {number}.",
    "couple-unusual": "A couple is two, or close to it. Type the number you mean.",
    "couple-is": "{said} is {number}, as you said.",
    "kitchen-not-own": "I know {said} as a measure of its own. I keep what your cup, spoon, bowl or mug "
    "holds.",
    "set-polyol": "Of {name}, {share} counts as carbohydrate under net counting.",
    "set-avoid": "You avoid {words}. Foods whose label names them are told. A label that was typed "
    "without its ingredients cannot be checked.",
    "set-avoid-none": "You avoid nothing now.",
    "polyol-over": "More than all of it cannot count. Nothing was changed.",
    "numbers-missing": "Still missing for a dose: {missing}.",
}

_EVENTS = {
    "dose-logged": "Logged: {units} taken at {moment}.",
    "dose-differs": "The suggestion was {units}. It is closed.",
    "dose-ten-times": "That is ten times away from the suggestion of {units}. If it is a slip, type "
    '"undo". If it was taken, ask your care team or emergency help what to do.',
    "dose-settings-changed": "Your numbers changed after the suggestion of {units} was made.",
    "ask-dose-right": "It is logged already. Was it really {units}?",
    "dose-stays": "The dose stays in the journal: {units} at {moment}.",
    "dose-check-expired": "Your question about {said} is closed. That dose is in the journal. Do not type "
    "it again.",
    "clock-right": "Noted: the clock is right, and it is {moment}. Later entries in the journal were made "
    "with a wrong clock. Their doses still count as active.",
    "dose-over-cap": "That is over your cap of {cap} at once. It is logged, since it is in the body. "
    "Watch your glucose and ask your care team.",
    "dose-before-suggestion": "That was before the suggestion of {units}, which did not know of it. "
    "The suggestion is dropped. Type the meal again.",
    "not-taken": "Logged as not taken: the suggested {units}.",
    "no-open-suggestion": "No suggestion is open.",
    "suggestion-cancelled": "Dropped the suggestion of {units}. Its meal, {said}, no longer counts. If you eat it, "
    "type it again.",
    "dose-dropped": "No insulin was logged for that. If it was taken, type it before the next dose.",
    "suggestion-stays": "The suggestion is still open. Nothing was changed.",
    "ask-drop-suggestion": "Nothing else is open. The suggestion of {units} at {moment}, for {said}, is. What "
    "became of it?",
    "choice-took-units": "I took {units}.",
    "choice-not-taken": "Not taken. The meal still counts.",
    "choice-drop": "Drop it. The meal does not count.",
    "nothing-open": "Nothing is open.",
    "glucose-logged": "Logged: glucose {glucose} at {moment}.",
    "glucose-is-low": "Glucose {glucose} is low. Treat the low first.",
    "undone": "Taken back: {said}, typed at {moment}.",
    "undone-meal": "The meal {said} no longer counts.",
    "undone-suggestion": "The suggestion of {units} is gone.",
    "undone-closing": "A suggestion that this had closed is open again.",
    "undone-glucose": "The reading {glucose} is gone.",
    "undone-alias": "{alias} is no other name of a food any more.",
    "undone-food": "The label of {food} is as it was before.",
    "undone-measure": "The measure {unit} is as it was before.",
    "undone-forgetting": "The food is back in the library.",
    "setting-not-undone": "{said} is a setting, and settings are not taken back. To change it, type it "
    "again with the right figure. Nothing was taken back.",
    "setting-holds-now": "What holds now is {said}.",
    "setting-stays": "The setting {said} stays. To change it, type it again with the right figure.",
    "suggested-then": "The dose suggested then was {units}. That suggestion is closed.",
    "undone-dose": "{units} no longer counts as active. If it was taken after all, type it again.",
    "nothing-to-undo": "There is nothing to take back. Settings are changed by typing them again.",
    "nothing-to-explain": "Nothing was counted yet.",
    "why": "This is how {said} was worked out at {moment}.",
    "active-total": "Active insulin now: {total}.",
    "active-none": "No insulin is active, as far as the journal knows.",
    "active-no-duration": "I do not know how long your insulin lasts, so I cannot say what is active.",
    "active-line": "The line runs over {hours}. It counts only what you logged.",
    "active-curve": "The curve is for {hours}. It counts only what you logged.",
    "active-no-shape": "I do not know how active insulin falls over time, so I cannot say what is active. "
    "Choose with your care team.",
    "today": "Today: {meals}, {counted} counted, {units} taken.",
    "today-nothing": "Nothing is logged today.",
    "today-meal": "At {moment}: {counted} from {said}.",
    "today-dose": "At {moment}: {units} taken.",
    "today-glucose": "At {moment}: glucose {glucose}.",
    "today-low-felt": "At {moment}: a low was felt, or the meter showed one without a figure.",
    "today-high": "At {moment}: the meter showed a high without a figure.",
    "today-refused": "At {moment}: no dose suggested for {said}.",
    "failed-turn": "Something went wrong inside the program. No dose is given, and what you typed is "
    "kept. Please report this.",
    "failed-not-kept": "Something went wrong inside the program, and what you typed could not be "
    "kept. No dose is given.",
}

_HELP = {
    "help-1": 'Type a meal: "1.5 servings of the oat cereal plus 200 ml milk, glucose 162".',
    "help-2": 'Type a label: "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, '
    'carbohydrate 27 g, fibre 6 g". You can also paste one.',
    "help-3": 'Type what happened: "took 4 units", "not taken", "glucose 143 at 12:40".',
    "help-4": 'Ask: "why", "what is active now", "today", "how much rice is 45 g", "compare '
    'rice and bread", "what is net carbohydrate".',
    "help-5": 'See and change: "show my numbers", "foods", "show oat cereal", "undo".',
    "help-6": 'Drop what is open: "cancel".',
    "help-7": 'More: "help meals", "help labels", "help numbers", "help recipes", "help chat".',
    "help-8": "I suggest and never decide. Your care team's word comes first.",
    "help-figures": "Foods and figures in these examples only show the form. Type your own.",
    "help-labels-1": "Say which law the label follows: US, Canadian, EU, UK, Australian, New Zealand "
    "or Japanese label. It decides whether fibre is inside the carbohydrate.",
    "help-labels-2": 'US: "new food oat cereal: US label, serving 1/2 cup (40 g), 9 servings, '
    'carbohydrate 27 g, fibre 6 g".',
    "help-labels-3": 'EU: "new food milk: EU label, per 100 ml: carbohydrate 4.8 g, fibre 0 g".',
    "help-labels-4": 'A measure of your own: "1 slice of rye bread weighs 35 g".',
    "help-labels-5": 'Another name: "oat cereal is also called morning oats".',
    "help-labels-7": 'Line by line: "guide me through a label". Explained: "explain the label of oat '
    'cereal".',
    "help-labels-8": 'What you avoid: "I avoid milk and peanuts". A sugar alcohol by name: "erythritol '
    'counts as zero".',
    "help-labels-6": 'A changed label: "new label for oat cereal: ...". Leave it: "forget oat '
    'cereal".',
    "help-numbers-1": "All numbers come from your care team. None is set until you type it.",
    "help-numbers-2": '"my ratio is 1 unit per 10 g from 06:00 and 1 per 12 g from 11:00".',
    "help-numbers-3": '"correction factor 45 mg/dL per unit" or "correction factor 2.5 mmol/L per '
    'unit".',
    "help-numbers-4": '"target 110 mg/dL" or "target 6 mmol/L".',
    "help-numbers-5": '"my insulin lasts 4 hours".',
    "help-numbers-12": "These figures only show the form. Type your own.",
    "help-numbers-10": '"active insulin falls in a straight line" or "active insulin follows the '
    'two-compartment curve".',
    "help-numbers-11": 'If you want: "reductions up to 50%", "a reading counts for 15 minutes", "ask me '
    'when the range is wider than 20%".',
    "help-numbers-6": '"active insulin comes off the correction only" or "active insulin comes off '
    'the whole dose".',
    "help-numbers-7": '"my pen goes in half units, round down".',
    "help-numbers-8": '"never more than 8 units at once" and "never more than 15 units in 4 '
    'hours".',
    "help-numbers-9": '"count net carbohydrate", "count total carbohydrate" or "count fibre over '
    '5 g halved".',
    "term-serving": "A serving is the amount that a label's figures are for. A pack often holds more "
    "than one (21 CFR 101.9(b) in the US).",
    "term-total": "Total carbohydrate on a US label is what is left after protein, fat, water and "
    "ash. Fibre, sugars and sugar alcohols are inside it (21 CFR 101.9(c)(6)).",
    "term-net": "Net carbohydrate is carbohydrate less fibre and some of the sugar alcohol. No law "
    "defines it. On EU, UK, Australian and New Zealand labels fibre is already outside, so none is "
    "taken off again.",
    "term-fibre": "Fibre is carbohydrate that is hardly digested. It is inside the carbohydrate "
    "figure on US, Canadian and Japanese labels, and outside it in the EU, UK, Australia and New "
    "Zealand (EU food information regulation of 2011, Annex I).",
    "term-polyols": "Sugar alcohols raise glucose less than sugar, and each kind differs. Counting "
    "half of them is common teaching (UCSF Diabetes Teaching Center).",
    "term-daily-value": "The percent daily value compares a serving with a day of an adult. 5 percent "
    "or less is low, 20 percent or more is high (FDA).",
    "term-ratio": "The insulin-to-carb ratio says how many grams of carbohydrate 1 unit covers. Your "
    "care team sets it.",
    "term-factor": "The correction factor says how far 1 unit is expected to lower glucose. Your care "
    "team sets it.",
    "term-active": "Active insulin is what earlier doses still have to do. It falls over the "
    "time that you set, in a straight line or on the two-compartment curve, as you chose.",
    "term-target": "The target is the glucose that a correction aims at. Your care team sets it.",
}

_READING = {
    "word-amount": "{said} is an amount.",
    "word-measure": "{said} is a measure.",
    "word-food": "{said} belongs to the name of a food.",
    "word-link": "{said} links words.",
    "word-joiner": "{said} joins foods, or is part of a name.",
    "word-courtesy": "{said} is courtesy.",
    "word-glucose": "{said} is a glucose reading.",
    "word-no-reading": "{said} says that there is no reading.",
    "word-about": "{said} makes the amount less sure.",
    "word-bound": "{said} makes the amount unclear.",
    "word-time": "{said} is a time.",
    "word-meal": "{said} names the meal.",
    "word-less-insulin": "{said} is how much less insulin.",
    "word-activity": "{said} tells of exercise.",
    "word-illness": "{said} tells of illness.",
    "word-change": "{said} changes the last meal.",
    "word-count-only": "{said} asks for a count and no dose.",
    "word-confirmed": "{said} confirms an amount.",
    "read-open": "{said} is not complete: it needs an amount and a food.",
}

MARKED: Mapping[str, str] = {
    **_PHRASES,
    **_COUNTING,
    **_DOSE,
    **_QUESTIONS,
    **_FOODS,
    **_DOUBTS,
    **_SETTINGS,
    **_EVENTS,
    **_HELP,
    **_READING,
    **HURRIED_TEXTS,
    **KITCHEN_TEXTS,
    **TALK_TEXTS,
    **IMPORT_TEXTS,
    **SHELL_TEXTS,
    **LEARNING_TEXTS,
    **SESSION_TEXTS,
    **REPORT_TEXTS,
}
"""With the marks for working on paper (see paper.py): a line break ends a row, and an argument
behind "|words|" is the row's result, which stands in a column instead of those words."""


def without_marks(text: str) -> str:
    """The plain sentence: "{a} |is| {b}." is "{a} is {b}."; an empty mark leaves nothing."""
    return text.replace(" ||", "").replace("|", "").replace("\n", " ")


TEXTS: Mapping[str, str] = {code: without_marks(text) for code, text in MARKED.items()}

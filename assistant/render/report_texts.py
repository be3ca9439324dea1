"""Sentences on looking back, on importing readings and of the visit's report; see texts.py."""

from collections.abc import Mapping

_NAMES = {
    "meal-breakfast": "breakfast",
    "meal-lunch": "lunch",
    "meal-dinner": "dinner",
    "meal-night": "meals at night",
    "meal-brunch": "brunch",
    "meal-snack": "snacks",
    "meal-any": "meals",
    "time-breakfast": "from 04:00 to 11:00",
    "time-lunch": "from 11:00 to 16:00",
    "time-dinner": "from 16:00 to 22:00",
    "time-night": "from 22:00 to 04:00",
}

_LOOKBACK = {
    "lookback-misread-after": "I do not know which time {said} is. Type it once more.",
    "lookback-misread-glucose": "I do not know which time {said} is. Type it once more.",
    "lookback-misread-report": "I do not know which days {said} are. Type it once more.",
    "period-too-long": "I look back on 1 to 366 days at a time. Choose fewer days.",
    "period-to-come": "Those days are still to come. Choose days that have been.",
    "period-backwards": "The last day is before the first one. Type it once more.",
    "period-until-today": "The days after {last} are still to come, so this ends there.",
    # Glucose
    "glucose-none": "There are no readings from {first} to {last}.",
    "glucose-span": "From {first} to {last} there are {count}, on {days} of {all}.",
    "glucose-mean": "The mean is {mean}. The readings go from the lowest to the highest: {range}.",
    "glucose-sd": "The standard deviation is {sd}. The coefficient of variation is {cv}. Up to {limit} is "
    "called stable in the international consensus, which speaks of sensors.",
    "glucose-band-below": "Below {edges}: {count} of {total} readings, {share}.",
    "glucose-band-from": "From {edges}: {count} of {total} readings, {share}.",
    "glucose-band-above": "Above {edges}: {count} of {total} readings, {share}.",
    "glucose-not-time": "These are shares of readings, not of time. Readings from the finger are not evenly "
    "spaced, so they cannot tell how long glucose was in a band.",
    "few-readings": "That is only {count}. So few can look like a pattern by chance.",
    "few-meals": "That is only {count}. So few can look like a pattern by chance.",
    "lows-none": "No low was logged in this time.",
    "lows-count": "Lows in this time: {count}. The newest come first.",
    "lows-more": "And {count} more. The report for the visit has them all.",
    "low-at": "Low: {glucose}, at {clock} on {day}.",
    "low-felt-at": "A low was felt or could not be read for sure, at {clock} on {day}.",
    "low-after-meal": "{ago} before it: a meal of {counted}.",
    "low-after-dose": "{ago} before it: {units} of insulin.",
    "low-after-reading": "{ago} before it: a reading of {glucose}.",
    "low-after-nothing": "Nothing was logged in the 6 hours before it.",
    # After meals
    "after-none": "No {what} was counted from {first} to {last}.",
    "after-not-measured": "From {first} to {last} there are {meals} of this kind ({what}). None has a reading "
    "at its start and one 2 hours later, so there is no rise to tell.",
    "after-how": "Type a reading as you begin to eat, and one 2 hours later.",
    "after-mean": "After {what}, glucose rose by a mean of {rise} in 2 hours. That is over {meals}, from {first} "
    "to {last}. The rises go from the lowest to the highest: {range}.",
    "after-mean-fall": "After {what}, glucose fell by a mean of {rise} in 2 hours. That is over {meals}, from "
    "{first} to {last}. The changes go from the lowest to the highest: {range}.",
    "after-one": "After {what}, glucose rose by {rise} in 2 hours. That is one meal only: {meals}, from {first} "
    "to {last}.",
    "after-one-fall": "After {what}, glucose fell by {rise} in 2 hours. That is one meal only: {meals}, from "
    "{first} to {last}.",
    "after-rise": "After {what}: a mean change of {rise} in 2 hours, over {meals}. The changes go from {range}.",
    "after-rise-one": "After {what}: a change of {rise} in 2 hours, over {meals}.",
    "after-start": "At the start the mean is {mean} over {meals}. From the lowest to the highest: {range}.",
    "after-two": "At 2 hours the mean is {mean} over {meals}. From the lowest to the highest: {range}.",
    "after-four": "At 4 hours the mean is {mean} over {meals}. From the lowest to the highest: {range}.",
    "after-rise-sd": "The standard deviation of the rises is {sd}.",
    "after-bands": "The readings at 2 hours by band:",
    "after-pair": "At {clock} on {day}, {counted} from {said}: {start}, then {two}. Up by {rise}.",
    "after-pair-fall": "At {clock} on {day}, {counted} from {said}: {start}, then {two}. Down by {rise}.",
    "after-more": "{count} more are in the report for the visit.",
    "after-close": "Left out: {count}, since another meal or a dose of its own time is less than 4 hours away.",
    "after-unmeasured": "Left out: {count}, since no reading fits the start or the 2 hours.",
    "after-other-foods": "These meals held other foods too, so this is not about one food alone.",
    "after-rules": "The start is a reading from 15 minutes before to 5 minutes after the meal was said. The 2 and "
    "4 hours may be half an hour off.",
    "after-facts-only": "These are facts and no cause. Show them to your care team before you change a number.",
    # Patterns
    "pattern-lows": "Lows came on {days} {part}.",
    "pattern-high": "After {what}, {count} of {total} readings at 2 hours are above the range.",
    "pattern-care": "Take this to your care team. I change no setting and name no other ratio.",
    # The visit
    "report-nothing": "Nothing was logged from {first} to {last}, so there is no report.",
    "report-written": "The whole report is in this file: {file}.",
    "report-not-written": "The report could not be written: {why}.",
    "visit-span": "Report from {first} to {last}. There are entries on {days} of {all}.",
    "visit-typed": "The person typed or imported all of this. It is no record of a medical device, and nobody "
    "checked it. Check what matters before you act on it.",
    "visit-glucose": "Glucose: {count} on {days}. The mean is {mean}. From the lowest to the highest: {range}.",
    "visit-cv": "The standard deviation is {sd}. The coefficient of variation is {cv}.",
    "visit-no-readings": "No glucose reading was logged.",
    "visit-meals": "Meals: {meals} on {days}, with {counted} of carbohydrate in all. A day with meals has {mean} "
    "in the mean.",
    "visit-by-meal": "For {what}: {meals}, with a mean of {mean} each.",
    "visit-no-meals": "No meal was counted.",
    "visit-doses": "Insulin: {doses}, {units} in all, on {days}. A day with doses has {mean} in the mean.",
    "visit-no-doses": "No dose was logged.",
    "visit-refused": "The program refused a suggestion: {count}.",
    "visit-refused-by": "By the rule {rule}: {count}.",
    "visit-declined": "Suggested and not taken: {count}.",
    "visit-changes": "Numbers that were set or changed in this time: {count}.",
    "missing-days": "Without any entry: {days}.",
    "missing-readings": "No reading fits the start or the 2 hours of {count}.",
    "missing-refused": "A meal whose dose was refused is not in the counts, unless it was typed again.",
    "missing-unsettled": "It is not known whether the {units} suggested at {clock} on {day} was taken.",
    "missing-gap": "The record was put back from a backup or begun anew, so entries may be missing.",
    "missing-basal": "Long-acting insulin is not part of this record, nor is anything that was not typed.",
}

_IMPORT = {
    "import-done": "Imported: {count}.",
    "import-nothing": "No new reading was imported.",
    "import-known": "Already in the record, so not added again: {count}.",
    "import-twice": "Said twice in the file, so taken once: {count}.",
    "import-unused": "These columns are not used: {columns}.",
    "import-low": "The file has a low: {glucose} at {moment}. It counts like one that you type.",
    "import-maybe-low": "A line that was left out may be a low of the last day. No dose is suggested until you "
    "type a new reading.",
    "import-left-out": "Left out: {lines}. Nothing was converted or guessed.",
    "import-left": "Line {line}, {said}: {why}.",
    "import-left-more": "And {count} more. The option --json lists them all.",
    "import-left-next": "Correct those lines and import the file again. What is there already is not added twice.",
    "import-offset": "Some times have no offset. State it for the whole file, such as --offset +01:00.",
    "import-not-now": "Imported readings never stand for the reading of now. Type that one with your meal.",
    "undone-import": "The import of {file} is taken back: {count}.",
    "left-columns": "it has not as many columns as the header",
    "left-no-time": "the time is missing",
    "left-time-unread": "the time is not one that can be read",
    "left-no-offset": "the time has no offset",
    "left-to-come": "the time is still to come",
    "left-no-value": "the value is missing",
    "left-value-unread": "the value is no plain figure",
    "left-value-comma": "the value has a comma, which can be read in two ways",
    "left-word-low": "the meter showed a low without a figure",
    "left-word-high": "the meter showed a high without a figure",
    "left-no-unit": "the unit is missing",
    "left-unit-unread": "the unit is neither mg/dL nor mmol/L",
    "left-other-unit": "no meter shows this figure in this unit, and one would in the other",
    "left-implausible": "no meter shows this figure",
    "left-contradicts": "the file has another figure at this time",
    "left-contradicts-record": "the record has another figure at this time",
}

REPORT_TEXTS: Mapping[str, str] = {**_NAMES, **_LOOKBACK, **_IMPORT}

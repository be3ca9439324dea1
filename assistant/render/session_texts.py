"""Sentences on saved sessions: saving, sharing, replay, handouts; see texts.py."""

from collections.abc import Mapping

SESSION_TEXTS: Mapping[str, str] = {
    # Saving
    "saved": "Saved: {turns} of this talk, as {name}.",
    "saved-from": "The first was said at {first}, the last at {last}.",
    "saved-replay": "To see it again, leave the chat and type at the shell: {typed}.",
    "saved-inside": "The file holds the numbers, foods and doses that the answers need.",
    "saved-differ": "Of these answers {count} cannot be made again today. The first is turn {turn} "
    "of the file. The file holds each answer as it was given.",
    "save-no-name": "What shall the saved talk be called? Nothing is saved yet.",
    "save-odd-name": "{said} cannot be the name of a file. A name has letters, digits, spaces and "
    "hyphens, and no more than 60 of them. Nothing is saved yet.",
    "save-taken": "There is a saved talk {name} already. It stays as it is. Choose another name.",
    "save-nothing": "Nothing was said in that time. Nothing is saved.",
    "save-no-session": "This run has no talk before this sentence. Say which time is meant. "
    "Nothing is saved yet.",
    "save-misread": "{said} is not understood here. Nothing is saved yet.",
    "save-bad-time": "{said} is no day or time that there is. Nothing is saved yet.",
    "save-backwards": "The end is not after the start. Nothing is saved yet.",
    "save-cannot": "The file cannot be written: {why}. Nothing is saved.",
    "save-too-many": "That is {turns}. A file holds at most {limit}. Choose a shorter time.",
    # Sharing
    "share-ask": "These words may be names of people or places: {words}. Nothing is saved yet.",
    "share-ask-how": 'Type the sentence again. Put names that must go behind "without", and words '
    'that may stay behind "keeping".',
    "share-removed-words": "Gone from the file: {words}. Other words stand for them.",
    "share-removed-barcodes": "Gone from the file: {count}.",
    "share-removed-notes": "Gone from the file: where each food's figures came from.",
    "share-moved": "All times are moved by the same span, which the file does not tell. Times of "
    "day and weekdays stay.",
    "share-clock": "The clock's offset is gone: the file's clock is at 00:00 from UTC.",
    "share-clock-kept": "The clock changes in this talk, so its offsets stay in the file. They can "
    "tell where someone was.",
    "share-kept": "Kept: counts, glucose, doses and the numbers from the care team.",
    "share-foods": "Names of foods stay: {foods}.",
    "share-read": "Names in small letters cannot be told from foods. Read the file before you "
    "pass it on.",
    "share-checked": "The file was searched for all that had to go. None of it was found.",
    "share-left": "Still in the file: {words}. Nothing is saved.",
    "share-differs": "With these changes turn {turn} would be answered otherwise: {said}. Nothing "
    "is saved. Leave that turn out, or choose another word for it.",
    "share-word-not-there": "{word} is not in this talk. Check its spelling. Nothing is saved yet.",
    "share-bad-word": "{word} cannot stand for a name. Use one word of letters. Nothing is saved "
    "yet.",
    # Replay
    "replay-of": "Replay of: {title}.",
    "replay-teaches": "What it shows: {teaches}.",
    "replay-shared": "Changed for sharing: {what}.",
    "replay-caution": "This is a replay of what was said then. It is no advice. Do not dose from it.",
    "replay-turn": "Replay, not advice. Turn {number}, at {moment}.",
    "replay-said": "Said: {said}",
    "replay-now-differs": "The program would answer otherwise now. This is the answer of then.",
    "replay-end": "End of the replay: {turns}.",
    "replay-note": "{note}.",
    "shell-replay-words": "Said:",
    "shell-replay-prompt": "Replay: ",
    "replay-keys": 'Enter shows the next turn. Or type: back, go to 5, why, play, stop. "help" '
    "tells more.",
    "replay-keys-help": 'Enter or "next": the next turn. "back": the turn before. "go to 5": turn '
    '5. "why": the working of the last answer. "again": the same turn once more. "play": goes on '
    'by itself; Enter stops that. "stop": ends the replay.',
    "replay-unknown": "{said} is not known here.",
    "replay-no-turn": "There is no turn {number}. The file has {turns} so far as it was read.",
    "replay-at-start": "This is the first turn.",
    "replay-at-end": "That was the last turn.",
    "replay-playing": "Playing. Press Enter to pause.",
    "replay-paused": "Paused.",
    "replay-stopped": "Replay ended at turn {number}.",
    "replay-why": "Replay, not advice. The last working, as asked after turn {number}:",
    "replay-old-file": "The file is of an older form. It holds only some figures of each answer.",
    # Verifying
    "verify-same": "Verified: all {turns} give the same answers as in the file.",
    "verify-old": "The file is of an older form: only the figures in it were compared.",
    "verify-differs": "Turn {number} at {moment} differs. It says: {said}",
    "verify-part": "{key}. In the file: {was}. Now: {now}.",
    "verify-nothing": "nothing",
    "verify-before": "The turns before it are the same: {turns}.",
    # Files that cannot be read
    "damage-empty": "The file {file} is empty.",
    "damage-not-session": "The file {file} is no session of this program.",
    "damage-later-version": "The file {file} is of a later version ({detail}) of the session form. "
    "This program reads up to version {version}.",
    "damage-bad-line": "Line {line} of the file cannot be read: {detail}. All before it was "
    "replayed.",
    "damage-no-end": "The file ends after line {line} without its end line, so it was cut off. All "
    "before that was replayed.",
    "damage-wrong-count": "The file's end line tells of {detail} turns, but there are others in it.",
    "damage-after-end": "Line {line} stands after the end of the session. It was not replayed.",
    "damage-header": "The header of the file does not fit together: {detail}.",
    "damage-no-file": "There is no file {file}, and no saved talk of that name. {saved}",
    "damage-cannot-read": "The file {file} cannot be read: {detail}.",
    "damage-saved-talks": "Saved talks: {names}.",
    "damage-no-saved-talks": 'To save one, type in the chat: "save this session as breakfast".',
    # Handouts
    "handout-care": "An invented or recorded talk, for teaching. It is no advice. Settle each dose "
    "with your care team.",
    "handout-numbers": "The numbers in this talk",
    "handout-foods": "The foods in this talk",
    "handout-talk": "The talk",
    "handout-turn": "Turn {number}, {moment}",
    "handout-moment": "{moment}",
    "handout-said": "Said",
    "handout-answer": "Answer",
    "handout-working": "Working",
    "handout-made": "Made from a session file. Version {version} of the form.",
    "page-lang": "en",
}

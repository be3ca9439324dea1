"""The few sentences that the shell itself says; every answer comes from the catalogue of texts."""

from types import MappingProxyType

GREETING = "countaloud counts the carbohydrate in what you type and shows its working."
CARE = (
    "Caution: check each figure before you use it, and follow your care team where it says "
    "otherwise."
)
HOW = 'Type a sentence about food, "help" for what can be said, or "bye" to leave.'
PROMPT = "Food or question: "
MORE = "More of the label: "
COLLECTING = 'Go on with the label; an empty line or the word "end" finishes it.'
CLEARED = "Cleared."
STOPPED = 'Stopped. Type "today" to see what was kept.'
GOODBYE = "Goodbye."
SPOKEN_ON = "Spoken mode is on, by {how}."

LEAVING = frozenset({"bye", "quit", "exit"})

NEEDS_OFFSET = (
    "the time given with --at has no offset: write one, such as 2026-03-02T08:00+01:00 "
    "or 2026-03-02T07:00Z"
)
NOT_A_TIME = "the time given with --at is not one that can be read: write 2026-03-02T08:00+01:00"

STORE_PROBLEM = (
    "The data folder could not be used, so nothing was kept. Active insulin is not known, so no "
    "dose is worked out. The folder is {folder}. {detail} {advice} Or choose another folder with "
    "--home."
)
ADVICE = MappingProxyType(
    {
        "newer-version": "Install the latest countaloud.",
        "locked": "Close the other countaloud, then try again.",
        "disk-full": "Make room on the disk, then try again.",
        "corrupt": "The file is left as it is.",
        "journal-damaged": "The file is left as it is.",
        "library-damaged": "Import them again, or move that file away to go on without them.",
        "record-missing": "No new record was begun, since it would know none of your doses.",
        "not-a-folder": "Move that file away.",
    }
)
"""What to do about a problem of the store, by its code."""
GENERAL_ADVICE = "Check that the folder is there and that you may read it and write in it."
OFFER = (
    "The newest backup ends at {last}; what you typed later is not in it. To use it, close every "
    "other countaloud on this folder and type: {restore}. The damaged file is then kept under "
    "another name."
)
OFFER_NONE = "There is no backup that can be used."
OFFER_NOTHING = (
    "To begin a new record, which knows no dose, type: {restore}. What is there is then kept "
    "under another name."
)
RESTORE_ROW = "{name}: {turns} entries, the last at {last}. To use it, type: {restore}"
RESTORE_NONE = "There is no backup that can be used in {folder}."
RESTORE_UNKNOWN = "There is no sound backup called {name} in {folder}. Nothing was changed."
RESTORE_SOUND = (
    "The record is sound, so nothing was changed. Backups can replace a damaged one only."
)
RESTORE_KEPT = "The file that was there is kept as {names}."

EDGE_FAILURE = (
    "countaloud stopped because of a fault of its own ({fault}). No dose was worked out. "
    "Please report it with what you typed."
)

DEMO_INVENTED = (
    "This is the demo: the person, the foods and every number in it are invented. "
    "Never dose from it."
)
DEMO_AGAIN = "To open it again, type: {program} --home {folder}"
DEMO_SEEDED = "This demo folder was filled before, so it opens as it was left."
DEMO_FOREIGN = (
    "The folder {folder} already holds a journal that is not the demo's, so the demo adds nothing "
    "to it. Choose a new folder, or leave out --home."
)
DEMO_FAILED = "The demo could not be set up. This sentence was not understood: {said}"

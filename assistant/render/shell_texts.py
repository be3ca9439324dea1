"""What the shell itself says: the chat's greeting and prompts, the command line; see texts.py."""

from collections.abc import Mapping

SHELL_TEXTS: Mapping[str, str] = {
    # The chat
    "shell-answer-again": "That was long. The answer again:",
    "shell-greeting": "countaloud counts the carbohydrate in what you type and shows its working.",
    "shell-care": "Caution: check each figure before you use it, and follow your care team where it "
    "says otherwise.",
    "shell-first-step": 'Type "set up" to begin, "help" for what can be said, or "bye" to leave.',
    "shell-prompt": "Food or question: ",
    "shell-more": "More of the label: ",
    "shell-collecting": 'Go on with the label; an empty line or the word "end" finishes it.',
    "shell-cleared": "Cleared.",
    "shell-stopped": 'Stopped. Type "today" to see what was kept.',
    "shell-goodbye": "Goodbye.",
    "shell-spoken-on": "Spoken mode is on, by {how}.",
    "shell-spoken-saved": 'your sentence "speak plainly"; "show it for the eye" turns it off',
    # The command line
    "shell-about": "Counts the carbohydrate in a typed sentence about food, shows its working, and "
    "suggests or refuses an insulin dose within the limits set with a care team.",
    "shell-exits": "Exit codes: 0 answered, 3 a question was asked, 4 refused, 2 wrong usage, 1 "
    'failure. With "-" for the text: 0, or 1 if a turn failed.',
    "shell-commands": "Commands",
    "shell-options": "Options",
    "shell-words": "What it takes",
    "shell-usage": "Usage: countaloud {usage}",
    "shell-underscores": "Where the name of a column has blanks here, type underscores.",
    "shell-usage-plain": "countaloud takes a command and options, in any order. Without a command it "
    "opens the chat.",
    "shell-see": 'More on one command: "countaloud help" and its name.',
    "shell-arg-json": "one JSON object a turn",
    "shell-arg-text": 'the sentence; "-" takes one a line from standard input',
    "shell-arg-home": "the data folder; else COUNTALOUD_HOME, else the platform's own",
    "shell-arg-at": "the clock for this run, in ISO 8601 with an offset",
    "shell-arg-spoken": "plain sentences for a screen reader; also COUNTALOUD_SPOKEN, or the sentence "
    '"speak plainly" for good',
    "shell-arg-help": "this help",
    "shell-arg-topic": "a command, or one of: {topics}",
    "shell-arg-shell": "the shell: {shells}",
    "shell-arg-which": "reply, read or session; without it, reply",
    "shell-arg-part": "reading, phrases, start, library, journal or sessions; without it, all of them; sessions-long has 100,000 turns",
    "shell-arg-day": 'a backup by its day, or "nothing" to begin anew; without it, the backups are listed',
    "shell-arg-file": "a session file, or the name of a saved talk",
    "shell-arg-verify": "compares each answer with the one in the file; ends with 1 at the first that differs",
    "shell-arg-step": "one turn at a time, by what is typed or comes from standard input",
    "shell-arg-pace": "goes on by itself after so many seconds; Enter pauses",
    "shell-arg-as": "markdown or html: a handout on standard output",
    "shell-arg-import": "the one thing that can be done with readings so far",
    "shell-arg-readings": "a CSV file; its first line names the columns time, value and unit, and times are in "
    "ISO 8601",
    "shell-arg-offset": "the offset of times that are written without one, such as +01:00",
    "shell-arg-from": "the first day, such as 2026-03-02; without it, 14 days up to the last",
    "shell-arg-to": "the last day; without it, today",
    "shell-arg-report-as": "markdown, html, csv or fhir; without it, markdown",
    "shell-arg-out": "a new file for the report; without it, standard output",
    "shell-not-a-day": "a day is written as 2026-03-02",
    "shell-not-an-offset": "an offset is written as +01:00 or -05:00",
    "shell-not-seconds": "a pace is a number of seconds above 0, at most 3600",
    "shell-cmd-replay": "shows a session file again; never advice, and nothing is kept",
    "shell-cmd-readings": "glucose readings out of a plain CSV file, into the record",
    "shell-cmd-report": "a report of some days for the visit to the care team",
    "shell-cmd-restore": "the backups; with a day, puts one in place of a damaged record",
    "shell-cmd-ask": "the reply to one sentence, which is kept in the journal",
    "shell-cmd-read": "only how the words of a sentence are read; nothing is kept",
    "shell-cmd-demo": "a first look, with an invented person, foods and numbers",
    "shell-cmd-bench": "speeds as ratios, and how many slips on labels are caught",
    "shell-cmd-help": "help on a command or a topic",
    "shell-cmd-schema": "the JSON schema of a reply, or of what read gives",
    "shell-cmd-completion": "a script that completes this command line in your shell",
    "shell-no-topic": "There is no help on {topic}. Topics are: {topics}.",
    "shell-usage-wrong": 'countaloud: {problem}. Type "countaloud help" for help.',
    # What the command line was given
    "shell-needs-offset": "the time given with --at has no offset: write one, such as "
    "2026-03-02T08:00+01:00 or 2026-03-02T07:00Z",
    "shell-not-a-time": "the time given with --at is not one that can be read: write "
    "2026-03-02T08:00+01:00",
    # The data folder
    "shell-store-problem": "The data folder could not be used, so nothing was kept. Active insulin is "
    "not known, so no dose is worked out. The folder is {folder}. {detail} {advice} Or choose another "
    "folder with --home.",
    "shell-advice-newer-version": "Install the latest countaloud.",
    "shell-advice-locked": "Close the other countaloud, then try again.",
    "shell-advice-disk-full": "Make room on the disk, then try again.",
    "shell-advice-corrupt": "The file is left as it is.",
    "shell-advice-journal-damaged": "The file is left as it is.",
    "shell-advice-library-damaged": "Import them again, or move that file away to go on without them.",
    "shell-advice-record-missing": "No new record was begun, since it would know none of your doses.",
    "shell-advice-not-a-folder": "Move that file away.",
    "shell-advice": "Check that the folder is there and that you may read it and write in it.",
    "shell-offer": "The newest backup ends at {last}; what you typed later is not in it. To use it, close "
    "every other countaloud on this folder and type: {restore}. The damaged file is then kept under "
    "another name.",
    "shell-offer-none": "There is no backup that can be used.",
    "shell-offer-nothing": "To begin a new record, which knows no dose, type: {restore}. What is there is "
    "then kept under another name.",
    "shell-restore-row": "{name}: {turns} entries, the last at {last}. To use it, type: {restore}",
    "shell-restore-none": "There is no backup that can be used in {folder}.",
    "shell-restore-unknown": "There is no sound backup called {name} in {folder}. Nothing was changed.",
    "shell-restore-sound": "The record is sound, so nothing was changed. Backups can replace a damaged one "
    "only.",
    "shell-restore-kept": "The file that was there is kept as {names}.",
    "shell-edge-failure": "countaloud stopped because of a fault of its own ({fault}). No dose was "
    "worked out. Please report it with what you typed.",
    # Readings and reports
    "shell-readings-not-there": "The file {file} could not be read: {said}. Nothing was imported.",
    "shell-readings-not-text": "The file {file} is no text in UTF-8. Nothing was imported.",
    "shell-readings-empty": "The file {file} is empty. Nothing was imported.",
    "shell-readings-no-header": "The first line of {file} does not name the columns time, value and unit, each "
    "once. Nothing was imported. The line is: {said}",
    "shell-readings-too-long": "The file {file} is too large. Take it in parts of up to 200,000 lines. Nothing "
    "was imported.",
    "shell-readings-not-csv": "The file {file} is no CSV that can be read ({said}). Nothing was imported.",
    "shell-report-days": "The first day has to be no later than the last one and than today, and at most {most} "
    "days can be told.",
    "shell-readings-many": "Reading {lines} lines. This may take a minute.",
    "shell-report-until-today": "{last} is still to come. The report ends today, {today}.",
    "shell-report-done": "The report is written: {file}.",
    "shell-report-there": "There is a file {file} already, and it stays as it is. Choose another name.",
    "shell-report-failed": "The report could not be written to {file}: {why}.",
    # The demo
    "shell-demo-invented": "This is the demo: the person, the foods and every number in it are "
    "invented. Never dose from it.",
    "shell-demo-again": "To open it again, type: {program} --home {folder}",
    "shell-demo-seeded": "This demo folder was filled before, so it opens as it was left.",
    "shell-demo-foreign": "The folder {folder} already holds a journal that is not the demo's, so "
    "the demo adds nothing to it. Choose a new folder, or leave out --home.",
    "shell-demo-failed": "The demo could not be set up. This sentence was not understood: {said}",
    # Help topics, a line each
    "shell-topic-chat-1": "Without a command, countaloud opens the chat: type a sentence, press "
    "Enter, and the answer comes below.",
    "shell-topic-chat-2": 'Type "set up" for a short talk that sets your numbers, "help" for what '
    'can be said, and "bye" to leave.',
    "shell-topic-chat-3": "Keys: Enter sends. Up and down bring back earlier lines. Control C clears "
    "the line. Control D leaves. Control Z pauses where the shell allows it.",
    "shell-topic-chat-4": "In the sighted chat, foods and sentences are offered as you type; Tab "
    "takes one, and Enter always sends what stands on the line.",
    "shell-topic-chat-5": "A label of many lines can be pasted and is sent whole.",
    "shell-topic-spoken-1": "The spoken form is one sentence a line, in plain words, with nothing "
    "drawn and nothing redrawn. It is made for screen readers.",
    "shell-topic-spoken-2": 'Turn it on for good with the sentence "speak plainly", for one run with '
    "--spoken, or with COUNTALOUD_SPOKEN=1. The first line of the chat says which it was.",
    "shell-topic-spoken-3": "Choices are numbered lines. Long lists stop after 12 lines, and the "
    'word "more" goes on.',
    "shell-topic-spoken-4": '"short answers" leaves out the working, "full working" brings it back, '
    'and "why" tells the last one.',
    "shell-topic-pipes-1": 'With "ask -", one turn a line is read from standard input, and the '
    "replies come in the same order.",
    "shell-topic-pipes-2": "Pipes and files never get colour or a prompt. NO_COLOR turns colour off "
    "in a terminal too; TERM=dumb gives plain lines.",
    "shell-topic-pipes-3": 'With --json each reply is one JSON object on one line. "countaloud '
    'schema" prints the schema.',
    "shell-topic-data-1": "Everything is in one data folder on this machine, which only you can "
    "read. No network connection is opened.",
    "shell-topic-data-2": "Choose it with --home, or COUNTALOUD_HOME; else it is the platform's own "
    "place for data.",
    "shell-topic-data-3": 'What you type is kept for the arrow keys in the file "history", with mode '
    '0600. The sentence "keep no history" removes it and stops that.',
    "shell-topic-exits-1": "0: the turn was answered. 3: a question was asked. 4: a dose was "
    "refused. 2: wrong usage. 1: failure.",
    "shell-topic-exits-2": 'With "ask -" and "read -" the code is 0, or 1 if a turn failed.',
}

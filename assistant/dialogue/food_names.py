"""May unknown words be the name of a food? "new food <a whole sentence>" helps nobody."""

from grammar import patterns
from grammar.words import plain

MOST_WORDS = 6
"""Words of a name; a longer run is a sentence (common practice, no source)."""
_OF_SENTENCES = frozenset(
    {
        *("i", "im", "ive", "ill", "id", "me", "my", "we", "you", "your", "it", "its", "this"),
        *("what", "whats", "why", "how", "when", "where", "who", "which", "if", "that", "there"),
        *("is", "are", "was", "were", "am", "be", "been", "do", "does", "did", "dont", "didnt"),
        *("can", "could", "should", "shall", "will", "would", "may", "might", "must", "cant"),
        *("have", "has", "had", "ate", "eat", "eating", "having", "drank", "drink", "want", "need"),
        *("take", "took", "taken", "taking", "inject", "injected", "log", "logged", "forgot"),
        *("add", "added", "show", "tell", "give", "set", "change", "make", "undo", "delete"),
        *("remove", "cancel", "stop", "help", "exit", "quit", "bye", "close", "start", "restart"),
        *("dose", "doses", "dosing", "bolus", "basal", "insulin", "unit", "units", "iob", "board"),
        *("correction", "ratio", "factor", "target", "glucose", "bg", "bgl", "reading", "meter"),
        *("sensor", "ketone", "ketones", "hypo", "low", "high", "lo", "hi", "rising", "falling"),
        *("dropping", "feel", "feeling", "felt", "sick", "ill", "shaky", "dizzy", "tired"),
        *("no", "not", "without", "never", "skip", "same", "again", "another", "more", "less"),
        *("only", "just", "please", "thanks", "ok", "okay", "yes", "sorry", "wait", "oops"),
        *("today", "yesterday", "tomorrow", "now", "week", "month", "ago", "last", "before"),
        *("after", "carb", "carbs", "carbohydrate", "carbohydrates", "calories", "count"),
        *("minutes", "minute", "hours", "hour", "except", "minus", "instead", "much", "many"),
    }
)
"""Words of questions and statements, which no food is called by (common practice, no source)."""


def may_be_name(words: str) -> bool:
    """Do the words look like the name of a food, and not like a question or a statement?"""
    found = patterns.findall(r"[^\W_]+", patterns.sub(r"(?<=\w)['’](?=\w)", "", plain(words)))
    if not found or len(found) > MOST_WORDS or words.rstrip().endswith("?"):
        return False
    if not any(word.isalpha() and len(word) > 1 for word in found):
        return False
    return not _OF_SENTENCES.intersection(found)

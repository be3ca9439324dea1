"""The kind of label that a user's foods carry: "my labels are US labels".

It decides where a label says nothing of its law, and is told each time; a label that says another,
or looks like another, is read as that or asked about as before.
"""

import re

from msgspec.structs import replace

from assistant.dialogue.events import SettingSaid
from assistant.dialogue.outcome import Outcome, answer, answered, fact
from assistant.dialogue.replies import Choice
from assistant.dialogue.state import Context
from assistant.values import Phrase
from grammar import patterns

REGIONS = {
    "US": "US labels",
    "CA": "Canadian labels",
    "EU": "EU labels",
    "UK": "UK labels",
    "AU": "Australian labels",
    "NZ": "New Zealand labels",
    "JP": "Japanese labels",
}
"""Each law's code -> how it is typed."""

_SAID = patterns.compile(
    r"\s*my\s+labels?\s+(?:are|is|follow)\s+(?:an?\s+|the\s+)?"
    r"(?:(?P<US>US|U\.S\.|American)|(?P<CA>Canadian|CA)|(?P<EU>EU|European)|(?P<UK>UK|British)|"
    r"(?P<AU>Australian|AU)|(?P<NZ>New\s+Zealand|NZ)|(?P<JP>Japanese|JP))"
    r"(?:\s+(?:labels?|law|rules?))?\s*[.!]*\s*",
    re.I,
)


def sentence(region: str) -> str:
    """How the setting is said."""
    return f"my labels are {REGIONS[region]}"


def said(ctx: Context) -> Outcome | None:
    """The setting as an answer; None for any other sentence."""
    match = _SAID.fullmatch(ctx.text)
    if match is None:
        return None
    region = match.lastgroup
    assert region is not None
    line = answer("set-label_region", region=Phrase(f"region-{region}"))
    event = SettingSaid("label_region", {"region": region}, ctx.text)
    return answered(line, events=(event,), facts={"setting": event.value})


def chosen(ctx: Context, choices: tuple[Choice, ...]) -> Choice | None:
    """Of the choices of law, the one that the user's setting stands for."""
    region = ctx.settings.label_region
    return next((c for c in choices if c.word == region), None) if region else None


def told(ctx: Context, outcome: Outcome) -> Outcome:
    """The outcome of a label whose law was taken from the setting, which is said."""
    line = fact("region-as-set", region=Phrase(f"region-{ctx.settings.label_region}"))
    return replace(outcome, reply=replace(outcome.reply, lines=(*outcome.reply.lines, line)))

"""One visit in the form that was asked for."""

from assistant.dialogue.visit import Visit
from assistant.report.content import document
from assistant.report.fhir import bundle
from assistant.report.markdown import markdown
from assistant.report.page import page
from assistant.report.sheet import sheet

ENDINGS = {"html": "html", "markdown": "md", "csv": "csv", "fhir": "json"}
"""Forms of a report -> how the name of its file ends."""


def written(visit: Visit, shape: str) -> str:
    """The whole text. shape: a key of ENDINGS."""
    match shape:
        case "markdown":
            return "".join(markdown(document(visit)))
        case "csv":
            return sheet(visit)
        case "fhir":
            return bundle(visit)
    return "".join(page(document(visit)))

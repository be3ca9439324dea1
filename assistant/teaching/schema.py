"""Every published schema: of a reply, of what 'read' gives, and of a line of a session file."""

from fractions import Fraction
from typing import Any, get_args

from msgspec.json import schema_components

from assistant.render import schema
from assistant.teaching.session_file import SessionRow

MODELS = (*schema.MODELS, "session")
"""What there is a schema of."""


def schema_of(name: str) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12). 'session' is any line of the file, see session_file.py."""
    if name != "session":
        return schema.schema_of(name)
    rows, parts = schema_components(
        get_args(SessionRow), schema_hook=_of_fraction, ref_template="#/$defs/{name}"
    )
    return {**schema.DRAFT, "anyOf": list(rows), "$defs": parts}


def _of_fraction(kind: type) -> dict[str, Any]:
    """What JSON has no form for: a fraction is text; what a setting holds is any value."""
    if kind is Fraction:
        return {"type": "string", "examples": ["27", "3/2"]}
    return {"title": "any"}

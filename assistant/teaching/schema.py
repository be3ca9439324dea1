"""Every published schema: of a reply, of what 'read' gives, and of a line of a session file."""

from typing import Any

from pydantic import TypeAdapter

from assistant.render import schema
from assistant.teaching.session_file import SessionRow

MODELS = (*schema.MODELS, "session")
"""What there is a schema of."""


def schema_of(name: str) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12). 'session' is any line of the file, see session_file.py."""
    if name != "session":
        return schema.schema_of(name)
    made = TypeAdapter(SessionRow).json_schema(mode="validation")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **made}

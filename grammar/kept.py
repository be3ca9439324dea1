"""Where a parser's table is kept from one run to the next: beside the compiled modules.

lark builds its table from the grammar in a tenth of a second or more; read back, it takes a tenth
of that. The file lies where Python keeps compiled modules, is trusted as they are, and is made anew
when the grammar, lark or Python changes (lark compares a hash of them).
"""

import sys
from importlib.util import cache_from_source


def place_for(source: str, grammar: str) -> str | bool:
    """The file for the table of a grammar that the module of this file reads; False where nothing
    compiled is to be kept."""
    if sys.dont_write_bytecode:
        return False
    try:
        return f"{cache_from_source(source).removesuffix('.pyc')}.{grammar}.table"
    except NotImplementedError:  # an interpreter that keeps nothing compiled
        return False

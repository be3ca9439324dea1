"""The mutants that live, by name and with the reason, as DEVELOPERS.md holds them."""

from mutation_files import ROOT

TITLE = "## Mutants that live"


def justified(text: str | None = None) -> dict[str, str]:
    """Name -> reason. An indented line of the section is a name; the paragraph above says why."""
    if text is None:
        text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = text.partition(f"{TITLE}\n")[2].partition("\n## ")[0]
    found: dict[str, str] = {}
    reason, begins = "", True
    for line in section.splitlines():
        if line.startswith("    "):
            assert reason, f"no reason stands above {line}"
            assert line.strip() not in found, f"named twice: {line}"
            found[line.strip()] = reason
        elif line.strip():
            reason = line.strip() if begins else f"{reason} {line.strip()}"
        begins = not line.strip()
    return found

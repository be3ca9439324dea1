"""Invented numbers that make a dose complete: the demo, the benchmark and the tests use them."""

NUMBERS = (
    "my ratio is 1 unit per 10 g",
    "correction factor 45 mg/dL per unit",
    "target 110 mg/dL",
    "my insulin lasts 4 hours",
    "active insulin falls in a straight line",
    "active insulin comes off the correction only",
    "my pen goes in half units, round down",
    "never more than 8 units at once",
    "never more than 15 units in 4 hours",
)
"""Every number from the care team that a dose needs. No one's, and no default of anything."""

"""Every code has a sentence, and every sentence a use: the sources are read for it."""

import ast
import re
from itertools import product
from pathlib import Path

import pytest

import assistant
import grammar
from assistant.counting.facts import FIBRE_INSIDE
from assistant.counting.policy import POLICIES
from assistant.dialogue.explain import GLOSSARY
from assistant.dosing.limits import LIMITS
from assistant.dosing.rules import all_rules
from assistant.dosing.settings import Settings
from assistant.render.texts import TEXTS
from grammar.label_words import NUTRIENTS, units_of

CODED = {"Line": 1, "Ask": 1, "answer": 0, "fact": 0, "caution": 0, "choice": 0, "Phrase": 0}
NOT_GRAMMAR = {"dialogue", "dosing", "counting", "diary", "report", "shell", "store", "teaching"}
# Of the renderers only what picks a sentence by its code; the others would make every text used.
USES_TEXTS = {Path(assistant.__file__).parent / "render" / "markup.py"}


def sources():
    room = Path(assistant.__file__).parent
    for path in sorted(room.rglob("*.py")):
        if path.parent.name in NOT_GRAMMAR or path in USES_TEXTS:
            yield path, ast.parse(path.read_text(encoding="utf-8"))


def literals(node):
    """Every string that an expression may come to; an f-string as a pattern."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield re.escape(node.value)
    elif isinstance(node, ast.JoinedStr):
        yield "".join(
            re.escape(part.value) if isinstance(part, ast.Constant) else ".+"
            for part in node.values
        )
    elif isinstance(node, ast.IfExp):
        yield from literals(node.body)
        yield from literals(node.orelse)
    elif isinstance(node, ast.BinOp):
        for left, right in product(literals(node.left), literals(node.right)):
            yield left + right


def code_patterns():
    for path, tree in sources():
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call):
                continue
            name = node.func.id if isinstance(node.func, ast.Name) else None
            if name == "Phrase" and path.parent.name == "grammar":
                continue
            at = CODED.get(name)
            found = node.args[at] if at is not None and len(node.args) > at else None
            for pattern in [] if found is None else literals(found):
                yield pattern, f"{path.name}:{node.lineno}"
            for keyword in node.keywords:
                if name == "next_step" and keyword.arg == "code":
                    yield from ((p, path.name) for p in literals(keyword.value))


def test_every_code_of_a_line_has_a_sentence():
    found = list(code_patterns())
    assert len(found) > 150
    missing = [(p, where) for p, where in found if not any(re.fullmatch(p, key) for key in TEXTS)]
    assert not missing


def test_every_sentence_is_used_somewhere(empty):
    patterns = set()
    for _, tree in sources():
        for node in ast.walk(tree):
            patterns.update(p for p in literals(node) if p not in {".+", ".+.+"})
    plain = {p for p in patterns if ".+" not in p}
    open_ends = [p for p in patterns if ".+" in p and re.match(r"[a-z]", p)]
    named = {f"rule-{rule.id}" for rule in all_rules()}
    named.add("list-line")  # the renderers put it before a numbered line
    for text in ("help", "help meals", "help labels", "help numbers", "help recipes",
                 "help chat"):  # fmt: skip
        named.update(empty.say(text).codes)
    unused = [
        key
        for key in TEXTS
        if re.escape(key) not in plain
        and key not in named
        and not any(re.fullmatch(p, key) for p in open_ends)
    ]
    assert not unused


WHYS = ("comma", "range", "zero", "negative", "zero-denominator", "odd", "huge")
FORMS = (
    *("ratio", "factor", "target", "duration", "active_rule", "pen", "rounding", "cap", "policy"),
    *("kitchen", "glucose_unit", "took"),
    *("active_shape", "max_reduction", "reading_age", "ask_range", "clock"),
)


@pytest.mark.parametrize(
    "code",
    sorted(
        {
            *(f"rule-{rule.id}" for rule in all_rules()),
            *("rule-rule-failed", "per-None"),
            *(f"set-active_shape-{shape}" for shape in ("line", "curve")),
            *(f"work-active-{shape}" for shape in ("line", "curve")),
            *(f"active-{shape}" for shape in ("line", "curve")),
            *(f"reduction-{why}" for why in ("activity", "illness", "other")),
            *(f"set-{name}" for name in LIMITS),
            *(f"choice-{rule}" for rule in ("same-meal-twice", "range-too-wide")),
            *(f"setting-{name}" for name in (*Settings.NEEDED, *LIMITS, "kitchen")),
            *(f"say-{name}" for name in ("setting",)),
            *(f"figure-{why}" for why in WHYS),
            *(f"ask-number-{why}" for why in (*WHYS, "vague", "part-of-what")),
            *(f"form-{form}" for form in FORMS),
            *(f"region-{region}" for region in FIBRE_INSIDE),
            *(f"choice-policy-{policy}" for policy in POLICIES),
            *(f"set-policy-{policy}" for policy in POLICIES),
            *(f"term-{code}" for code in GLOSSARY.values()),
            *(f"phrase-{why}" for why in ("empty", "too-long", "symbols", "no-food")),
            *(f"because-{why}" for why in ("label", "law", "kitchen", "metric", "told")),
            *(f"per-{per}" for per in ("serving", "100 g", "100 ml", "pack")),
            *(f"treat-low-{n}" for n in range(1, 6)),
            *(f"word-{role}" for role in ("amount", "measure", "food", "link", "joiner",
                                          "courtesy", "glucose", "no-reading", "confirmed")),
            *(f"kitchen-{unit}" for unit in ("cup", "tablespoon", "teaspoon", "fluid ounce",
                                             "pint", "quart", "gallon")),
            *(f"label-{why}" for why in ("no-carbohydrate", "doubt", "columns", "no-basis",
                                         "part-over-whole", "over-hundred")),
        }
    ),
)  # fmt: skip
def test_a_code_made_of_parts_has_a_sentence(code):
    assert code in TEXTS


def doubts_of_labels():
    """The codes with which the label reader doubts, as it may show readings or not."""
    for path in sorted(Path(grammar.__file__).parent.glob("label*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = getattr(node.func, "attr", getattr(node.func, "id", ""))
            if name not in {"doubt", "doubt_token", "_doubt", "Doubt"}:
                continue
            given = [*node.args, *(k.value for k in node.keywords)]
            words = [x.value for x in given if isinstance(x, ast.Constant)]
            code = next((w for w in words if isinstance(w, str)), None)
            if code is not None:
                yield f"doubt-{code}"
                if any(isinstance(x, ast.Tuple) and x.elts for x in given):
                    yield f"doubt-{code}-readings"


def test_every_doubt_of_a_label_has_a_sentence():
    codes = set(doubts_of_labels())
    assert len(codes) > 5
    assert not sorted(codes - set(TEXTS))


def test_every_nutrient_over_the_whole_can_be_named(still):
    """A figure above 100 g in 100 g is told with the nutrient's name; none may lack one."""
    failed = []
    for name in NUTRIENTS:
        units = units_of(name) & {"g", "mg"}
        for unit in sorted(units):
            figure = 120 if unit == "g" else 200_000
            label = f"EU label, per 100 g: carbohydrate 20 g, {name} {figure} {unit}"
            try:
                if still.try_out(f"new food odd food: {label}").status != "asked":
                    failed.append(f"{name}: saved")
            except KeyError as fault:
                failed.append(f"{name}: {fault}")
    assert not failed


def test_no_sentence_needs_a_field_with_an_odd_name():
    for code, text in TEXTS.items():
        for field in re.findall(r"{([^}]*)}", text):
            assert re.fullmatch(r"[a-z_]+", field), code

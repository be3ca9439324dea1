"""The list of mutants itself: every kind of slip is made, each with a name of its own."""

import ast

import pytest
from justified import justified
from mutants import mutants
from mutation_files import FILES, ROOT

KINDS = [
    ("x = a < b", ["a < b => a <= b", "a < b => a >= b"]),
    ("x = a <= b", ["a <= b => a < b", "a <= b => a > b"]),
    ("x = a > b", ["a > b => a >= b", "a > b => a <= b"]),
    ("x = a >= b", ["a >= b => a > b", "a >= b => a < b"]),
    ("x = a == b", ["a == b => a != b"]),
    ("x = a is None", ["a is None => a is not None"]),
    ("x = a in b", ["a in b => a not in b"]),
    ("x = a + b", ["a + b => a - b"]),
    ("x = a * b", ["a * b => a / b"]),
    ("x = a / b", ["a / b => a * b"]),
    ("x = -a", ["-a => a"]),
    ("x = a and b", ["a and b => a or b", "a and b => b", "a and b => a"]),
    ("x = not a", ["not a => a"]),
    ("x = 3", ["3 => 4"]),
    ("x = True", ["True => False"]),
    ("x = 'word'", ["'word' => 'other'"]),
    ("x = '3.9'", ["'3.9' => '3.0'"]),
    (
        "x = 'a 1 g; b 2 g'",
        ["'a 1 g; b 2 g' => 'a 2 g; b 2 g'", "'a 1 g; b 2 g' => 'a 1 g; b 3 g'",
         "'a 1 g; b 2 g' => 'b 2 g'", "'a 1 g; b 2 g' => 'a 1 g'"],
    ),
    ("x = min(a, b)", ["min => max"]),
    ("x = abs(a)", ["abs(a) => a"]),
    ("x = f(a, b=c)", ["f(a, b=c) => f(a)"]),
    ("x = a.low", ["a.low => a.high"]),
    ("x = (*a, *b)", ["(*a, *b) without *a", "(*a, *b) without *b"]),
    ("x = {a: b}", ["{a: b} without a"]),
    ("x = a if b else c", ["a if b else c => a", "a if b else c => c"]),
    ("x = [a for a in b if c]", ["for a in b if c => for a in b"]),
    ("if a: f()", ["if a => if True", "if a => if False", "f() => pass"]),
    ("def f(): return a", ["return a => return None"]),
    ("def f(a=None, b=False): pass", ["False => True"]),
    ("def f():\n x = a\n x = b", ["x = b => pass"]),
    ("def f():\n for a in b: continue", ["continue => pass"]),
    ("def f():\n raise E('text')", ["raise E('text') => pass"]),
    ("try: pass\nexcept E: pass", ["except => raise again"]),
    ("match a:\n case b.c: pass", ["case b.c => never"]),
    ("@property\ndef f(): pass", ["@property => nothing"]),
    ("a += b", ["a += b => a -= b", "a += b => pass"]),
]  # fmt: skip


@pytest.mark.parametrize(("source", "titles"), KINDS, ids=[source for source, _ in KINDS])
def test_every_kind_of_slip_is_made(source, titles):
    assert [m.name.partition(": ")[2] for m in mutants("x.py", source)] == titles


@pytest.mark.parametrize(
    "source",
    [
        '"""Text 1."""', "def f(a: 'one', b: int) -> 'two': pass", "assert a < 1", "import a.b",
        "@cache\ndef f(): pass", "from a import b", "x: Literal['a', 'b']", "A = Literal['a', 'b']",
        "__all__ = ['a', 'b', 'c']", "def f(): return None",
    ],
)  # fmt: skip
def test_what_nobody_can_see_is_left_alone(source):
    assert mutants("x.py", source) == []


def test_a_mutant_is_one_change_and_leaves_the_rest():
    source = "def f(a):\n    if a < 1:\n        return 2\n    return 3"
    changed = {m.name: ast.unparse(m.change(ast.parse(source))) for m in mutants("x.py", source)}
    assert changed["x.py f: a < 1 => a <= 1"] == source.replace("<", "<=")
    assert changed["x.py f: return 2 => return None"] == source.replace("return 2", "return None")
    assert len(set(changed.values()) - {source}) == len(changed) == 9


def test_names_tell_the_function_and_no_line():
    source = "class A:\n    def f(self):\n        return 1 + 1"
    names = [m.name for m in mutants("x.py", source)]
    assert "x.py A.f: 1 => 2" in names
    assert "x.py A.f: 1 => 2 #2" in names
    assert [m.name for m in mutants("x.py", "\n\n" + source)] == names


def test_every_mutant_has_a_name_of_its_own_and_every_justified_one_is_there():
    names = [m.name for f in FILES
             for m in mutants(f, (ROOT / "assistant" / f).read_text(encoding="utf-8"))]  # fmt: skip
    assert len(set(names)) == len(names) > 2000
    assert set(justified()) <= set(names)


TEXT = """# Other
    no name
## Mutants that live

What this is.

One reason,
over two lines.

    a.py f: 1 => 2
    a.py f: 2 => 3

Another.

    b.py g: x => y

## Next
    no name either
"""


def test_a_mutant_that_lives_is_named_below_its_reason():
    assert justified(TEXT) == {
        "a.py f: 1 => 2": "One reason, over two lines.",
        "a.py f: 2 => 3": "One reason, over two lines.",
        "b.py g: x => y": "Another.",
    }
    with pytest.raises(AssertionError, match="named twice"):
        justified(TEXT.replace("b.py g: x => y", "a.py f: 1 => 2"))

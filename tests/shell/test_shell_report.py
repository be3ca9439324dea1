"""'readings import' and 'report' as commands, and the report that a sentence writes."""

import json
import re
import stat

import pytest

from assistant.shell.sample_numbers import NUMBERS

AT = ("--at", "2026-03-08T20:00+01:00")
HEAD = "time,value,unit\n"
TWO = f"{HEAD}2026-03-08T07:00+01:00,112,mg/dL\n2026-03-08T09:00+01:00,160,mg/dL\n"


@pytest.fixture
def meter(tmp_path):
    def make(text: str | bytes):
        path = tmp_path / "meter.csv"
        path.write_bytes(text.encode() if isinstance(text, str) else text)
        return str(path)

    return make


def test_import__twice_brings_each_reading_once(program, meter) -> None:
    first = program(*AT, "readings", "import", meter(TWO))
    assert first.returncode == 0
    assert b"Imported: 2 readings." in first.stdout
    again = program(*AT, "readings", "import", meter(TWO))
    assert b"No new reading was imported." in again.stdout
    asked = program(*AT, "ask", "--json", "how was my glucose today")
    assert json.loads(asked.stdout)["facts"]["lookback"]["readings"] == 2


@pytest.mark.more
def test_import__json_and_a_stated_offset(program, meter) -> None:
    file = meter(f"{HEAD}2026-03-08T07:00,112,mg/dL\n")
    without = json.loads(program(*AT, "readings", "import", "--json", file).stdout)
    assert [e["reason"] for e in without["facts"]["import"]["left_out"]] == ["no-offset"]
    run = program(*AT, "readings", "import", "--json", "--offset", "+01:00", file)
    assert json.loads(run.stdout)["facts"]["import"]["new"] == 1


@pytest.mark.more
@pytest.mark.parametrize("offset", ["1", "+1:00", "+25:00", "+01:75", "CET"])
def test_import__an_offset_that_is_none(program, meter, offset) -> None:
    run = program(*AT, "readings", "import", f"--offset={offset}", meter(TWO))
    assert run.returncode == 2
    assert b"+01:00" in run.stderr


@pytest.mark.more
@pytest.mark.parametrize(
    ("text", "told"),
    [("", b"is empty"), ("a,b\n1,2\n", b"does not name the columns"),
     (b"\xff\xfe\x00\x01", b"no text in UTF-8")],
)  # fmt: skip
def test_import__a_file_that_is_none_keeps_nothing(program, meter, text, told) -> None:
    run = program(*AT, "readings", "import", meter(text))
    assert (run.returncode, run.stdout) == (1, b"")
    assert told in run.stderr
    assert b"Nothing was imported." in run.stderr


def test_import__a_file_that_is_not_there(program, tmp_path) -> None:
    run = program(*AT, "readings", "import", str(tmp_path / "none.csv"))
    assert run.returncode == 1
    assert b"none.csv could not be read" in run.stderr
    assert str(tmp_path).encode() not in run.stderr


@pytest.mark.parametrize("argv", [("readings",), ("readings", "import"), ("readings", "drop", "x")])
def test_readings__wrong_usage(program, argv) -> None:
    assert program(*argv).returncode == 2


def test_report__to_standard_output_and_to_a_file(program, meter, tmp_path) -> None:
    program(*AT, "readings", "import", meter(TWO))
    plain = program(*AT, "report", "--from", "2026-03-02", "--to", "2026-03-08")
    assert plain.returncode == 0
    assert plain.stdout.startswith(b"# Report for the visit: 2 March 2026 to 8 March 2026")
    out = tmp_path / "visit.html"
    run = program(*AT, "report", "--as", "html", "--out", str(out))
    assert (run.returncode, run.stderr) == (0, b"")
    assert out.read_text().startswith("<!DOCTYPE html>")
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    before = out.read_bytes()
    again = program(*AT, "report", "--out", str(out))
    assert again.returncode == 1
    assert b"already" in again.stderr
    assert out.read_bytes() == before


def test_report__csv_and_fhir(program, meter) -> None:
    program(*AT, "readings", "import", meter(TWO))
    assert program(*AT, "report", "--as", "csv").stdout.startswith(b'"time","kind","what","value"')
    assert json.loads(program(*AT, "report", "--as", "fhir").stdout)["resourceType"] == "Bundle"


def test_report__fourteen_days_where_none_are_said(program) -> None:
    first = program(*AT, "report").stdout.splitlines()[0]
    assert first == b"# Report for the visit: 23 February 2026 to 8 March 2026"


@pytest.mark.more
@pytest.mark.parametrize(
    "argv",
    [("--from", "2026-03-09"), ("--from", "2026-03-05", "--to", "2026-03-04"),
     ("--from", "2020-01-01"), ("--from", "yesterday"), ("--from", "2026-02-30"), ("--as", "pdf")],
)  # fmt: skip
def test_report__days_and_forms_that_are_none(program, argv) -> None:
    run = program(*AT, "report", *argv)
    assert (run.returncode, run.stdout) == (2, b"")
    assert run.stderr.count(b"\n") == 1


def test_report__its_folder_is_not_there(program, tmp_path) -> None:
    run = program(*AT, "report", "--out", str(tmp_path / "no" / "visit.md"))
    assert run.returncode == 1
    assert b"could not be written" in run.stderr


FORMS = [("", "html"), (" as markdown", "md"), (" as CSV", "csv"), (" as FHIR", "json")]


@pytest.mark.more
@pytest.mark.parametrize(("shape", "ending"), FORMS)
def test_sentence__writes_the_report_beside_the_record(program, home, shape, ending) -> None:
    program(*AT, "ask", "glucose 120 mg/dL at 07:00")
    text = f"report for the visit from 2026-03-02 to 2026-03-08{shape}"
    run = program(*AT, "ask", "--json", text)
    reply = json.loads(run.stdout)
    assert (run.returncode, reply["status"]) == (0, "answered")
    file = home / "reports" / f"visit-2026-03-02-to-2026-03-08.{ending}"
    assert reply["facts"]["report"]["file"] == str(file)
    assert "The whole report is in this file" in reply["text"]
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
    command = program(*AT, "report", "--from", "2026-03-02", "--as",
                      {"md": "markdown", "json": "fhir"}.get(ending, ending))  # fmt: skip
    assert command.stdout == file.read_bytes()
    assert not list(file.parent.glob(".*"))


@pytest.mark.more
def test_sentence__again_takes_the_place_of_the_file(program, home) -> None:
    program(*AT, "ask", "glucose 120 mg/dL at 07:00")
    program(*AT, "ask", "report for the visit")
    program(*AT, "ask", "glucose 130 mg/dL at 08:00")
    program(*AT, "ask", "report for the visit")
    (file,) = (home / "reports").iterdir()
    assert "130" in file.read_text()


@pytest.mark.more
def test_sentence__a_folder_that_cannot_be_written_is_told(program, home) -> None:
    program(*AT, "ask", "glucose 120 mg/dL at 07:00")
    (home / "reports").write_text("in the way")
    run = program(*AT, "ask", "report for the visit")
    assert run.returncode == 0
    assert b"The report could not be written" in run.stdout
    assert b"1 reading" in run.stdout


@pytest.mark.more
def test_sentence__is_no_part_of_a_saved_talk(program, home) -> None:
    program(*AT, "ask", "glucose 120 mg/dL at 07:00")
    program(*AT, "ask", "report for the visit")
    saved = program(*AT, "ask", "save today as visit day")
    assert b"1 turn" in saved.stdout
    assert b"report for" not in b"".join(p.read_bytes() for p in (home / "sessions").iterdir())


@pytest.mark.more
def test_report__tells_the_settings_that_hold(program) -> None:
    for text in NUMBERS:
        program(*AT, "ask", text)
    out = program(*AT, "report").stdout.decode()
    assert "Ratio: 10 g per unit, all day." in out
    assert len(re.findall(r"\| 8 March 2026, 20:00 \| ", out)) >= len(NUMBERS)


@pytest.mark.more
def test_report__days_to_come_are_told_beside_the_report(program, meter) -> None:
    program(*AT, "readings", "import", meter(TWO))
    run = program(*AT, "report", "--from", "2026-03-01", "--to", "2026-03-15")
    assert run.returncode == 0
    assert b"2026-03-15 is still to come" in run.stderr
    assert b"to 8 March 2026" in run.stdout
    assert b"still to come" not in program(*AT, "report", "--from", "2026-03-01").stderr

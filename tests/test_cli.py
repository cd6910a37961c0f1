"""The command's words and its exit status come from the fault itself, whatever the verb."""

from __future__ import annotations

import sys
from pathlib import Path

import click
import pytest

from generator import cli, errors
from generator.errors import FILE_KEY, HandbookError, InputFaults
from generator.model.settings import Settings
from generator.render.site.engine import write_config
from tests.styles import WORDS


def status_of(words: list[str], monkeypatch: pytest.MonkeyPatch) -> int:
    monkeypatch.setattr(sys, "argv", ["handbook", *words])
    with pytest.raises(SystemExit) as left:
        cli.main()
    return int(left.value.code or 0)


def failing(fault: BaseException, monkeypatch: pytest.MonkeyPatch) -> None:
    """Have `handbook schema` meet a fault."""

    @click.command("schema")
    def meets() -> None:
        raise fault

    monkeypatch.setitem(cli.cli.commands, "schema", meets)


def test_every_fault_has_an_exit_status_of_its_own_kind() -> None:
    kinds = [kind for kind in vars(errors).values() if isinstance(kind, type) and issubclass(kind, HandbookError)]
    unsafe = {kind.__name__ for kind in kinds if kind.exit_status == 2}
    assert unsafe == {"Unsafe", "OpenStops", "NotReleased", "SafetyMoved"}
    assert {kind.__name__ for kind in kinds if kind.exit_status == 130} == {"Interrupted"}
    assert {kind.exit_status for kind in kinds} == {1, 2, 130}


@pytest.mark.parametrize(
    ("fault", "status", "said"),
    [
        (errors.OpenStops(["a.b", "a.c"]), 2, "2 findings say stop: a.b, a.c\n"),
        (errors.SafetyMoved("something moved"), 2, "something moved\n"),
        (errors.PrintFault("site a", "too long", "a shorter title"), 1, "site a: too long; a shorter title\n"),
        (click.Abort(), 130, "interrupted; what was published before is untouched\n"),
    ],
)
def test_a_fault_says_its_words_and_its_status(
    fault: BaseException, status: int, said: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    failing(fault, monkeypatch)
    assert status_of(["schema"], monkeypatch) == status
    assert capsys.readouterr().err == said


class Panic(BaseException):
    """As libraries in another language raise where they fail: no Exception."""


@pytest.mark.parametrize(
    "fault",
    [ZeroDivisionError("by nought"), RecursionError("by nought"), Panic("by nought"), SystemExit("by nought")],
    ids=lambda fault: type(fault).__name__,
)
def test_what_nobody_foresaw_is_told_without_a_traceback(
    fault: BaseException, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    failing(fault, monkeypatch)
    assert status_of(["schema"], monkeypatch) == 1
    said, kind = capsys.readouterr().err, type(fault).__name__
    assert said.startswith(f"a fault of the program itself ({kind}: by nought); what was published before")
    assert "Traceback" not in said


@pytest.mark.parametrize("verb", cli.VERBS)
def test_whatever_stops_a_verb_is_told_in_words(
    verb: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its own work, in place of which something fails that nobody foresaw."""

    def fails(*_given: object, **_named: object) -> None:
        raise AssertionError("[/nobody] foresaw {this}")

    command = cli.cli.get_command(click.Context(cli.cli), verb)
    assert command
    monkeypatch.setattr(command, "callback", fails)
    words = {"new": ["a"], "publish": ["a"], "receive": ["-"], "release": ["4", "--by", "lead", "--why", "first"]}
    assert status_of([verb, *words.get(verb, [])], monkeypatch) == 1
    assert capsys.readouterr().err.startswith("a fault of the program itself (AssertionError: [/nobody] foresaw {this}")


def test_debug_lets_it_through_wherever_click_takes_the_word(monkeypatch: pytest.MonkeyPatch) -> None:
    failing(ZeroDivisionError("by nought"), monkeypatch)
    monkeypatch.setattr(sys, "argv", ["handbook", "--debug", "schema"])
    with pytest.raises(ZeroDivisionError):
        cli.main()
    assert status_of(["schema", "--debug"], monkeypatch) == 1  # no word of that verb


def test_help_names_every_verb_and_is_no_fault(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert status_of(["--help"], monkeypatch) == 0
    said = capsys.readouterr().out
    assert sorted(cli.VERBS, key=lambda verb: said.index(f"\n  {verb} ")) == list(cli.VERBS)


def test_a_missing_configuration_of_the_engine_is_a_fault_with_its_place(tmp_path: Path) -> None:
    settings = Settings.model_construct()
    with pytest.raises(InputFaults) as raised:
        write_config(tmp_path / "mkdocs.yml", tmp_path / "build" / "mkdocs.yml", (), settings=settings, words=WORDS)
    (fault,) = raised.value.faults
    assert (fault.file, fault.line, fault.key) == (str(tmp_path / "mkdocs.yml"), 1, FILE_KEY)
    assert "No such file" in fault.wrong
    assert "configuration" in fault.expected

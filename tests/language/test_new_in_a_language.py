"""A new handbook in another language: its folder of words, its usual paper, and that it checks and computes at once."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from generator.cli import cli
from generator.read.handbook import read_settings
from generator.render.by_language import usual_paper

# Unicode Technical Standard 35, part 6, paperSize (read): Letter in these territories among others, A4 elsewhere. What
# a tag without territory is taken for: CLDR's likely subtags (es_Latn_ES, en_Latn_US, fil_Latn_PH; from memory).
PAPERS = {"en-US": "letter", "es-MX": "letter", "fr-CA": "letter", "es-419": "a4", "en-GB": "a4", "pt-BR": "a4"}
PAPERS |= {"en": "letter", "fil": "letter", "es": "a4", "de": "a4", "ar": "a4", "xq": "a4", "xq-US": "letter"}


@pytest.mark.parametrize(("tag", "paper"), PAPERS.items())
def test_the_usual_paper_of_a_language(tag: str, paper: str) -> None:
    assert usual_paper(tag) == paper


def handbook(*verb: str) -> tuple[int, str]:
    run = CliRunner().invoke(cli, [*verb])
    return run.exit_code, " ".join(f"{run.output} {run.exception or ''}".split())


def test_a_handbook_begins_in_a_language(tmp_path: Path) -> None:
    folder = tmp_path / "casa"
    code, said = handbook("new", str(folder), "--name", "N", "--contact", "C", "--language", "de-AT")
    assert code == 0 and "content/de-AT/words/states.yaml" in said
    settings = read_settings(folder / "site_data").value
    assert settings is not None and (settings.language, settings.paper) == ("de-AT", "a4")
    code, said = handbook("--root", str(folder), "check")
    assert code == 0 and "words/states.yaml" in said and "nobody has reviewed it" in said


def test_no_tag_is_refused_before_anything_is_written(tmp_path: Path) -> None:
    code, said = handbook("new", str(tmp_path / "x"), "--name", "N", "--contact", "C", "--language", "../x")
    assert code == 1 and "'../x' is no tag of a language" in said and not (tmp_path / "x").exists()

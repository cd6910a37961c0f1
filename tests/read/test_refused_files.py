"""Files that are no plain files of the project, too large, or nested beyond sense are refused at once, in words."""

import os
from pathlib import Path

import pytest

from generator.read.yaml.yaml_file import MOST_BYTES
from generator.read.yaml.yaml_marks import DEEPEST, parse
from tests.read.conftest import Handbook

BARN = "sites/barn.yaml"


def only_fault(handbook: Handbook) -> str:
    (fault,) = handbook.faults()
    return str(fault)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="pipes in a folder are those of POSIX")
def test_a_pipe_keeps_nobody_waiting(handbook: Handbook) -> None:
    os.mkfifo(handbook.folder / BARN)
    assert only_fault(handbook).startswith("site_data/sites/barn.yaml:1:1: file: this is no plain file; ")


def test_a_link_to_a_device_is_refused(handbook: Handbook) -> None:
    (handbook.folder / BARN).symlink_to("/dev/zero")
    assert only_fault(handbook).startswith("site_data/sites/barn.yaml:1:1: file: this is no plain file; ")


def test_a_link_out_of_the_project_is_refused(handbook: Handbook, tmp_path_factory: pytest.TempPathFactory) -> None:
    secret = tmp_path_factory.mktemp("elsewhere") / "secret.yaml"
    secret.write_text("title: not for the handbook\n", encoding="utf-8")
    (handbook.folder / BARN).symlink_to(secret)
    told = only_fault(handbook)
    assert "this is a link that leads out of the project" in told
    assert "not for the handbook" not in told


def test_a_link_inside_the_project_is_read(handbook: Handbook) -> None:
    site = handbook.folder / "sites" / "shed.yaml"
    site.rename(handbook.folder.parent / "kept.yaml")
    site.symlink_to(handbook.folder.parent / "kept.yaml")
    assert handbook.faults() == []


def test_a_link_that_leads_to_itself_is_told(handbook: Handbook) -> None:
    (handbook.folder / BARN).symlink_to("barn.yaml")
    assert only_fault(handbook).startswith("site_data/sites/barn.yaml:1:1: file: this cannot be read: ")


def test_a_file_that_is_too_large_is_refused_unread(handbook: Handbook) -> None:
    with (handbook.folder / BARN).open("wb") as file:
        file.truncate(MOST_BYTES + 1)
    assert f"this file has {MOST_BYTES + 1} bytes" in only_fault(handbook)


@pytest.mark.parametrize("more", [0, 1])
def test_lists_stand_in_each_other_to_a_bound(more: int) -> None:
    text = "a: " + "[" * (DEEPEST - 1 + more) + "]" * (DEEPEST - 1 + more)
    found, faults = parse(text.encode(), "a.yaml")
    assert (found is None) == bool(more)
    assert [fault.wrong for fault in faults] == [f"more than {DEEPEST} lists or mappings stand in each other"] * more


@pytest.mark.parametrize(
    "character", ["\u061c", "\u180e", "\u115f", "\u3164", "\u2800", "\U000e0041", "\ue000", "\U0010fffd"]
)
def test_what_cannot_be_seen_is_refused(character: str) -> None:
    """Unicode 15.0: default-ignorable and blank characters, tags, and areas of private use."""
    found, faults = parse(f"title: Barn{character}\n".encode(), "a.yaml")
    assert found is None
    assert [fault.wrong for fault in faults] == [f"the invisible character U+{ord(character):04X} stands here"]


def test_a_title_of_an_accent_alone_is_refused(handbook: Handbook) -> None:
    text = handbook.edit("sites/shed.yaml", "title: ", "title: \u0301")
    assert text
    assert any("starts with an accent that stands on nothing" in str(fault) for fault in handbook.faults())


@pytest.mark.parametrize("name", ["con", "aux", "lpt1"])
def test_a_name_that_windows_keeps_for_itself_is_no_id(handbook: Handbook, name: str) -> None:
    site: Path = handbook.folder / "sites" / "shed.yaml"
    site.rename(site.with_name(f"{name}.yaml"))
    handbook.edit(f"sites/{name}.yaml", "id: shed", f"id: {name}")
    assert any(fault.key == "id" for fault in handbook.faults())

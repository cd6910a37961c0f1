"""The safety notices of content/notices: one file a subject, ids unique over all files, kept in the files' order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from generator.errors import Fault, InputFaults
from generator.model.content.notices import Notice, NoticeFile
from generator.model.settings import ENGLISH
from generator.read.content.overlay import load_in_language
from generator.read.yaml.yaml_file import YamlFile

FOLDER = "notices"


def read_notices(content: Path, language: str = ENGLISH) -> tuple[Notice, ...]:
    """Return every notice under `content`, in the words of a language where it has them.

    InputFaults with all the faults of all files.
    """
    paths = sorted((content / FOLDER).glob("*.yaml"))
    files = [load_in_language(content, f"{FOLDER}/{path.name}", NoticeFile, language=language) for path in paths]
    faults = [fault for file in files for fault in file.faults]
    faults += _repeated(files)
    if faults:
        raise InputFaults(faults)
    return tuple(notice for file in files if file.value for notice in file.value.notices)


def _repeated(files: Sequence[YamlFile[NoticeFile]]) -> Iterator[Fault]:
    seen: dict[str, str] = {}
    for file in files:
        for index, notice in enumerate(file.value.notices if file.value else ()):
            if notice.id in seen:
                wrong = f"'{notice.id}' is the id of a notice in {seen[notice.id]} too"
                yield file.fault(("notices", index, "id"), wrong, "an id of its own")
            seen[notice.id] = file.name

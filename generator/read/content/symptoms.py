"""Fault finding from content/faults: one file a symptom, and the safe states that symptoms and causes name."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from pathlib import Path

from generator.errors import Fault, InputFaults
from generator.model.content.symptoms import SafeStates, Symptom, SymptomBook
from generator.model.settings import ENGLISH
from generator.read.content.overlay import load_in_language
from generator.read.yaml.yaml_file import YamlFile
from generator.read.yaml.yaml_marks import Path as KeyPath

FOLDER = "faults"
STATES = "_safe_states.yaml"


def read_symptoms(content: Path, notice_ids: Collection[str], language: str = ENGLISH) -> SymptomBook:
    """Return fault finding in the words of a language where it has them. InputFaults with all faults.

    `notice_ids` are the notices that symptoms may name.
    """
    states_file = load_in_language(content, f"{FOLDER}/{STATES}", SafeStates, language=language)
    paths = [path for path in sorted((content / FOLDER).glob("*.yaml")) if path.name != STATES]
    files = [load_in_language(content, f"{FOLDER}/{path.name}", Symptom, language=language) for path in paths]
    faults = [*states_file.faults, *(fault for file in files for fault in file.faults)]
    states = {state.id: state for state in states_file.value.safe_states} if states_file.value else {}
    if states_file.value:
        faults += [fault for file in files for fault in _unknown_names(file, states, notice_ids)]
    if faults:
        raise InputFaults(faults)
    symptoms = [file.value for file in files if file.value]
    return SymptomBook(tuple(sorted(symptoms, key=lambda symptom: symptom.order)), states)


def _unknown_names(file: YamlFile[Symptom], states: Collection[str], notice_ids: Collection[str]) -> Iterator[Fault]:
    """Yield a fault for every name that nothing bears, and for an id that is not the file's name."""
    symptom = file.value
    if symptom is None:
        return
    if symptom.id != file.stem:
        yield file.fault(("id",), f"'{symptom.id}' is not the file's name", f"write {file.stem}, or rename the file")
    for path, state in _states_named(symptom):
        if state not in states:
            yield file.fault(path, f"no safe state is called '{state}'", f"one of {', '.join(states)}")
    for index, notice in enumerate(symptom.notices):
        if notice not in notice_ids:
            yield file.fault(("notices", index), f"no notice is called '{notice}'", "the id of a notice")


def _states_named(symptom: Symptom) -> Iterator[tuple[KeyPath, str]]:
    yield ("safe_state",), symptom.safe_state
    for index, cause in enumerate(symptom.causes):
        if cause.safe_state is not None:
            yield ("causes", index, "safe_state"), cause.safe_state

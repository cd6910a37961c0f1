"""What stopped a run is an annotation at its place, and no name of a file can start another.

Syntax: GitHub Docs, Workflow commands, `::error file={name},line={line},col={col}::{message}`; per cent, line ends, and
in a property colon and comma, are escaped (actions/toolkit, packages/core/src/command.ts, from memory).
"""

from generator.errors import Fault
from generator.render.check.programs import faults_annotations


def test_a_fault_stands_at_its_place() -> None:
    fault = Fault("site_data/sites/shed.yaml", 12, 5, "route.length", "'35' has no unit", "write a length")
    assert faults_annotations([fault]) == (
        "::error file=site_data/sites/shed.yaml,line=12,col=5::route.length: '35' has no unit; write a length"
    )


def test_a_name_cannot_start_an_annotation_of_its_own() -> None:
    (line,) = faults_annotations([Fault("sites/e,x\n::error file=y::pwned", 1, 1, "file", "50 %", "none")]).split("\n")
    assert line == "::error file=sites/e%2Cx%0A%3A%3Aerror file=y%3A%3Apwned,line=1,col=1::file: 50 %25; none"


def test_no_sign_of_a_name_or_a_text_steers_a_terminal() -> None:
    (line,) = faults_annotations([Fault("sites/\x1b[2J\u202e.yaml", 1, 1, "file", "\x1b]0;x\x07 50 %", "none")]).split(
        "\n"
    )
    assert line == ("::error file=sites/\\x1b[2J\\u202e.yaml,line=1,col=1::file: \\x1b]0;x\\x07 50 %25; none")

"""What handbook.yaml misspells is told, also where nothing can be computed beside it."""

from pathlib import Path

import pytest

from generator.build import load
from generator.errors import InputFaults
from tests.frozen import copied


@pytest.mark.parametrize("key", ["code_basis", "plumbing_basis"])
def test_an_unknown_basis_of_the_handbook_is_the_one_fault(tmp_path: Path, key: str) -> None:
    folders = copied(tmp_path)
    settings = tmp_path / "site_data" / "handbook.yaml"
    text = settings.read_text(encoding="utf-8")
    assert f"{key}: us\n" in text
    settings.write_text(text.replace(f"{key}: us\n", f"{key}: uk\n"), encoding="utf-8")
    with pytest.raises(InputFaults) as refused:
        load(folders)
    (fault,) = refused.value.faults
    assert (fault.file, fault.key, fault.wrong.split()[0]) == ("site_data/handbook.yaml", key, "'uk'")

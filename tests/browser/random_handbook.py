"""A handbook of random sites, built all the way: what holds of the demo holds of sites that nobody wrote."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from generator import build
from generator.build import Loaded
from generator.compute.model import compute_model
from generator.errors import HandbookError
from generator.model.inputs import Inputs
from tests.frozen import copied
from tests.print.random_sites import random_views


def random_inputs(loaded: Loaded, seed: int, number: int) -> Inputs:
    """The demo's inputs with `number` random sites in the place of its own, each on a random heater of its own."""
    sites, models = [], []
    for place, (_, view) in enumerate(random_views(loaded.inputs, seed, 3 * number)):
        model = view.heater.model_copy(update={"id": f"heater-{place}"})
        try:
            compute_model(model, loaded.inputs)
        except HandbookError:
            continue  # no such heater may be published
        models.append(model)
        sites.append(view.spec.model_copy(update={"id": f"place-{len(sites)}", "heater": model.id}))
        if len(sites) == number:
            break
    assert len(sites) == number
    return replace(loaded.inputs, models=tuple(models), sites=tuple(sites), records=(), installed={})


def built_of(loaded: Loaded, root: Path, *, seed: int, number: int) -> Path:
    """Build the handbook of random sites in a project at `root`; return the folder of its pages."""
    given = random_inputs(loaded, seed, number)
    folders = copied(root)
    shutil.rmtree(folders.data / "revisions")
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(build, "read_sound", lambda _data, _tables: (given, ()))
        build.build(folders)
    return root / "build" / "site"

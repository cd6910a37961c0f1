"""The whole compute stage: inputs to results. Refusals of all models and sites are raised together."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Protocol, TypeVar

from generator.compute.model import compute_model
from generator.compute.site import compute_site
from generator.errors import CannotCompute, ComputeFaults
from generator.model.inputs import Inputs
from generator.model.results import Results


class _Named(Protocol):
    @property
    def id(self) -> str: ...


Subject = TypeVar("Subject", bound=_Named)
Result = TypeVar("Result")


def compute(inputs: Inputs) -> Results:
    """Return everything that follows from the inputs. ComputeFaults with every refusal, by model and site."""
    refusals: list[tuple[tuple[str, str], CannotCompute]] = []
    basis = inputs.codes[inputs.settings.code_basis]
    models = _each("model", inputs.models, lambda model: compute_model(model, basis, inputs), refusals=refusals)
    sites = _each("site", inputs.sites, lambda site: compute_site(site, inputs), refusals=refusals)
    if refusals:
        raise ComputeFaults(refusals)
    return Results(models, sites)


def _each(
    kind: str,
    subjects: Iterable[Subject],
    work: Callable[[Subject], Result],
    *,
    refusals: list[tuple[tuple[str, str], CannotCompute]],
) -> tuple[Result, ...]:
    done = []
    for subject in subjects:
        try:
            done.append(work(subject))
        except CannotCompute as refusal:
            refusals.append(((kind, subject.id), refusal))
    return tuple(done)

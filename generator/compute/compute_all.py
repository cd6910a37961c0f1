"""The whole compute stage: inputs to results. Refusals of all models and sites are raised together."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from typing import Protocol, TypeVar

from generator.compute.model import compute_model
from generator.compute.own_rules import refuse_unknown
from generator.compute.site import compute_site
from generator.errors import CannotCompute, ComputeFaults
from generator.model.inputs import Inputs
from generator.model.results import Results
from generator.model.tables.codes import NEEDED, CodeBasis


class _Named(Protocol):
    @property
    def id(self) -> str: ...


Subject = TypeVar("Subject", bound=_Named)
Result = TypeVar("Result")


def compute(inputs: Inputs, on_site: Callable[[], None] = lambda: None, only: Collection[str] = ()) -> Results:
    """Return everything that follows from the inputs; `on_site` is called after each site.

    `only`: what follows of these sites and their heaters alone, where any are named.
    ComputeFaults with every refusal, by model and site.
    """
    refusals = [
        (("code", f"{basis.id}.basis"), refusal) for basis in inputs.codes.values() for refusal in _lacks(basis)
    ]
    if refusals:
        raise ComputeFaults(refusals)
    asked = [site for site in inputs.sites if not only or site.id in only]
    heaters = {site.heater for site in asked}
    wanted = [model for model in inputs.models if not only or model.id in heaters]
    models = _each("model", wanted, lambda model: compute_model(model, inputs), refusals=refusals)
    judged = inputs.sites if inputs.rules else asked  # whether a rule's figure is any site's, all sites say
    sites = _each("site", judged, lambda site: compute_site(site, inputs), refusals=refusals, after=on_site)
    _each("rule", inputs.rules, lambda rule: refuse_unknown(rule, sites), refusals=refusals)
    if refusals:
        raise ComputeFaults(refusals)
    return Results(models, tuple(site for site in sites if not only or site.id in only))


def _lacks(basis: CodeBasis) -> Iterator[CannotCompute]:
    """Yield a refusal for each table that circuits of the basis's family are computed by and that it has not."""
    family = basis.header.family
    methods = {method.correction_table for method in basis.methods.methods.values() if method.correction_table}
    for table in sorted({*NEEDED[family], *methods} - basis.tables.keys()):
        expected = f"the file {table}.yaml beside it, as in a basis of the family {family} that this program comes with"
        yield CannotCompute(("family",), f"the basis has no table '{table}'", expected)


def _each(
    kind: str,
    subjects: Iterable[Subject],
    work: Callable[[Subject], Result],
    *,
    refusals: list[tuple[tuple[str, str], CannotCompute]],
    after: Callable[[], None] = lambda: None,
) -> tuple[Result, ...]:
    done = []
    for subject in subjects:
        try:
            done.append(work(subject))
        except CannotCompute as refusal:
            refusals.append(((kind, subject.id), refusal))
        after()
    return tuple(done)

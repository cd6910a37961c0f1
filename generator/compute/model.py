"""Everything that follows from a heater model alone: stages and rises at each rating, circuits by the nameplate."""

from __future__ import annotations

from generator.compute.circuit.circuits import model_circuits, model_marking
from generator.compute.circuit.element_table import element_tables
from generator.compute.circuit.fit.torque import require_plausible_torque, terminal_torque
from generator.compute.heat.figures.rise import rise_tables
from generator.compute.heat.figures.stages import stage_results
from generator.compute.heat.figures.window import least_flow_figures
from generator.compute.nameplate import model_subject, nameplate_finding
from generator.model.codes import CodeBasis
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.results import ModelResult


def compute_model(model: HeaterModel, basis: CodeBasis, inputs: Inputs) -> ModelResult:
    """Return the model's results; its circuits on the code basis whose frequency the model is made for.

    Ids start with `model.<id>`. CannotCompute for what the code tables do not hold and for a torque beyond belief.
    """
    require_plausible_torque(model)
    prefix, rating = f"model.{model.id}", model.ratings[0]
    flows, own_basis = inputs.settings.flows_shown_m3_s, _basis_for(model, basis, inputs)
    return ModelResult(
        id=model.id,
        stages=stage_results(prefix, model, rating.voltage_v, phases=rating.phases),
        rise_tables=rise_tables(f"{prefix}.rise", model, flows),
        least_flows=least_flow_figures(prefix, model),
        circuits=model_circuits(model, own_basis),
        torque=terminal_torque(prefix, model, basis),
        element_tables=element_tables(model),
        findings=(nameplate_finding(model), model_marking(model, own_basis).at(model_subject(model))),
    )


def _basis_for(model: HeaterModel, basis: CodeBasis, inputs: Inputs) -> CodeBasis:
    """Return the handbook's basis, or another one if only that has the model's frequency."""
    candidates = [basis, *inputs.codes.values()]
    return next((one for one in candidates if one.header.frequency_hz == model.frequency_hz), basis)

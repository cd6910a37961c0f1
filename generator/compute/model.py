"""Everything that follows from a heater model alone: stages and rises at each rating, circuits by the nameplate."""

from __future__ import annotations

from generator.compute.circuit.circuits import model_circuits, model_marking
from generator.compute.circuit.element_table import element_tables
from generator.compute.circuit.fit.torque import require_plausible_torque, terminal_torque
from generator.compute.circuit.lost import model_lost_tables
from generator.compute.heat.figures.rise import rise_tables
from generator.compute.heat.figures.rise_curves import rise_curves
from generator.compute.heat.figures.stages import stage_results
from generator.compute.heat.figures.window import least_flow_figures
from generator.compute.nameplate import model_subject, nameplate_finding
from generator.compute.usual import usual_values
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.results import ModelResult


def compute_model(model: HeaterModel, inputs: Inputs) -> ModelResult:
    """Return the model's results, on the code basis that it is shown on (`Inputs.basis_of_model`).

    Ids start with `model.<id>`. CannotCompute for what the code tables do not hold and for a torque beyond belief.
    """
    prefix, rating = f"model.{model.id}", model.ratings[0]
    flows, basis = inputs.settings.flows_shown_m3_s, inputs.basis_of_model(model)
    require_plausible_torque(model, basis)
    return ModelResult(
        id=model.id,
        stages=stage_results(prefix, model, rating.voltage_v, phases=rating.phases),
        rise_tables=rise_tables(f"{prefix}.rise", model, flows),
        least_flows=least_flow_figures(prefix, model),
        circuits=model_circuits(model, basis),
        torque=terminal_torque(prefix, model, basis),
        rise_curves=rise_curves(f"{prefix}.rise", model, flows),
        element_tables=element_tables(model, inputs.tolerances),
        lost_tables=model_lost_tables(model),
        findings=(
            nameplate_finding(model),
            model_marking(model, basis).at(model_subject(model)),
            usual_values(model_subject(model), model, inputs.usual.models),
        ),
    )

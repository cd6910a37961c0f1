"""The table of a site's devices with a stated loss, at the working flow."""

from __future__ import annotations

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pipes.stated_loss import StatedLoss
from generator.compute.flow.pressure_working import BALANCE, loss_step
from generator.compute.sources import STATED
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.said import say


def device_table(prefix: str, at: Operating) -> tuple[FigureTable, ...]:
    """Return the devices by run: stated loss and flow, loss at the working flow, and what is behind each; or nothing.

    Ids `<prefix>.device.<run>.<n>.…`.
    """
    rows, pressure_pa, way = [], at.way.at_start(at.working_m3_s), at.way
    for run in (*way.cold, *way.hot):
        if run.hot and run.number == 1:
            pressure_pa = way.at_heater(at.working_m3_s) - way.heater.total_pa(at.working_m3_s)
        before_pa = pressure_pa
        for place, device in enumerate(run.devices, start=1):
            behind_pa = device.behind_pa(before_pa, at.working_m3_s)
            id_ = f"{prefix}.device.{run.key}.{place}"
            rows.append((_head(run.label, device), _cells(id_, at, device, before_pa=before_pa, behind_pa=behind_pa)))
            before_pa = behind_pa
        pressure_pa = way.behind(run, pressure_pa, at.working_m3_s)
    if not rows:
        return ()
    heads = (say("stated-loss"), say("at-flow-of"), say("loss-when-open"), say("pressure-behind-it"))
    columns = tuple(Value(head, head, "text") for head in heads)
    conditions = (Value(say("at-working-flow"), at.working_m3_s, "flow"),)
    title, note = say("devices"), say("devices-note")
    return (FigureTable(f"{prefix}.devices", title, say("device"), columns, tuple(rows), note, conditions),)


def _head(run: str, device: StatedLoss) -> Value:
    return Value("device", say("device-of-run", run=run, device=device.device.name), "text")


def _cells(id_: str, at: Operating, device: StatedLoss, *, before_pa: float, behind_pa: float) -> tuple[Figure, ...]:
    stated, flow = device.device, Value("Q", at.working_m3_s, "flow")
    name, loss_pa = stated.name, device.loss_pa(at.working_m3_s)
    loss = loss_step("Δp", device, at.working_m3_s)
    behind = Value("p", behind_pa, "pressure", "at_most")
    held = (Value("p_held", device.outlet_pa, "pressure"),) if device.regulates else ()
    formula = "p = min(p_before − Δp, p_held)" if held else "p = p_before − Δp"
    last = Step(formula, (Value("p_before", before_pa, "pressure"), loss.result, *held, flow), behind, BALANCE)
    given = Step("Δp_stated", (), Value("Δp_stated", stated.loss_pa, "pressure", "at_least"), STATED)
    at_flow = Step("Q_stated", (), Value("Q_stated", stated.flow_m3_s, "flow"), STATED)
    return (
        Figure(
            f"{id_}.stated", say("device-stated-loss", device=name), stated.loss_pa, "pressure", "at_least", (given,)
        ),
        Figure(f"{id_}.flow", say("device-stated-flow", device=name), stated.flow_m3_s, "flow", "neither", (at_flow,)),
        Figure(f"{id_}.loss", say("device-loss", device=name), loss_pa, "pressure", "at_least", (loss,)),
        Figure(f"{id_}.behind", say("behind-device", device=name), behind_pa, "pressure", "at_most", (loss, last)),
    )

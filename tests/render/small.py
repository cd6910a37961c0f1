"""A book of one model and one site with figures written by hand, for tests of what is shown.

Nothing here checks a number: the figures only have to be there. Titles hold characters that Markdown and HTML give a
meaning, since a writer's title may.
"""

from collections import defaultdict

import yaml

from generator.assemble.documents import Book, ModelView, SiteView
from generator.model.content.notices import ActiveNotice, Notice
from generator.model.figures import Figure, FigureTable, Finding, Sentence, Step, Value
from generator.model.heater import HeaterModel
from generator.model.results import CircuitResult, Conductors, FlowWindow, ModelResult, SiteResult, StageResult
from generator.model.settings import Settings
from generator.model.site import Site
from generator.model.tables.basis_header import BasisHeader
from generator.model.tables.clauses import Clauses
from generator.model.tables.codes import CodeBasis, Methods
from generator.model.tables.pass_limits import PassLimits
from tests.compute.wet_cases import PIPES, TOLERANCES
from tests.frozen import DATA, ROOT
from tests.styles import WORDS

DO = Sentence("Select fewer stages.")
STAGES = (1, 2, 3, 4)  # those of beck-9
HOSTILE = "Shed | <b>bold</b> *star* _line_ `code` [link](x) & # {: .a }"
BALANCE = Step(
    "T_out = T_in + P / (c × Q)",
    (Value("T_in", 290.0, "temperature"), Value("P", 9600.0, "power"), Value("Q", 6.3e-5, "flow")),
    Value("T_out", 326.0, "temperature", "at_least"),
    "steady-flow energy balance",
)


def raw(path: str) -> dict[str, object]:
    return yaml.load(
        ((ROOT if path.startswith("content") else DATA) / path).read_text(encoding="utf-8"), Loader=yaml.BaseLoader
    )


def figure(id_: str, label: str, value: float | str | None, kind: str, **more: object) -> Figure:
    return Figure(id_, label, value, kind, **({"steps": (BALANCE,)} | more))


def table(id_: str, title: str, kind: str, values: list[float]) -> FigureTable:
    """One row of stage 1 over three flows: an ordinary cell, one above the limit, one that is not closed."""
    flows = tuple(Value("Q", flow, "flow") for flow in (3e-5, 6e-5, 9e-5))
    cells = (
        figure(f"{id_}.1", "Outlet", values[0], kind, bound="at_least"),
        figure(
            f"{id_}.2",
            "Outlet",
            values[1],
            kind,
            bound="at_least",
            state="above-limit",
            reason="Hotter than the limit.",
        ),
        figure(f"{id_}.3", "Outlet", None, kind, state="not-on", reason="Too little flow."),
    )
    conditions = (Value("inlet", 285.0, "temperature"),)
    return FigureTable(id_, title, "stages", flows, ((Value("stage", 1.0, "count"), cells),), "A note.", conditions)


def stage(prefix: str, number: int = 1) -> StageResult:
    return StageResult(
        number,
        figure(f"{prefix}.power", "Power", 9600.0, "power"),
        figure(f"{prefix}.current", "Current", 40.0, "current", bound="at_least"),
        figure(f"{prefix}.closes", "Closes at", 2.5e-5, "flow", bound="at_least"),
        figure(f"{prefix}.opens", "Opens at", 2.0e-5, "flow", bound="at_most"),
        figure(f"{prefix}.ohms", "Element resistance", 6.0, "resistance"),
    )


def circuit(prefix: str, stages: tuple[int, ...] = (1,)) -> CircuitResult:
    amps = {
        name: figure(f"{prefix}.{name}", name.replace("_", " ").capitalize(), 50.0, "current", bound="at_least")
        for name in ("load_current", "floor", "recommended", "ceiling", "device")
    }
    return CircuitResult(
        conductors=Conductors(lines=2, neutral=False, to_neutral=False),
        name="A",
        **amps,
        poles=figure(f"{prefix}.poles", "Poles", 2.0, "count"),
        conductor=figure(f"{prefix}.conductor", "Conductor", "8 AWG", "text"),
        ground=figure(f"{prefix}.ground", "Grounding conductor", "10 AWG", "text"),
        governing="termination",
        expected_current=figure(f"{prefix}.expected", "Expected current", 38.0, "current", bound="at_least"),
        power_by_stage=tuple(
            figure(f"{prefix}.delivered.{number}", "Power at the heater", 9100.0, "power") for number in stages
        ),
        line_currents=tuple(
            (figure(f"{prefix}.expected.{number}", "Expected current", 38.0, "current", bound="at_least"),)
            for number in stages
        ),
    )


def finding(severity: str, rule: str) -> Finding:
    found = Sentence(
        "Water at {hot} is possible; the limit is {limit}.",
        (Value("hot", 331.5, "temperature", "at_least"), Value("limit", 322.0, "temperature", "at_most")),
    )
    return Finding(
        f"shed.{rule}",
        rule,
        severity,
        "shed",
        found,
        Sentence("It scalds."),
        DO,
        "a source",
        title=rule.replace("-", " ").capitalize(),
    )


def model_view(site: Site | None = None) -> ModelView:
    spec = HeaterModel.model_validate(raw("models/beck-9.yaml"))
    rise = table("model.beck-9.rise", "Temperature rise", "temperature_difference", [20.0, 40.0])
    least = (figure("model.beck-9.least", "Least flow", 3e-5, "flow", bound="at_least"),)
    result = ModelResult(
        spec.id,
        (stage("model.beck-9.stage.1"),),
        (rise,),
        least,
        (circuit("model.beck-9.circuit.a"),),
        figure("model.beck-9.torque", "Torque", 2.82, "torque"),
    )
    return ModelView(spec, result, () if site is None else (site,), basis(), WORDS, TOLERANCES)


def site_view() -> SiteView:
    entries = raw("sites/potting-shed.yaml") | {"id": "shed", "title": HOSTILE, "heater": "beck-9"}
    spec = Site.model_validate(entries)
    figures = {
        name: figure(f"site.shed.{name}", name, 300.0, "temperature")
        for name in ("winter_inlet", "summer_inlet", "target", "limit", "hottest", "hottest_top")
    }
    windows = tuple(
        FlowWindow(
            number,
            figure(f"site.shed.least.{number}", "Least", 3e-5, "flow", bound="at_least"),
            figure(f"site.shed.most.{number}", "Greatest", 9e-5, "flow", bound="at_most"),
        )
        for number in STAGES
    )
    result = SiteResult(
        id=spec.id,
        supply_power=figure("site.shed.power", "Power", 9600.0, "power"),
        stages=tuple(stage(f"site.shed.stage.{number}", number) for number in STAGES),
        outlet_winter=table("site.shed.winter", "Outlet, winter", "temperature", [310.0, 331.0]),
        outlet_summer=table("site.shed.summer", "Outlet, summer", "temperature", [315.0, 335.0]),
        windows=windows,
        circuits=(circuit("site.shed.circuit.a", STAGES),),
        torque=figure("site.shed.torque", "Torque", 2.82, "torque"),
        supply_range=(
            figure("site.shed.supply.least", "Least voltage", 228.0, "voltage"),
            figure("site.shed.supply.greatest", "Greatest voltage", 252.0, "voltage"),
        ),
        findings=(finding("ok", "supply-voltage"), finding("attention", "drop"), finding("stop", "hottest-water")),
        **figures,
    )
    return SiteView(spec, result, model_view().spec, basis(), WORDS, TOLERANCES)


def basis() -> CodeBasis:
    return CodeBasis(
        BasisHeader.model_validate(raw("codes/us/basis.yaml")),
        Methods.model_validate(raw("codes/us/wiring_methods.yaml")),
        Clauses.model_validate(raw("codes/us/rules.yaml")),
        PassLimits.model_validate(raw("codes/us/pass_limits.yaml")),
        {},
    )


def scald(form: str = "section") -> ActiveNotice:
    entries = next(entry for entry in raw("content/notices/3-hot-water.yaml")["notices"] if entry["id"] == "scald")
    because = Sentence("Water at {hot} is possible.", (Value("hot", 331.5, "temperature", "at_least"),))
    return ActiveNotice(Notice.model_validate(entries), form, because)


def small_book(**changes: object) -> Book:
    site = site_view()
    settings = Settings.model_validate(raw("handbook.yaml") | changes)
    notices = {"sites/shed": (scald(),)}
    codes = {"shed": "ABCD-EFGH"}
    return Book(
        settings,
        (model_view(site.spec),),
        (site,),
        {"us": site.basis},
        WORDS,
        TOLERANCES,
        notices,
        card_codes=codes,
        pipes=PIPES,
        trades=defaultdict(lambda: "owner"),
    )

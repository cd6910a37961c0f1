"""Each way a writer can go wrong: one small edit, and the one fault that must come of it, with place, key and words.

The mark ^ in the edited text stands where the fault must point. It is taken out before the file is written.
"""

import pytest

from tests.read.conftest import Handbook, place

MODEL, SITE, SETTINGS = "models/brook-6.yaml", "sites/shed.yaml", "handbook.yaml"
BASIS, METHODS, TABLE = "codes/test/basis.yaml", "codes/test/wiring_methods.yaml", "codes/test/ampacity.yaml"
POWER = "write a power in W, kW or Btu/h, above 0 kW to 200 kW"
LENGTH = "write a length in ft, in, m, cm or mm, from 0 ft to 3000 ft"
ROUTE_KEYS = (
    "'method', 'conductor', 'insulation', 'length', 'ambient', 'other_conductors', 'other_circuits', "
    "'arrangement', 'wet', 'feeds_share_raceway' and 'terminations'"
)

# file, what stands there, what is written instead, key, what is wrong, what is expected
Case = tuple[str, str, str, str, str, str]

QUANTITIES: list[Case] = [
    (MODEL, "power: 6 kW", "power: ^6", "ratings[1].power", "'6' has no unit", POWER),
    (MODEL, "power: 6 kW", "power: ^6 gpm", "ratings[1].power", "'6 gpm': 'gpm' is a flow", POWER),
    (MODEL, "power: 6 kW", "power: ^6 kQ", "ratings[1].power", "'6 kQ': 'kQ' is no unit of this handbook", POWER),
    (MODEL, "power: 6 kW", "power: ^-6 kW", "ratings[1].power", "'-6 kW' is out of range", POWER),
    (MODEL, "power: 6 kW", "power: ^0 kW", "ratings[1].power", "'0 kW' is out of range", POWER),
    (MODEL, "power: 6 kW", "power: ^201 kW", "ratings[1].power", "'201 kW' is out of range", POWER),
    (
        MODEL,
        "power: 6 kW",
        "power: ^nan kW",
        "ratings[1].power",
        "'nan kW' is not a decimal number, one space and a unit",
        POWER,
    ),
    (
        MODEL,
        "power: 6 kW",
        "power: ^.inf",
        "ratings[1].power",
        "'.inf' is not a decimal number, one space and a unit",
        POWER,
    ),
    (
        MODEL,
        "power: 6 kW",
        "power: ^'1,5 kW'",
        "ratings[1].power",
        "'1,5 kW' is not a decimal number, one space and a unit",
        POWER,
    ),
    (SITE, "length: 35 ft", "length:^ ", "route.length", "this has no value", LENGTH),
    (SITE, "length: 35 ft", "length: ^null", "route.length", "this has no value", LENGTH),
    (SITE, "length: 35 ft", "^length: [35 ft]", "route.length", "a list stands here", LENGTH),
    (SITE, "length: 35 ft", "^length: {ft: 35}", "route.length", "a mapping stands here", LENGTH),
    (
        SITE,
        "ambient: 86 degF",
        "ambient: ^86 delta_degF",
        "route.ambient",
        "'86 delta_degF': 'delta_degF' is a temperature difference",
        "write a temperature in degF or degC, from -40 degF to 185 degF",
    ),
]

OTHER_VALUES: list[Case] = [
    (
        SITE,
        "spaces: 4",
        "spaces: ^4.5",
        "supply.panel.spaces",
        "'4.5' is not a whole number",
        "write a count such as 2, with no unit",
    ),
    (SITE, "continuous: no", "continuous: ^No", "use.continuous", "'No' is neither yes nor no", "write yes or no"),
    (
        SITE,
        "date: 2026-01-02",
        "date: ^2026-02-30",
        "accepts[1].date",
        "'2026-02-30' is not a day of the calendar",
        "write year-month-day, such as 2026-09-14",
    ),
    (
        SITE,
        "date: 2026-01-02",
        "date: ^20260102",
        "accepts[1].date",
        "'20260102' is not a date",
        "write year-month-day, such as 2026-09-14",
    ),
    (
        MODEL,
        "largest: 6 AWG",
        "largest: ^6 gauge",
        "electrical.terminals.largest",
        "'6 gauge' is not allowed here",
        "write a conductor size such as 12 AWG, 1/0 AWG or 2.5 mm2",
    ),
    (
        SITE,
        "conductor: copper",
        "conductor: ^gold",
        "route.conductor",
        "'gold' is not one of the words for this",
        "write 'copper' or 'aluminum'",
    ),
    (
        MODEL,
        "voltage: 240 V, phases: 1",
        "voltage: 240 V, phases: ^2",
        "ratings[1].phases",
        "'2' is not one of the words for this",
        "write 1 or 3",
    ),
    (SETTINGS, "title: Small handbook", "title:^", "title", "this has no value", "write a text"),
    (SITE, "title: Shed", "^title: [Shed]", "title", "a list stands here", "write a text"),
    (
        SITE,
        "  insulation: hot-wire\n",
        "  insulation: hot-wire\n  arrangement:^\n",
        "route.arrangement",
        "this has no value",
        "write a text, or leave the key out",
    ),
]

SHAPES: list[Case] = [
    (
        SITE,
        "  - {name: sink, kind: service sink, flow: 1 gpm, target: 100 degF}\n",
        "  ^a sink\n",
        "fixtures",
        "the text 'a sink' stands here",
        "write a list, each item on a line that starts with '- '",
    ),
    (
        SITE,
        "fixtures:\n  - {name: sink, kind: service sink, flow: 1 gpm, target: 100 degF}\n",
        "^fixtures: []\n",
        "fixtures",
        "there are 0 items here",
        "write at least 1",
    ),
    (
        SITE,
        "inlet: {winter: 50 degF, summer: 68 degF}",
        "inlet: {^monthly: [50 degF]}",
        "water.inlet.monthly",
        "there is 1 item here",
        "write at least 12",
    ),
    (
        SITE,
        "inlet: {winter: 50 degF, summer: 68 degF}",
        "inlet: ^50 degF",
        "water.inlet",
        "the text '50 degF' stands here",
        "write the keys 'winter', 'summer', 'monthly' and 'climate'",
    ),
    (
        SITE,
        "fittings: {elbow-90: 5}",
        "^fittings: [elbow-90]",
        "water.cold_run[1].fittings",
        "a list stands here",
        "write one 'name: value' a line",
    ),
    (
        SITE,
        "fittings: {elbow-90: 5}",
        "fittings: {elbow-90: ^many}",
        "water.cold_run[1].fittings.elbow-90",
        "'many' is not a whole number",
        "write a count such as 2, with no unit",
    ),
]

KEYS: list[Case] = [
    (
        SITE,
        "  length: 35 ft\n",
        "  ^lenght: 35 ft\n",
        "route.lenght",
        "'lenght' is no key here",
        "the nearest known key is 'length'",
    ),
    (
        SITE,
        "  length: 35 ft\n",
        "  length: 35 ft\n  ^qqq: 1\n",
        "route.qqq",
        "'qqq' is no key here",
        f"the keys here are {ROUTE_KEYS}",
    ),
    (
        SITE,
        "  length: 35 ft\n",
        "  ^length_m: 35 ft\n",
        "route.length_m",
        "'length_m' is no key here",
        "the nearest known key is 'length'",
    ),
    (
        SITE,
        "route:\n  method: conduit\n  conductor: copper\n  insulation: hot-wire\n  length: 35 ft\n",
        "^route:\n  method: conduit\n  conductor: copper\n  insulation: hot-wire\n",
        "route.length",
        "this key is missing",
        f"add it: {LENGTH}",
    ),
    (
        MODEL,
        "  - {share: 60 %, closes_at: 0.8 gpm, opens_at: 0.7 gpm}\n",
        "  - ^{share: 60 %, closes_at: 0.8 gpm}\n",
        "stages[2].opens_at",
        "this key is missing",
        "add it: write a flow in gpm, L/min or L/s, above 0 gpm to 60 gpm",
    ),
    (
        SITE,
        "id: shed\n",
        "^",
        "id",
        "this key is missing",
        "add it: write lower-case letters, digits and single hyphens, such as beck-9",
    ),
    (
        SETTINGS,
        "units: both\n",
        "units: both\n^units: us\n",
        "units",
        "this key stands on line 7 already",
        "each key once",
    ),
    (
        SITE,
        "  length: 35 ft\n",
        "  length: 35 ft\n  ^length: 99\n",
        "route.length",
        "this key stands on line 21 already",
        "each key once",
    ),
]

RULES: list[Case] = [
    (
        MODEL,
        "closes_at: 0.8 gpm, opens_at: 0.7 gpm",
        "closes_at: ^0.45 gpm, opens_at: 0.42 gpm",
        "stages[2].closes_at",
        "stage 2 closes at a lower flow than stage 1",
        "list the stages in the order in which they close",
    ),
    (
        MODEL,
        "opens_at: 0.7 gpm",
        "opens_at: ^0.8 gpm",
        "stages[2].opens_at",
        "the stage opens at a flow no lower than the one it closes at",
        "opens_at below closes_at, so that the switch does not chatter",
    ),
    (
        MODEL,
        "stages:\n  - {share: 40 %",
        "^stages:\n  - {share: 50 %",
        "stages",
        "the shares of the stages do not add up to 100 %",
        "shares that add up to 100 %",
    ),
    (
        MODEL,
        "  feeds:\n    - {name: A, stages: [1, 2]",
        "  ^feeds:\n    - {name: A, stages: [1]",
        "electrical.feeds",
        "the feeds name the stages 1",
        "each stage from 1 to 2 on exactly one feed",
    ),
    (
        MODEL,
        "    - {name: A, stages: [1, 2], maximum_device: 40 A}\n",
        "    - {name: A, stages: [1]}\n    - {name: ^a, stages: [2]}\n",
        "electrical.feeds[2].name",
        "another feed is named 'a' too",
        "one name a feed",
    ),
    (
        MODEL,
        "maximum_device: 40 A",
        "factory_protection: [{^stages: [3], device: 30 A}]",
        "electrical.feeds[1].factory_protection[1].stages",
        "a stage of another feed is named",
        "stages of this feed, which has 1, 2",
    ),
    (
        MODEL,
        "  - {voltage: 240 V, phases: 1, power: 6 kW}\n",
        "  - {voltage: 240 V, phases: 1, power: 6 kW}\n  - ^{voltage: 240 V, phases: 1, power: 5 kW}\n",
        "ratings[2]",
        "this voltage and number of phases are rated above already",
        "one power a supply",
    ),
    (
        MODEL,
        "least: 25 psi",
        "least: ^150 psi",
        "water.working_pressure.least",
        "the working pressures are out of order",
        "least below greatest",
    ),
    (
        MODEL,
        "greatest_outlet: 140 degF",
        "greatest_outlet: ^151 degF",
        "water.greatest_outlet",
        "the temperature limits are out of order",
        "greatest_inlet below greatest_outlet, and greatest_outlet not above cut_out",
    ),
    (
        MODEL,
        "- {flow: 2.0 gpm, loss: 8 psi}",
        "- ^{flow: 2.0 gpm, loss: 1 psi}",
        "water.head_loss[2]",
        "the loss curve is out of order",
        "rising flows with rising losses",
    ),
    (
        MODEL,
        "connections:\n  - {water: cold inlet",
        "^connections:\n  - {water: hot outlet",
        "connections",
        "an inlet or an outlet is missing",
        "at least one cold inlet and one hot outlet",
    ),
    (
        SITE,
        "target: 100 degF",
        "target: ^100 degF, limit: 99 degF",
        "fixtures[1].target",
        "the target is above the limit temperature",
        "a target not above the limit",
    ),
    (
        SITE,
        "winter: 50 degF",
        "winter: ^70 degF",
        "water.inlet.winter",
        "winter is warmer than summer",
        "the coldest inlet as winter",
    ),
    (
        SITE,
        "inlet: {winter: 50 degF, summer: 68 degF}",
        "^inlet: {winter: 50 degF}",
        "water.inlet",
        "the inlet temperature is not given in exactly one way",
        "winter and summer, or twelve monthly values, or a climate: exactly one of the three",
    ),
    (
        SITE,
        "use:\n  continuous: no\n  reason: a few minutes at a time\n",
        "^use:\n  continuous: no\n",
        "use.reason",
        "the load is called non-continuous without a reason",
        "a reason, which is printed with the circuit",
    ),
    (
        TABLE,
        "  8 AWG: [40, null]",
        "  ^8 AWG: [40]",
        "rows.8 AWG",
        "the row has 1 cells for 2 columns",
        "one cell a column, null where the table states none",
    ),
    (
        TABLE,
        "  8 AWG: [40, null]",
        "  8 AWG: [40, ^[50]]",
        "rows.8 AWG[2]",
        "a list stands here",
        "write a number, a text or null",
    ),
]

REFERENCES: list[Case] = [
    (
        SITE,
        "heater: brook-6",
        "heater: ^brook-66",
        "heater",
        "'brook-66' is not a heater model",
        "the nearest is 'brook-6'",
    ),
    (
        SITE,
        "heater: brook-6",
        "heater: ^xyz",
        "heater",
        "'xyz' is not a heater model",
        "write one of 'brook-3' and 'brook-6'",
    ),
    (
        SITE,
        "heater: brook-6",
        "heater: brook-6\ncode_basis: ^tset",
        "code_basis",
        "'tset' is not a code basis",
        "the nearest is 'test'",
    ),
    (SETTINGS, "code_basis: test", "code_basis: ^us", "code_basis", "'us' is not a code basis", "write one of 'test'"),
    (
        SITE,
        "selected_stage: 2",
        "selected_stage: ^3",
        "selected_stage",
        "brook-6 has no stage 3",
        "write a stage from 1 to 2",
    ),
    (
        SITE,
        "selected_stage: 2",
        "selected_stage: ^0",
        "selected_stage",
        "brook-6 has no stage 0",
        "write a stage from 1 to 2",
    ),
    (
        SITE,
        "heater: brook-6\nselected_stage: 2",
        "heater: brook-3\nselected_stage: ^1",
        "selected_stage",
        "a stage is selected, and brook-3 has no stage selector",
        "leave the key out",
    ),
    (
        SITE,
        "finding: shed.hottest-water",
        "finding: ^barn.hottest-water",
        "accepts[1].finding",
        "'barn.hottest-water' is no finding of this site",
        "write shed, a point and the rule's name",
    ),
    (
        SITE,
        "finding: shed.hottest-water",
        "finding: ^shed.Hottest Water",
        "accepts[1].finding",
        "'shed.Hottest Water' is no finding of this site",
        "write shed, a point and the rule's name",
    ),
    (
        SITE,
        "  - {finding: shed.hottest-water,",
        "  - {finding: shed.hottest-water, reason: known, date: 2026-01-02}\n  - {finding: ^shed.hottest-water,",
        "accepts[2].finding",
        "'shed.hottest-water' is accepted above already",
        "each finding once",
    ),
    (
        SITE,
        "method: conduit",
        "method: ^conduct",
        "route.method",
        "'conduct' is not a wiring method of test",
        "the nearest is 'conduit'",
    ),
    (
        SITE,
        "insulation: hot-wire",
        "insulation: ^hotwire",
        "route.insulation",
        "'hotwire' is not an insulation of test",
        "the nearest is 'hot-wire'",
    ),
    (
        SITE,
        "method: conduit\n  conductor: copper\n  insulation: hot-wire",
        "method: cable\n  conductor: copper\n  insulation: ^hot-wire",
        "route.insulation",
        "'hot-wire' is not used with the wiring method 'cable'",
        "write one of 'damp-wire'",
    ),
    (
        SITE,
        "insulation: hot-wire",
        "insulation: hot-wire\n  arrangement: ^two layers",
        "route.arrangement",
        "'two layers' is not an arrangement of the wiring method 'conduit'",
        "write one of 'bunched' and 'one layer'",
    ),
    (
        SITE,
        "conductor: 8 AWG",
        "conductor: ^2.5 mm2",
        "existing_circuit.conductor",
        "'2.5 mm2' is no size of test",
        "write one of '10 AWG', '8 AWG' and '6 AWG'",
    ),
    (
        SITE,
        "conductor: 8 AWG",
        "conductor: 8 AWG\n  ground: ^12 AWG",
        "existing_circuit.ground",
        "'12 AWG' is no size of test",
        "write one of '10 AWG', '8 AWG' and '6 AWG'",
    ),
    (
        SITE,
        "id: shed",
        "id: ^Shed",
        "id",
        "'Shed' is not allowed here",
        "write lower-case letters, digits and single hyphens, such as beck-9",
    ),
    (
        TABLE,
        "table: ampacity",
        "table: ^ampacities",
        "table",
        "'ampacities' is not the file's name",
        "write ampacity, or rename the file",
    ),
    (BASIS, "id: test", "id: ^tests", "id", "'tests' is not the folder's name", "write test, or rename the folder"),
]

YAML: list[Case] = [
    (SITE, "heater: brook-6", "heater: ^&h brook-6", "heater", "the anchor &h is not read here", "leave it out, and write each value where it is used"),
    (SITE, "heater: brook-6", "heater: ^*h", "heater", "the alias *h is not read here", "write the value out"),
    (SITE, "heater: brook-6", "heater: brook-6\n^<<: {title: x}", "<<", "a merge key is not read here", "write the keys out"),
    (SITE, "spaces: 4", "spaces: ^!!int 4", "supply.panel.spaces", "the tag tag:yaml.org,2002:int is not read here", "leave it out"),
    (SITE, "title: Shed", 'title: ^"She\\0d"', "title", "the invisible character U+0000 stands in this text as an escape", "use plain spaces"),
]  # fmt: skip

# Where nothing more of the file can be read. The other files are read all the same.
UNREADABLE: list[Case] = [
    (SITE, "fittings: {elbow-90: 5}}", "fittings: ^[elbow-90}}", "file", "this is not YAML: did not find expected ',' or ']'", "close the bracket that is opened here, and part its items with commas"),
    (SITE, "title: Shed", 'title: ^"Shed', "file", "this is not YAML: found unexpected end of stream", "close the quotation mark"),
    (SITE, "title: Shed", "title: Shed^: the old one", "file", "this is not YAML: mapping values are not allowed in this context", "put a text that holds ': ' in quotation marks, and line up the keys"),
    (SITE, "title: Shed", "title: ^@shed", "file", "this is not YAML: found character that cannot start any token", "put a text that starts with @, %, ` or the like in quotation marks"),
    (SITE, "title: Shed", "title: ^\tShed", "file", "a tab stands here", "use plain spaces, and save as UTF-8"),
    (SITE, "length: 35 ft", "length: 35^\N{NO-BREAK SPACE}ft", "file", "a no-break space stands here", "use plain spaces, and save as UTF-8"),
    (SITE, "id: shed", "^\ufeffid: shed", "file", "a byte order mark stands here", "use plain spaces, and save as UTF-8"),
    (SITE, "title: Shed", "title: Shed\n^---\nid: two", "file", "a second document starts here", "one document a file, without ---"),
    (SITE, "title: Shed", "? ^[title]\n: Shed", "file", "a key that is no text stands here", "write a key as a word"),
]  # fmt: skip


def test_the_small_handbook_has_no_fault(handbook: Handbook) -> None:
    assert handbook.faults() == []


@pytest.mark.parametrize(
    ("file", "old", "new", "key", "wrong", "expected"),
    [*QUANTITIES, *OTHER_VALUES, *SHAPES, *KEYS, *RULES, *REFERENCES, *YAML, *UNREADABLE],
)
def test_a_fault_is_told_once_at_its_place(
    handbook: Handbook, file: str, old: str, new: str, key: str, wrong: str, expected: str
) -> None:
    text = handbook.edit(file, old, new)
    (fault,) = handbook.faults()
    assert (fault.file, fault.key, fault.wrong, fault.expected) == (f"site_data/{file}", key, wrong, expected)
    assert (fault.line, fault.column) == place(text)


def test_a_fault_reads_as_file_line_column_key_wrong_and_expected(handbook: Handbook) -> None:
    handbook.edit(SITE, "length: 35 ft", "length: 35")
    assert [str(fault) for fault in handbook.faults()] == [
        f"site_data/sites/shed.yaml:21:11: route.length: '35' has no unit; {LENGTH}"
    ]


def test_a_long_value_is_cut_in_the_message(handbook: Handbook) -> None:
    handbook.edit(SITE, "id: shed", f"id: {'S' * 5000}")
    (fault,) = [fault for fault in handbook.faults() if fault.key == "id"]
    assert fault.wrong == f"'{'S' * 60}…' is not allowed here"


def test_all_faults_of_a_run_come_together(handbook: Handbook) -> None:
    handbook.edit(SITE, "length: 35 ft", "lenght: 35 ft")
    handbook.edit(SITE, "spaces: 4", "spaces: four")
    handbook.edit(MODEL, "power: 6 kW", "power: 6 gpm")
    handbook.edit(MODEL, "opens_at: 0.7 gpm", "opens_at: 0.9 gpm")
    handbook.edit(MODEL, "least: 25 psi", "least: 225 psi")
    handbook.edit("models/brook-3.yaml", "id: brook-3", "id: [")
    handbook.edit(SETTINGS, "units: both", "units: both\nunits: us")
    handbook.edit(TABLE, "table: ampacity", "table: other")
    assert [(fault.file.removeprefix("site_data/"), fault.line, fault.key) for fault in handbook.faults()] == [
        ("codes/test/ampacity.yaml", 1, "table"),
        ("handbook.yaml", 8, "units"),
        ("models/brook-3.yaml", 1, "file"),
        ("models/brook-6.yaml", 7, "ratings[1].power"),
        ("models/brook-6.yaml", 11, "stages[2].opens_at"),
        ("models/brook-6.yaml", 28, "water.working_pressure.least"),
        ("sites/shed.yaml", 15, "supply.panel.spaces"),
        ("sites/shed.yaml", 21, "route.lenght"),
    ]


def test_a_fault_in_a_model_is_not_told_again_of_its_sites(handbook: Handbook) -> None:
    handbook.edit(MODEL, "mass: 9 lb", "mass: 9")
    assert [fault.key for fault in handbook.faults()] == ["mass"]

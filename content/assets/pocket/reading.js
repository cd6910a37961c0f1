/* What was typed, read as strictly as the handbook's own files, and as the line that `handbook receive` takes. */
const reading = (() => {
  const NAMES = ["inlet", "flow", "volume", "time", "outlet"];

  /* A number alone takes the unit chosen beside it; with a unit behind it it stands as it is. */
  const withUnit = ({ text, unit }) => {
    const typed = text.trim();
    return /\d$/.test(typed) && unit ? `${typed} ${unit}` : typed;
  };

  const parsed = (typed, data) => {
    const found = Object.fromEntries(NAMES.map(name => [name, withUnit(typed[name])]).filter(([, text]) => text)
      .map(([name, text]) => [name, { text, ...quantity.parse(text, data.fields[name], data.kinds) }]));
    const volts = Object.entries(typed.volts).map(([pair, one]) => [pair, withUnit(one)]).filter(([, text]) => text)
      .map(([pair, text]) => [`volts ${pair}`, { text, ...quantity.parse(text, data.fields.volts, data.kinds) }]);
    return { found, volts };
  };

  const lacks = ({ found, volts }, data) => {
    const bucket = Boolean(found.volume && found.time), partly = Boolean(found.volume) !== Boolean(found.time);
    const some = volts.length && volts.length < data.tables.pairs.length;
    return [
      !found.inlet && ["inlet", "inlet-lacks"],
      (partly || bucket === Boolean(found.flow)) && ["flow", "flow-once"],
      found.time && found.time.value === 0 && ["time", "time-none"],
      some && [`volts ${data.tables.pairs[0]}`, "volts-all"],
    ].filter(Boolean);
  };

  /* A reading in SI, or by field what is wrong with it: a fault of `quantity`, or one of the page's own words. */
  const read = (typed, data) => {
    const got = parsed(typed, data), { found, volts } = got;
    const faults = [...Object.entries(found), ...volts].filter(([, one]) => one.fault);
    const refused = [...faults.map(([name, one]) => [name, one.fault]), ...lacks(got, data)];
    if (refused.length) return { refused };
    const si = {
      stages: typed.stages,
      inlet: found.inlet.value,
      flow: found.flow ? found.flow.value : found.volume.value / found.time.value,
      volts: volts.map(([, one]) => one.value),
      outlet: found.outlet ? found.outlet.value : null,
    };
    const { refused: cannot, told } = answer.against(data.tables, si);
    return cannot.length ? { refused: cannot } : { si, told, found };
  };

  /* The line of a reading; a flow by bucket as what it comes to, volts as the mean of their pairs. */
  const line = ({ si, found }, day, data) => {
    const exact = (value, shown, decimals) => quantity.number(value, "nearest", { ...shown, decimals, dropZeros: false });
    const { flow, voltage } = data.shown, mean = si.volts.reduce((sum, one) => sum + one, 0) / si.volts.length;
    const parts = [
      `stages ${si.stages}`,
      `flow ${found.flow ? found.flow.text : `${exact(si.flow, flow, 3)} ${flow.unit}`}`,
      `inlet ${found.inlet.text}`,
      si.volts.length && `volts ${exact(mean, voltage, 1)} V`,
      found.outlet && `outlet ${found.outlet.text}`,
    ];
    return `reading ${data.site} ${day} ${parts.filter(Boolean).join(", ")}`;
  };

  return { read, line };
})();

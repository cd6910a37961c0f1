/* An answer in words and rounded numbers, each number to the side that it bounds. */
const calculatorTexts = (() => {
  const expectedTexts = (found, { shown, tables }, fill) => {
    const degrees = (value, side) => quantity.show(value, side, shown.temperature);
    const more = found.held ? ` ${fill("or-more")}` : "";
    return [
      [fill("outlet", { outlet: degrees(found.outlet, "nearest") + (found.outlet >= tables.cut_out_k ? more : "") }), true],
      [fill("outlet-band", { least: degrees(found.least, "up"), greatest: degrees(found.greatest, "down") + more })],
      found.above && [fill("outlet-above", { limit: degrees(tables.limit_k, "down") })],
      found.allowed !== null && [fill("allowed", { allowed: degrees(found.allowed, "down") })],
    ].filter(Boolean);
  };

  const ampsRows = (found, { shown }, fill) => found.lines.map(one => {
    const amps = (value, side) => quantity.show(value, side, shown.current);
    return [
      fill("line", one),
      amps(one.amps, "nearest"),
      fill("passes", { least: amps(one.least, "up"), greatest: amps(one.greatest, "down") }),
    ];
  });

  const judgedTexts = (found, { shown, tables }, fill) => {
    const kilowatts = value => quantity.show(value, "nearest", shown.power);
    const share = quantity.show(found.share, "nearest", shown.ratio);
    const [least, greatest] = tables.input.map((one, end) => quantity.show(one, end ? "down" : "up", shown.ratio));
    const degrees = (value, side) => quantity.show(value, side, shown.temperature);
    const limit = tables.limit_k === null ? "" : degrees(tables.limit_k, "down");
    return [
      [fill("power", { power: kilowatts(found.power), nameplate: kilowatts(found.nameplate), share }), true],
      [fill(found.agrees, { least, greatest })],
      [fill("summer", { summer: degrees(found.summer, "up") + (found.held ? ` ${fill("or-more")}` : "") }), true],
      [fill(found.limit, { limit })],
    ];
  };

  return (data, read, fill) => {
    const found = answer.expected(data.tables, read);
    const judged = read.outlet === null ? null : answer.judged(data.tables, read);
    return {
      expected: expectedTexts(found, data, fill),
      amps: ampsRows(found, data, fill),
      judged: judged && judgedTexts(judged, data, fill),
    };
  };
})();

/* What a heater is expected to give, and what a reading says of it: looked up in the site's tables. */
const answer = (() => {
  const MARGIN_K = 3e-4; /* more than the curves can miss: a bounded number stands this much on its safe side */

  const heatOfRise = (tables, inlet, outlet) =>
    curve.through(tables.temperatures_k, curve.row(tables.temperatures_k, tables.heat_j_m3, inlet), outlet);

  /* The outlet at which a volume has taken up this heat, at most the cut-out. */
  const outletAt = (tables, inlet, heat) => {
    const nodes = tables.temperatures_k, row = curve.row(nodes, tables.heat_j_m3, inlet);
    const most = curve.through(nodes, row, tables.cut_out_k);
    return heat >= most ? tables.cut_out_k : Math.min(curve.through(row, nodes, heat), tables.cut_out_k);
  };

  /* The squares of the volts of each pair, each with its weight. */
  const squares = (weights, volts) => weights.reduce((sum, one, pair) => sum + one * volts[pair] ** 2, 0);
  const stageOf = (tables, read) => tables.stages[read.stages - 1];
  const powerOf = (tables, read) => {
    const stage = stageOf(tables, read);
    return read.volts.length ? squares(stage.power_s, read.volts) : stage.unread_w;
  };

  const linesOf = (tables, read) => stageOf(tables, read).lines.map(one => {
    const amps = read.volts.length ? Math.sqrt(Math.max(squares(one.squares_s2, read.volts), 0)) : one.unread_a;
    return { feed: one.feed, line: one.line, amps, least: amps * tables.input[0], greatest: amps * tables.input[1] };
  });

  /* The hottest reading allowed now, at most the cut-out, by the stages that lack most of the greatest volts; null where
     a valve holds each limit, or nobody read the volts. */
  const allowedNow = (tables, read) => {
    const { allowed, stages, supply_v } = tables, most = read.volts.map(() => supply_v[1]);
    if (!allowed || !read.volts.length) return null;
    const part = Math.min(...stages.slice(0, read.stages)
      .map(one => squares(one.power_s, read.volts) / squares(one.power_s, most)));
    return Math.max(allowed.held_k, outletAt(tables, read.inlet, allowed.heat_j_m3 * part) - MARGIN_K);
  };

  /* Outlet and amps of a sound heater; `least` and `greatest`: between what a reading passes. */
  const expected = (tables, read) => {
    const power = powerOf(tables, read), outlet = share => outletAt(tables, read.inlet, share * power / read.flow);
    const least = outlet(tables.input[0]), greatest = outlet(tables.input[1]);
    return {
      power,
      outlet: outlet(1),
      least: Math.min(least + MARGIN_K, tables.cut_out_k),
      greatest: greatest - MARGIN_K,
      held: greatest >= tables.cut_out_k,
      above: tables.limit_k !== null && greatest + MARGIN_K > tables.limit_k,
      lines: linesOf(tables, read),
      allowed: allowedNow(tables, read),
    };
  };

  /* What an outlet that was read says: the power, its part of the nameplate's, and the hottest it will be in summer. */
  const judged = (tables, read) => {
    const power = read.flow * heatOfRise(tables, read.inlet, read.outlet), nameplate = powerOf(tables, read);
    const share = power / nameplate, [least, greatest] = tables.input;
    const summer = outletAt(tables, tables.summer_k, share * tables.summer_j_m3), held = summer >= tables.cut_out_k;
    const keeps = held ? Boolean(tables.allowed && tables.allowed.held_k) : summer + MARGIN_K <= tables.limit_k;
    return {
      power,
      nameplate,
      share,
      agrees: share < least ? "power-low" : share > greatest ? "power-high" : "power-agrees",
      summer: Math.min(summer + MARGIN_K, tables.cut_out_k),
      held,
      limit: tables.limit_k === null ? "summer-valves" : keeps ? "summer-within" : "summer-above",
    };
  };

  /* What speaks against a reading, by word: what cannot be refuses it, what is unusual is told. */
  const against = (tables, read) => {
    const stage = stageOf(tables, read);
    const outside = (value, [least, greatest]) => value < least * (1 - 1e-9) || value > greatest * (1 + 1e-9);
    return {
      refused: [
        read.inlet >= tables.cut_out_k && ["inlet", "inlet-too-hot"],
        read.volts.some(one => outside(one, tables.volts)) && ["volts", "volts-no-supply"],
        read.volts.length === 3 && 2 * Math.max(...read.volts) > read.volts.reduce((sum, one) => sum + one) &&
          ["volts", "volts-no-triangle"],
        read.flow < stage.drops_out_m3_s * (1 - 1e-9) && ["flow", "flow-too-low"],
        read.outlet !== null && read.outlet < read.inlet && ["outlet", "outlet-below-inlet"],
      ].filter(Boolean),
      told: [
        read.volts.some(one => outside(one, tables.supply_v)) && "volts-unusual",
        outside(read.inlet, tables.inlet_k) && "inlet-unusual",
        stage.next_on_m3_s !== null && read.flow > stage.next_on_m3_s && "one-more-on",
      ].filter(Boolean),
    };
  };

  return { expected, judged, against };
})();

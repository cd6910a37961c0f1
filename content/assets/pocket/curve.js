/* Curves through tables. What these hold is computed by the handbook: nothing here knows of water or of heaters. */
const curve = (() => {
  const NODES = 4;

  /* The place of the first of the four neighbours about x in a rising list. */
  const firstAbout = (nodes, x) => {
    const above = nodes.findIndex(node => node > x);
    const at = (above < 0 ? nodes.length : above) - NODES / 2;
    return Math.min(Math.max(at, 0), nodes.length - NODES);
  };

  /* The value at x of the curve of the third degree through the four nodes about it (Lagrange). */
  const through = (nodes, values, x) => {
    const first = firstAbout(nodes, x), places = Array.from({ length: NODES }, (_, step) => first + step);
    const term = one => places.filter(other => other !== one)
      .reduce((part, other) => part * (x - nodes[other]) / (nodes[one] - nodes[other]), values[one]);
    return places.reduce((sum, one) => sum + term(one), 0);
  };

  /* The row at x of a table whose rows stand at the nodes. */
  const row = (nodes, table, x) => table[0].map((_, column) => through(nodes, table.map(one => one[column]), x));

  return { through, row };
})();

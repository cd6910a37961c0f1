/* Quantities read as the handbook's own files are read, and shown as its pages show them. Inside all is SI. */
const quantity = (() => {
  const NUMBER = /^[+-]?[0-9]+(?:\.[0-9]+)?$/, QUANTITY = /^([+-]?[0-9]+(?:\.[0-9]+)?)(?: (?=\S)|(?=[A-Za-z°º%Ω]))(.*)$/;
  const NOISE = 1e-9; /* a number this close to a shown step, relative to its size, is that step */
  const NBSP = "\u00a0", MINUS = "\u2212";

  const fault = (wrong, field) => ({ fault: { wrong, expected: field.expected } });

  const kindOf = (unit, kinds) => Object.keys(kinds).find(kind => kinds[kind].includes(unit));

  /* The SI value of a text, or what is wrong with it and what would be right, in the words of the files' reader. */
  const parse = (text, field, kinds) => {
    if (NUMBER.test(text)) return fault(`'${text}' has no unit`, field);
    const found = QUANTITY.exec(text);
    if (!found) return fault(`'${text}' is not a decimal number, one space and a unit`, field);
    const line = field.units[found[2]];
    if (!line) return fault(`'${text}': '${found[2]}' is ${kindOf(found[2], kinds) || "no unit of this handbook"}`, field);
    return within(Number(found[1]) * line[0] + line[1], text, field);
  };

  const within = (value, text, field) => {
    const slack = 1e-12 * Math.max(Math.abs(field.least), Math.abs(field.most));
    const enough = field.above ? value > field.least : value >= field.least - slack;
    return enough && value <= field.most + slack ? { value } : fault(`'${text}' is out of range`, field);
  };

  /* A number in steps of its last shown digit, toward a side: up, down or nearest. */
  const steps = (value, side, decimals) => {
    const exact = value * 10 ** decimals, nearest = Math.floor(exact + 0.5);
    if (Math.abs(exact - nearest) <= NOISE * Math.max(1, Math.abs(exact))) return nearest;
    return side === "up" ? Math.ceil(exact) : side === "down" ? Math.floor(exact) : nearest;
  };

  const digits = (whole, { decimals, dropZeros }) => {
    const text = (Math.abs(whole) / 10 ** decimals).toFixed(decimals);
    return (whole < 0 ? MINUS : "") + (dropZeros && decimals ? text.replace(/\.?0+$/, "") : text);
  };

  const number = (value, side, shown) =>
    digits(steps((value - shown.offset) / shown.scale, side, shown.decimals), shown);

  /* In a line from right to left a number stays before its unit. */
  const apart = text => document.documentElement.dir === "rtl" ? `\u2066${text}\u2069` : text;

  const show = (value, side, shown) => apart(number(value, side, shown) + NBSP + shown.sign);

  return { parse, number, show };
})();

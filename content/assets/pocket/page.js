/* The calculator's form, its answers and the readings kept. What a reader sees in words stands in the page. */
(() => {
  const from = id => JSON.parse(document.getElementById(id).textContent);
  const at = id => document.getElementById(id);
  const form = at("calculator-form");
  if (!form) return;
  const data = from("calculator-data"), said = from("calculator-words"), { shown, tables } = data;
  const fill = (word, values = {}) => said[word].replace(/\{(\w+)\}/g, (_, name) => values[name]);
  const make = (tag, text, className = "") => Object.assign(document.createElement(tag), { textContent: text, className });
  const store = kept.store(data.site);
  let last = null;

  const typedIn = name => ({ text: form.elements[name].value, unit: form.elements[`${name} unit`]?.value || "V" });
  const typed = () => ({
    stages: Number(form.elements.stages.value),
    ...Object.fromEntries(["inlet", "flow", "volume", "time", "outlet"].map(name => [name, typedIn(name)])),
    volts: Object.fromEntries(tables.pairs.map(pair => [pair, typedIn(`volts ${pair}`)])),
  });

  const sayRefused = refused => {
    for (const field of form.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
    const words = refused.map(([name, fault]) => {
      const field = form.elements[name] || form.elements[`volts ${tables.pairs[0]}`];
      field.setAttribute("aria-invalid", "true");
      const label = field.closest("p").querySelector("label").textContent;
      return make("li", `${label}: ${typeof fault === "string" ? fill(fault, limits()) : `${fault.wrong}; ${fault.expected}`}`);
    });
    at("refused").replaceChildren(...words);
    at("refused").hidden = !words.length;
    form.querySelector("[aria-invalid]")?.focus();
  };

  /* The values that words of refusal name. */
  const limits = () => {
    const stage = tables.stages[Number(form.elements.stages.value) - 1];
    return {
      stage: stage.number,
      flow: quantity.show(stage.drops_out_m3_s, "up", shown.flow),
      least: quantity.show(tables.volts[0], "up", shown.voltage),
      greatest: quantity.show(tables.volts[1], "down", shown.voltage),
      cutOut: quantity.show(tables.cut_out_k, "down", shown.temperature),
    };
  };

  const rows = (head, lines) => {
    const table = make("table", "", "plain-table"), body = document.createElement("tbody");
    table.append(make("caption", head), body);
    for (const [label, value, note] of lines) {
      const line = document.createElement("tr"), cell = make("th", label);
      cell.scope = "row";
      line.append(cell, make("td", value, "l"), make("td", note, "l"));
      body.append(line);
    }
    return table;
  };

  const texts = data.texts = read => calculatorTexts(data, read, fill);

  const show = event => {
    event?.preventDefault();
    const result = reading.read(typed(), data);
    last = result.refused ? null : result;
    sayRefused(result.refused || []);
    at("keep").disabled = !last;
    const out = at("answer");
    if (!last) { out.replaceChildren(); return; }
    const found = texts(last.si);
    out.replaceChildren(
      ...last.told.map(word => make("p", fill(word), "told")),
      make("h3", fill("expected-head")),
      ...found.expected.map(([text, strong]) => make("p", text, strong ? "big" : "")),
      rows(fill("amps-head"), found.amps),
      ...(found.judged ? [make("h3", fill("judged-head")), ...found.judged.map(([text, strong]) => make("p", text, strong ? "big" : ""))] : []),
    );
  };

  const listed = () => {
    const lines = store.lines();
    at("kept").hidden = !lines.length;
    at("kept-lines").value = lines.join("\n");
    at("kept-lines").rows = Math.max(2, 3 * lines.length);
    at("kept-code").replaceChildren();
    at("kept-list").replaceChildren(...lines.map(line => {
      const item = make("li", `${line} `), button = make("button", fill("remove"));
      button.type = "button";
      button.setAttribute("aria-label", fill("remove-line", { line }));
      button.addEventListener("click", () => { store.remove(line); listed(); });
      item.append(button);
      return item;
    }));
    at("not-lasting").hidden = store.lasting();
  };

  const today = () => {
    const now = new Date(), two = number => String(number).padStart(2, "0");
    return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  };
  const keep = () => { store.add(reading.line(last, today(), data)); listed(); at("did").textContent = fill("kept"); };
  const copy = async () => {
    at("kept-lines").select();
    try { await navigator.clipboard.writeText(at("kept-lines").value); } catch { document.execCommand("copy"); }
    at("did").textContent = fill("copied");
  };
  const code = () => {
    const drawn = kept.asCode(`${at("kept-lines").value}\n`, fill("code-label"));
    at("kept-code").replaceChildren(drawn || make("p", fill("code-too-long")));
  };

  form.addEventListener("submit", show);
  at("keep").addEventListener("click", keep);
  at("copy").addEventListener("click", copy);
  at("file").addEventListener("click", () => kept.asFile(`${at("kept-lines").value}\n`, `${data.site}-readings.txt`));
  at("code").addEventListener("click", code);
  listed();
})();

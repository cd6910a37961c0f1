/* The sites as one list by name, how they stand, group and heater, from disk too. Without scripts they stand by group.
   What is asked for may stand in the address: sites/index.html?status=stop&order=due. */
(() => {
  const form = document.querySelector("form.filter"), [said, shown] = document.querySelectorAll(".filtered");
  const rows = [...document.querySelectorAll("li[data-status]")], list = shown.querySelector("ul");
  const grave = ["stop", "not-commissioned", "commissioned"], keys = ["status", "group", "heater"];
  const by = { name: row => row.dataset.name.toLowerCase(), status: row => grave.indexOf(row.dataset.status),
    due: row => row.dataset.due || "9999" };

  const show = () => {
    const part = form.elements.name.value.trim().toLowerCase(), order = by[form.elements.order.value];
    const wanted = keys.filter(key => form.elements[key].value), asked = part || wanted.length > 0 || order;
    const kept = rows.filter(row => row.dataset.name.toLowerCase().includes(part)
      && wanted.every(key => row.dataset[key] === form.elements[key].value));
    if (order) kept.sort((one, other) => (order(one) > order(other)) - (order(one) < order(other)));
    list.replaceChildren(...(asked ? kept.map(row => row.cloneNode(true)) : []));
    said.textContent = said.dataset.said.replace("{shown}", kept.length).replace("{all}", rows.length);
    shown.hidden = !asked;
    for (const part of document.querySelectorAll(".grouped")) part.hidden = Boolean(asked);
  };

  for (const [key, value] of new URLSearchParams(location.search))
    if (form.elements[key]) form.elements[key].value = value;
  form.hidden = said.hidden = false;
  form.addEventListener("input", show);
  form.addEventListener("submit", event => event.preventDefault());
  show();
})();

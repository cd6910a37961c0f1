/* The findings as one list by how grave they are, by trade and by site, from disk too. Without scripts they stand by
   site. What is asked for may stand in the address: findings.html?severity=stop&trade=electrician. */
(() => {
  const form = document.querySelector("form.filter"), [said, list] = document.querySelectorAll(".filtered");
  const rows = [...document.querySelectorAll("li[data-severity]")];
  const grave = ["stop", "attention"], trades = [...form.elements.trade.options].map(option => option.value);
  const orders = {
    severity: row => grave.indexOf(row.dataset.severity),
    trade: row => trades.indexOf(row.dataset.trade),
  };

  const named = row => {
    const shown = row.cloneNode(true), name = document.createElement("strong");
    name.textContent = `${row.dataset.name}: `;
    shown.querySelector(".severity").after(" ", name);
    return shown;
  };
  const show = () => {
    const wanted = ["severity", "trade", "place"].filter(key => form.elements[key].value);
    const order = orders[form.elements.order.value], asked = wanted.length > 0 || order !== undefined;
    const kept = rows.filter(row => wanted.every(key => row.dataset[key] === form.elements[key].value));
    if (order) kept.sort((one, other) => order(one) - order(other));
    list.replaceChildren(...(asked ? kept.map(named) : []));
    const chosen = wanted.map(key => form.elements[key].selectedOptions[0].text).join(", ");
    said.textContent = said.dataset.said.replace("{shown}", kept.length).replace("{all}", rows.length) + ` ${chosen}`;
    list.hidden = !asked;
    for (const part of document.querySelectorAll(".grouped")) part.hidden = asked;
  };

  for (const [key, value] of new URLSearchParams(location.search))
    if (form.elements[key]?.options && [...form.elements[key].options].some(one => one.value === value))
      form.elements[key].value = value;
  form.hidden = said.hidden = false;
  form.addEventListener("change", show);
  form.addEventListener("submit", event => event.preventDefault());
  show();
})();

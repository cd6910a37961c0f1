/* The address on a card carries the card's code: is the card in hand the one that holds? */
(() => {
  const holds = document.querySelector("template[data-card]");
  const inHand = () => {
    const [, code] = location.hash.toUpperCase().match(/^#CARD=([0-9A-Z]{4}-[0-9A-Z]{4})$/) ?? [];
    document.querySelector(".in-hand")?.remove();
    if (!code || !holds) return;
    const [current, old] = holds.content.children;
    const told = (code === holds.dataset.card ? current : old).cloneNode(true);
    told.querySelector(".code").textContent = code;
    holds.after(told);
  };
  inHand();
  addEventListener("hashchange", inHand);
})();

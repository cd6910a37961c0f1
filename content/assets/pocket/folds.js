/* The folds of the page: what is led to is opened, also by browsers that open none themselves, and paper has them all. */
(() => {
  const lead = hash => {
    const place = hash.length > 1 && document.getElementById(hash.slice(1));
    if (!place) return;
    for (let one = place; one; one = one.parentElement) if (one.localName === "details") one.open = true;
    place.scrollIntoView();
  };
  let opened = [];
  addEventListener("beforeprint", () => {
    opened = [...document.querySelectorAll("details:not([open])")];
    for (const one of opened) one.open = true;
  });
  addEventListener("afterprint", () => { for (const one of opened) one.open = false; });
  addEventListener("hashchange", () => lead(location.hash));
  document.addEventListener("click", event => lead(event.target.closest?.('a[href^="#"]')?.hash ?? ""));
  lead(location.hash);
})();

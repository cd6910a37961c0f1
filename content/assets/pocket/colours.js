/* The colours of the system, light or dark, before anything is drawn. */
(() => {
  const dark = matchMedia("(prefers-color-scheme: dark)");
  const take = () => { document.body.dataset.mdColorScheme = dark.matches ? "slate" : "default"; };
  dark.addEventListener("change", take);
  take();
})();

/* Carried away from its handbook, as a file on a phone, the page leads to where that is served. */
(() => {
  const handbook = document.body.dataset.handbook;
  if (!handbook || /^https?:$/.test(location.protocol)) return;
  for (const link of document.querySelectorAll('a[href^="../"]'))
    link.href = `${handbook.replace(/\/$/, "")}/${link.getAttribute("href").slice(3)}`;
})();

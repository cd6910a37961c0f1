/* Where the handbook is served, a worker keeps what was opened of it, for where there is no signal. */
(() => {
  if (!/^https?:$/.test(location.protocol) || !navigator.serviceWorker) return;
  const root = new URL("..", document.currentScript.src || location);
  const opened = () => [location.href, ...performance.getEntriesByType("resource").map(one => one.name)];
  addEventListener("load", async () => {
    try {
      await navigator.serviceWorker.register(new URL("service-worker.js", root));
      const { active } = await navigator.serviceWorker.ready;
      active.postMessage(opened());
    } catch { /* a browser that keeps nothing, or a page that lies elsewhere: it is read as it is */ }
  });
})();

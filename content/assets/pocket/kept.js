/* Readings kept in this browser, and the ways in which they leave it: a text, a file, a QR code. */
const kept = (() => {
  const store = site => {
    const key = `handbook.readings.${site}`;
    let lines = [], lasting = true;
    try {
      lines = JSON.parse(localStorage.getItem(key) || "[]").filter(line => typeof line === "string");
      localStorage.setItem(key, JSON.stringify(lines));
    } catch {
      lasting = false; /* some browsers give a file no store */
    }
    const save = () => {
      try { localStorage.setItem(key, JSON.stringify(lines)); } catch { lasting = false; }
    };
    return {
      lines: () => [...lines],
      lasting: () => lasting,
      add: line => { if (!lines.includes(line)) lines.push(line); save(); },
      remove: line => { lines = lines.filter(one => one !== line); save(); },
    };
  };

  const asFile = (text, name) => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "text/plain" }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  };

  /* A drawing of the QR code of a text, dark on light whatever the page's colours; null for a text too long for one. */
  const asCode = (text, label) => {
    try {
      const drawn = qrLibrary.toSvg(qrLibrary.generate(text), document, { on: "#000", off: "#fff" });
      drawn.removeAttribute("width");
      drawn.removeAttribute("height");
      drawn.setAttribute("role", "img");
      drawn.setAttribute("aria-label", label);
      return drawn;
    } catch {
      return null;
    }
  };

  return { store, asFile, asCode };
})();

/* What a page does besides being read. The theme's own script waits until the page is there, and then only keeps the
   colours and the menu: what it does as a page is read in has passed by then, and nothing here needs it. */
const first = new URL("..", document.currentScript.src); /* the handbook's first folder, wherever the page stands */

/* The way to the search, where the page does not hold it itself; from a page of a site it tells of which. */
const ofSite = /\/(sites\/[^/]+?)(?:\.html|\/[^/]+)$/.exec(location.pathname);
if (!document.querySelector("form.find"))
  document.querySelector(".md-header__inner")?.insertAdjacentHTML(
    "beforeend",
    `<form class="to-search" role="search" action="${new URL("search.html", first)}"><input name="q" type="search" ` +
      `aria-label="Search" placeholder="Search">${ofSite ? `<input type="hidden" name="from" value="${encodeURI(ofSite[1])}">` : ""}` +
      '<button class="md-header__button md-icon" aria-label="Search">' +
      '<svg viewBox="0 0 24 24"><path d="M10 4a6 6 0 1 0 3.7 10.7l5 5 1.4-1.4-5-5A6 6 0 0 0 10 4m0 2a4 4 0 1 1 0 8 4 4 0 0 1 0-8"/></svg></button></form>',
  );

/* Wide tables of the text scroll in a box, by the keyboard too. The theme would box them, but its script comes too late. */
for (const table of document.querySelectorAll("article table:not([class])")) {
  const box = document.createElement("div"), inner = document.createElement("div");
  box.className = "md-typeset__scrollwrap";
  inner.className = "md-typeset__table";
  box.tabIndex = 0;
  box.setAttribute("role", "group");
  box.setAttribute("aria-label", "Table");
  table.replaceWith(box);
  box.append(inner);
  inner.append(table);
}

addEventListener("load", () => {
  const theme = document.createElement("script"), held = document.querySelector("script[data-theme]");
  if (!held) return;
  theme.src = held.dataset.theme;
  document.body.append(theme);
});

/* A box to tick at each step of a task; what is ticked is not kept, for the record is. */
for (const [number, step] of document.querySelectorAll(".task-who ~ ol > li").entries()) {
  const box = document.createElement("input");
  box.type = "checkbox";
  box.setAttribute("aria-label", `Step ${number + 1} of this page done`);
  step.prepend(box);
}

/* A fold that the address names opens. */
const unfold = () => {
  const named = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (named instanceof HTMLDetailsElement) named.open = true;
};
addEventListener("hashchange", unfold);
unfold();

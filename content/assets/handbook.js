/* The theme gives its search dialog no name that a screen reader could say. */
document.querySelector(".md-search")?.setAttribute("aria-label", "Search");

/* The theme lets wide tables of the text scroll in a box, but not by the keyboard. */
addEventListener("load", () => {
  for (const box of document.querySelectorAll(".md-typeset__scrollwrap")) {
    box.tabIndex = 0;
    box.setAttribute("role", "group");
    box.setAttribute("aria-label", "Table");
  }
});

"use strict";
for (const table of document.querySelectorAll("table.sortable")) {
  const heads = [...table.tHead.rows[0].cells];
  heads.forEach((head, at) => {
    const words = "words" in head.dataset;
    head.addEventListener("click", () => {
      const rises = head.getAttribute("aria-sort") === (words ? "ascending" : "descending") ? !words : words;
      heads.forEach((other) => other.removeAttribute("aria-sort"));
      head.setAttribute("aria-sort", rises ? "ascending" : "descending");
      const value = (row) => row.cells[at].dataset;
      const order = (one, other) => {
        const [a, b] = [value(one), value(other)];
        const [none, other_none] = [a.value === undefined, b.value === undefined];
        if (none || other_none) return none - other_none;
        if (a.currency !== b.currency) return a.currency < b.currency ? -1 : 1;
        const rising = words ? a.value.localeCompare(b.value) : Number(a.value) - Number(b.value);
        return rises ? rising : -rising;
      };
      table.tBodies[0].append(...[...table.tBodies[0].rows].sort(order));
    });
  });
}

"use strict";
for (const table of document.querySelectorAll("table.sortable")) {
  const heads = [...table.tHead.rows[0].cells];
  heads.forEach((head, at) => {
    const words = "words" in head.dataset;
    head.addEventListener("click", () => {
      const rises = head.getAttribute("aria-sort") === (words ? "ascending" : "descending") ? !words : words;
      heads.forEach((other) => other.removeAttribute("aria-sort"));
      head.setAttribute("aria-sort", rises ? "ascending" : "descending");
      const value = (row) => row.cells[at].dataset.value;
      const order = (one, other) => {
        const [a, b] = [value(one), value(other)];
        if (a === undefined || b === undefined) return (a === undefined) - (b === undefined);
        const rising = words ? a.localeCompare(b) : Number(a) - Number(b);
        return rises ? rising : -rising;
      };
      table.tBodies[0].append(...[...table.tBodies[0].rows].sort(order));
    });
  });
}

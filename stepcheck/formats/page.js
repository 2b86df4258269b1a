"use strict";
{
  const table = document.getElementById("sheets");
  const body = table.tBodies[0];
  const rows = [...body.rows];
  const whole = new Map([...document.querySelectorAll("details[data-sheet]")].map((one) => [one.dataset.sheet, one]));
  const buttons = [...document.querySelectorAll("#filters button[data-verdict]")];
  const kind = document.getElementById("kind");
  const find = document.getElementById("find");
  const shown = document.getElementById("shown");

  const wanted = () => buttons.filter((one) => one.getAttribute("aria-pressed") === "true").map((one) => one.dataset.verdict);

  function filter() {
    const verdicts = wanted();
    const words = find.value.toLowerCase().split(/\s+/).filter(Boolean);
    let count = 0;
    for (const row of rows) {
      const fits =
        (!verdicts.length || verdicts.includes(row.dataset.verdict)) &&
        (!kind.value || row.dataset.kinds.split("|").includes(kind.value)) &&
        words.every((word) => row.dataset.words.includes(word));
      row.hidden = whole.get(row.dataset.sheet).hidden = !fits;
      count += fits;
    }
    shown.textContent = `${count} of ${rows.length} shown`;
  }

  function sort(head) {
    const down = head.getAttribute("aria-sort") !== "ascending";
    for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
    head.setAttribute("aria-sort", down ? "ascending" : "descending");
    const value = {
      sheet: (row) => row.cells[0].textContent.toLowerCase(),
      verdict: (row) => -row.dataset.rank,
      findings: (row) => -row.dataset.found,
    }[head.dataset.sort];
    const sign = down ? 1 : -1;
    const order = [...rows].sort((a, b) => {
      const [x, y] = [value(a), value(b)];
      return x < y ? -sign : x > y ? sign : a.dataset.sheet - b.dataset.sheet;
    });
    body.append(...order);
  }

  function open() {
    const target = location.hash && document.getElementById(location.hash.slice(1));
    if (target && target.tagName === "DETAILS") {
      target.open = true;
      target.scrollIntoView();
    }
  }

  for (const button of buttons)
    button.addEventListener("click", () => {
      button.setAttribute("aria-pressed", button.getAttribute("aria-pressed") !== "true");
      filter();
    });
  for (const head of table.tHead.rows[0].cells)
    if (head.dataset.sort) head.querySelector("button").addEventListener("click", () => sort(head));
  kind.addEventListener("change", filter);
  find.addEventListener("input", filter);
  document.getElementById("filters").addEventListener("submit", (event) => event.preventDefault());
  table.addEventListener("click", (event) => {
    if (event.target.closest("a")) setTimeout(open);
  });
  addEventListener("hashchange", open);
  addEventListener("beforeprint", () => whole.forEach((one) => (one.open = true)));
  filter();
  open();
}

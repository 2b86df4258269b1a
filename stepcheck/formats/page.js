"use strict";
{
  const whole = new Map([...document.querySelectorAll("details[data-sheet]")].map((one) => [one.dataset.sheet, one]));
  addEventListener("beforeprint", () => whole.forEach((one) => (one.open = true)));

  /* Where the reader is: the address has it behind the #, as show=, claim=, find=, sort= and at=. */
  const state = new URLSearchParams();
  const table = document.getElementById("sheets");
  const byId = (name) => document.getElementById(name);
  const keep = (name, value) => (value ? state.set(name, value) : state.delete(name));

  function write() {
    const said = state.toString();
    if (said !== location.hash.slice(1)) history.replaceState(null, "", said ? `#${said}` : location.href.split("#")[0]);
  }

  function goTo(name) {
    const target = name && byId(name);
    if (!target) return;
    const sheet = target.closest("details");
    if (sheet) sheet.open = true;
    target.scrollIntoView();
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='#']");
    if (!link) return;
    event.preventDefault();
    keep("at", link.hash.slice(1));
    if (location.hash === `#${state}`) goTo(state.get("at"));
    else location.hash = state;
  });

  let filter = () => {};
  let sort = () => {};
  if (table) {
    const rows = [...table.tBodies[0].rows];
    const buttons = [...document.querySelectorAll("#filters button[data-verdict]")];
    const [kind, find, shown] = ["kind", "find", "shown"].map(byId);

    filter = () => {
      const verdicts = (state.get("show") || "").split(",").filter(Boolean);
      const words = (state.get("find") || "").toLowerCase().split(/\s+/).filter(Boolean);
      const claim = state.get("claim") || "";
      for (const button of buttons) button.setAttribute("aria-pressed", verdicts.includes(button.dataset.verdict));
      kind.value = claim;
      if (find.value !== (state.get("find") || "")) find.value = state.get("find") || "";
      let count = 0;
      for (const row of rows) {
        const fits =
          (!verdicts.length || verdicts.includes(row.dataset.verdict)) &&
          (!claim || row.dataset.kinds.split("|").includes(claim)) &&
          words.every((word) => row.dataset.words.includes(word));
        row.hidden = whole.get(row.dataset.sheet).hidden = !fits;
        count += fits;
      }
      shown.textContent = `${count} of ${rows.length} shown`;
    };

    sort = () => {
      const [name, back] = (state.get("sort") || "").split("-");
      const sign = back ? -1 : 1;
      const value = {
        sheet: (row) => row.cells[0].textContent.toLowerCase(),
        verdict: (row) => +row.dataset.sheet,
        findings: (row) => -row.dataset.found,
      }[name];
      for (const head of table.tHead.rows[0].cells) {
        head.removeAttribute("aria-sort");
        if (value && head.dataset.sort === name) head.setAttribute("aria-sort", back ? "descending" : "ascending");
      }
      const place = (row) => +row.dataset.sheet;
      const before = (a, b) => {
        const [x, y] = value ? [value(a), value(b)] : [0, 0];
        return x < y ? -sign : x > y ? sign : place(a) - place(b);
      };
      table.tBodies[0].append(...[...rows].sort(before));
    };

    const change = (name, value) => {
      keep(name, value);
      write();
      filter();
      sort();
    };
    for (const button of buttons)
      button.addEventListener("click", () => {
        const verdicts = new Set((state.get("show") || "").split(",").filter(Boolean));
        if (!verdicts.delete(button.dataset.verdict)) verdicts.add(button.dataset.verdict);
        change("show", [...verdicts].join(","));
      });
    for (const head of table.tHead.rows[0].cells)
      if (head.dataset.sort)
        head.querySelector("button").addEventListener("click", () => {
          const up = head.getAttribute("aria-sort") === "ascending";
          change("sort", head.dataset.sort + (up ? "-back" : ""));
        });
    kind.addEventListener("change", () => change("claim", kind.value));
    find.addEventListener("input", () => change("find", find.value));
    byId("filters").addEventListener("submit", (event) => event.preventDefault());
  }

  function read() {
    const said = location.hash.slice(1);
    for (const name of [...state.keys()]) state.delete(name);
    if (said.includes("=")) new URLSearchParams(said).forEach((value, name) => state.set(name, value));
    else keep("at", said);
    filter();
    sort();
    goTo(state.get("at"));
  }

  addEventListener("hashchange", read);
  read();
}

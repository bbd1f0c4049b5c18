"""How a web page of the year looks, and the script that narrows it down.

Knows: the names that year_html.py gives its elements. Must not know: what stands in them.
Invariants: nothing is fetched; without the script all is there to read; what is shown by colour is
said in words too. Contrast at least 4.5 to 1 for text and 3 to 1 for edges of controls, in light
and dark (WCAG 2.2, 1.4.3 and 1.4.11; tested).
"""

LIGHT = {
    "paper": "#fdfcf8",
    "wash": "#f1efe6",
    "ink": "#1d2721",
    "soft": "#4c564c",
    "line": "#788178",
    "link": "#14553f",
    "warn": "#952414",
}
DARK = {
    "paper": "#161b18",
    "wash": "#212824",
    "ink": "#e9ece5",
    "soft": "#b7c0b6",
    "line": "#7f8a80",
    "link": "#92d3b5",
    "warn": "#ffa08e",
}
PRINT = dict.fromkeys(LIGHT, "#000000") | {"paper": "#ffffff", "wash": "#ffffff"}


def _palette(colours: dict[str, str]) -> str:
    return "".join(f"--{name}:{value};" for name, value in colours.items())


STYLE = f"""
:root {{ {_palette(LIGHT)} color-scheme: light dark; }}
@media (prefers-color-scheme: dark) {{ :root {{ {_palette(DARK)} }} }}
""" + """
* { box-sizing: border-box; }
[hidden] { display: none !important; }
html { font: 100%/1.5 system-ui, sans-serif; color: var(--ink); background: var(--paper); }
body { max-width: 66rem; margin: 0 auto; padding: 1rem; overflow-wrap: anywhere; }
h1 { margin: 0; font-size: 2rem; line-height: 1.2; }
h2 { margin: 2.5rem 0 .5rem; font-size: 1.5rem; }
h3 { margin: 0; font-size: 1.2rem; line-height: 1.3; }
p { margin: .5rem 0; }
a { color: var(--link); }
a, input, select, button { border-radius: 3px; }
:focus-visible { outline: 3px solid var(--link); outline-offset: 2px; }
.skip { position: absolute; left: -99rem; padding: .5rem 1rem; background: var(--paper); }
.skip:focus { left: .5rem; top: .5rem; z-index: 1; }
.soft, .kind, dt, th[scope=col] { color: var(--soft); }
.kind { display: block; }
.late { color: var(--warn); font-weight: bold; }
.row { display: flex; flex-wrap: wrap; gap: .5rem; margin: 0; padding: 0; list-style: none; }
nav a { display: block; min-width: 3.5rem; padding: .5rem; border: 1px solid var(--line);
  text-align: center; text-decoration: none; }
nav a:hover { background: var(--wash); }
.todo { margin: 0; padding: 0; list-style: none; }
.todo li { display: flex; flex-wrap: wrap; gap: 0 1rem; padding: .5rem 0;
  border-bottom: 1px solid var(--wash); }
.todo time { flex: 0 0 9.5rem; }
.todo span { flex: 1 1 16rem; }
.todo small { font-size: 1em; }
.todo a, .kinds a { white-space: nowrap; }
#find { margin: 2rem 0 0; padding: .5rem 1rem 1rem; background: var(--wash); }
#find h2 { margin: 0; font-size: 1.2rem; }
.fields { display: flex; flex-wrap: wrap; gap: .5rem 1rem; align-items: end; }
.fields div { flex: 1 1 9rem; }
label { display: block; }
input, select, button { width: 100%; min-height: 2.75rem; padding: .25rem .5rem; font: inherit;
  color: var(--ink); background: var(--paper); border: 1px solid var(--line); }
button { width: auto; padding: .25rem 1rem; }
output { display: block; margin-top: .5rem; }
article { margin: 1.5rem 0; padding: .75rem 0 0; border-top: 3px solid var(--ink);
  scroll-margin-top: .5rem; }
article.gap { border-top-width: 1px; }
.month { display: block; color: var(--soft); font-size: 1rem; font-weight: normal; }
dl { display: flex; flex-wrap: wrap; gap: 0 2rem; margin: .5rem 0; }
dl div { display: flex; gap: .5rem; }
dd { margin: 0; }
table { width: 100%; border-collapse: collapse; table-layout: fixed; }
th, td { padding: .5rem .75rem .5rem 0; text-align: left; vertical-align: top;
  font-weight: normal; border-bottom: 1px solid var(--wash); }
th[scope=row] { font-weight: 600; }
th .kind { font-weight: normal; }
th[scope=col]:first-child { width: 30%; }
th[scope=col]:nth-child(4) { width: 22%; }
.kinds { padding-left: 1.25rem; }
.kinds li { padding: .25rem 0; }
footer { margin-top: 3rem; border-top: 1px solid var(--line); }
@media screen and (max-width: 40rem) {
  h1 { font-size: 1.5rem; }
  .todo li, .todo li > * { display: block; }
  table, tbody, tr, th, td { display: block; }
  thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  tr { padding: .5rem 0; border-bottom: 1px solid var(--line); }
  th, td { padding: 0; border: 0; }
  td { display: flex; gap: .5rem; }
  td::before { flex: 0 0 5.5rem; color: var(--soft); content: attr(data-label);
    content: attr(data-label) / ""; }
}
@media print {
  :root { PRINTED color-scheme: light; }
  html { font-size: 10pt; }
  body { max-width: none; padding: 0; }
  nav, #find, .skip { display: none; }
  a { text-decoration: none; }
  h2, h3, dl, thead { break-after: avoid; }
  article, tr, li { break-inside: avoid; }
  th, td, .todo li { border-bottom: 1px solid #999999; }
}
""".replace("PRINTED", _palette(PRINT))

SCRIPT = """
"use strict";
(() => {
  const at = id => document.getElementById(id);
  const plain = text => text.normalize("NFKD").replace(/\\p{M}/gu, "").toLowerCase();
  const fields = [at("words"), at("state"), at("supplier")];
  const boxes = [...document.querySelectorAll("article")].map(box => ({
    box,
    link: document.querySelector(`nav a[href="#${box.id}"]`).parentElement,
    head: plain(box.querySelector("h3").textContent),
    state: box.dataset.state,
    rows: [...box.querySelectorAll("tbody tr")].map(row => ({
      row, text: plain(row.textContent), state: row.dataset.state, supplier: row.dataset.supplier,
    })),
  }));
  const count = (number, one, many) => `${number} ${number === 1 ? one : many}`;
  const show = () => {
    const [words, state, supplier] = fields.map(field => field.value);
    const sought = plain(words).split(/\\s+/).filter(Boolean);
    const ofItems = supplier || state.startsWith("item");
    let boxesShown = 0, itemsShown = 0;
    for (const { box, link, head, state: boxState, rows } of boxes) {
      const may = !state.startsWith("box") || state === boxState;
      let inside = 0;
      for (const one of rows) {
        const fits = may && (!supplier || supplier === one.supplier)
          && (!state.startsWith("item") || state === one.state)
          && sought.every(word => one.text.includes(word) || head.includes(word));
        one.row.hidden = !fits;
        inside += fits;
      }
      const whole = may && !ofItems && sought.every(word => head.includes(word));
      box.hidden = link.hidden = !(inside || whole);
      itemsShown += inside;
      boxesShown += !box.hidden && !box.classList.contains("gap");
    }
    at("shown").textContent = "Shown: "
      + `${count(boxesShown, "box", "boxes")}, ${count(itemsShown, "item", "items")}.`;
  };
  for (const field of fields) field.addEventListener("input", show);
  at("all").addEventListener("click", () => {
    for (const field of fields) field.value = "";
    show();
  });
  at("find").hidden = false;
  show();
})();
"""

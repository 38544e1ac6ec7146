// Fills the verdict box in the same moment as the last decimal is in, from the bands in the page. The book's own answer
// comes after it and stands; should the two ever differ, the page says so.
(() => {
  const words = { reuse: "REUSE", rework: "REWORK", renew: "RENEW", undecided: "UNDECIDED", notgauged: "NOT GAUGED" };
  const differing = "This page and the book judge this figure differently. The book's verdict stands: tell the chief engineer.";
  const fields = ["kind", "value", "goes", "does_not_go", "set_size", "temperature", "unit"];
  const judged = () => document.getElementById("judged");
  const unsent = "Provisional: not everything on this tablet is in the book yet.";
  let as_kept = null;
  let asked = "";

  const form = () => document.querySelector(".gauge-form");
  const box = () => judged()?.querySelector(".verdict");

  function laid() {
    const text = document.querySelector("[data-bands]")?.dataset.bands;
    return text ? JSON.parse(text) : {};
  }

  // What stands in the form, and whether each leaf is one of the set, written out as it is marked.
  function typed() {
    const found = Object.fromEntries(fields.map((name) => [name, form()?.elements[name]?.value ?? ""]));
    const marked = new Set([...document.querySelectorAll("[data-leaf]")].map((key) => key.dataset.leaf));
    const leaves = [found.value, found.goes, found.does_not_go].filter(Boolean).flatMap((each) => each.split("+"));
    return { ...found, is_leaf: leaves.length > 0 && leaves.every((leaf) => marked.has(leaf.trim())) };
  }

  const key_of = (what) => [what.value, what.goes, what.does_not_go, what.set_size, what.temperature].join("|");

  function element(name, text, classes = "") {
    const made = document.createElement(name);
    if (classes) made.className = classes;
    made.textContent = text;
    return made;
  }

  // Sentences of the same role stand in the box in this order, as the book writes them.
  function written(said) {
    const makes = {
      reason: (text) => element("p", text),
      leaf: (text) => element("p", text, "leaf"),
      also: (text) => element("p", text, "also"),
      source: (text) => element("small", text),
    };
    const parts = [element("b", words[said.verdict], "word")];
    if (said.renews) parts.push(element("b", said.renews, "object"));
    const provisional = said.provisional ? [element("p", said.provisional, "also provisional")] : [];
    const sentences = said.lines.filter(([role]) => role !== "result");
    return [...parts, ...provisional, ...sentences.map(([role, text]) => makes[role](text)), element("span", "Not kept yet", "vh")];
  }

  // One running result of a bore; its shape is taken from the sheet's own signs.
  function result([, text]) {
    const [verdict, name, figure, limit] = text.split("|");
    const mark = box().querySelector(".mark").cloneNode(true);
    mark.setAttribute("class", `mark s ${verdict}`);
    mark.querySelector("use").setAttribute("href", `#m-${verdict}`);
    const row = element("li", "", "result");
    const label = element("span", name[0].toUpperCase() + name.slice(1));
    row.append(mark, label, " ", element("b", figure, "n"), " ", element("span", limit, "n"));
    return row;
  }

  function show_results(results) {
    const rows = judged().querySelector(".results") ?? element("ul", "", "results");
    rows.ariaLabel = "Worked out from the readings";
    rows.replaceChildren(...results.map(result));
    if (results.length) box().before(rows);
    else rows.remove();
  }

  function show(said) {
    const shown = box();
    show_results(said.lines.filter(([role]) => role === "result"));
    shown.className = `verdict ${said.verdict} typed`;
    shown.querySelector(".hat rect").setAttribute("fill", said.verdict === "notgauged" ? "none" : `url(#v-${said.verdict})`);
    shown.querySelector(".mark").setAttribute("class", `mark l ${said.verdict} own`);
    shown.querySelector(".mark use").setAttribute("href", `#n-${said.verdict}`);
    shown.querySelector(":scope > div").replaceChildren(...written(said));
  }

  const verdict_of = (one) => Object.keys(words).find((verdict) => one.classList.contains(verdict));

  function say() {
    const data = laid();
    const said = data.outcomes ? globalThis.bands.say(data, typed()) : null;
    const waits = document.querySelector("[data-on-tablet]:not([hidden])");
    return said && waits ? { ...said, provisional: said.provisional || unsent } : said;
  }

  // What stands on the sheet, as the page came with it.
  function put_back() {
    const kept = as_kept.cloneNode(true);
    const results = kept.querySelector(".results");
    box().replaceWith(kept.querySelector(".verdict"));
    judged().querySelector(".results")?.remove();
    if (results) box().before(results);
  }

  function on_input(event) {
    if (!event.target.closest?.(".gauge-form") || !box()) return;
    const said = say();
    if (said) show(said);
    else if (as_kept) put_back();
  }

  // What was typed while an answer came has lost its own question with the block that the answer took the place of.
  function ask_again() {
    const key = key_of(typed());
    if (asked === key) return;
    asked = key;
    judged().dispatchEvent(new CustomEvent("again"));
  }

  // The book has answered. An answer to something typed before is put right; one on the same figure is compared.
  function on_answer() {
    const about = judged()?.dataset ?? {};
    if (about.judged === undefined || !box()) return;
    const said = say();
    if (about.judged !== key_of(typed())) {
      if (said) show(said);
      ask_again();
      return;
    }
    if (!said || said.provisional || about.basis !== String(laid().basis)) return;
    if (verdict_of(box()) !== said.verdict) box().append(element("p", differing, "differing"));
  }

  // A page that was turned to brings what stands at its own place.
  function remember() {
    if (box() && judged().dataset.judged === undefined && !box().classList.contains("typed")) as_kept = judged().cloneNode(true);
  }

  remember();
  document.addEventListener("htmx:after:settle", remember);
  document.addEventListener("input", on_input);
  document.addEventListener("htmx:after:swap", on_answer);
})();

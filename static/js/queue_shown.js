// How entries on this tablet are shown: counted in the foot of every page, and at their places as not yet sent.
(() => {
  const { store, queue } = tablet;

  const number = (count, one, many) => `${count} ${count === 1 ? one : many}`;

  function waiting_words(mine) {
    if (!mine.length) return "";
    const photos = mine.filter((entry) => entry.file).length;
    const counted = [[mine.length - photos, "reading", "readings"], [photos, "photo", "photos"]].filter(([count]) => count);
    const kept = `${counted.map((each) => number(...each)).join(" and ")} kept on this tablet, not yet sent.`;
    if (queue.state.needs_sign_in || !queue.person()) return `${kept} Sign in to send.`;
    return `${kept} Carry on, nothing is lost.`;
  }

  function others_words(others) {
    const names = [...new Set(others.map((entry) => entry.by))].join(", ");
    return others.length ? `${others.length} of ${names} ${others.length === 1 ? "waits" : "wait"} until ${names} signs in.` : "";
  }

  // What the book asks or refuses of the entry on this page stands beside its field already.
  const is_at_hand = (entry) => entry.id === document.querySelector(".gauge-form:has(.error) [name=id]")?.value;

  function show_foot(entries) {
    const cell = document.querySelector("[data-on-tablet]");
    if (!cell) return;
    const waiting = entries.filter((entry) => entry.state === "waiting");
    const others = queue.person() ? waiting.filter((entry) => entry.person !== queue.person()) : [];
    const refused = entries.filter((entry) => entry.state === "refused" && !is_at_hand(entry)).length;
    const words = [
      waiting_words(waiting.filter((entry) => !others.includes(entry))), others_words(others), refused ? `${refused} not taken by the book.` : "",
    ].filter(Boolean).join(" ");
    cell.hidden = !words && !queue.state.words;
    cell.querySelector("[data-says]").textContent = queue.state.words;
    cell.querySelector("a").textContent = words;
    const last = document.querySelector(".gauge-form") ? queue.last_waiting(entries) : null;
    cell.querySelector("[data-take-back]").hidden = !last;
    cell.querySelector("[data-take-back] .vh").textContent = last ? `: ${last.where}, ${last.figure}` : "";
  }

  // The last entry that waits at a place is what stands there, as far as this tablet knows; one that strikes another which
  // waits too leaves what stood before, and one that strikes what the book holds leaves nothing that is known here.
  function standing(entries) {
    const waiting = entries.filter((entry) => entry.state === "waiting");
    const here = new Set(waiting.map((entry) => entry.id));
    const gone = new Set(waiting.map((entry) => entry.takes_back).filter(Boolean));
    return waiting.filter((entry) => !gone.has(entry.id) && !here.has(entry.takes_back));
  }

  function show_places(entries) {
    const waiting = new Map(standing(entries).map((entry) => [entry.here, entry]));
    for (const link of document.querySelectorAll(".gauge-form :is(.place, .level, .cell-link)")) {
      const entry = waiting.get(store.key_of(link.href));
      link.classList.toggle("unsent", Boolean(entry));
      if (entry) mark(link, entry);
      else unmark(link);
    }
  }

  const figure_at = (link) => link.querySelector("b") ?? link;

  function unmark(link) {
    if (link.dataset.stood === undefined) return;
    figure_at(link).textContent = link.dataset.stood;
    link.removeAttribute("title");
    link.setAttribute("aria-label", link.dataset.named);
    delete link.dataset.stood;
    delete link.dataset.named;
  }

  function mark(link, entry) {
    const words = `${entry.figure}, on this tablet, not yet sent`;
    const figure = entry.takes_back ? "\u2014" : entry.figure;
    link.dataset.stood ??= figure_at(link).textContent;
    link.dataset.named ??= link.getAttribute("aria-label");
    link.setAttribute("aria-label", `${entry.where}: ${words}`);
    if (link.matches(".cell-link")) {
      link.textContent = figure.replace(/ \S+$/, "");
      return;
    }
    link.querySelector("b").textContent = figure;
    link.title = words;
  }

  // Photos of the part on the page that are here alone, and readings that a photo may be of though the book has them not yet.
  function show_photos(entries) {
    const form = document.querySelector(".photo-form");
    if (!form) return;
    const of_part = entries.filter((entry) => entry.fields.some(([name, value]) => name === "part" && value === form.elements.part.value));
    const photos = of_part.filter((entry) => entry.file && ["waiting", "refused"].includes(entry.state));
    const list = document.querySelector(".photos-unsent");
    list.hidden = !photos.length;
    list.replaceChildren(...photos.map((entry) => {
      const stands = entry.state === "waiting" ? "kept on this tablet, not yet sent" : `not taken by the book: ${entry.reason}`;
      return Object.assign(document.createElement("li"), { className: "unsent", textContent: `${entry.figure}: ${stands}` });
    }));
    offer_readings(form.elements.reading, standing(of_part).filter((entry) => !entry.file && !entry.takes_back));
  }

  function offer_readings(choice, entries) {
    for (const option of [...choice.options]) if ("unsent" in option.dataset) option.remove();
    for (const entry of entries) {
      const option = new Option(`${entry.where}: ${entry.figure}, not yet sent`, entry.id);
      option.dataset.unsent = "";
      choice.add(option);
    }
  }

  async function show() {
    const entries = await store.list_entries();
    show_photos(entries);
    show_foot(entries);
    show_places(entries);
  }

  const refresh = () => show().catch(() => {});
  document.addEventListener("tablet:changed", refresh);
  refresh();
})();

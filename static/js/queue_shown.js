// How entries on this tablet are shown: counted in the foot of every page, and at their places as not yet sent.
(() => {
  const { store, queue } = tablet;

  const number = (count, one, many) => `${count} ${count === 1 ? one : many}`;

  function waiting_words(mine) {
    if (!mine) return "";
    const kept = `${number(mine, "reading", "readings")} kept on this tablet, not yet sent.`;
    if (queue.state.needs_sign_in || !queue.person()) return `${kept} Sign in to send.`;
    return `${kept} Carry on, nothing is lost.`;
  }

  function others_words(others) {
    const names = [...new Set(others.map((entry) => entry.by))].join(", ");
    return others.length ? `${others.length} of ${names} ${others.length === 1 ? "waits" : "wait"} until ${names} signs in.` : "";
  }

  function show_foot(entries) {
    const cell = document.querySelector("[data-on-tablet]");
    if (!cell) return;
    const waiting = entries.filter((entry) => entry.state === "waiting");
    const others = queue.person() ? waiting.filter((entry) => entry.person !== queue.person()) : [];
    const refused = entries.filter((entry) => entry.state === "refused").length;
    const words = [
      waiting_words(waiting.length - others.length), others_words(others), refused ? `${refused} not taken by the book.` : "",
    ].filter(Boolean).join(" ");
    cell.hidden = !words && !queue.state.words;
    cell.querySelector("[data-says]").textContent = queue.state.words;
    cell.querySelector("a").textContent = words;
  }

  // The last entry that waits at a place is what stands there, as far as this tablet knows.
  function show_places(entries) {
    const waiting = new Map(entries.filter((entry) => entry.state === "waiting").map((entry) => [entry.here, entry]));
    for (const link of document.querySelectorAll(".gauge-form :is(.place, .level, .cell-link)")) {
      const entry = waiting.get(store.key_of(link.href));
      link.classList.toggle("unsent", Boolean(entry));
      if (entry) mark(link, entry);
    }
  }

  function mark(link, entry) {
    const words = `${entry.figure}, on this tablet, not yet sent`;
    if (link.matches(".cell-link")) {
      link.textContent = entry.figure.replace(/ \S+$/, "");
      link.setAttribute("aria-label", `${entry.where}: ${words}`);
      return;
    }
    link.querySelector("b").textContent = entry.figure;
    link.title = words;
  }

  async function show() {
    const entries = await store.list_entries();
    show_foot(entries);
    show_places(entries);
  }

  const refresh = () => show().catch(() => {});
  document.addEventListener("tablet:changed", refresh);
  refresh();
})();

// The page "On this tablet": every entry that is not in the book yet, with its reason where the book did not take it.
// Nothing leaves this list but by the book's word, or by somebody who sets it aside.
(() => {
  const { store, queue } = tablet;
  const STANDS = { waiting: "Kept on this tablet, not yet sent", refused: "Not taken by the book", aside: "Set aside" };
  const body = document.querySelector("#tablet-entries tbody");

  function add(parent, tag, text, attributes = {}) {
    const made = document.createElement(tag);
    made.textContent = text;
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
    parent.append(made);
    return made;
  }

  function stands(entry) {
    if (entry.state === "waiting" && entry.person !== queue.person()) return `${STANDS.waiting}. Waits until ${entry.by} signs in`;
    return entry.reason ? `${STANDS[entry.state]}: ${entry.reason}` : `${STANDS[entry.state]}.`;
  }

  function add_row(entry) {
    const row = add(body, "tr", "");
    add(row, "td", new Date(entry.kept_at).toLocaleString([], { dateStyle: "medium", timeStyle: "short" }));
    add(row, "td", entry.by);
    add(row, "th", `${entry.work}: ${entry.where}`, { scope: "row" });
    add(row, "td", entry.figure);
    add(row, "td", stands(entry));
    const ways = add(row, "td", "");
    if (entry.file) add(ways, "button", "Save the photo", { class: "btn", type: "button", "data-do": "photo", "data-id": entry.id });
    if (entry.state === "refused") {
      add(ways, "a", "Go to the place", { class: "btn", href: entry.here });
      add(ways, "button", "Send again", { class: "btn", type: "button", "data-do": "again", "data-id": entry.id });
      add(ways, "button", "Set aside", { class: "btn", type: "button", "data-do": "aside", "data-id": entry.id });
    }
    if (entry.state === "aside") add(ways, "button", "Bring back", { class: "btn", type: "button", "data-do": "back", "data-id": entry.id });
  }

  function words(entries) {
    const count = (state) => entries.filter((entry) => entry.state === state).length;
    if (!entries.length) return "Everything that was entered on this tablet is in the book.";
    const said = Object.keys(STANDS).filter(count).map((state) => `${STANDS[state]}: ${count(state)}.`).join(" ");
    return queue.state.is_cut ? `${said} The server does not answer; nothing is lost.` : said;
  }

  const unsettled = (entries) => entries.filter((entry) => entry.state !== "sent");

  async function show() {
    const entries = unsettled(await store.list_entries());
    document.querySelector("#tablet-words").textContent = words(entries);
    for (const id of ["#tablet-actions", "#tablet-entries"]) document.querySelector(id).hidden = !entries.length;
    body.replaceChildren();
    for (const entry of entries) add_row(entry);
  }

  async function show_pages() {
    const pages = (await store.list_pages()).filter((page) => !queue.person() || page.person === queue.person());
    const list = document.querySelector("#tablet-pages ul");
    for (const page of pages) {
      const title = new DOMParser().parseFromString(page.html, "text/html").title;
      add(add(list, "li", ""), "a", title, { href: page.key });
    }
    document.querySelector("#tablet-pages").hidden = !pages.length;
  }

  // A file of every entry here, for whoever has to enter it by hand elsewhere; photos are saved one by one, as they are.
  async function save() {
    const entries = unsettled(await store.list_entries());
    const named = entries.map((entry) => (entry.file ? { ...entry, file: entry.file.name } : entry));
    give(new Blob([JSON.stringify(named, null, 2)], { type: "application/json" }), "on-this-tablet.json");
  }

  async function save_photo(id) {
    const entry = (await store.list_entries()).find((each) => each.id === id);
    if (entry?.file) give(entry.file, entry.file.name || "photo");
  }

  function give(file, name) {
    const link = add(document.body, "a", "", { href: URL.createObjectURL(file), download: name, hidden: "" });
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  }

  const DO = {
    send: () => queue.send(),
    save,
    photo: save_photo,
    again: (id) => store.change_entry(id, { state: "waiting", reason: "" }).then(queue.send),
    aside: (id) => store.change_entry(id, { state: "aside", aside_by: document.body.dataset.name ?? "", aside_at: Date.now() }),
    back: (id) => store.change_entry(id, { state: "refused" }),
  };

  document.addEventListener("click", async (event) => {
    const pressed = event.target.closest("[data-do]");
    if (!pressed) return;
    await DO[pressed.dataset.do](pressed.dataset.id);
    queue.say();
  });
  document.addEventListener("tablet:changed", () => show().catch(() => {}));
  show().then(show_pages).catch(() => {});
})();

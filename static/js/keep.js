// Keep: the entry is stored on the tablet, then sent. The server's answer leads on as ever; without one the hand goes on
// to the next place that is on this tablet, and the entry is shown as not yet sent.
(() => {
  const { store, queue, turn } = tablet;
  const patience_ms = 6000;
  let is_busy = false;
  let stuck = null;

  // Where the tablet cannot store, the form goes to the server as it does without script.
  function send_plainly(form, submitter) {
    if (submitter?.name) {
      const chosen = document.createElement("input");
      Object.assign(chosen, { type: "hidden", name: submitter.name, value: submitter.value });
      form.append(chosen);
    }
    HTMLFormElement.prototype.submit.call(form);
  }

  function put_identifier(identifier) {
    const field = document.querySelector(".gauge-form [name=id]");
    if (field) field.value = identifier;
  }

  async function go_on_alone() {
    const next = await turn.next_stored();
    if (next) return turn.to(next);
    put_identifier(store.identifier());
    stuck = document.querySelector(".gauge-form");
    return turn.tell("No other page is on this tablet.");
  }

  // Nothing was at hand to go on to: once the server answers, the next place comes up by itself, unless somebody types.
  async function go_on_again() {
    if (!stuck || queue.state.is_cut) return;
    const form = stuck;
    stuck = null;
    if (form.isConnected) await turn.to(form.dataset.here.split("/").slice(0, 4).join("/"));
  }

  // The form came back with what was typed: the entry put right goes under the same identifier.
  function show_refused(entry, page) {
    turn.show(page, location.href, false);
    if (!entry.takes_back) put_identifier(entry.id);
  }

  // What was taken back leads to its place; a page that is no place to gauge cannot turn there by itself.
  async function go_back(entry, answer) {
    if (!document.querySelector(".gauge-form")) return location.assign(answer?.state === "kept" ? answer.next : "/on-this-tablet");
    if (answer?.state === "kept") return turn.to(answer.next);
    if (answer?.state === "refused" && answer.page) return show_refused(entry, answer.page);
    return turn.to(entry.here);
  }

  async function follow(entry, answer) {
    if (entry.takes_back && answer?.state !== "sign-in") return go_back(entry, answer);
    if (!answer) return go_on_alone();
    if (answer.state === "kept") return turn.to(answer.next).then((went) => went || go_on_alone());
    if (answer.state === "refused" && answer.page) return show_refused(entry, answer.page);
    if (answer.state === "sign-in") return location.assign(`${answer.at}?then=${encodeURIComponent(location.pathname + location.search)}`);
    return location.assign("/on-this-tablet");
  }

  const patience = () => new Promise((over) => setTimeout(() => over(null), patience_ms));

  async function keep(form, submitter) {
    const entry = queue.entry_from(form, submitter);
    try {
      await store.put_entry(entry);
    } catch {
      return send_plainly(form, submitter);
    }
    queue.say();
    await follow(entry, await Promise.race([queue.deliver(entry.id), patience()]));
  }

  async function take_back_waiting() {
    const last = queue.last_waiting(await store.list_entries());
    if (!last) return;
    const strike = queue.strike_of(last);
    await store.put_entry(strike);
    queue.say();
    await follow(strike, await Promise.race([queue.deliver(strike.id), patience()]));
  }

  document.addEventListener("click", async (event) => {
    if (!event.target.closest?.("[data-take-back]") || is_busy) return;
    is_busy = true;
    await take_back_waiting().catch(() => {}).finally(() => { is_busy = false; });
  });
  document.addEventListener("input", () => { stuck = null; });
  document.addEventListener("tablet:changed", go_on_again);
  const chosen_file = (form) => [...form.querySelectorAll("[type=file]")].map((field) => field.files[0]).find(Boolean);

  // A photo that has to wait is listed below its form, which is free for the next one.
  function stay_at(form) {
    form.reset();
    form.elements.id.value = store.identifier();
    queue.say();
  }

  async function follow_photo(form, entry, answer) {
    if (answer?.state === "kept") return location.assign(answer.next);
    if (answer?.state === "refused" && answer.page) return turn.show(answer.page, location.href, false);
    if (answer?.state === "sign-in") return location.assign(`${answer.at}?then=${encodeURIComponent(location.pathname)}`);
    return stay_at(form);
  }

  async function keep_photo(form, file) {
    const entry = queue.photo_from(form, file);
    try {
      await store.put_entry(entry);
    } catch {
      return HTMLFormElement.prototype.submit.call(form);
    }
    queue.say();
    if (entry.state === "refused") return stay_at(form);
    return follow_photo(form, entry, await Promise.race([queue.deliver(entry.id), patience()]));
  }

  document.addEventListener("submit", async (event) => {
    const form = event.target;
    const file = form.matches(".photo-form") ? chosen_file(form) : null;
    if (event.defaultPrevented || !file || !globalThis.indexedDB) return;
    event.preventDefault();
    if (is_busy) return;
    is_busy = true;
    await keep_photo(form, file).finally(() => { is_busy = false; });
  });
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (event.defaultPrevented || !form.matches(".gauge-form, .take-back") || !globalThis.indexedDB) return;
    event.preventDefault();
    if (is_busy) return;
    is_busy = true;
    await keep(form, event.submitter).finally(() => { is_busy = false; });
  });
})();

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
    put_identifier(entry.id);
  }

  async function follow(entry, answer) {
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

  document.addEventListener("input", () => { stuck = null; });
  document.addEventListener("tablet:changed", go_on_again);
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (event.defaultPrevented || !form.matches(".gauge-form") || !globalThis.indexedDB) return;
    event.preventDefault();
    if (is_busy) return;
    is_busy = true;
    await keep(form, event.submitter).finally(() => { is_busy = false; });
  });
})();

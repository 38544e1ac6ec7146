// The queue: an entry is stored on the tablet first, then sent, in the order in which entries were made. Only the server's
// word takes it off the queue; whoever made an entry must be signed in for it to be sent.
(() => {
  const { store } = tablet;
  const longest_answer_ms = 10_000;
  const longest_photo_ms = 120_000;
  const again_after_ms = 3000;
  const state = { is_cut: false, needs_sign_in: false, words: "" };
  const answers = new Map();
  let running = null;
  let timer = 0;

  const person = () => document.body.dataset.person ?? "";
  const token = () => document.querySelector("[name=csrf]")?.value ?? "";
  const say = () => document.dispatchEvent(new CustomEvent("tablet:changed"));

  function figure_of(fields, form) {
    const one = (name) => fields.find(([each]) => each === name)?.[1] ?? "";
    const unit = form.querySelector(".figure i")?.textContent ?? "";
    switch (one("kind")) {
      case "pair": return one("does_not_go") ? `${one("goes")}\u2013${one("does_not_go")} ${unit}` : `goes ${one("goes")} ${unit}`;
      case "seen": return seen_words(fields, form);
      case "cannot": return "cannot gauge";
      case "taken back": return `${form.dataset.figure} taken back`;
      default: return `${one("value")} ${unit}`;
    }
  }

  function seen_words(fields, form) {
    const codes = fields.filter(([name]) => name === "findings").map(([, code]) => code);
    const words = (code) => form.querySelector(`[name=findings][value="${code}"]`)?.closest("label")?.textContent.trim() || code;
    return codes.map(words).join(", ");
  }

  // What a form says, with who made it and when by this tablet's clock.
  function entry_from(form, submitter) {
    const fields = [...new FormData(form, submitter)].filter(([name, value]) => name !== "csrf" && typeof value === "string");
    const one = (name) => fields.find(([each]) => each === name)?.[1] ?? "";
    const shown = [document.querySelector("#what")?.textContent.trim(), one("level"), one("axis")].filter(Boolean).join(", ");
    return {
      id: one("id"), path: new URL(form.action).pathname, here: store.key_of(form.dataset.here), person: person(),
      by: document.body.dataset.name, fields, where: form.dataset.where ?? shown, figure: figure_of(fields, form), work: document.title.split(": ").pop(),
      takes_back: one("takes_back"), kept_at: Date.now(), state: "waiting", reason: "",
    };
  }

  // A photo with what the form says of it; one that is too large is kept here and never sent.
  function photo_from(form, file) {
    const most_mb = Number(form.dataset.mostBytes) / 1024 / 1024;
    const size_mb = file.size / 1024 / 1024;
    const entry = entry_from(form, null);
    const refused = size_mb > most_mb ? { state: "refused", reason: `At most ${most_mb} MB.`, refused_at: Date.now() } : {};
    return { ...entry, file, figure: `Photo ${file.name}, ${size_mb.toFixed(1)} MB`, ...refused };
  }

  // What strikes an entry that still waits here; it goes behind that one, so that the book hears of both.
  function strike_of({ n: _place_in_queue, ...entry }) {
    const id = store.identifier();
    const same = entry.fields.filter(([name]) => ["part", "characteristic", "level", "axis", "occasion", "look"].includes(name));
    const fields = [...same, ["id", id], ["kind", "taken back"], ["takes_back", entry.id]];
    const figure = `${entry.figure} taken back`;
    return { ...entry, id, fields, figure, takes_back: entry.id, kept_at: Date.now(), state: "waiting", reason: "" };
  }

  // The last entry of whoever is signed in that waits here and is not taken back already.
  function last_waiting(entries) {
    const gone = new Set(entries.map((entry) => entry.takes_back).filter(Boolean));
    return waiting_here(entries).findLast((entry) => !entry.file && !entry.takes_back && !gone.has(entry.id));
  }

  // The age tells the server when it was measured, whatever the tablet's clock stands at.
  function body_of(entry) {
    const body = entry.file ? new FormData() : new URLSearchParams();
    for (const [name, value] of entry.fields) body.append(name, value);
    if (entry.file) body.append("file", entry.file, entry.file.name);
    body.set("csrf", token());
    body.set("maker", entry.person);
    body.set("age", String(Math.max(0, Math.round((Date.now() - entry.kept_at) / 1000))));
    return body;
  }

  async function post(entry) {
    const patience = AbortSignal.timeout(entry.file ? longest_photo_ms : longest_answer_ms);
    const answer = await fetch(`/tablet${entry.path}`, { method: "POST", body: body_of(entry), redirect: "manual", signal: patience });
    if (answer.status === 413) return { state: "refused", reason: "Larger than the book takes.", page: "" };
    if (!answer.headers.get("content-type")?.startsWith("application/json")) throw new Error("this was not the book's answer");
    return answer.json();
  }

  function reason_in(page) {
    const errors = new DOMParser().parseFromString(page, "text/html").querySelectorAll(".error");
    return [...errors].map((error) => error.textContent.trim()).join(" ");
  }

  async function take_answer(entry, answer) {
    if (answer.state === "kept") await store.change_entry(entry.id, { state: "sent", sent_at: Date.now(), file: null });
    if (answer.state === "kept" && !entry.file) await set_aside_before(entry);
    if (answer.state !== "refused") return;
    await store.change_entry(entry.id, { state: "refused", reason: answer.reason || reason_in(answer.page), refused_at: Date.now() });
  }

  // What was not taken, or asked about, at a place is settled by whatever its maker kept there since.
  async function set_aside_before(entry) {
    const settled = (await store.list_entries()).filter((each) => each.state === "refused" && !each.file &&
      each.here === entry.here && each.person === entry.person && each.kept_at < entry.kept_at);
    const why = (each) => `${each.reason} Entered again since: ${entry.figure}.`;
    for (const each of settled) await store.change_entry(each.id, { state: "aside", reason: why(each), aside_by: entry.by, aside_at: Date.now() });
  }

  const waiting_here = (entries) => entries.filter((entry) => entry.state === "waiting" && entry.person === person());

  // Send what waits, one after the other, until the server is silent.
  async function run() {
    for (;;) {
      const [entry] = waiting_here(await store.list_entries());
      if (!entry) return;
      const answer = await post(entry);
      state.is_cut = false;
      state.needs_sign_in = answer.state === "sign-in" || answer.state === "another";
      answers.set(entry.id, answer);
      if (state.needs_sign_in) return;
      await take_answer(entry, answer);
      say();
    }
  }

  async function run_and_tell() {
    try {
      await run();
    } catch {
      state.is_cut = true;
      timer = setTimeout(send, again_after_ms);
    }
    running = null;
    say();
  }

  // One run at a time in a page; two pages sending the same entry store it once.
  function send() {
    clearTimeout(timer);
    if (!person()) return Promise.resolve();
    running ??= run_and_tell();
    return running;
  }

  // The answer to one entry; nothing when it has to wait.
  async function deliver(id) {
    await send();
    if (!answers.has(id)) await send();
    const answer = answers.get(id) ?? null;
    answers.delete(id);
    return answer;
  }

  tablet.queue = { state, person, entry_from, photo_from, strike_of, last_waiting, send, deliver, say };
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) send(); });
  store.forget_sent().then(send).catch(() => {});
})();

// The queue: an entry is stored on the tablet first, then sent, in the order in which entries were made. Only the server's
// word takes it off the queue; whoever made an entry must be signed in for it to be sent.
(() => {
  const { store } = tablet;
  const longest_answer_ms = 10_000;
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
    const where = [document.querySelector("#what")?.textContent.trim(), one("level"), one("axis")].filter(Boolean).join(", ");
    return {
      id: one("id"), path: new URL(form.action).pathname, here: store.key_of(form.dataset.here), person: person(),
      by: document.body.dataset.name, fields, where, figure: figure_of(fields, form), work: document.title.split(": ").pop(),
      kept_at: Date.now(), state: "waiting", reason: "",
    };
  }

  // The age tells the server when it was measured, whatever the tablet's clock stands at.
  function body_of(entry) {
    const body = new URLSearchParams(entry.fields);
    body.set("csrf", token());
    body.set("maker", entry.person);
    body.set("age", String(Math.max(0, Math.round((Date.now() - entry.kept_at) / 1000))));
    return body;
  }

  async function post(entry) {
    const asked = { method: "POST", body: body_of(entry), redirect: "manual", signal: AbortSignal.timeout(longest_answer_ms) };
    const answer = await fetch(`/tablet${entry.path}`, asked);
    if (!answer.headers.get("content-type")?.startsWith("application/json")) throw new Error("this was not the book's answer");
    return answer.json();
  }

  function reason_in(page) {
    const errors = new DOMParser().parseFromString(page, "text/html").querySelectorAll(".error");
    return [...errors].map((error) => error.textContent.trim()).join(" ");
  }

  async function take_answer(entry, answer) {
    if (answer.state === "kept") await store.change_entry(entry.id, { state: "sent", sent_at: Date.now() });
    if (answer.state !== "refused") return;
    await store.change_entry(entry.id, { state: "refused", reason: answer.reason || reason_in(answer.page), refused_at: Date.now() });
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

  tablet.queue = { state, person, entry_from, send, deliver, say };
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) send(); });
  store.forget_sent().then(send).catch(() => {});
})();

// Covers a page that was idle until the password is given again; what is typed on it stays as it is. The server locks
// the sign-in by itself; this keeps the page from prying eyes and saves whoever typed from finding out on sending.
(() => {
  const key = "used";
  const plan = document.getElementById("lock-of-page");
  if (!plan) return;
  const idle = Number(plan.dataset.minutes) * 60000;
  let dialog = null;
  let used = Date.now();

  const last = () => Math.max(used, Number(localStorage.getItem(key) ?? 0));

  function note() {
    if (dialog || Date.now() - used < 1000) return;
    used = Date.now();
    localStorage.setItem(key, String(used));
  }

  function open() {
    dialog.close_for_good = true;
    dialog.close();
    dialog.remove();
    dialog = null;
    used = 0;
    note();
  }

  async function ask(event) {
    event.preventDefault();
    const form = event.target;
    const said = form.querySelector("[data-lock-said]");
    try {
      const answer = await fetch(form.action, { method: "POST", body: new URLSearchParams(new FormData(form)) });
      if (answer.status === 204) return open();
      said.textContent = answer.status === 422 ? await answer.text() : "This sign-in has ended. Sign in anew in another tab, then give that password here.";
      if (answer.headers.get("x-opens-by") === "password") end_pin(form, said);
    } catch {
      said.textContent = "The book cannot be reached just now. What is typed stays here; try again.";
    }
    form.querySelector("[type=password]").value = "";
  }

  // From now on the password alone opens: its form is the one that is left, with what was said.
  function end_pin(form, said) {
    const other = dialog.querySelector("details");
    other.open = true;
    other.querySelector("[data-lock-said]").textContent = said.textContent;
    form.remove();
    dialog.querySelector("[type=password]").focus();
  }

  function lock() {
    document.body.append(plan.content.cloneNode(true));
    dialog = document.body.lastElementChild;
    globalThis.pin.show(dialog);
    for (const form of dialog.querySelectorAll("form[action='/unlock']")) form.addEventListener("submit", ask);
    dialog.addEventListener("cancel", (event) => event.preventDefault());
    dialog.addEventListener("close", () => dialog && !dialog.close_for_good && dialog.showModal());
    dialog.showModal();
  }

  function look() {
    const is_idle = Date.now() - last() >= idle;
    if (!dialog && is_idle) lock();
  }

  localStorage.setItem(key, String(used));
  for (const name of ["pointerdown", "keydown", "input"]) document.addEventListener(name, note, true);
  document.addEventListener("visibilitychange", look);
  setInterval(look, 2000);
})();

// The large keypad of the gauging pages: it writes into the field marked current, and guards Keep against a second tap.
(() => {
  const guard_ms = 600;
  let just_reached = null;
  let quiet_until_ms = performance.now() + guard_ms;

  const all_fields = () => [...document.querySelectorAll("[data-pad-field]")];
  const current_field = () => document.querySelector("[data-pad-field].current");

  function make_current(field) {
    for (const other of all_fields()) other.classList.toggle("current", other === field);
    document.querySelector('[data-key="sign"]')?.toggleAttribute("disabled", !("signed" in field.dataset));
    show_mirror(field);
  }

  function go_to(field) {
    make_current(field);
    field.focus({ preventScroll: true });
    field.select();
  }

  function field_after(field) {
    const fields = all_fields();
    return fields[(fields.indexOf(field) + 1) % fields.length];
  }

  // A figure that differs from what is kept has a broken edge until it is kept.
  function show_state(field) {
    const box = field.closest("[data-read]");
    if (!box) return;
    const typed = field.value.trim() !== (field.dataset.kept ?? "");
    box.classList.toggle("typed", typed && field.value.trim() !== "");
    box.classList.toggle("kept", !typed && field.value.trim() !== "");
  }

  // The field being written, large enough to read from where the part is held.
  function show_mirror(field) {
    const mirror = document.querySelector("[data-pad-mirror]");
    if (!mirror || !field) return;
    mirror.hidden = false;
    mirror.querySelector(".label").textContent = field.labels[0]?.textContent.trim() ?? "";
    mirror.querySelector("b").textContent = field.value || "\u2013";
    const box = field.closest("[data-read]");
    for (const state of ["typed", "kept"]) mirror.classList.toggle(state, Boolean(box?.classList.contains(state)));
  }

  function put(field, text) {
    const limit = field.maxLength > 0 ? field.maxLength : Infinity;
    const selected = field.selectionEnd - field.selectionStart;
    if (field.value.length - selected + text.length > limit) return;
    field.setRangeText(text, field.selectionStart, field.selectionEnd, "end");
  }

  function back_one(field) {
    const start = field.selectionStart === field.selectionEnd ? Math.max(0, field.selectionStart - 1) : field.selectionStart;
    field.setRangeText("", start, field.selectionEnd, "end");
  }

  function change_sign(field) {
    if (!("signed" in field.dataset)) return;
    const bare = field.value.replace(/^[+\-\u2212]/, "");
    field.value = /^[-\u2212]/.test(field.value) ? bare : `-${bare}`;
  }

  function put_decimal(field) {
    // Each leaf of a stack is a number of its own.
    const before = field.value.slice(0, field.selectionStart).split("+").pop();
    const after = field.value.slice(field.selectionEnd).split("+")[0];
    if (/[.,]/.test(before + after)) return;
    put(field, /\d/.test(before) ? "." : "0.");
  }

  function clear(field) {
    field.value = "";
  }

  function press(key, field) {
    if (key === "next") return go_to(field_after(field));
    if (key === "back") back_one(field);
    else if (key === "clear") clear(field);
    else if (key === "sign") change_sign(field);
    else if (key === ".") put_decimal(field);
    else if (key === "+") put(field, /\d$/.test(field.value) ? "+" : "");
    else put(field, key);
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  // Enter goes on to the next field that is still empty, and sends the form when none is.
  function on_enter(event, field) {
    const empty = all_fields().filter((other) => other.form === field.form && other !== field && !other.value.trim());
    if (!field.value.trim() || !empty.length) return;
    event.preventDefault();
    go_to(empty[0]);
  }

  // Water on the glass, or a double tap, must not keep a reading twice, nor keep the part that comes next in the same place.
  function guard(event) {
    const keep = event.target.querySelector?.("[data-keep]");
    if (!keep) return;
    const now_ms = performance.now();
    if (now_ms < quiet_until_ms) {
      event.preventDefault();
      event.stopImmediatePropagation();
      return;
    }
    quiet_until_ms = now_ms + guard_ms;
  }

  function scan() {
    const pads = document.querySelectorAll("[data-pad]");
    for (const pad of pads) pad.hidden = false;
    if (!pads.length) return;
    for (const field of all_fields()) field.inputMode = "none";
    const field = current_field() ?? all_fields()[0];
    if (!field) return;
    make_current(field);
    if (document.activeElement !== field) field.setSelectionRange(field.value.length, field.value.length);
  }

  document.addEventListener("pointerdown", (event) => {
    if (event.target.closest("[data-key]")) event.preventDefault();
  });
  // The first tap into a field takes all of it, so that the next key replaces it; a second tap sets the caret.
  document.addEventListener("click", (event) => {
    const key = event.target.closest("[data-key]");
    const field = key && current_field();
    if (field) press(key.dataset.key, field);
    if (event.target === just_reached) just_reached.select();
    just_reached = null;
  });
  document.addEventListener("focusin", (event) => {
    if (!event.target.matches("[data-pad-field]")) return;
    just_reached = event.target;
    make_current(event.target);
  });
  document.addEventListener("input", (event) => {
    if (!event.target.matches("[data-pad-field]")) return;
    show_state(event.target);
    show_mirror(event.target);
  });
  // A gauge that types as a keyboard types whether or not anybody has tapped into a field: its digits must not be lost.
  document.addEventListener("keydown", (event) => {
    const is_plain = !event.ctrlKey && !event.metaKey && !event.altKey;
    const field = document.activeElement === document.body && is_plain && /^[\d.,\-]$/.test(event.key) ? current_field() : null;
    if (field) go_to(field);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches("[data-pad-field]")) on_enter(event, event.target);
  });
  document.addEventListener("submit", guard, true);
  document.addEventListener("htmx:after:settle", (event) => {
    const brought = event.detail?.newContent ?? [];
    const brings_keep = [...brought].some((one) => one.matches?.("[data-keep]") || one.querySelector?.("[data-keep]"));
    if (brings_keep) quiet_until_ms = performance.now() + guard_ms;
    scan();
  });
  scan();
})();

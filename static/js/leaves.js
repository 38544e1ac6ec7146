// The leaves of the feeler set in place of the keys: a tap takes a leaf into the current field and goes on to the next.
(() => {
  const remembered = "entry-by";
  let is_stacking = false;

  const current_field = () => document.querySelector("[data-pad-field].current");

  // Which of the two stands there is remembered on the tablet, since it goes with the hand and the glove.
  function show() {
    const panel = document.querySelector("[data-leaves]");
    const keys = panel?.closest(".keys");
    if (!keys) return;
    const by_leaves = localStorage.getItem(remembered) !== "keys";
    panel.hidden = !by_leaves;
    keys.classList.toggle("by-leaves", by_leaves);
    mark();
  }

  // Pressed are the leaves that the current field is made of.
  function mark() {
    const inside = (current_field()?.value ?? "").split("+").map((leaf) => leaf.trim());
    for (const leaf of document.querySelectorAll("[data-leaf]")) leaf.ariaPressed = String(inside.includes(leaf.dataset.leaf));
    for (const more of document.querySelectorAll("[data-leaf-more]")) more.ariaPressed = String(is_stacking);
  }

  function put(field, text) {
    field.value = text;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  // One more leaf belongs to the field just filled; the hand has been led on from it already.
  function begin_stack() {
    const fields = [...document.querySelectorAll("[data-pad-field]")];
    const field = current_field();
    const before = fields[fields.indexOf(field) - 1];
    if (field && !field.value && before?.value) before.focus({ preventScroll: true });
    is_stacking = !is_stacking && Boolean(current_field()?.value);
    mark();
  }

  function take(leaf) {
    const field = current_field();
    if (!field) return;
    const stands = field.value.replace(/\+\s*$/, "");
    put(field, is_stacking && stands ? `${stands}+${leaf}` : leaf);
    is_stacking = false;
    const empty = [...document.querySelectorAll("[data-pad-field]")].find((other) => other !== field && !other.value.trim());
    if (empty) empty.focus({ preventScroll: true });
    mark();
  }

  document.addEventListener("pointerdown", (event) => {
    if (event.target.closest("[data-leaf], [data-leaf-more]")) event.preventDefault();
  });
  document.addEventListener("click", (event) => {
    const pressed = event.target.closest("[data-leaf], [data-leaf-more], [data-entry-by]");
    if (!pressed) return;
    if ("leafMore" in pressed.dataset) begin_stack();
    else if ("leaf" in pressed.dataset) take(pressed.dataset.leaf);
    else {
      localStorage.setItem(remembered, pressed.dataset.entryBy);
      show();
    }
  });
  // A stack belongs to the field it was begun in: in another field the next leaf stands by itself.
  document.addEventListener("focusin", (event) => {
    if (event.target.matches("[data-pad-field]")) is_stacking = false;
    mark();
  });
  document.addEventListener("input", mark);
  // A verdict that comes while a stack is being built must not end it: the next leaf would take the stack's place.
  document.addEventListener("htmx:after:settle", show);
  show();
})();

// The keys of a PIN: they type into the field of their form, in place of the tablet's own keyboard.
(() => {
  // Shows the keys below an element, once they can do something.
  function show(root) {
    for (const keys of root.querySelectorAll("[data-pin-keys]")) {
      keys.hidden = false;
      keys.closest("form").elements.unlock_pin.inputMode = "none";
    }
  }

  document.addEventListener("click", (event) => {
    const key = event.target.closest("[data-pin-key]");
    if (!key) return;
    const field = key.form.elements.unlock_pin;
    const typed = key.dataset.pinKey;
    field.value = typed === "clear" ? "" : (field.value + typed).slice(0, field.maxLength);
  });

  show(document);
  globalThis.pin = { show };
})();

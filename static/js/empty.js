// Keep with nothing typed is refused beside the field at once, in the book's own words, and never enters the queue.
(() => {
  const field_of = (form, name) => form.querySelector(`:is(input:not([type=hidden]), textarea)[name="${name}"]`);
  const is_blank = (data, name) => data.getAll(name).every((value) => !String(value).trim());

  // The words stand where the book would write them: in the block of the field, and in its description.
  function say_beside(field, words) {
    const block = field.closest("[data-read], fieldset, .field");
    const described = block.matches("fieldset") ? block : field;
    const id = `f-${field.name}-error`;
    const error = document.getElementById(id) ?? Object.assign(document.createElement("p"), { id, className: "error" });
    error.textContent = words;
    if (block.matches("fieldset")) block.querySelector("legend").after(error);
    else block.append(error);
    block.classList.add("bad");
    field.closest("details")?.setAttribute("open", "");
    described.setAttribute("aria-describedby", id);
    if (described === field) field.setAttribute("aria-invalid", "true");
  }

  function take_back(field) {
    const error = document.getElementById(`f-${field.name}-error`);
    if (!error) return;
    const block = error.parentElement;
    error.remove();
    block.classList.remove("bad");
    for (const one of [block, field]) one.removeAttribute("aria-describedby");
    field.removeAttribute("aria-invalid");
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || !form.dataset.empty) return;
    const data = new FormData(form, event.submitter);
    const wanted = Object.entries(JSON.parse(form.dataset.empty)).map(([name, words]) => [field_of(form, name), words]);
    const blank = wanted.filter(([field]) => field && is_blank(data, field.name));
    if (!blank.length) return;
    event.preventDefault();
    for (const [field, words] of blank) say_beside(field, words);
    blank[0][0].focus({ preventScroll: true });
  });
  document.addEventListener("input", (event) => { if (event.target.closest?.(".gauge-form")) take_back(event.target); });
})();

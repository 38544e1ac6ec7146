// An entry that was sent and never answered: Back finds it in its fields again, under the identifier it was sent with,
// so that nothing typed is lost and it is stored once, whether or not the first sending arrived.
(() => {
  const key = "unsent";
  const places = ["part", "characteristic", "level", "axis", "occasion", "kind"];
  const is_back = performance.getEntriesByType("navigation")[0]?.type === "back_forward";
  const form = document.querySelector(".gauge-form");

  const place_of = (entries) => places.map((name) => entries.find(([each]) => each === name)?.[1]).join("\n");
  const written = () => [...new FormData(form)].filter(([name]) => name !== "csrf");

  function put_back(entries) {
    for (const field of form.elements) {
      if (!field.name || field.name === "csrf" || field.type === "submit") continue;
      const values = entries.filter(([name]) => name === field.name).map(([, value]) => value);
      if (field.type === "checkbox") field.checked = values.includes(field.value);
      else if (values.length) field.value = values[0];
    }
    form.querySelector("[data-pad-field]")?.dispatchEvent(new Event("input", { bubbles: true }));
  }

  const unsent = JSON.parse(sessionStorage.getItem(key) ?? "null");
  if (!is_back) sessionStorage.removeItem(key);
  else if (form && unsent && place_of(unsent) === place_of(written())) put_back(unsent);
  form?.addEventListener("submit", () => sessionStorage.setItem(key, JSON.stringify(written())));
})();

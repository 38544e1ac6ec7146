// The two lights of the room. The choice is remembered in the cookie "room", which the server reads for the next page,
// and among the settings of whoever is signed in, for the other tablets.
(() => {
  const page = document.documentElement;
  const year = 31536000;

  function remember(room) {
    document.cookie = `room=${room};path=/;max-age=${year};samesite=lax`;
  }

  // Without an answer the light of this tablet holds all the same.
  function tell_settings(light) {
    const token = document.querySelector('input[name="csrf"]')?.value;
    if (!token || !document.querySelector(".own-settings")) return;
    const body = new URLSearchParams({ csrf: token, light });
    fetch("/settings", { method: "POST", body, redirect: "manual" }).catch(() => {});
  }

  function show_lamps() {
    for (const lamp of document.querySelectorAll("[data-lamp]")) lamp.hidden = false;
  }

  function follow_device() {
    const known = /(?:^|;\s*)room=/.test(document.cookie);
    if (!known && matchMedia("(prefers-color-scheme: dark)").matches) page.dataset.room = "engine";
  }

  follow_device();
  show_lamps();
  document.addEventListener("htmx:after:settle", show_lamps);
  document.addEventListener("click", (event) => {
    if (!event.target.closest("[data-lamp]")) return;
    page.dataset.room = page.dataset.room === "engine" ? "day" : "engine";
    remember(page.dataset.room);
    tell_settings(page.dataset.room);
  });
})();

// Starts the service worker where the browser allows one: with TLS, or on the server itself. Without it the open page
// still goes on, but no page opens anew without the server.
(() => {
  const lives_ms = 3_600_000;
  const { queue } = tablet;

  // The worker's own list is renewed now and then, so that it goes with the program's version.
  async function start() {
    const registered = await navigator.serviceWorker.register("/worker.js");
    const renewed_ms = Number(localStorage.getItem("worker-renewed") ?? 0);
    if (!registered.active || Date.now() - renewed_ms < lives_ms) return;
    registered.active.postMessage("renew");
    localStorage.setItem("worker-renewed", String(Date.now()));
  }

  if ("serviceWorker" in navigator && queue.person()) start().catch(() => {});
})();

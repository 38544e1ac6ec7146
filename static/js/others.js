// What another tablet keeps in the same overhaul comes up within seconds, and never where somebody is typing.
(() => {
  const { queue, turn } = tablet;
  const every_ms = 4000;
  const PARTS = [".drawn", "#what-block", "#bore-grid"];
  let is_asking = false;

  const overhaul = (form) => form.dataset.here.split("/")[2];

  // A part that holds the focus, or that somebody has opened, waits for the next time.
  function renew_part(form, came, selector) {
    const [old, fresh] = [form.querySelector(selector), came.querySelector(selector)];
    if (!old || !fresh || old.contains(document.activeElement) || old.querySelector("[open]")) return;
    old.replaceWith(document.adoptNode(fresh));
  }

  // The page still says which entry was seen at its place: what is kept now stands beside the other one, and is asked about.
  function tell_of_place(form, came) {
    const seen = (one) => one.querySelector("[name=seen]")?.value;
    if (seen(form) === seen(came) || !came.dataset.seen) return;
    turn.tell(`${came.dataset.seen} here since this page opened. Yours is kept beside it; if they differ, a third look is asked for.`);
  }

  async function renew(form) {
    const { html, is_ok } = await turn.fetch_page(location.href, turn.BY_PAGE);
    const came = new DOMParser().parseFromString(html, "text/html").querySelector(".gauge-form");
    if (!is_ok || !came || !form.isConnected || came.dataset.here !== form.dataset.here) return;
    tell_of_place(form, came);
    for (const selector of PARTS) renew_part(form, came, selector);
    form.dataset.count = came.dataset.count;
    form.dataset.left = came.dataset.left;
    queue.say();
  }

  async function ask() {
    const form = document.querySelector(".gauge-form[data-count]");
    if (!form || document.hidden || !queue.person()) return;
    const asked = { headers: turn.BY_PAGE, signal: AbortSignal.timeout(every_ms) };
    const answer = await fetch(`/tablet/overhauls/${overhaul(form)}/newest`, asked);
    if (!answer.headers.get("content-type")?.startsWith("application/json")) return;
    if (queue.state.is_cut) turn.answered();
    const { count } = await answer.json();
    if (String(count) !== form.dataset.count) await renew(form);
  }

  setInterval(() => {
    if (is_asking) return;
    is_asking = true;
    ask().catch(() => {}).finally(() => { is_asking = false; });
  }, every_ms);
})();

// Turning pages: from one place to the next within the page that is open, so that a lost network never ends in the
// browser's own error page. Pages of the round are fetched ahead; without the server they come from the tablet.
(() => {
  const { store, queue } = tablet;
  const place_page = /^\/overhauls\/\d+\/(?:(?:gauge|fit)\/[^/]+(?:\/[^/]+)?|photos\/[^/]+)$/;
  const longest_ms = 8000;
  const between_ms = 150;
  const again_after_ms = 3000;
  const fresh_ms = 5 * 60_000;
  // What a page asks by itself does not keep an idle sign-in open.
  const BY_PAGE = { "x-asked-by-page": "yes" };
  const address = () => location.pathname + location.search;
  let turning = 0;
  let at = address();

  const is_place = (href) => {
    const address = new URL(href, location.href);
    return address.origin === location.origin && place_page.test(address.pathname);
  };
  const here = () => document.querySelector(".gauge-form, .photo-form")?.dataset.here ?? "";

  async function fetch_page(href, headers = {}) {
    const answer = await fetch(href, { headers: { accept: "text/html", ...headers }, signal: AbortSignal.timeout(longest_ms) });
    const html = await answer.text();
    if (answer.ok && is_place(answer.url)) await store.put_page(answer.url, html, queue.person());
    return { url: answer.url, html, is_ok: answer.ok };
  }

  // Where the hand goes on after a page was turned: what is refused, else what is entered next, else what the page is of.
  const landings = [
    "[data-pad-field][aria-invalid=true]", "[aria-invalid=true]", ".seen.bad input", "#why input", "[data-pad-field].current",
    "[data-pad-field]", "#cannot textarea", "#f-findings", "#what", "main",
  ];
  const landing = (sheet) => landings.map((selector) => sheet.querySelector(selector)).find(Boolean);

  // The new page's sheet takes the old one's place; whoever listens for new content hears of it as from htmx.
  function show(html, url, push = true) {
    const came = new DOMParser().parseFromString(html, "text/html");
    const sheet = document.adoptNode(came.querySelector(".sheet"));
    if (push) history.pushState({ turned: true }, "", url);
    at = address();
    document.title = came.title;
    queue.state.words = "";
    document.body.className = came.body.className;
    document.querySelector(".sheet").replaceWith(sheet);
    globalThis.htmx?.process(sheet);
    scrollTo(0, 0);
    document.dispatchEvent(new CustomEvent("htmx:after:settle", { detail: { newContent: [sheet] } }));
    document.documentElement.dataset.turned = String(performance.now());
    landing(sheet)?.focus({ preventScroll: true });
    queue.say();
    return sheet;
  }

  // A page from the tablet has been shown before: its next entry needs an identifier of its own.
  function show_stored(page, url, push) {
    const sheet = show(page.html, url, push);
    const identifier = sheet.querySelector(":is(.gauge-form, .photo-form) [name=id]");
    if (identifier) identifier.value = store.identifier();
    sheet.querySelector(".just-kept")?.remove();
    tell(`No answer from the server: page as at ${clock(page.at)}.`);
  }

  const clock = (ms) => new Date(ms).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });

  // What the foot says of the network, until the next page is turned.
  function tell(words) {
    queue.state.words = words;
    queue.say();
  }

  async function stored(href) {
    const page = await store.get_page(href).catch(() => null);
    return page && page.person === queue.person() ? page : null;
  }

  // Go to a place; false where it is neither on the server's side of the network nor on this tablet.
  async function to(href, push = true) {
    const turn = ++turning;
    try {
      const { url, html, is_ok } = await fetch_page(href);
      queue.state.is_cut = false;
      if (turn !== turning) return true;
      if (is_ok && is_place(url)) show(html, url, push);
      else location.assign(url);
      return true;
    } catch {
      queue.state.is_cut = true;
    }
    const page = await stored(href);
    if (turn !== turning) return true;
    if (page) show_stored(page, href, push);
    else tell("No answer from the server, and that page is not on this tablet.");
    return Boolean(page);
  }

  // The next place without an entry, on the sheet or on this tablet, whose page is at hand.
  async function next_stored() {
    const form = document.querySelector(".gauge-form");
    const entries = await store.list_entries();
    const gone = new Set(entries.filter((entry) => ["waiting", "sent"].includes(entry.state)).map((entry) => entry.takes_back));
    const kept = entries.filter((entry) => entry.state !== "aside" && !entry.takes_back && !gone.has(entry.id));
    const done = new Set(kept.map((entry) => entry.here));
    for (const href of form?.dataset.left.split(" ").filter(Boolean) ?? []) {
      if (!done.has(store.key_of(href)) && store.key_of(href) !== store.key_of(here()) && await stored(href)) return href;
    }
    return null;
  }

  const pause = (ms) => new Promise((over) => setTimeout(over, ms));

  // Fetch a page ahead unless a fresh one is here; while the server is silent, ask again now and then.
  async function fetch_one(href, form) {
    while (form.isConnected && !document.hidden) {
      const page = await stored(href);
      if (page && page.at > Date.now() - fresh_ms) return;
      try {
        await fetch_page(href, BY_PAGE);
        if (queue.state.is_cut) answered();
        return;
      } catch {
        queue.state.is_cut = true;
        await pause(again_after_ms);
      }
    }
  }

  function answered() {
    queue.state.is_cut = false;
    queue.send();
    queue.say();
  }

  // What the hand may want next: the places left, in their order, then what the page leads to.
  async function fetch_ahead() {
    const form = document.querySelector(".gauge-form");
    if (!form || !queue.person()) return;
    const links = [...form.querySelectorAll("a[href]")].map((link) => link.href).filter(is_place);
    const left = form.dataset.left.split(" ").filter(Boolean);
    const photos = new Set(left.map((href) => href.replace(/\/(?:gauge|fit)\/([^/?]+).*/, "/photos/$1")));
    for (const href of [here(), ...left, ...links, ...photos]) {
      await pause(between_ms);
      await fetch_one(href, form);
    }
  }
  const ahead = () => fetch_ahead().catch(() => {});

  // The way back from photos leads to whichever place is next, which only the server knows; without it, to the page before.
  async function go(link) {
    const went = await to(link.href);
    if (!went && link.matches(".photos a") && history.state?.turned) history.back();
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest?.(".gauge-form a[href], .just-kept a[href], .photos > .bar a[href]");
    const is_plain = event.button === 0 && !event.ctrlKey && !event.metaKey && !event.shiftKey && !event.altKey;
    if (!link || !is_plain || event.defaultPrevented || !is_place(link.href) || !here()) return;
    event.preventDefault();
    go(link);
  });
  // A link within the page changes what stands behind the # alone, and turns nothing.
  addEventListener("popstate", () => {
    if (address() === at) return;
    if (is_place(location.href)) to(location.href, false);
    else location.reload();
  });
  document.addEventListener("htmx:after:settle", (event) => {
    if (event.detail?.newContent?.[0]?.matches?.(".sheet")) ahead();
  });
  // A page that the worker gave knows nobody; only the server's own page says that somebody else is here now.
  const is_worker_list = location.search === "?without-server";
  if (is_worker_list) ahead();
  else store.keep_pages_of(queue.person()).then(ahead).catch(() => {});
  tablet.turn = { to, show, next_stored, tell, fetch_page, answered, BY_PAGE };
})();

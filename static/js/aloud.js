// What a page says aloud, in the one live region that stands outside everything swapped: the verdict on what is typed, once
// it has settled, with the part it is of; what was just kept; and what the foot tells. Nothing is said twice.
(() => {
  const region = document.getElementById("aloud");
  const settled_ms = 700;
  const still_there_ms = 1500;
  const once = new Set();
  let of_verdict = 0;
  let of_foot = 0;
  let said_of_foot = "";

  const words_of = (one) => (one?.textContent ?? "").replace(/\s+/g, " ").trim();
  const shown = (selector, among = document) => [...among.querySelectorAll(selector)].filter((one) => one.checkVisibility());

  function say(words) {
    if (region && words && region.textContent !== words) region.textContent = words;
  }

  function is_new(one) {
    const words = words_of(one);
    if (!words || (one.dataset.aloud === "once" && once.has(words))) return false;
    once.add(words);
    return true;
  }

  const say_page = () => say(shown("[data-aloud]").filter(is_new).map(words_of).join(" "));

  // Ring 2, closed gap: RENEW. 0.70 mm is over the limit 0.65 mm. Not kept yet.
  function verdict_words(box) {
    const told = [box.querySelector("p:not(.also)"), box.querySelector(".leaf"), box.querySelector(".differing")].filter(Boolean);
    const verdict = [...box.querySelectorAll(".word, .object")].map(words_of).join(" ");
    const sentences = [...new Set(told.map(words_of))].join(" ");
    return `${words_of(document.querySelector("#what span"))}: ${verdict}. ${sentences} Not kept yet.`;
  }

  // What is no longer typed may be said again.
  function say_verdict() {
    const box = document.querySelector(".gauge-form #verdict");
    if (box?.matches(".typed")) say(verdict_words(box));
    else if (region) region.textContent = "";
  }

  function verdict_soon() {
    clearTimeout(of_verdict);
    of_verdict = setTimeout(say_verdict, settled_ms);
  }

  // Most entries are sent in the same moment: only what stays on the tablet is told of.
  function say_foot() {
    const words = shown("[data-on-tablet] [data-says], [data-on-tablet] a").map(words_of).filter(Boolean).join(" ");
    if (words !== said_of_foot) say(words);
    said_of_foot = words;
  }

  document.addEventListener("input", (event) => { if (event.target.closest?.(".gauge-form")) verdict_soon(); });
  document.addEventListener("htmx:after:swap", verdict_soon);
  document.addEventListener("htmx:after:settle", (event) => {
    if (!event.detail?.newContent?.[0]?.matches?.(".sheet")) return;
    clearTimeout(of_verdict);
    say_page();
  });
  document.addEventListener("tablet:changed", () => {
    clearTimeout(of_foot);
    of_foot = setTimeout(say_foot, still_there_ms);
  });
  setTimeout(say_page, settled_ms);
})();

// Measures a gauging page with large text or for gloves: what the work cannot go on without is whole, in view and large enough.
(key_px) => {
  const faults = [];
  const page = document.scrollingElement;
  const shown = (selector) => [...document.querySelectorAll(selector)].filter((one) => one.checkVisibility() && one.getClientRects().length);
  const name = (one) => `${one.className || one.tagName} ${(one.textContent || one.name).trim().slice(0, 24)}`;
  const box = (one) => one.getBoundingClientRect();
  if (page.scrollHeight > innerHeight) faults.push(`the page scrolls down: ${page.scrollHeight}`);
  if (page.scrollWidth > innerWidth) faults.push(`the page scrolls sideways: ${page.scrollWidth}`);
  const foot = box(document.querySelector("footer.title"));
  if (foot.bottom > innerHeight) faults.push("the foot is out of view");
  const needed = shown(".key, .read, [data-keep], #verdict .word, #what");
  for (const one of needed) {
    const { top, bottom, left, right } = box(one);
    if (one.closest(".leaf-keys")) continue;
    if (top < 0 || left < 0 || right > innerWidth || bottom > foot.top + 1) faults.push(`out of view: ${name(one)} ${Math.round(top)}..${Math.round(bottom)} of ${Math.round(foot.top)}, ${Math.round(right)}`);
    for (let around = one.parentElement; around && around.id !== "main"; around = around.parentElement) {
      const rim = box(around);
      if (getComputedStyle(around).overflowY !== "visible" && (bottom > rim.bottom + 1 || top < rim.top - 1)) faults.push(`cut off in ${around.className}: ${name(one)}`);
    }
    if (one.scrollWidth > one.clientWidth + 1 && !one.matches("span")) faults.push(`too wide: ${name(one)}`);
  }
  const apart = shown(".read, .pad, .leaves, .keep, .entry, .aside, .seen, .drawn");
  for (const one of apart) for (const other of apart) {
    const a = box(one), b = box(other);
    const clash = one !== other && !one.contains(other) && !other.contains(one) && a.left < b.right - 2 && b.left < a.right - 2 && a.top < b.bottom - 2 && b.top < a.bottom - 2;
    if (clash && one.className < other.className) faults.push(`${name(one)} lies over ${name(other)}`);
  }
  const keys = shown(".key");
  for (const key of keys) {
    const side = key.closest(".leaf-keys") && key_px < 104 ? 56 : key_px;
    const { width, height } = box(key);
    if (key.closest(".leaves") && key_px < 104 ? Math.min(width, height) < 56 : Math.min(width, height) < side) faults.push(`key under ${side}: ${name(key)} ${width} x ${height}`);
  }
  for (const keep of shown("[data-keep]")) for (const key of keys) {
    const a = box(keep), b = box(key);
    const gap = Math.max(b.left - a.right, a.left - b.right, a.top - b.bottom, b.top - a.bottom);
    if (gap < 23.5) faults.push(`Keep is ${gap} from the key ${name(key)}`);
  }
  return faults;
}

// Measures a gauging page that must not scroll; answers with sentences about what does not hold.
() => {
  const faults = [];
  const page = document.scrollingElement;
  const shown = (selector) => [...document.querySelectorAll(selector)].filter((one) => one.checkVisibility() && one.getClientRects().length);
  const name = (one) => `${one.className || one.tagName} ${(one.textContent || one.name).trim().slice(0, 24)}`;
  const box = (one) => one.getBoundingClientRect();
  if (page.scrollHeight > innerHeight) faults.push(`the page scrolls down: ${page.scrollHeight}`);
  if (page.scrollWidth > innerWidth) faults.push(`the page scrolls sideways: ${page.scrollWidth}`);
  for (const one of shown("main, .drawn, .entry, .aside, .keys, .seen")) {
    if (one.scrollHeight > one.clientHeight + 1) faults.push(`overfull: ${name(one)}: ${one.scrollHeight} > ${one.clientHeight}`);
    if (one.scrollWidth > one.clientWidth + 1) faults.push(`too wide: ${name(one)}: ${one.scrollWidth} > ${one.clientWidth}`);
  }
  const foot = box(document.querySelector("footer.title"));
  if (foot.bottom > innerHeight || foot.top < 0) faults.push("the foot is out of view");
  for (const one of shown(".keys, .pad, [data-keep], #verdict, .tag, main a, main button, main summary, main label, main p")) {
    if (one.closest(".vh, svg") || one.matches(".vh")) continue;
    const { top, bottom, left, right } = box(one);
    if (top < 0 || left < 0 || right > innerWidth || bottom > foot.top + 1) faults.push(`out of view: ${name(one)}`);
  }
  for (const part of shown(".entry, .keys, .aside")) {
    const ends = [...part.children].filter((child) => child.getClientRects().length).map(box);
    for (let n = 1; n < ends.length; n += 1) if (ends[n].top < ends[n - 1].bottom - 5) faults.push(`overlap in ${part.className}, child ${n}`);
  }
  for (const one of shown(".tag, .tag span")) {
    if (getComputedStyle(one).overflowX !== "visible" && one.scrollWidth > one.clientWidth + 1) faults.push(`cut off: ${name(one)}`);
    if (one.matches(".tag") && one.scrollHeight > one.clientHeight + 1) faults.push(`cut off: ${name(one)}`);
  }
  const keys = shown(".key");
  for (const key of keys) {
    const { width, height } = box(key);
    // A leaf is taken with a glance at its mark and stands among twenty: a target, where a digit is hit blindly.
    const side = key.closest(".leaves") ? 56 : 76;
    if (width < side || height < side) faults.push(`key under ${side}: ${name(key)} ${width} x ${height}`);
  }
  const lowest = Math.max(0, ...keys.map((key) => box(key).bottom));
  for (const one of shown("[data-keep]")) {
    if (keys.length && box(one).top - lowest < 24) faults.push(`Keep is only ${box(one).top - lowest} from the keys`);
  }
  return faults;
}

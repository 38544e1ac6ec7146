// Measures a specimen page; answers with sentences about what does not hold.
([fits, size]) => {
  const faults = [];
  const page = document.scrollingElement;
  const boxes = (selector) => [...document.querySelectorAll(selector)].filter((one) => one.getClientRects().length);
  const name = (one) => (one.textContent || one.name || one.className).trim().slice(0, 24);
  if (page.scrollWidth > innerWidth) faults.push(`wider than the screen: ${page.scrollWidth}`);
  for (const one of boxes("a, button, .choice, summary, .field input:not([type=radio],[type=checkbox])")) {
    if (one.closest("svg") || one.closest("td, th, .errors, .kept-line")) continue;
    const { width, height } = one.getBoundingClientRect();
    if (height < 55.5 || width < 55.5) faults.push(`target under 56: ${name(one)} ${width} x ${height}`);
  }
  if (boxes(".btn.next").length > 1) faults.push("more than one solid button");
  for (const key of boxes(".key")) {
    const { width, height } = key.getBoundingClientRect();
    if (size !== "phone" && (width < 76 || height < 76)) faults.push(`key under 76: ${name(key)} ${width} x ${height}`);
  }
  const lowest = Math.max(0, ...boxes(".key").map((key) => key.getBoundingClientRect().bottom));
  for (const keep of boxes("[data-keep]")) {
    const apart = keep.getBoundingClientRect().top - lowest;
    if (apart < 24) faults.push(`Keep only ${apart} from the keys`);
  }
  for (const one of boxes(".tag, .tag .line, .btn, .chain li, .title > *, .where")) {
    if (one.scrollWidth > one.clientWidth + 1) faults.push(`cut off: ${name(one)} ${one.scrollWidth} > ${one.clientWidth}`);
  }
  if (fits && size !== "phone") {
    if (page.scrollHeight > innerHeight) faults.push(`scrolls: ${page.scrollHeight}`);
    const foot = document.querySelector(".title").getBoundingClientRect().top;
    for (const one of boxes("main section, main .drawn, .verdict, .keep, .tag, main .btn")) {
      const below = one.getBoundingClientRect().bottom - foot;
      if (below > 1) faults.push(`under the foot by ${below}: ${name(one)}`);
    }
    for (const one of boxes(".entry, .keys, .drawn")) {
      if (one.scrollHeight > one.clientHeight + 1) faults.push(`overfull ${one.className}: ${one.scrollHeight} > ${one.clientHeight}`);
      if (one.scrollWidth > one.clientWidth + 1) faults.push(`too wide ${one.className}: ${one.scrollWidth} > ${one.clientWidth}`);
      const ends = [...one.children].map((child) => child.getBoundingClientRect());
      for (let n = 1; n < ends.length; n += 1) if (ends[n].top < ends[n - 1].bottom - 1) faults.push(`overlap in ${one.className}, ${n}`);
    }
  }
  return faults;
}

// Names what a page loses at a text size or a width: what scrolls sideways, stands off the side, or is cut where nothing scrolls.
() => {
  const lost = [];
  const width = document.documentElement.clientWidth;
  const unseen = "svg, .vh, .skip, [hidden], datalist, .take-back, [data-take-back]";
  if (document.documentElement.scrollWidth > width) lost.push(`scrolls sideways: ${document.documentElement.scrollWidth} > ${width}`);
  const has_words = (one) => one.matches("input, textarea") || [...one.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.textContent.trim());
  const extent = (one) => {
    const range = document.createRange();
    range.selectNodeContents(one);
    return (one.matches("input, textarea") ? one : range).getBoundingClientRect();
  };
  const is_cut = (box, around) => {
    const style = getComputedStyle(around), rim = around.getBoundingClientRect();
    if (style.display === "contents") return false;
    const across = ["hidden", "clip"].includes(style.overflowX) && (box.right > rim.right + 2 || box.left < rim.left - 2);
    return across || (["hidden", "clip"].includes(style.overflowY) && (box.bottom > rim.bottom + 3 || box.top < rim.top - 3));
  };
  for (const one of document.querySelectorAll(".sheet *")) {
    if (one.closest(unseen) || !one.checkVisibility() || !has_words(one)) continue;
    const box = extent(one);
    const name = `${one.className || one.tagName} "${(one.textContent || one.name).trim().slice(0, 30)}"`;
    if (box.width && (box.left < -1 || box.right > width + 1)) lost.push(`off the side: ${name}, ${Math.round(box.right)}`);
    for (let around = one; around !== document.body; around = around.parentElement) {
      if (box.width && is_cut(box, around)) { lost.push(`cut off: ${name}`); break; }
    }
  }
  return lost;
}

// Lists every target of a page that is smaller than a side given in pixels: its words, its width, its height.
(side_px) => {
  const found = [];
  const selector = "a, button, summary, select, textarea, label.choice, input:not([type=hidden],[type=radio],[type=checkbox])";
  for (const one of document.querySelectorAll(selector)) {
    if (!one.checkVisibility() || !one.getClientRects().length || one.closest("svg")) continue;
    const { width, height } = one.getBoundingClientRect();
    if (Math.min(width, height) < side_px - 0.5) {
      found.push(`${(one.textContent || one.name).trim().slice(0, 30)}: ${Math.round(width)} x ${Math.round(height)}`);
    }
  }
  return found;
}

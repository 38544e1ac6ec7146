// Figures as they are typed, counted in millionths of their unit: whole numbers, so that nothing is rounded.
// Seven digits before the point and six behind it, six leaves at most: far below the largest whole number kept exactly.
globalThis.figures = (() => {
  const places = 6;
  const longest = 24;
  const most_leaves = 6;
  const pattern = /^([+\-\u2212]?) ?([0-9]{1,7}(?:[.,][0-9]{1,6})?|[.,][0-9]{1,6}) ?(mm|in|inch|")?$/i;
  const units = { mm: "mm", in: "in", inch: "in", '"': "in" };

  // Give millionths and decimals of one number; nothing where it is no plain number in this unit.
  function read(typed, unit, signed = false) {
    const text = typed.trim();
    const found = text.length <= longest ? pattern.exec(text) : null;
    if (!found || (found[1] && !signed)) return null;
    if (found[3] && units[found[3].toLowerCase()] !== unit) return null;
    const [whole, decimals = ""] = found[2].split(/[.,]/);
    const size = Number(`${whole}${decimals.padEnd(places, "0")}`);
    return { size: /[-\u2212]/.test(found[1]) ? -size : size, decimals: decimals.length, leaves: 1 };
  }

  // Give the sum of the leaves of a stack: 0.50+0.15.
  function read_stack(typed, unit) {
    const text = typed.trim();
    if (text.startsWith("+")) return null;
    const leaves = text.split("+").map((leaf) => read(leaf, unit));
    if (leaves.length > most_leaves || leaves.includes(null)) return null;
    const size = leaves.reduce((sum, leaf) => sum + leaf.size, 0);
    return { size, decimals: Math.min(...leaves.map((leaf) => leaf.decimals)), leaves: leaves.length };
  }

  // Write millionths with the sheet's decimals, and with as many more as it takes to be true.
  function write(size, decimals) {
    const digits = String(Math.abs(size)).padStart(places + 1, "0");
    const behind = digits.slice(-places);
    const needed = Math.max(decimals, behind.replace(/0+$/, "").length);
    const shown = `${digits.slice(0, -places)}${needed ? `.${behind.slice(0, needed)}` : ""}`;
    return size < 0 ? `-${shown}` : shown;
  }

  return { read, read_stack, write };
})();

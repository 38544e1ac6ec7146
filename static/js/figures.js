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
    return behind_point(size, places, decimals);
  }

  // Write a whole number with its last digits behind the point: all that say something, and the least that is asked for.
  function behind_point(number, digits_behind, decimals) {
    const digits = String(Math.abs(number)).padStart(digits_behind + 1, "0");
    const behind = digits_behind ? digits.slice(-digits_behind) : "";
    const needed = Math.max(decimals, behind.replace(/0+$/, "").length);
    const shown = `${digits.slice(0, digits.length - digits_behind)}${needed ? `.${behind.slice(0, needed)}` : ""}`;
    return number < 0 ? `-${shown}` : shown;
  }

  // Write a size in the other unit beside its own: from millionths of an inch to whole millimetres ("mm"), or from
  // millionths of a millimetre to inches rounded to some decimals ("in4"); counted in whole numbers all the way.
  function write_beside(size, beside, constant = 0) {
    if (beside === "mm") return behind_point(254 * size + constant, places + 1, 0);
    const decimals = Number(beside.slice(2));
    const whole = 5 * Math.abs(size + constant);
    const step = 127 * 10 ** (places - decimals);
    const rounded = (whole - (whole % step)) / step + (2 * (whole % step) >= step ? 1 : 0);
    return `${size + constant < 0 && rounded ? "-" : ""}${behind_point(rounded, decimals, decimals)}`;
  }

  return { read, read_stack, write, write_beside };
})();

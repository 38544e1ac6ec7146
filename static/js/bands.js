// Looks a figure up in the bands that the book laid in the page. It compares and forms differences; it judges nothing.
globalThis.bands = (() => {
  const { read, read_stack, write, write_beside } = globalThis.figures;

  // The last band that begins at or before a figure.
  function index_of(starts, size) {
    let found = -1;
    while (found + 1 < starts.length && starts[found + 1] <= size) found += 1;
    return found;
  }

  const is_within = (data, size) => data.ends[0] <= size && size <= data.ends[1];
  const is_finished = (data, figure, is_leaf) => figure.decimals >= data.decimals || is_leaf;

  // Put the numbers into a sentence: {+c} is the figure and c, {-c} is c less the figure; with a unit, what it is in that.
  function fill(text, data, size, leaves) {
    const formed = text.replace(/\{([+-])(-?\d+)(?: (mm|in\d))?\}/g, (_, sign, constant, beside) => {
      const signed = sign === "+" ? size : -size;
      return beside ? write_beside(signed, beside, Number(constant)) : write(Number(constant) + signed, data.decimals);
    });
    return formed.replace("{Leaves}", leaves).replace("{leaves}", `${leaves[0]?.toLowerCase() ?? ""}${leaves.slice(1)}`);
  }

  function said(data, index, size, leaves = "") {
    const [verdict, renews, lines] = data.outcomes[index];
    const sentences = lines.map((line) => data.lines[line]);
    const filled = sentences.map(([role, text]) => [role, fill(text, data, size, leaves)]);
    return { verdict, renews, lines: filled, provisional: data.provisional };
  }

  // One size, or a dial's deviation and the size that it is set to.
  function say_size(data, typed) {
    const is_dial = typed.kind === "dial";
    const figure = read(typed.value, data.unit, is_dial);
    const set = is_dial ? read(typed.set_size, data.unit) : { size: 0 };
    if (!figure || !set || !is_finished(data, figure, typed.is_leaf)) return null;
    const size = figure.size + set.size;
    if (!is_within(data, size) || (is_dial && !is_within(data, set.size))) return null;
    return said(data, data.sizes[index_of(data.sizes.map(([start]) => start), size)][1], size);
  }

  function leaf_words(data, leaf) {
    const words = `${write(leaf.size, data.decimals)} ${data.unit}`;
    return data.beside ? `${words} (${write_beside(leaf.size, data.beside)} ${data.beside.slice(0, 2)})` : words;
  }

  // Two leaves, or one that goes alone. Where the leaves' own errors count, a stack is left to the book.
  function say_leaves(data, typed) {
    const goes = read_stack(typed.goes, data.unit);
    const is_alone = !typed.does_not_go.trim();
    const stops = is_alone ? null : read_stack(typed.does_not_go, data.unit);
    const tried = is_alone ? [goes] : [goes, stops];
    const is_clear = (leaf) => leaf && is_within(data, leaf.size) && is_finished(data, leaf, typed.is_leaf);
    if (!tried.every(is_clear) || (data.single && tried.some((leaf) => leaf.leaves > 1))) return null;
    if (!is_alone && stops.size <= goes.size) return null;
    const column = is_alone ? data.leaves.length : index_of(data.leaves, stops.size);
    const outcome = data.table[index_of(data.leaves, goes.size)][column];
    if (outcome < 0) return null;
    const [first, second] = tried.map((leaf) => leaf_words(data, leaf));
    const words = is_alone ? `Goes ${first}` : `Goes ${first}, does not go ${second}`;
    return said(data, outcome, goes.size, words);
  }

  // What the book says of what is typed; nothing while it is not typed to its last decimal, or where the book alone judges.
  function say(data, typed) {
    if (typed.unit && typed.unit !== data.unit) return null;
    if (data.leaves) return typed.kind === "pair" ? say_leaves(data, typed) : null;
    return data.sizes && typed.kind !== "pair" ? say_size(data, typed) : null;
  }

  return { say };
})();

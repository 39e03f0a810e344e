
// Looking for words in every offer of the page. Per block one text in lower case, a line per offer; a word is
// looked for in the whole text at once, and only lines that hold it are looked at closer.

const looked = [];
const heads = [];

const headOf = (group) =>
  (heads[group] ??= [groups.id[group], groups.name[group], groups.kind[group], kindName(groups.kind[group]), groups.family[group],
    groups.size_class[group], groups.codes[group], groups.thread[group]].join(" ").toLowerCase());

const index = (columns) => {
  const count = columns.number.length;
  const starts = new Uint32Array(count + 1);
  const lines = new Array(count);
  let length = 0;
  for (let at = 0; at < count; at += 1) {
    const [own, makers] = [columns.number[at], columns.maker_number[at]];
    lines[at] = [overview.suppliers[columns.supplier[at]], own, bare(own), makers, bare(makers), columns.gtin[at], columns.brand[at],
      columns.wording[at], columns.product[at]].join("\t").toLowerCase();
    starts[at] = length;
    length += lines[at].length + 1;
  }
  starts[count] = length;
  return { text: lines.join("\n"), starts };
};

// Reads the blocks one after the other between other work, so that the page never stands still for it.
const readAll = async (told) => {
  for (let at = 0; at < blockCount(); at += 1) {
    if (!looked[at]) {
      looked[at] = index(await block(`offers-${at}`));
      await new Promise((resolve) => setTimeout(resolve));
    }
    told(at + 1);
  }
};

const lineAt = (starts, position) => {
  let low = 0;
  let high = starts.length - 2;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (starts[middle] <= position) low = middle;
    else high = middle - 1;
  }
  return low;
};

// A word is in a text as it stands, or with its dashes and dots left out.
const variants = (word) => {
  const plain = bare(word);
  return plain === word || !/\d/.test(plain) ? [word] : [word, plain];
};

// Whether a line has a field that is the word and nothing else: its number, not a number that begins so.
const isField = (line, word) => `\t${line}`.replace("\n", "\t").includes(`\t${word}\t`);

// Calls `found` with the place of every offer that holds all the words, and whether one of them is a number of its own.
const offersWith = (words, found) => {
  const [longest, ...others] = [...words].sort((a, b) => b.length - a.length).map(variants);
  for (let at = 0; at < looked.length; at += 1) {
    if (!looked[at]) continue;
    const { text, starts } = looked[at];
    for (const spelling of longest) {
      let position = text.indexOf(spelling);
      while (position >= 0) {
        const line = lineAt(starts, position);
        const own = text.slice(starts[line], starts[line + 1]);
        if (others.every((word) => word.some((other) => own.includes(other)))) {
          found(at * overview.offers_per_block + line, /\d/.test(spelling) && isField(own, spelling));
        }
        position = text.indexOf(spelling, starts[line + 1]);
      }
    }
  }
};

// The groups that answer: each with the places of the offers that hold the words its own head does not, and
// whether one of them carries the very number.
const search = (understood, kind) => {
  const answers = new Map();
  const waiting = new Map();
  for (let group = 0; group < groups.id.length; group += 1) {
    if ((kind && groups.kind[group] !== kind) || !agrees(understood, group)) continue;
    const missing = understood.words.filter((word) => !variants(word).some((spelling) => headOf(group).includes(spelling)));
    if (missing.length === 0) answers.set(group, { found: new Set(), isNamed: false });
    else {
      const key = missing.join("\n");
      if (!waiting.has(key)) waiting.set(key, { missing, members: new Set() });
      waiting.get(key).members.add(group);
    }
  }
  for (const { missing, members } of waiting.values()) {
    offersWith(missing, (place, isNamed) => {
      const group = groupOf(place);
      if (!members.has(group)) return;
      if (!answers.has(group)) answers.set(group, { found: new Set(), isNamed: false });
      const answer = answers.get(group);
      answer.found.add(place);
      answer.isNamed ||= isNamed;
    });
  }
  return answers;
};

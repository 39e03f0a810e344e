
// The packed blocks of the page: inflated once, on demand, and handed out as they are then.

const inflated = new Map();

const unpack = async (id) => {
  const holder = byId(id);
  const letters = atob(holder.textContent);
  holder.remove();
  const bytes = new Uint8Array(letters.length);
  for (let at = 0; at < letters.length; at += 1) bytes[at] = letters.charCodeAt(at);
  const plain = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return JSON.parse(await new Response(plain).text());
};

const block = (id) => {
  if (!inflated.has(id)) inflated.set(id, unpack(id));
  return inflated.get(id);
};

// Filled by `begin`, at the end of the script, before anything else runs.
let overview = null;
let groups = null;

const blockOf = (offer) => Math.floor(offer / overview.offers_per_block);

const blockCount = () => Math.ceil(overview.offers / overview.offers_per_block);

// One offer, taken out of its columns.
const offerIn = (columns, place) => ({
  place,
  supplier: overview.suppliers[columns.supplier[place % overview.offers_per_block]],
  ...Object.fromEntries(
    ["number", "maker_number", "brand", "gtin", "wording", "product", "list_price", "delivered", "confidence", "pack",
      "line"].map((name) => [name, columns[name][place % overview.offers_per_block]]),
  ),
  note: overview.notes[columns.note[place % overview.offers_per_block]],
  measure: overview.measures[columns.measure[place % overview.offers_per_block]],
  list: overview.lists[columns.list[place % overview.offers_per_block]],
});

const offersOf = async (group) => {
  const first = groups.first[group];
  const last = first + groups.carried[group];
  const found = [];
  for (let place = first; place < last; place += 1) {
    found.push(offerIn(await block(`offers-${blockOf(place)}`), place));
  }
  return found;
};

const evidenceOf = async (offer) =>
  (await block(`evidence-${blockOf(offer.place)}`))[offer.place % overview.offers_per_block];

// The group an offer belongs to: the last one that begins at or before it and carries any.
const groupOf = (place) => {
  let low = 0;
  let high = groups.first.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (groups.first[middle] <= place) low = middle;
    else high = middle - 1;
  }
  return low;
};

// sure, likely or doubtful
const standing = (confidence) => {
  const [sure, likely] = overview.standings;
  if (confidence >= sure) return "sure";
  return confidence >= likely ? "likely" : "doubtful";
};

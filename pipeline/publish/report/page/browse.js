
// Browsing: the list of groups, its order, the search form, and links to a group.

const FIRST_GROUPS = 40;
const MORE_GROUPS = 100;

const list = byId("list");
const query = byId("query");
const more = byId("more");
const hint = byId("understood")?.textContent;
let answers = [];
let shown = 0;
let reading = 0;

const ORDERS = {
  kind: (a, b) => a.group - b.group,
  offers: (a, b) => groups.offers[b.group] - groups.offers[a.group] || a.group - b.group,
  price: (a, b) => (groups.cheapest[a.group] ?? Infinity) - (groups.cheapest[b.group] ?? Infinity) || a.group - b.group,
};

const showMore = (count) => {
  const added = answers.slice(shown, shown + count).map(({ group, found }) => groupEntry(group, found));
  list.append(...added);
  shown += added.length;
  const waiting = answers.length - shown;
  more.hidden = waiting === 0;
  more.textContent = `Show ${Math.min(MORE_GROUPS, waiting)} more of ${counted(waiting, "group", "groups")}`;
  return added;
};

const tell = (understood) => {
  const said = inWords(understood);
  byId("understood").textContent = said ? `Looking for ${said}` : hint;
  const offers = answers.reduce((sum, { found }) => sum + found.size, 0);
  const still = understood.words.length && reading < blockCount() ? `; still reading the offers, ${reading} of ${blockCount()}` : "";
  byId("found").textContent = answers.length
    ? `${counted(answers.length, "group", "groups")}${offers ? `, ${counted(offers, "offer", "offers")} found by wording` : ""}${still}`
    : `Nothing found${still || ". Leave out a word, or try the displacement alone"}`;
};

// Groups that hold a part of the very number that was typed come first.
const refresh = () => {
  const understood = understand(query.value);
  const found = search(understood, byId("kind").value);
  const inOrder = ORDERS[byId("order").value];
  answers = [...found].map(([group, answer]) => ({ group, ...answer })).sort((a, b) => b.isNamed - a.isNamed || inOrder(a, b));
  list.replaceChildren();
  document.body.classList.remove("has-open");
  shown = 0;
  showMore(FIRST_GROUPS);
  tell(understood);
};

// Opens the group a link names, wherever it stands in the list.
const follow = () => {
  const wanted = groups.anchor.indexOf(location.hash.slice(1));
  if (wanted < 0) return;
  let entry = byId(groups.anchor[wanted]);
  if (!entry) {
    query.value = "";
    byId("kind").value = "";
    refresh();
    entry = byId(groups.anchor[wanted]);
  }
  if (!entry) {
    entry = groupEntry(wanted, new Set());
    list.prepend(entry);
  }
  const button = entry.querySelector("button");
  if (button.getAttribute("aria-expanded") !== "true") button.click();
  entry.scrollIntoView({ block: "start" });
  button.focus({ preventScroll: true });
};

const begin = async () => {
  if (!("DecompressionStream" in globalThis)) {
    if (byId("unable")) byId("unable").hidden = false;
    return;
  }
  overview = await block("overview");
  groups = overview.groups;
  if (!groups.id.length || !list) return;
  const kinds = [...new Set(groups.kind)];
  byId("kind").append(...kinds.map((kind) => element("option", { value: kind }, kindName(kind))));
  byId("browse").hidden = false;
  byId("search").addEventListener("submit", (event) => event.preventDefault());
  query.addEventListener("input", refresh);
  byId("kind").addEventListener("change", refresh);
  byId("order").addEventListener("change", refresh);
  more.addEventListener("click", () => showMore(MORE_GROUPS)[0]?.querySelector("button").focus());
  window.addEventListener("hashchange", follow);
  refresh();
  follow();
  document.documentElement.dataset.ready = "groups";
  await readAll((count) => {
    reading = count;
    // A search that was typed while offers were still being read is asked again, unless its answer is in use.
    const isOver = count === blockCount();
    if (query.value && (isOver || count % 8 === 0) && !document.body.classList.contains("has-open")) refresh();
  });
  document.documentElement.dataset.ready = "offers";
};

begin();


// One group: its line in the list, and the sheet that opens below it.

const kindName = (kind) =>
  ({ "recoil-starter": "Recoil starters", shroud: "Fan shrouds", assembly: "Shrouds with starter" })[kind] ?? kind;

const fact = (label, ...value) =>
  value.some(Boolean) ? element("div", {}, element("dt", {}, label), element("dd", {}, ...value)) : null;

const codesOf = (group) => groups.codes[group].split(";").filter(Boolean).map((code) => code.slice(code.indexOf(":") + 1)).join(", ");

const factsOf = (group) => {
  const holes = groups.holes[group];
  const circle = groups.circle_mm[group];
  const tolerance = groups.tolerance_mm[group];
  const screws = screwsOf(group);
  const spans = groups.spans[group];
  return element("dl", { class: "facts" },
    fact("Displacement", spans.length ? `${spanWords(spans)} cc` : ""),
    fact("Holes", holes === null ? "" : String(holes)),
    fact("Bolt circle", circle === null ? "not known" : `${figure(circle, 1)} mm${tolerance ? ` ± ${figure(tolerance, 1)} mm` : ""}`),
    fact("Hole to next hole", circle !== null && holesOf(group) ? `${figure(chord(holes, circle), 1)} mm, if evenly spaced` : ""),
    fact("Screw", screws.map((screw) => screw.name).join(" or ") || groups.thread[group].replaceAll("|", " or ")),
    fact("Hole for it", screws.map((screw) => `${figure(screw.sizes[1], 1)} mm`).join(" or ")),
    fact("Family", groups.family[group]),
    fact("Size class", groups.size_class[group]),
    fact("Engine codes", codesOf(group)),
    fact("Confidence", `${percent(groups.confidence[group])} on average`),
    fact("Id", element("span", { class: "code" }, groups.id[group])));
};

const groupLink = (group) => element("a", { href: `#${groups.anchor[group]}` }, groups.name[group]);

// Needs this group answers too, and groups that answer this need too, with what they cost.
const coversOf = (group) => {
  const answeredBy = groups.covers.flatMap((covers, other) => (covers.includes(group) ? [other] : []));
  const list = (heading, others) =>
    others.length
      ? [element("h4", {}, heading), element("ul", { class: "covers" }, ...others.map((other) =>
        element("li", {}, groupLink(other), groups.cheapest[other] === null ? "" : `, from ${amount(groups.cheapest[other])} ${overview.currency}`)))]
      : [];
  return [...list("Also answers the need for", groups.covers[group]), ...list("Also answered by", answeredBy)];
};

const cautionOf = (group) =>
  element("p", { class: "caution" },
    "Compare holes, depth and cup with the old part before ordering and before the engine runs. ",
    element("a", { href: "#cautions" }, "All cautions"),
    ". The pattern at full size to print and hold against the old part: ",
    element("code", {}, `samefit sheet RUN ${groups.id[group]}`));

const fillSheet = async (group, into, found) => {
  const offers = await offersOf(group);
  const picture = isDrawable(group)
    ? element("figure", { class: "drawing" }, largePattern(group),
      element("figcaption", {}, "Drawn evenly spaced; lists say how many holes and on which circle, not at which angles."))
    : element("figure", { class: "drawing empty" }, element("figcaption", {}, "No bolt circle is known here: nothing to draw. Measure the old part."));
  into.append(
    element("div", { class: "sheet-head" }, picture,
      element("div", {}, factsOf(group), groups.spans[group].length ? displacementBand(group) : null)),
    priceChart(offers) ?? "",
    ...offerLists(group, offers, found),
    ...coversOf(group),
    cautionOf(group));
};

const priceWords = (group) =>
  groups.cheapest[group] === null ? "no sure price" : `from ${amount(groups.cheapest[group])} ${overview.currency}`;

// The entry of a group in the list. `found` holds the places of its offers that a search has found.
const groupEntry = (group, found) => {
  const count = found.size ? `${found.size} of ${counted(groups.offers[group], "offer", "offers")}` : counted(groups.offers[group], "offer", "offers");
  const label = [
    smallPattern(group),
    element("span", { class: "name" }, groups.name[group]),
    smallBand(group),
    element("span", { class: "price-words" }, priceWords(group)),
    element("span", { class: "count" }, count),
  ];
  const [button, sheet] = opener(label, { class: "open-group", "aria-controls": `sheet-${group}` }, (into) => fillSheet(group, into, found));
  sheet.id = `sheet-${group}`;
  sheet.classList.add("sheet");
  const entry = element("li", { class: "group", id: groups.anchor[group] }, element("h3", {}, button), sheet);
  button.addEventListener("click", () => {
    const open = button.getAttribute("aria-expanded") === "true";
    entry.classList.toggle("is-open", open);
    document.body.classList.toggle("has-open", document.querySelector(".group.is-open") !== null);
    if (open) history.replaceState(null, "", `#${groups.anchor[group]}`);
  });
  return entry;
};

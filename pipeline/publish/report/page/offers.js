
// The offers of one group: the sure ones cheapest first, the doubtful ones apart, evidence on demand.

// Offers that stand open, and how many a press of the button adds.
const FIRST_OFFERS = 8;
const FEW_OFFERS = 3;
const MORE_OFFERS = 40;

const whyOf = async (offer, into) => {
  const evidence = await evidenceOf(offer);
  const facts = [
    offer.measure && `Find out first: ${offer.measure}`,
    offer.note && `Delivered price: ${offer.note}`,
    offer.pack > 1 && `Sold in packs of ${offer.pack}`,
    offer.gtin && `Barcode ${offer.gtin}`,
    `Product ${offer.product}`,
    `${offer.list}, line ${offer.line}`,
  ];
  into.append(
    evidence ? element("p", { class: "about" }, "Right of the line speaks for this group, left against; +2.3 is ten to one.") : null,
    evidence ? evidenceList(evidence) : element("p", {}, "Nothing is known but the kind of part."),
    element("ul", { class: "facts-of-offer" }, ...facts.filter(Boolean).map((fact) => element("li", {}, fact))),
  );
};

const offerEntry = (offer, isFound) => {
  const word = standing(offer.confidence);
  const [button, why] = opener(["Why"], { class: "why", "aria-label": `Why: ${offer.supplier} ${offer.number}` }, (into) => whyOf(offer, into));
  return element("li", { class: isFound ? "offer found" : "offer" },
    element("span", { class: "delivered" },
      offer.delivered === null ? element("span", { class: "none" }, "no delivered price")
        : `${amount(offer.delivered)} ${overview.currency}`),
    element("span", { class: `sure-mark ${word}` }, `${percent(offer.confidence)} ${word}`),
    element("span", { class: "seller" }, element("strong", {}, offer.supplier), " ",
      element("span", { class: "code" }, offer.number), offer.list_price && ` lists ${offer.list_price}`),
    element("span", { class: "wording" }, offer.wording,
      offer.maker_number && element("span", { class: "code maker" }, `${offer.brand} ${offer.maker_number}`.trim())),
    button, why);
};

// A list that grows by a button; the first new entry takes the focus, so that the keyboard goes on from there.
const growing = (offers, first, found) => {
  const list = element("ol", { class: "offers" });
  const button = element("button", { type: "button", class: "rest" });
  let shown = 0;
  const show = (count) => {
    const added = offers.slice(shown, shown + count).map((offer) => offerEntry(offer, found.has(offer.place)));
    list.append(...added);
    shown += added.length;
    const waiting = offers.length - shown;
    button.textContent = waiting > MORE_OFFERS ? `Show ${MORE_OFFERS} more of ${waiting}` : `Show the other ${waiting}`;
    button.hidden = waiting === 0;
    return added;
  };
  button.addEventListener("click", () => show(MORE_OFFERS)[0]?.querySelector("button").focus());
  show(first);
  return [list, button];
};

const byRank = (a, b) => (a.delivered ?? Infinity) - (b.delivered ?? Infinity) || a.place - b.place;

const offerLists = (group, offers, found) => {
  const parts = [];
  const add = (heading, about, some, first) => {
    if (some.length) {
      parts.push(element("h4", {}, heading), about && element("p", { class: "about" }, about), ...growing(some, first, found));
    }
  };
  const isSure = (offer) => standing(offer.confidence) === "sure";
  const sure = offers.filter(isSure).sort(byRank);
  const unsure = offers.filter((offer) => !isSure(offer)).sort(byRank);
  add(`Found by the search: ${counted(found.size, "offer", "offers")}`, "", offers.filter((offer) => found.has(offer.place)).sort(byRank), FEW_OFFERS);
  add(`Cheapest delivered: ${counted(sure.length, "sure offer", "sure offers")}`, "", sure, FIRST_OFFERS);
  add(`Not sure: ${counted(unsure.length, "offer", "offers")}`, "Measure before ordering; Why says what to find out.", unsure, sure.length ? FEW_OFFERS : FIRST_OFFERS);
  const elsewhere = groups.offers[group] - groups.carried[group];
  if (elsewhere > 0) {
    parts.push(element("p", { class: "notice" }, `${counted(elsewhere, "dearer offer of this group is", "dearer offers of this group are")} not on this page; see crossref.csv.`));
  }
  return parts;
};

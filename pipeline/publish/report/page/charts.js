
// Small charts: the displacements a group serves, what its offers cost, what speaks for and against.

const CHART_WIDE = 600;

// Ends of the displacement axis, cc; it is logarithmic, because engine sizes double rather than add.
const AXIS_CC = [25, 1000];

const along = (cc) => {
  const [low, high] = AXIS_CC;
  return (CHART_WIDE * Math.log(Math.min(Math.max(cc, low), high) / low)) / Math.log(high / low);
};

const spanWords = (spans) =>
  spans.map(([low, high]) => (low === high ? figure(low) : `${figure(low)}–${figure(high)}`)).join(", ");

const displacementBand = (group) => {
  const spans = groups.spans[group];
  const picture = drawn("svg", {
    class: "band", role: "img", viewBox: `-12 0 ${CHART_WIDE + 24} 40`,
    "aria-label": `Displacement served: ${spanWords(spans)} cc, on a scale from ${AXIS_CC[0]} to ${AXIS_CC[1]} cc`,
  });
  picture.append(drawn("path", { class: "axis", d: `M0 16h${CHART_WIDE}` }));
  for (const [low, high] of spans) {
    const start = along(low) - 2;
    picture.append(drawn("rect", { class: "span", x: figure(start), y: 7, height: 18, width: figure(along(high) + 2 - start) }));
  }
  for (const cc of [25, 50, 100, 200, 400, 800]) {
    picture.append(drawn("path", { class: "axis", d: `M${figure(along(cc))} 16v9` }),
      drawn("text", { class: "tick", x: figure(along(cc)), y: 38 }, `${cc}${cc === 800 ? " cc" : ""}`));
  }
  return picture;
};

// The same in the list of groups, small and without figures: the name beside it says them.
const smallBand = (group) =>
  drawn("svg", { class: "small-band", "aria-hidden": "true", viewBox: `0 0 ${CHART_WIDE} 48`, preserveAspectRatio: "none" },
    drawn("path", { class: "axis", d: [25, 50, 100, 200, 400, 800].map((cc) => `M${figure(along(cc))} 14v20`).join("") + `M0 24h${CHART_WIDE}` }),
    ...groups.spans[group].map(([low, high]) =>
      drawn("rect", { class: "span", x: figure(along(low) - 4), y: 10, height: 28, width: figure(along(high) - along(low) + 8) })));

// Every offer with a delivered price is a bar, cheapest left; height is the price, from zero.
const PRICES_HIGH = 120;

const niceStep = (most) => {
  const power = 10 ** Math.floor(Math.log10(most / 2));
  return [1, 2, 5, 10].map((step) => step * power).find((step) => most / step <= 3) ?? most;
};

const priceChart = (offers) => {
  const priced = offers.filter((offer) => offer.delivered !== null).sort((a, b) => a.delivered - b.delivered);
  if (priced.length < 2) return null;
  const price = (at) => priced[at].delivered / 100;
  const [low, middle, high] = [price(0), price(priced.length >> 1), price(priced.length - 1)];
  const unsure = priced.filter((offer) => standing(offer.confidence) !== "sure").length;
  const picture = drawn("svg", {
    class: "prices", role: "img", viewBox: `-52 -8 ${CHART_WIDE + 60} ${PRICES_HIGH + 12}`,
    "aria-label": `Delivered prices of ${priced.length} offers: from ${low.toFixed(2)} to ${high.toFixed(2)} ` +
      `${overview.currency}, the middle one ${middle.toFixed(2)}; ${unsure} of them are not sure to fit`,
  });
  const step = niceStep(high);
  for (let line = 0; line <= high; line += step) {
    const y = PRICES_HIGH - (line / high) * PRICES_HIGH;
    picture.append(drawn("path", { class: "axis", d: `M0 ${figure(y)}h${CHART_WIDE}` }),
      drawn("text", { class: "tick left", x: -6, y: figure(y + 4) }, figure(line)));
  }
  // Beyond one bar to two pixels, bars stand for the offers at their place in the row.
  const bars = Math.min(priced.length, CHART_WIDE / 2);
  const wide = Math.min(CHART_WIDE / bars, 28);
  const paths = { sure: "", likely: "", doubtful: "" };
  for (let bar = 0; bar < bars; bar += 1) {
    const offer = priced[Math.floor((bar * priced.length) / bars)];
    const tall = Math.max(1.5, (offer.delivered / 100 / high) * PRICES_HIGH);
    const gap = wide > 4 ? 1.5 : 0.4;
    paths[standing(offer.confidence)] += `M${figure(bar * wide)} ${PRICES_HIGH}v${figure(-tall)}h${figure(wide - gap)}v${figure(tall)}z`;
  }
  for (const [word, path] of Object.entries(paths)) {
    if (path) picture.append(drawn("path", { class: `price ${word}`, d: path }));
  }
  return element("figure", { class: "price-figure" },
    element("figcaption", {},
      element("strong", {}, `Delivered price of each offer, cheapest first, in ${overview.currency}`),
      element("span", { class: "key" }, element("span", { class: "swatch sure" }), "sure ",
        element("span", { class: "swatch likely" }), "likely ", element("span", { class: "swatch doubtful" }), "doubtful")),
    picture,
    element("p", { class: "about" }, `From ${low.toFixed(2)} to ${high.toFixed(2)}; half of them cost ${middle.toFixed(2)} or less.`));
};

// Evidence as published: items apart by semicolons, most with a weight (a natural logarithm) at their end.
const WEIGHTIEST = 6;

const evidenceItems = (evidence) =>
  evidence.split("; ").filter(Boolean).map((item) => {
    const weighed = /^(.*) ([+-]\d+(?:\.\d+)?)$/.exec(item);
    return weighed ? { words: weighed[1], weight: Number(weighed[2]) } : { words: item, weight: null };
  });

const evidenceList = (evidence) => {
  const rows = evidenceItems(evidence).map(({ words, weight }) => {
    if (weight === null) return element("li", {}, element("span", { class: "words" }, words));
    const long = (Math.min(Math.abs(weight), WEIGHTIEST) / WEIGHTIEST) * 50;
    const bar = drawn("svg", { class: "weight", viewBox: "0 0 100 10", "aria-hidden": "true", preserveAspectRatio: "none" },
      drawn("path", { class: "axis", d: "M50 0v10" }),
      drawn("rect", {
        class: weight < 0 ? "against" : "for", x: figure(weight < 0 ? 50 - long : 50), y: 1, width: figure(long), height: 8,
      }));
    return element("li", {}, element("span", { class: "words" }, words), bar,
      element("span", { class: "number" }, `${weight < 0 ? "−" : "+"}${Math.abs(weight).toFixed(1)}`));
  });
  return element("ul", { class: "evidence" }, ...rows);
};


// Bolt patterns. Holes are drawn evenly spaced with one at the top, because lists say how many holes and on
// which circle, not at which angles. All lengths in millimetres; the caller says how many pixels one is.

// Circles beyond this are not believed to be a pull starter's or a shroud's and are not drawn.
const WIDEST_MM = 400;

const holePlaces = (holes, radius) =>
  Array.from({ length: holes }, (_, hole) => {
    const angle = (2 * Math.PI * hole) / holes - Math.PI / 2;
    return [radius * Math.cos(angle), radius * Math.sin(angle)];
  });

// Distance between neighbouring holes: D sin(pi / n).
const chord = (holes, circle) => circle * Math.sin(Math.PI / holes);

const isDrawable = (group) => {
  const circle = groups.circle_mm[group];
  return circle !== null && circle > 0 && circle <= WIDEST_MM;
};

const screwsOf = (group) =>
  groups.thread[group].split("|").map((name) => ({ name, sizes: overview.screws[name] })).filter((screw) => screw.sizes);

const holesOf = (group) => {
  const holes = groups.holes[group];
  return holes >= 2 && holes <= 12 ? holes : 0;
};

// The pattern as it stands in the list of groups: no figures, small, at the list's own scale.
const SMALL_SCALE = 0.2;
const SMALL_BOX_MM = 300;

const smallPattern = (group) => {
  const side = SMALL_BOX_MM * SMALL_SCALE;
  const half = SMALL_BOX_MM / 2;
  const picture = drawn("svg", {
    class: "small-pattern", "aria-hidden": "true", width: side, height: side,
    viewBox: `${-half} ${-half} ${SMALL_BOX_MM} ${SMALL_BOX_MM}`,
  });
  if (!isDrawable(group)) {
    picture.append(drawn("text", { y: 22, class: "unknown" }, "?"));
    return picture;
  }
  const radius = groups.circle_mm[group] / 2;
  const scaled = Math.min(1, (half - 12) / radius);
  picture.append(drawn("circle", { class: "circle", r: figure(radius * scaled) }));
  for (const [x, y] of holePlaces(holesOf(group), radius * scaled)) {
    picture.append(drawn("circle", { class: "hole", cx: figure(x), cy: figure(y), r: 11 }));
  }
  return picture;
};

const patternWords = (group) => {
  const holes = groups.holes[group];
  const tolerance = groups.tolerance_mm[group];
  return `Bolt pattern: ${holes === null ? "an unknown count of holes" : counted(holes, "hole", "holes")} on a circle of ` +
    `${figure(groups.circle_mm[group], 1)} mm${tolerance ? `, plus or minus ${figure(tolerance, 1)} mm` : ""}`;
};

const cross = (x, y, arm) => `M${figure(x - arm)} ${figure(y)}h${figure(2 * arm)}M${figure(x)} ${figure(y - arm)}v${figure(2 * arm)}`;

// A dimension between two points, its line moved away from the centre of the pattern.
const dimension = ([ax, ay], [bx, by], away, words) => {
  const length = Math.hypot(bx - ax, by - ay);
  const [ux, uy] = [(bx - ax) / length, (by - ay) / length];
  const [nx, ny] = [uy * away, -ux * away];
  const at = (x, y) => `${figure(x)} ${figure(y)}`;
  const tick = (x, y) => `M${at(x + nx - ux - uy * 3, y + ny - uy + ux * 3)}L${at(x + nx + ux + uy * 3, y + ny + uy - ux * 3)}`;
  let turn = (Math.atan2(uy, ux) * 180) / Math.PI;
  if (turn > 90 || turn <= -90) turn += 180;
  const middle = at((ax + bx) / 2 + nx * 1.12, (ay + by) / 2 + ny * 1.12);
  return [
    drawn("path", {
      class: "dimension",
      d: `M${at(ax, ay)}L${at(ax + nx * 1.15, ay + ny * 1.15)}M${at(bx, by)}L${at(bx + nx * 1.15, by + ny * 1.15)}` +
        `M${at(ax + nx, ay + ny)}L${at(bx + nx, by + ny)}${tick(ax, ay)}${tick(bx, by)}`,
    }),
    drawn("text", { class: "measure", transform: `translate(${middle}) rotate(${figure(turn)})`, dy: -2 }, words),
  ];
};

// The pattern with its figures, one pixel to the millimetre, with a scale bar.
const BAR_MM = 50;

const largePattern = (group) => {
  const radius = groups.circle_mm[group] / 2;
  const holes = holesOf(group);
  const tolerance = Math.min(groups.tolerance_mm[group] ?? 0, radius);
  const [first] = screwsOf(group);
  const hole = first ? first.sizes[1] / 2 : 3.3;
  const room = radius + 38;
  const high = 2 * room + 22;
  const picture = drawn("svg", {
    class: "pattern", role: "img", "aria-label": patternWords(group), width: figure(2 * room), height: figure(high),
    viewBox: `${figure(-room)} ${figure(-room)} ${figure(2 * room)} ${figure(high)}`,
  });
  if (tolerance > 0) {
    picture.append(drawn("circle", { class: "tolerance", r: figure(radius), "stroke-width": figure(2 * tolerance) }));
  }
  picture.append(drawn("circle", { class: "circle", r: figure(radius) }), drawn("path", { class: "centre", d: cross(0, 0, 7) }));
  const places = holePlaces(holes, radius);
  for (const [x, y] of places) {
    picture.append(drawn("circle", { class: "hole", cx: figure(x), cy: figure(y), r: figure(hole) }),
      drawn("path", { class: "centre", d: cross(x, y, hole + 4) }));
  }
  if (holes >= 2) {
    picture.append(...dimension(places[0], places[1], 22, figure(chord(holes, 2 * radius), 1)));
  }
  const tolerated = tolerance > 0 ? ` ± ${figure(tolerance, 1)}` : "";
  picture.append(drawn("text", { class: "measure", y: 22 }, `⌀ ${figure(2 * radius, 1)}${tolerated}`));
  const left = -room + 6;
  picture.append(drawn("path", { class: "bar", d: `M${figure(left)} ${figure(room + 4)}v8h${BAR_MM}v-8` }),
    drawn("text", { class: "bar-label", x: figure(left + BAR_MM + 6), y: figure(room + 13) }, `${BAR_MM} mm`));
  return picture;
};

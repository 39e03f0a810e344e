
// What was typed, understood as far as it can be: a displacement, a count of holes, a spacing, a thread; the
// rest are words. What was understood is said, and a word that is meant otherwise can be put in quotes.

const HOLE_WORDS = "holes?|loch|löcher|trous?|agujeros?|fori|foro|gats|gaten|otwor\\S*";

const READERS = [
  { name: "cc", pattern: /(\d{2,4}(?:[.,]\d+)?)\s*(?:cc|ccm|cm3|cm³|ml)\b/giu },
  { name: "holes", pattern: new RegExp(`\\b(\\d)\\s*-?\\s*(?:${HOLE_WORDS})(?=\\s|$)`, "giu") },
  { name: "mm", pattern: /(?:⌀|ø)?\s*(\d{2,3}(?:[.,]\d+)?)\s*mm\b/giu },
  { name: "thread", pattern: /(?:^|\s)(M\d{1,2}|\d\/\d{1,2}-\d{2})(?=\s|$)/giu },
];

const number = (text) => Number(text.replace(",", "."));

// Letters and digits only, as a number is kept: dashes, dots and spaces come and go between lists.
const bare = (text) => text.replace(/[^\p{L}\p{N}]/gu, "");

const understand = (typed) => {
  const understood = { cc: null, holes: null, mm: null, thread: null, words: [] };
  let rest = typed.replace(/"([^"]*)"/g, (_, quoted) => {
    understood.words.push(quoted.toLowerCase().trim());
    return " ";
  });
  for (const { name, pattern } of READERS) {
    rest = rest.replace(pattern, (whole, value) => {
      if (understood[name] !== null) return whole;
      understood[name] = name === "thread" ? value.toUpperCase() : number(value);
      return " ";
    });
  }
  understood.words.push(...rest.toLowerCase().split(/\s+/));
  understood.words = understood.words.filter((word) => bare(word));
  return understood;
};

// What the last figure of a spacing may be rounded by, mm, and the play of an M6 screw in its medium hole.
const SPACING_ROOM_MM = 0.5 + 0.6;

const agrees = (understood, group) => {
  const { cc, holes, mm, thread } = understood;
  const inBand = ([low, high]) => cc >= low - 0.5 - 0.01 * low && cc <= high + 0.5 + 0.01 * high;
  if (cc !== null && !groups.spans[group].some(inBand)) return false;
  if (holes !== null && groups.holes[group] !== holes) return false;
  if (thread !== null && !groups.thread[group].split("|").includes(thread)) return false;
  if (mm === null) return true;
  const circle = groups.circle_mm[group];
  if (circle === null) return false;
  const room = SPACING_ROOM_MM + (groups.tolerance_mm[group] ?? 0);
  const next = holesOf(group) ? chord(holesOf(group), circle) : circle;
  return Math.abs(circle - mm) <= room || Math.abs(next - mm) <= room;
};

const inWords = ({ cc, holes, mm, thread, words }) =>
  [
    cc !== null && `${figure(cc)} cc`,
    holes !== null && counted(holes, "hole", "holes"),
    mm !== null && `holes on ${figure(mm)} mm, or ${figure(mm)} mm apart`,
    thread !== null && `thread ${thread}`,
    words.length > 0 && `the words ${words.join(", ")}`,
  ].filter(Boolean).join("; ");

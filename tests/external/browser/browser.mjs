// A browser of its own for each check file, and what every check uses. Debian's chromium is driven; the packages that
// drive it lie under target/ (see run.py), which is why they are looked up there and not beside this file.

import { createRequire } from "node:module";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const packages = createRequire(join(process.env.SAMEFIT_BROWSER_PACKAGES, "package.json"));
const { chromium } = packages("playwright-core");
const axe = readFileSync(packages.resolve("axe-core/axe.min.js"), "utf8");

// Nothing but what a test asks for may leave the machine, or come from an earlier test.
const FLAGS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync",
];

// A step that takes longer has failed, even on a busy machine.
const STEP_MS = 20_000;

const results = [];

// One thing compared. What is said is read by the check in Python that started this.
export const equal = (what, ours, expected) => {
  results.push({ what, ours, expected });
};

export const holds = (what, truth) => equal(what, Boolean(truth), true);

export const note = (text) => results.push({ note: text });

// Runs the steps in a browser with an empty profile and prints what was compared, even when a step fails.
export const drive = async (steps) => {
  const profile = mkdtempSync(join(tmpdir(), "samefit-browser-"));
  const opened = [];
  const open = async (settings) => {
    const context = await chromium.launchPersistentContext(profile, {
      executablePath: process.env.SAMEFIT_CHROMIUM, headless: true, args: FLAGS, viewport: { width: 1280, height: 900 }, ...settings,
    });
    opened.push(context);
    return context;
  };
  try {
    await steps(open);
  } catch (error) {
    results.push({ what: "every step runs", ours: String(error.stack ?? error), expected: "no error" });
  } finally {
    for (const context of opened) await context.close();
    rmSync(profile, { recursive: true, force: true });
    console.log(JSON.stringify(results));
  }
};

// A page that keeps what it asked for and what it complained of.
export const watched = async (context, url) => {
  const page = await context.newPage();
  page.setDefaultTimeout(STEP_MS);
  page.requests = [];
  page.complaints = [];
  page.on("request", (request) => page.requests.push(request.url()));
  page.on("console", (message) => ["error", "warning"].includes(message.type()) && page.complaints.push(message.text()));
  page.on("pageerror", (error) => page.complaints.push(String(error)));
  page.on("dialog", (dialog) => {
    page.complaints.push(`a dialog: ${dialog.message()}`);
    dialog.dismiss();
  });
  await page.goto(url);
  return page;
};

// The page asked for nothing but itself and complained of nothing.
export const quiet = (what, page, url) => {
  equal(`${what}: requests`, page.requests.filter((request) => request !== url), []);
  equal(`${what}: console errors`, page.complaints, []);
};

// Rules of axe-core that are broken seriously. It is evaluated, not added as a script: the page's policy forbids that.
export const seriousFindings = async (page) => {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations"] }));
  return violations
    .filter(({ impact }) => impact === "serious" || impact === "critical")
    .map(({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map((node) => node.html.slice(0, 160)).join(" | ")}`);
};

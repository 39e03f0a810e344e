// The report in a real browser: what a person at the desk or at the bench does with it.
// Started with a JSON of what the tables of the run say, so that the page is held against them.

import { drive, equal, holds, note, quiet, seriousFindings, watched } from "./browser.mjs";

const { url, group, number, spelling, sure, cheapest, chord, groups } = JSON.parse(process.argv[2]);

const ready = (page) => page.waitForSelector("html[data-ready=offers]");
const found = (page) => page.locator("#found").textContent();
const entry = (page, id) => page.locator(`li.group[id="${id}"]`);
const openSheet = async (page, id) => {
  await entry(page, id).locator(".open-group").click();
  await entry(page, id).locator(".offers").first().waitFor();
};

const search = async (page) => {
  equal("groups listed at first", await found(page), `${groups} groups`);
  await page.fill("#query", spelling);
  const first = page.locator("li.group").first();
  equal(`the number ${spelling} leads to its group`, await first.getAttribute("id"), group);
  await openSheet(page, group);
  const list = await first.locator("h4:has-text('Found by the search') + ol, h4:has-text('Found by the search') ~ ol").first().textContent();
  holds(`the offer ${number} stands among what was found`, list.includes(number));
  await page.fill("#query", "zzzz not a part");
  holds("nothing found says what to do", (await found(page)).startsWith("Nothing found"));
  await page.fill("#query", "");
};

const openGroup = async (page) => {
  await page.goto(`${url}#${group}`);
  await page.reload();
  await ready(page);
  const sheet = entry(page, group).locator(".sheet");
  await sheet.locator(".offers").first().waitFor();
  equal("sure offers, as in crossref.csv", await sheet.locator("h4", { hasText: "Cheapest delivered" }).textContent(),
    `Cheapest delivered: ${sure} sure offers`);
  equal("the cheapest of them", await sheet.locator("h4:has-text('Cheapest delivered') ~ ol .delivered").first().textContent(), cheapest);
  const holes = await sheet.locator(".pattern circle.hole").evaluateAll((circles) =>
    circles.map((circle) => [Number(circle.getAttribute("cx")), Number(circle.getAttribute("cy"))]));
  const apart = Math.hypot(holes[0][0] - holes[1][0], holes[0][1] - holes[1][1]);
  holds(`holes are drawn ${chord.toFixed(2)} mm apart (drawn ${apart.toFixed(3)})`, Math.abs(apart - chord) < 0.02);
  const box = await sheet.locator(".pattern").evaluate((svg) => [svg.getAttribute("width"), svg.viewBox.baseVal.width]);
  equal("one pixel is one millimetre", Number(box[0]), box[1]);
  await sheet.locator(".why").first().click();
  await sheet.locator(".evidence li").first().waitFor();
  holds("evidence is told", (await sheet.locator(".evidence").first().textContent()).includes("kind"));
};

// From the top of the page to the evidence of an offer without a mouse.
const keyboard = async (context) => {
  const page = await watched(context, url);
  await ready(page);
  const focused = () => page.evaluate(() => `${document.activeElement.tagName.toLowerCase()} ${document.activeElement.id || document.activeElement.className}`);
  await page.keyboard.press("Tab");
  equal("the first stop skips to the search", await focused(), "a skip");
  await page.keyboard.press("Enter");
  await page.keyboard.press("Tab");
  equal("then comes the search", await focused(), "input query");
  await page.keyboard.type(spelling);
  for (const stop of ["select kind", "select order", "button open-group"]) {
    await page.keyboard.press("Tab");
    equal(`then ${stop}`, await focused(), stop);
  }
  await page.keyboard.press("Enter");
  await page.locator(".offers").first().waitFor();
  equal("Enter opens the group", await page.evaluate(() => document.activeElement.getAttribute("aria-expanded")), "true");
  await page.keyboard.press("Tab");
  equal("then an offer's Why", await focused(), "button why");
  await page.keyboard.press("Space");
  await page.locator(".evidence li").first().waitFor();
  const outline = await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle);
  equal("the focus can be seen", outline, "solid");
  quiet("keyboard", page, url);
  await page.close();
};

const onPaper = async (page) => {
  await page.emulateMedia({ media: "print", colorScheme: "dark" });
  const shown = (selector) => page.locator(selector).first().isVisible();
  holds("print hides the search", !(await shown("#search")));
  holds("print hides the sections' links", !(await shown("nav")));
  holds("print shows the open group", await entry(page, group).locator(".pattern").isVisible());
  equal("print shows no other group", await page.locator("li.group:visible").count(), 1);
  equal("print is on white", await page.evaluate(() => getComputedStyle(document.body).backgroundColor), "rgb(255, 255, 255)");
  equal("print is in black", await page.evaluate(() => getComputedStyle(document.body).color), "rgb(0, 0, 0)");
  const pdf = await page.pdf({ format: "A4" });
  holds(`a PDF comes out (${pdf.length} bytes)`, pdf.length > 5000);
  await page.emulateMedia({ media: "screen", colorScheme: "light" });
};

const inEveryLight = async (page) => {
  for (const [name, width, colorScheme] of [["desk", 1280, "light"], ["desk, dark", 1280, "dark"], ["phone", 360, "light"], ["phone, dark", 360, "dark"]]) {
    await page.setViewportSize({ width, height: 800 });
    await page.emulateMedia({ colorScheme });
    equal(`${name}: serious findings of axe-core`, await seriousFindings(page), []);
    equal(`${name}: nothing runs out at the side`, await page.evaluate(() => document.documentElement.scrollWidth > innerWidth), false);
    const [red, green, blue] = (await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).match(/\d+/g).map(Number);
    equal(`${name}: the ground is ${colorScheme}`, red + green + blue < 384, colorScheme === "dark");
  }
  await page.setViewportSize({ width: 1280, height: 900 });
};

const withoutScript = async (open) => {
  const context = await open({ javaScriptEnabled: false });
  const page = await watched(context, url);
  holds("without script the groups are a table", (await page.locator("#groups table tbody tr").count()) > 0);
  holds("and no dead search is shown", !(await page.locator("#search").isVisible()));
  await context.close();
};

const inAnOldBrowser = async (context) => {
  const page = await context.newPage();
  await page.addInitScript(() => delete globalThis.DecompressionStream);
  await page.goto(url);
  holds("a browser that cannot unpack says so", await page.locator("#unable").isVisible());
  await page.close();
};

await drive(async (open) => {
  const context = await open({});
  const page = await watched(context, url);
  await ready(page);
  await search(page);
  await openGroup(page);
  quiet("report", page, url);
  await onPaper(page);
  await inEveryLight(page);
  await keyboard(context);
  await inAnOldBrowser(context);
  note(await context.browser()?.version() ?? "chromium");
  await context.close();
  await withoutScript(open);
});

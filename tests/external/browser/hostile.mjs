// A report over lists that mean harm: what was written as markup, script, a formula or a change of direction stays text.

import { drive, equal, holds, quiet, watched } from "./browser.mjs";

const { url, words } = JSON.parse(process.argv[2]);

await drive(async (open) => {
  const context = await open({});
  const page = await watched(context, url);
  await page.waitForSelector("html[data-ready=offers]");
  const elements = await page.evaluate(() => document.querySelectorAll("img, iframe, object, embed, link, base, form[action], a[href^='http']").length);
  equal("elements that no supplier may make", elements, 0);
  for (const word of words) {
    await page.fill("#query", `"${word.find.replaceAll('"', "")}"`);
    await page.locator("li.group .open-group").first().click();
    await page.locator(".offers .offer").first().waitFor();
    const shown = await page.locator("li.group").first().textContent();
    holds(`${word.find} is found and shown as it was written`, shown.includes(word.shown));
  }
  await page.fill("#query", "");
  for (const buttons of [".open-group", ".why"]) {
    await page.evaluate((every) => document.querySelectorAll(every).forEach((button) => button.click()), buttons);
    await page.waitForTimeout(500);
  }
  const text = await page.evaluate(() => document.documentElement.textContent);
  equal("letters that turn text round or command a terminal", text.match(/[\u202a-\u202e\u2066-\u2069\u200b-\u200f\u001b]/gu), null);
  equal("nothing of it ran", await page.evaluate(() => globalThis.harm ?? "nothing"), "nothing");
  equal("elements made by it afterwards", await page.evaluate(() => document.querySelectorAll("img, iframe").length), 0);
  quiet("hostile", page, url);
  await context.close();
});

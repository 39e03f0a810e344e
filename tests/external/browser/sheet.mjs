// Fit sheets printed by a real browser: PDF files, which the check in Python measures.

import { drive, equal, holds, quiet, seriousFindings, watched } from "./browser.mjs";

const { sheets } = JSON.parse(process.argv[2]);

await drive(async (open) => {
  const context = await open({});
  for (const { url, name, prints } of sheets) {
    const page = await watched(context, url);
    equal(`${name}: script in it`, await page.locator("script").count(), 0);
    equal(`${name}: serious findings of axe-core`, await seriousFindings(page), []);
    const drawings = page.locator("svg.full-size");
    for (let at = 0; at < (await drawings.count()); at += 1) {
      const [wide, high, box] = await drawings.nth(at).evaluate((svg) => [svg.getAttribute("width"), svg.getAttribute("height"), svg.getAttribute("viewBox")]);
      equal(`${name}: a unit is a millimetre`, `0 0 ${parseFloat(wide)} ${parseFloat(high)}`, box);
      holds(`${name}: in millimetres`, wide.endsWith("mm") && high.endsWith("mm"));
    }
    for (const { format, path } of prints) await page.pdf({ path, format, preferCSSPageSize: false });
    quiet(name, page, url);
    await page.close();
  }
  await context.close();
});

// Opens a report in a browser and says how long it takes until groups and offers can be searched, and how long a search
// takes. Started by report_load.py.

import { performance } from "node:perf_hooks";
import { drive, note, watched } from "../external/browser/browser.mjs";

const { url, queries } = JSON.parse(process.argv[2]);

// Milliseconds until the search has answered and the page is painted again.
const timed = (page, query) =>
  page.evaluate(async (typed) => {
    const started = performance.now();
    const field = document.getElementById("query");
    field.value = typed;
    field.dispatchEvent(new Event("input"));
    await new Promise((painted) => requestAnimationFrame(() => setTimeout(painted)));
    return [performance.now() - started, document.getElementById("found").textContent];
  }, query);

await drive(async (open) => {
  const context = await open({});
  await context.addInitScript(() => {
    globalThis.stages = {};
    globalThis.longest = 0;
    new PerformanceObserver((tasks) => {
      for (const task of tasks.getEntries()) globalThis.longest = Math.max(globalThis.longest, task.duration);
    }).observe({ type: "longtask", buffered: true });
    new MutationObserver(() => {
      const stage = document.documentElement?.dataset.ready;
      if (stage) globalThis.stages[stage] ??= performance.now();
    }).observe(document, { attributes: true, subtree: true, attributeFilter: ["data-ready"] });
  });
  const started = performance.now();
  const page = await watched(context, url);
  await page.waitForSelector("html[data-ready=offers]", { timeout: 300_000 });
  const [stages, longest, heap] = await page.evaluate(() => [globalThis.stages, globalThis.longest, performance.memory.usedJSHeapSize]);
  note(`groups can be searched and opened after ${Math.round(stages.groups)} ms, offers after ${Math.round(stages.offers)} ms`);
  note(`the page stood still for ${Math.round(longest)} ms at most; ${Math.round(heap / 1048576)} MiB of script memory`);
  note(`with the browser's own part: ${Math.round(performance.now() - started)} ms`);
  for (const query of queries) {
    const [took, found] = await timed(page, query);
    note(`${JSON.stringify(query)}: ${took.toFixed(1)} ms, ${found}`);
  }
  await context.close();
});

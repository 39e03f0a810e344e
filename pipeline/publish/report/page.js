"use strict";
(() => {
  const groups = JSON.parse(document.getElementById("data").textContent);
  const byAnchor = new Map(groups.map((group) => [group.anchor, group]));

  // Everything from the lists goes in as text; nothing here writes markup.
  const element = (name, text, className) => {
    const made = document.createElement(name);
    if (text) made.textContent = text;
    if (className) made.className = className;
    return made;
  };

  const offerRow = ([supplier, number, wording, makers, list, delivered, sure, standing, why]) => {
    const row = element("tr");
    const head = element("th", supplier);
    head.scope = "row";
    if (number) head.append(element("small", number));
    const words = element("td", wording);
    const details = element("details");
    details.append(element("summary", "Why"), ...why.split("\n").map((line) => element("p", line)));
    words.append(details);
    const confidence = element("td", sure, "number");
    confidence.append(element("small", standing, standing));
    row.append(head, words, element("td", makers), element("td", list, "number"),
      element("td", delivered, "number"), confidence);
    return row;
  };

  for (const button of document.querySelectorAll("button[data-more]")) {
    button.hidden = false;
    button.addEventListener("click", () => {
      const anchor = button.dataset.more;
      const body = document.querySelector(`#${anchor} tbody`);
      const rows = byAnchor.get(anchor).more.map(offerRow);
      body.append(...rows);
      const next = rows[0].querySelector("summary");
      button.parentElement.remove();
      next.focus();
    });
  }

  const form = document.getElementById("search");
  const query = document.getElementById("query");
  const found = document.getElementById("found");
  const search = () => {
    const wanted = query.value.toLowerCase().split(/\s+/).filter(Boolean);
    const bare = wanted.map((word) => word.replace(/[^\p{L}\p{N}]/gu, ""));
    let shown = 0;
    for (const group of groups) {
      const fits = wanted.every((word, at) =>
        group.words.includes(word) || (bare[at] && group.words.includes(bare[at])));
      document.getElementById(group.anchor).hidden = !fits;
      if (fits) shown += 1;
    }
    found.textContent = wanted.length ? `${shown} of ${groups.length} groups` : "";
  };
  if (groups.length) form.hidden = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  query.addEventListener("input", search);
})();

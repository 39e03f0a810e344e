
// Making elements. Texts from the lists go in as text nodes only; nothing in this script writes markup.

const byId = (id) => document.getElementById(id);

const furnished = (made, attributes, children) => {
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined && value !== false) made.setAttribute(name, value);
  }
  made.append(...children.filter((child) => child !== null && child !== undefined && child !== ""));
  return made;
};

const element = (name, attributes = {}, ...children) =>
  furnished(document.createElement(name), attributes, children);

const drawn = (name, attributes = {}, ...children) =>
  furnished(document.createElementNS("http://www.w3.org/2000/svg", name), attributes, children);

// A button that opens and closes what stands behind it; `fill` makes the content when it is first opened.
const opener = (label, attributes, fill) => {
  const content = element("div", { hidden: "", class: "opened" });
  const button = element("button", { type: "button", "aria-expanded": "false", ...attributes }, ...label);
  button.addEventListener("click", async () => {
    const open = button.getAttribute("aria-expanded") !== "true";
    button.setAttribute("aria-expanded", String(open));
    content.hidden = !open;
    if (open && !content.firstChild) await fill(content);
  });
  return [button, content];
};

const figure = (value, decimals = 2) => String(Number(value.toFixed(decimals)));

const amount = (hundredths) => (hundredths / 100).toFixed(2);

// Rounded down, so that nothing short of certain reads 100 %.
const percent = (tenThousandths) => `${Math.floor(tenThousandths / 100)} %`;

const counted = (count, one, several) => `${count} ${count === 1 ? one : several}`;

// Small pieces of a page. Texts go in as text, never as markup.

export const byId = (id) => document.getElementById(id);

// Properties that begin with "on" are listeners; what the element does not know becomes an attribute; nothing comes of undefined.
export function make(tag, properties = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (value === undefined || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name in element && !["form", "list"].includes(name)) element[name] = value;
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.flat(Infinity).filter((child) => child !== undefined && child !== null && child !== false && child !== ""));
  return element;
}

export const button = (text, onclick, properties = {}) => make("button", { type: "button", onclick, ...properties }, text);

// The second tap of two in a row on the same control is the first one again, not another wish.
const twice = 400; // milliseconds
let last = {};
export const once = (id, onclick) => (event) => {
  const again = id !== undefined && id === last.id && event.timeStamp - last.at < twice;
  last = { id, at: event.timeStamp };
  if (!again) onclick(event);
};

export const pressed = (text, is, onclick, properties = {}) => button(text, once(properties.id, onclick), { ...properties, "aria-pressed": String(Boolean(is)) });

export const folded = (title, ...children) => make("details", {}, make("summary", {}, title), ...children);

// Drawings come from the program's own drawing code, which escapes every text; nothing in them runs.
export function drawing(svg) {
  return document.importNode(new DOMParser().parseFromString(svg, "image/svg+xml").documentElement, true);
}

export function giveFile(bytes, name, type) {
  const address = URL.createObjectURL(new Blob([bytes], { type }));
  make("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

// The sentences of the page, from the same files as those of the program (templates/words.*.toml, [page]).
import { unpackedText } from "./core.js";

const all = {};
let own;

export async function learn() {
  Object.assign(all, JSON.parse(await unpackedText("words")));
}

export const languages = () => Object.keys(all);
export const has = (key) => key in own;

// {name} is filled in.
export function say(key, places = {}) {
  if (!has(key)) throw new Error(`no sentence ${key}`);
  return own[key].replace(/\{(\w+)\}/g, (_, name) => places[name]);
}

export function speak(language) {
  own = all[language];
  document.documentElement.lang = language;
  document.title = say("page.title");
}

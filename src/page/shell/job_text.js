// Answers as the text of a job file, and a file as answers. Nothing is worked out here: what somebody typed is passed on, and the
// program says what is wrong with it.

// An answer: { items: [text…], unit, with, within, sum, none, raw, line }. `raw` is the value as it stood in a file, as long as nobody
// changed it; `sum` says of spacers that they are one figure, `none` that there are none.

const plain = /^[+-]?\d+(\.\d+)?$/;
const comma = /^([+-]?\d+),(\d{1,2})$/; // a decimal comma; with three figures after it, it may part thousands: the program asks
const wordy = /[a-z"°]/i;
const units = { length: ["mm", "in"], mass: ["kg", "lb"], angle: ["deg"] };

export const unitsOf = (key) => units[sortOf(key)] ?? [];
export const isList = (key) => ["list", "rings", "pair"].includes(key.sort);
const sortOf = (key) => (isList(key) ? "length" : key.sort);

// Control characters cannot stand in a text of TOML as they are.
export const quoted = (text) => JSON.stringify(text).replace(/\u007f/g, "\\u007f");

// A figure with its unit, where that is another than the first of its sort, which is what a bare number counts.
export function figureText(text, sort, unit) {
  const said = text.trim().replace(comma, "$1.$2");
  return said && unit && unit !== units[sort]?.[0] && !wordy.test(said) ? `${said} ${unit}` : said;
}

function figure(text, key, unit) {
  const said = figureText(text, sortOf(key), unit);
  return plain.test(said) ? said : quoted(said);
}

function value(key, answer) {
  if (answer.raw !== undefined) return answer.raw;
  if (answer.none) return "[]";
  const items = answer.items.map((item) => item.trim()).filter(Boolean);
  if (key.sort === "choice" || key.sort === "text") return quoted(answer.items[0].trim());
  if (key.sort === "flag" || key.sort === "instruments") return items[0];
  if (key.unknown && items[0] === "unknown") return quoted("unknown");
  const figures = items.map((item) => figure(item, key, answer.unit));
  const many = (isList(key) && !answer.sum) || figures.length > 1;
  const read = many ? `[${figures.join(", ")}]` : figures[0];
  // An array alone would list so many spacers.
  if (answer.sum && figures.length > 1) return `{ read = ${read} }`;
  // A list of spacers has no one instrument: each of them has its own.
  const each = (one) => [`read = ${one}`, answer.with && `with = ${quoted(answer.with)}`, answer.within && `within = ${figure(answer.within, key, answer.unit)}`];
  if (!answer.with && !answer.within) return read;
  const table = (one) => `{ ${each(one).filter(Boolean).join(", ")} }`;
  return key.sort === "rings" && many ? `[${figures.map(table).join(", ")}]` : table(read);
}

export const isGiven = (answer) => Boolean(answer) && (answer.raw !== undefined || answer.none || answer.items.some((item) => item.trim()));

export const pathOf = (key, row) => (key.repeated ? `${key.table}-${row}.${key.name}` : key.path);

// The rows of a repeated table that say anything, in their order: the first of them is number 1 for the program.
export function rowsGiven(keys, answers) {
  const start = `${keys[0].table}-`;
  const numbers = [...answers].filter(([path, answer]) => path.startsWith(start) && isGiven(answer)).map(([path]) => parseInt(path.slice(start.length), 10));
  return [...new Set(numbers)].sort((a, b) => a - b);
}

export function tablesOf(keys) {
  const tables = new Map();
  for (const key of keys) tables.set(key.table, [...(tables.get(key.table) ?? []), key]);
  return tables;
}

const lines = (keys, answers, row) => keys.filter((key) => isGiven(answers.get(pathOf(key, row))))
  .map((key) => `${key.name} = ${value(key, answers.get(pathOf(key, row)))}\n`).join("");

function part(name, keys, answers) {
  if (keys[0].repeated) return rowsGiven(keys, answers).map((row) => `\n[[${name}]]\n${lines(keys, answers, row)}`).join("");
  const given = lines(keys, answers);
  return given && `\n[${name}]\n${given}`;
}

// The whole file, tables and keys in the order of the form.
export function jobText(keys, kind, answers) {
  return `kind = ${quoted(kind)}\n${[...tablesOf(keys)].map(([name, own]) => part(name, own, answers)).join("")}`;
}

// The file that was opened with the answers that were changed since, everything else as it stands there; undefined where a change
// cannot be told line by line.
export function editedText(source, opened, keys, answers) {
  const text = source.split("\n");
  const gone = new Set();
  const added = new Map();
  for (const [name, own] of tablesOf(keys)) {
    if (own[0].repeated && [...opened.keys(), ...answers.keys()].some((path) => path.startsWith(`${name}-`) && opened.get(path)?.raw !== answers.get(path)?.raw)) return undefined;
    for (const key of own.filter((one) => !one.repeated)) {
      const [was, is] = [opened.get(key.path), answers.get(key.path)];
      if (was && isGiven(is) && is.raw === was.raw) continue;
      if (was) {
        const line = text[was.line - 1];
        if (was.raw.includes("\n") || !line?.includes(was.raw)) return undefined;
        if (isGiven(is)) text[was.line - 1] = line.replace(was.raw, () => value(key, is));
        else gone.add(was.line - 1);
      } else if (isGiven(is)) {
        added.set(name, `${added.get(name) ?? ""}${key.name} = ${value(key, is)}\n`);
      }
    }
  }
  const kept = text.filter((_, i) => !gone.has(i));
  for (const [name, more] of added) {
    const header = kept.findIndex((line) => line.replace(/#.*/, "").trim() === `[${name}]`);
    if (header < 0) kept.push(`[${name}]`, more.trimEnd(), "");
    else kept.splice(header + 1, 0, more.trimEnd());
  }
  return kept.join("\n");
}

// A value of a file as an answer. Where the form cannot show all of it, it stands as it was written.
export function answerOf(key, found) {
  const answer = { items: found.items, with: found.with, within: found.within, raw: found.raw, line: found.line };
  if (found.items.length === 1 && found.items[0] === "?") return undefined; // left open in a template
  if (key.sort === "instruments") return { ...answer, items: [found.raw] };
  const known = unitsOf(key);
  const parted = found.items.map((item) => item.match(new RegExp(`^(.*?)\\s*(${known.join("|") || "$^"})$`)));
  const said = new Set(parted.map((part) => (part ? part[2] : known[0])));
  if (said.size === 1 && known.length) {
    answer.unit = [...said][0];
    answer.items = parted.map((part, i) => (part ? part[1] : found.items[i]));
  }
  answer.sum = key.sort === "rings" && !found.list;
  answer.none = key.sort === "rings" && found.list && !found.items.length;
  answer.whole = !found.plain || said.size > 1;
  if (!answer.items.length) answer.items = [""];
  return answer;
}

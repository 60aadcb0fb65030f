// What the page knows while it is open, and nothing longer.
import { say } from "./words.js";

export const state = {
  view: "home", // or "job", "standing"
  language: "en",
  inches: false,
  form: undefined, // the program's table of keys in the language of the page
  kind: "",
  stage: "", // the word of the one that is shown
  answers: new Map(),
  rows: new Map(), // the numbers of the rows of a repeated table that are shown
  shown: new Set(), // stages of which everything is shown
  opened: undefined, // { text, answers } of a file
  judged: undefined, // what the program says of the answers so far
  id: undefined, // on the shelf
  dirty: false, // answers that are nowhere else
  standing: { with: "tape" }, // answers about a post as it stands; the least exact instrument, until another is named
  habits: { paper: undefined, shop: "" },
};

export const keysOf = (kind) => state.form.keys.filter((key) => key.kind === kind);
export const ownKeys = () => keysOf(state.kind);
export const stagesOf = (kind) => state.form.stages.filter((stage) => keysOf(kind).some((key) => key.stage === stage.word));
// A stage that asks something of everybody stands on the way; the others are there for whoever wants them.
export const isOnTheWay = (stage, kind) => keysOf(kind).some((key) => key.stage === stage.word && key.asked);
export const wayOf = (kind) => stagesOf(kind).filter((stage) => isOnTheWay(stage, kind));
export const titleOf = (stage) => stage.title[state.kind];

// A key and its row from the name that the program has for a value: "frame.blockage-2.depth", "spacers.below-3".
export function placeOf(name) {
  const bare = name.replace(/-\d+(?=\.|$)/, "");
  const key = ownKeys().find((one) => one.path === bare);
  const row = key?.repeated ? Number(name.match(/-(\d+)/)?.[1] ?? 1) : undefined;
  return { key, row };
}

export const kindName = (kind) => say("page.door." + kind + ".name");

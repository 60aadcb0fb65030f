// A job in the address of the page: figures and choices only, compressed. Texts, such as names, owner and notes, never go in.
import { jobText } from "./job_text.js";

const mark = "#job=";

const through = async (bytes, stream) => new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());

export async function toLink(keys, kind, answers) {
  const text = jobText(keys.filter((key) => key.sort !== "text"), kind, answers);
  const packed = await through(new TextEncoder().encode(text), new CompressionStream("deflate-raw"));
  let binary = "";
  for (const byte of packed) binary += String.fromCharCode(byte);
  return mark + btoa(binary).replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");
}

export const isLink = (hash) => hash.startsWith(mark);

// Empty when it is damaged.
export async function fromLink(hash) {
  try {
    const packed = Uint8Array.from(atob(hash.slice(mark.length).replaceAll("-", "+").replaceAll("_", "/")), (c) => c.charCodeAt(0));
    return new TextDecoder().decode(await through(packed, new DecompressionStream("deflate-raw")));
  } catch {
    return "";
  }
}

// The program itself, compiled to WebAssembly. Bytes go in and bytes come out: a request is a verb, lines "name=value", an empty
// line and a body; an answer is "+" and what was asked for, or "!" when there is no such thing.
import { byId } from "./dom.js";

const encode = new TextEncoder();
const decode = new TextDecoder();
const badFile = 8; // EBADF of WASI

// Five letters for four bytes, as src/page/pack.py writes them; letters that are missing at the end are the last one.
const letters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz!#$%&()*+-;.=>?,^_`{|}~";
function bytesOf(text) {
  const values = new Uint8Array(128);
  for (let i = 0; i < letters.length; ++i) values[letters.charCodeAt(i)] = i;
  const bytes = new DataView(new ArrayBuffer(Math.ceil(text.length / 5) * 4));
  for (let from = 0, to = 0; from < text.length; from += 5, to += 4) {
    let value = 0;
    for (let i = from; i < from + 5; ++i) value = value * 85 + (i < text.length ? values[text.charCodeAt(i) & 127] : 84);
    bytes.setUint32(to, value);
  }
  return new Uint8Array(bytes.buffer, 0, Math.floor(text.length * 4 / 5));
}

// What is packed into the page under this name.
async function unpacked(name) {
  const packed = bytesOf(byId(name).textContent.trim());
  return new Response(new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
}

export const unpackedText = async (name) => decode.decode(await unpacked(name));

// What the compiled C library asks of its host: no files, no clock, no arguments. What the program says before it stops is kept.
function host(memory, said) {
  const none = (...places) => { for (const place of places) new DataView(memory()).setUint32(place, 0, true); return 0; };
  function write(file, vectors, count, written) {
    const view = new DataView(memory());
    let total = 0;
    for (let i = 0; i < count; ++i) {
      const [at, size] = [view.getUint32(vectors + 8 * i, true), view.getUint32(vectors + 8 * i + 4, true)];
      said.push(decode.decode(new Uint8Array(memory(), at, size)));
      total += size;
    }
    view.setUint32(written, total, true);
    return 0;
  }
  const known = { fd_write: write, environ_sizes_get: none, environ_get: () => 0, proc_exit: () => { throw new Error("stopped"); } };
  return new Proxy(known, { get: (_, name) => known[name] ?? (() => badFile) });
}

export async function start() {
  const module = await WebAssembly.compile(await unpacked("core"));
  const said = [];
  let exports;
  function begin() {
    exports = new WebAssembly.Instance(module, { wasi_snapshot_preview1: host(() => exports.memory.buffer, said) }).exports;
    exports._initialize();
  }
  begin();

  function asked(request) {
    const at = exports.kerfmark_room(request.length);
    new Uint8Array(exports.memory.buffer, at, request.length).set(request);
    exports.kerfmark_ask();
    return new Uint8Array(exports.memory.buffer, exports.kerfmark_answer(), exports.kerfmark_answer_size()).slice();
  }
  // A program that stopped is no good any more: the next request gets a new one.
  function ask(verb, options = {}, body = "") {
    const head = Object.entries(options).map(([name, value]) => `${name}=${String(value).replaceAll("\n", " ")}\n`).join("");
    let answer;
    said.length = 0;
    try {
      answer = asked(encode.encode(`${verb}\n${head}\n${body}`));
    } catch (stopped) {
      begin();
      throw new Error(said.join("").trim() || stopped.message);
    }
    if (answer[0] !== "+".charCodeAt(0)) throw new Error(`${verb}?`);
    return answer.subarray(1);
  }
  return {
    bytes: ask,
    text: (...request) => decode.decode(ask(...request)),
    json: (...request) => JSON.parse(decode.decode(ask(...request))),
  };
}

// Runs the engine beside the page, so that typing never waits for an answer.
"use strict";
let engine, module;

function start() {
  const imports = {};
  // Drawing libraries name functions of a browser that drawing as SVG never calls.
  for (const { module: from, name, kind } of WebAssembly.Module.imports(module)) {
    imports[from] = imports[from] || {};
    imports[from][name] = kind === "function" ? () => { throw new Error("not in a page: " + name); } : 0;
  }
  engine = new WebAssembly.Instance(module, imports).exports;
}

function ask(request) {
  const bytes = new TextEncoder().encode(JSON.stringify(request));
  const at = engine.bench_reserve(bytes.length);
  new Uint8Array(engine.memory.buffer, at, bytes.length).set(bytes);
  const packed = BigInt.asUintN(64, engine.bench_ask(at, bytes.length));
  const [from, length] = [Number(packed >> 32n), Number(packed & 0xffffffffn)];
  const text = new TextDecoder().decode(new Uint8Array(engine.memory.buffer, from, length));
  engine.bench_release(from, length);
  return JSON.parse(text);
}

/// The engine out of its letters: packed as gzip, written as base64.
async function unpacked(text) {
  const letters = atob(text), bytes = new Uint8Array(letters.length);
  for (let at = 0; at < letters.length; at += 1) bytes[at] = letters.charCodeAt(at);
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
}

let opened;
let ready;
onmessage = async ({ data }) => {
  if (data.engine) {
    ready = unpacked(data.engine).then(bytes => { module = new WebAssembly.Module(bytes); start(); });
    return;
  }
  try {
    await ready;
  } catch (error) {
    const refused = [{ message: "this browser cannot run the engine of the page: " + error.message }];
    postMessage({ number: data.number, answer: { refused } });
    return;
  }
  if (data.request.ask === "open") opened = data.request;
  let answer;
  try {
    answer = ask(data.request);
  } catch (error) {
    // An engine that stopped in the middle of an answer is not asked again: another takes its place.
    start();
    if (opened && opened !== data.request) ask(opened);
    answer = { refused: [{ message: "the engine stopped at this question: " + error.message }] };
  }
  postMessage({ number: data.number, answer });
};

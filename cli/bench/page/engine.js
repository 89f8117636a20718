// Asks the engine: one question after another, the answers by their numbers.
"use strict";
function makeEngine() {
  const text = id => document.getElementById(id).textContent;
  const worker = new Worker(URL.createObjectURL(new Blob([text("worker")], { type: "text/javascript" })));
  worker.postMessage({ engine: text("engine") });
  const waiting = new Map();
  let last = 0;
  worker.onerror = event => { document.getElementById("working").textContent = "The engine of the page stopped: " + event.message; };
  worker.onmessage = ({ data }) => {
    const heard = waiting.get(data.number);
    waiting.delete(data.number);
    heard(data.answer);
  };
  const ask = request => new Promise(heard => {
    last += 1;
    waiting.set(last, heard);
    worker.postMessage({ number: last, request });
  });
  return { ask };
}

/// Of questions that come faster than they are answered only the last is asked; the others get no answer.
function lastAlone(ask) {
  let asking = false, next;
  return async function one(request) {
    if (asking) {
      if (next) next.heard(undefined);
      return new Promise(heard => { next = { request, heard }; });
    }
    asking = true;
    const answer = await ask(request);
    asking = false;
    if (next) {
      const { request: later, heard } = next;
      next = undefined;
      one(later).then(heard);
    }
    return answer;
  };
}

/// An element with attributes and children; a text is text, never markup.
function element(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === false) continue;
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else made.setAttribute(name, value === true ? "" : value);
  }
  made.append(...children.filter(child => child !== undefined && child !== null));
  return made;
}

/// A piece of markup that the engine wrote: its texts are escaped where it makes them.
function written(markup, tag = "span", attributes = {}) {
  const made = element(tag, attributes);
  made.innerHTML = markup;
  return made;
}

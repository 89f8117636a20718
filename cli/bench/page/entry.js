// How readings are entered: a card for each clue, with what may be answered as drawings to tap.
"use strict";
const STATES = [
  ["unreadable", "Unreadable", "worn, rusted or covered"],
  ["altered", "Altered", "known later work"],
];

/// A reading without the `?` of doubt, and whether it had one; in a number `?` is a figure that cannot be read.
function parted(text, clue) {
  const bare = text.trim();
  if (clue && clue.entry === "number") {
    return bare.endsWith("(?)") ? [bare.slice(0, -3).trim(), true] : [bare, false];
  }
  return bare.endsWith("?") ? [bare.slice(0, -1).trim(), true] : [bare, false];
}

/// The card of a clue; `entered(text)` takes a reading, nothing for one that is taken away.
function clueCard(clue, entered) {
  const summary = element("summary", {}, element("span", { class: "clue-name" }, clue.name), element("span", { class: "clue-reading" }));
  const wrong = element("p", { class: "wrong", role: "alert" });
  const inside = element("div", { class: "inside" });
  const card = element("details", { class: "clue", id: "clue-" + clue.id, "data-part": clue.part }, summary, inside);
  let now = "";
  const refresh = [];

  function take(text) {
    entered(text);
  }

  if (clue.how) inside.append(element("p", { class: "how" }, clue.how));
  if (clue.drawing) inside.append(written(clue.drawing, "span", { class: "drawn" }));
  const several = element("button", { type: "button", class: "several", "aria-pressed": "false", title: "one of several that look alike" }, "One of several");
  several.addEventListener("click", () => several.setAttribute("aria-pressed", String(several.getAttribute("aria-pressed") !== "true")));
  const isSeveral = () => several.getAttribute("aria-pressed") === "true";
  let isFresh = true;
  if (clue.levels.length) inside.append(levelButtons(clue, () => now, isSeveral, take, refresh));
  if (clue.entry !== "levels") inside.append(measureField(clue, () => now, take, refresh));
  const row = element("div", { class: "states", role: "group", "aria-label": clue.name + ": how it was read" });
  for (const [state, name, look] of STATES) {
    const button = element("button", { type: "button", title: look, onclick: () => take(now === state ? "" : state) }, name);
    refresh.push(() => button.setAttribute("aria-pressed", String(now === state)));
    row.append(button);
  }
  const doubt = element("button", { type: "button", class: "doubt", title: "the reading may be wrong" }, "Doubtful");
  doubt.addEventListener("click", () => {
    const [bare, doubtful] = parted(now, clue);
    const mark = clue.entry === "number" ? " (?)" : "?";
    if (bare && !STATES.some(([state]) => state === bare)) take(doubtful ? bare : bare + mark);
  });
  refresh.push(() => {
    const [bare, doubtful] = parted(now, clue);
    doubt.setAttribute("aria-pressed", String(doubtful));
    doubt.setAttribute("aria-disabled", String(!bare || STATES.some(([state]) => state === bare)));
  });
  const clear = element("button", { type: "button", onclick: () => take("") }, "Not looked");
  refresh.push(() => clear.setAttribute("aria-disabled", String(!now)));
  if (clue.levels.length > 2) row.append(several);
  row.append(doubt, clear);
  inside.append(row, wrong);

  return {
    card,
    clue,
    /// For another club: as nobody has touched it.
    begin() {
      several.setAttribute("aria-pressed", "false");
      isFresh = true;
      card.open = false;
    },
    show(text, message) {
      now = text || "";
      if (isFresh && now.includes("|")) several.setAttribute("aria-pressed", "true");
      isFresh = false;
      card.classList.toggle("read", Boolean(now));
      summary.lastChild.textContent = shownReading(clue, now);
      if (wrong.textContent !== (message || "")) wrong.textContent = message || "";
      const field = card.querySelector("input");
      if (field) field.setAttribute("aria-invalid", String(Boolean(message)));
      card.classList.toggle("has-wrong", Boolean(message));
      refresh.forEach(each => each());
    },
  };
}

function shownReading(clue, text) {
  if (!text) return "";
  const [bare, doubtful] = parted(text, clue);
  const names = bare.split("|").map(word => {
    const level = clue.levels.find(level => level.id === word.trim());
    return level ? level.name : word.trim();
  });
  return names.join(" or ") + (doubtful ? " ?" : "");
}

function levelButtons(clue, now, isSeveral, take, refresh) {
  const group = element("div", { class: "levels", role: "group", "aria-label": clue.name });
  for (const level of clue.levels) {
    const button = element("button", { type: "button", class: "level" });
    if (level.drawing) button.append(written(level.drawing, "span", { class: "drawn", "aria-hidden": "true" }));
    const words = element("span", { class: "words" }, element("strong", {}, level.name));
    if (level.look && level.look !== level.name) words.append(element("span", { class: "look" }, level.look));
    button.append(words);
    button.addEventListener("click", () => take(withLevel(clue, now(), level.id, isSeveral())));
    refresh.push(() => {
      const [bare] = parted(now());
      button.setAttribute("aria-pressed", String(bare.split("|").map(word => word.trim()).includes(level.id)));
    });
    group.append(button);
  }
  return group;
}

/// A tap chooses a level and a second tap takes it away; where one of several is meant, they stand together.
function withLevel(clue, text, id, several) {
  const [bare, doubtful] = parted(text);
  const chosen = bare.split("|").map(word => word.trim()).filter(word => clue.levels.some(level => level.id === word));
  const left = chosen.includes(id) ? chosen.filter(word => word !== id) : several ? [...chosen, id] : [id];
  return left.length ? left.join("|") + (doubtful ? "?" : "") : "";
}

function measureField(clue, now, take, refresh) {
  const id = "field-" + clue.id;
  const field = element("input", { id, type: "text", inputmode: "text", autocomplete: "off", spellcheck: "false" });
  const units = clue.units.length ? " (" + clue.units.join(", ") + ")" : "";
  field.addEventListener("input", () => take(field.value.trim()));
  refresh.push(() => {
    const isState = STATES.some(([state]) => state === now());
    if (document.activeElement !== field || !now()) field.value = isState ? "" : now();
  });
  const hint = clue.entry === "measure" ? "such as " + clue.example + "; a bare number is in " + clue.bare : "as it stands on the club, ? for a figure that cannot be read";
  field.setAttribute("aria-describedby", id + "-hint");
  return element("p", { class: "field" }, element("label", { for: id }, "Reading" + units), field, element("span", { class: "look", id: id + "-hint" }, hint));
}

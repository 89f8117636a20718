// The page: readings on one side, the answer on the other.
"use strict";
const part = id => document.getElementById(id);
const own = JSON.parse(part("own").textContent);
function engines() {
  try {
    return [makeEngine(), makeEngine()];
  } catch (error) {
    part("working").textContent = "This browser cannot run the page, since it allows no worker: " + error.message;
    throw error;
  }
}
const MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];
const today = () => { const day = new Date(); return day.getDate() + " " + MONTHS[day.getMonth()] + " " + day.getFullYear(); };
const PARTS = { head: "The head", shaft: "The shaft", grip: "The grip" };
// What to look at next takes longer than the answer, and never holds it up.
const [engine, besides] = engines();
const askFirst = lastAlone(engine.ask), askDate = lastAlone(engine.ask), askNext = lastAlone(besides.ask);
/// What is entered of a club besides its readings, each with its field.
const ofText = (id, key) => ({ field: part(id), read: club => club.text[key] || "", write: (club, text) => { if (text) club.text[key] = text; else delete club.text[key]; } });
const ofClub = (id, key) => ({ field: part(id), read: club => club[key], write: (club, text) => { club[key] = text; } });
const FIELDS = [
  ofText("club-title", "title"), ofText("text-condition", "condition"), ofText("text-inscription", "inscription"),
  ofText("text-provenance", "provenance"), ofClub("club-note", "note"), ofClub("club-made", "made"), ofClub("club-date_grade", "date_grade"),
];
let opened, cards = [], asked = 0, left = new Set();

const question = () => ({ prior: part("prior").value || null, without: [...left], on: today() });

/// Shows the club again, and asks for its answer; an answer that comes after a later question is passed by.
async function renew() {
  const club = clubs.now();
  asked += 1;
  const number = asked;
  showClub({});
  await firstAnswer(club, number);
  if (number !== asked) return;
  const answer = await askDate({ ask: "date", club, how: question() });
  if (!answer || number !== asked) return;
  if (answer.refused) {
    refused(answer.refused);
    return;
  }
  part("state").textContent = "";
  part("sheet").classList.remove("not-dated");
  part("said").textContent = answer.date_line;
  part("answer").innerHTML = answer.html;
  showDecades(answer.decades);
  part("answer").classList.remove("behind", "of-another");
  part("short").textContent = answer.date_line;
  document.title = club.id + ": " + answer.date_line;
  for (const { card, clue } of cards) card.classList.toggle("pointless", answer.pointless.includes(clue.id));
  part("next-words").textContent = "Working out what to look at next \u2026";
  part("next-go").hidden = true;
  const next = await askNext({ ask: "next", club, how: question() });
  if (!next || number !== asked || next.refused) return;
  part("next-words").textContent = next.sentence;
  part("next-go").hidden = !next.clue;
  part("next-go").dataset.clue = next.clue || "";
}

/// A reading makes no sense: what stood there is no answer to it.
function refused(all) {
  const wrong = {};
  for (const { clue, message } of all) if (clue) wrong[clue] = message;
  showClub(wrong);
  const names = cards.filter(({ clue }) => wrong[clue.id]).map(({ clue }) => clue.name);
  const told = "Not dated" + (names.length ? ": " + names.join(", ") + " cannot be read" : "");
  part("short").textContent = told;
  part("sheet").classList.add("not-dated");
  part("answer").classList.add("of-another");
  part("why").hidden = true;
  part("said").textContent = told;
  part("state").textContent = all.map(one => one.message).join(" ");
  part("next-words").textContent = "Mend that reading first.";
  part("next-go").hidden = !names.length;
  part("next-go").dataset.clue = Object.keys(wrong)[0] || "";
  document.title = clubs.now().id + ": not dated";
}

/// The date and its years at once; the account is fetched behind them.
async function firstAnswer(club, number) {
  const first = await askFirst({ ask: "short", club, how: question() });
  if (!first || first.refused || number !== asked) return;
  part("short").textContent = first.date_line;
  const [line, figure] = ["#answer .date", "#answer figure .narrow"].map(place => document.querySelector(place));
  if (line) line.textContent = first.date_line;
  if (figure) figure.innerHTML = first.figure;
  part("answer").classList.add("behind");
}

function showClub(wrong) {
  const club = clubs.now();
  for (const { clue, show } of cards) show(club.readings[clue.id], wrong[clue.id]);
  if (document.activeElement !== part("club-id")) part("club-id").value = club.id;
  for (const { field, read } of FIELDS) if (document.activeElement !== field) field.value = read(club);
  part("undo").setAttribute("aria-disabled", String(!clubs.canUndo()));
  const choice = part("clubs");
  choice.replaceChildren(...clubs.list().map((one, place) => element("option", { value: place, selected: place === clubs.place() }, one.id + (one.text.title ? ": " + one.text.title : ""))));
  const read = cards.filter(({ clue }) => club.readings[clue.id]);
  showTicks(read.map(({ clue }) => clue));
  for (const place of ["bars", "compared", "why-not"]) part(place).replaceChildren();
  for (const button of part("decades").children) button.setAttribute("aria-pressed", "false");
  showChosen(clubs.list());
  part("leave-out").hidden = !read.length;
  part("together").hidden = clubs.list().length < 2;
  const fails = clubs.storageFails();
  part("unkept").hidden = !fails;
  part("unkept").textContent = "This browser keeps nothing for the page: save your clubs to a file before you close it.";
  part("kept").textContent = fails ? "" : "Clubs are kept in this browser, on this machine, and go nowhere else. To be safe, save them to files.";
}

/// A tick for each clue that counts; those that stand there already stay, so that no focus is lost.
function showTicks(read) {
  const ids = read.map(clue => clue.id).join(" ");
  const without = part("without");
  if (without.dataset.ids !== ids) {
    without.dataset.ids = ids;
    without.replaceChildren(...read.map(clue => {
      const box = element("input", { type: "checkbox", value: clue.id });
      box.addEventListener("change", () => { if (box.checked) left.delete(clue.id); else left.add(clue.id); renew(); });
      return element("label", {}, box, " " + clue.name);
    }));
  }
  for (const box of without.querySelectorAll("input")) box.checked = !left.has(box.value);
  const names = read.filter(clue => left.has(clue.id)).map(clue => clue.name);
  part("left-out").textContent = names.length ? "Left out: " + names.join(", ") + ". Pages that are printed or saved say so." : "";
}

/// A button for each decade; those that stand there already stay, so that no focus is lost.
function showDecades(decades) {
  const row = part("decades");
  part("why").hidden = false;
  if (row.children.length !== decades.length) {
    row.replaceChildren(...decades.map(({ years }) => {
      const button = element("button", { type: "button", "aria-pressed": "false" }, element("strong"), " ", element("span"));
      button.addEventListener("click", () => whyNot(button, years));
      return button;
    }));
  }
  decades.forEach(({ name, chance }, place) => {
    const [decade, , share] = row.children[place].childNodes;
    decade.textContent = name;
    share.textContent = chance;
  });
}

/// What each clue says between a decade and the likeliest beside it; a second tap takes it away.
async function whyNot(button, years) {
  const isShown = button.getAttribute("aria-pressed") === "true";
  for (const other of part("decades").children) other.setAttribute("aria-pressed", String(other === button && !isShown));
  part("why-not").replaceChildren();
  if (isShown) return;
  const number = asked;
  const told = await engine.ask({ ask: "why-not", club: clubs.now(), how: question(), years });
  if (number !== asked || button.getAttribute("aria-pressed") !== "true") return;
  showTold("why-not", told);
}

/// A piece that the engine wrote, or what is wrong; its first sentence is said to who does not see it.
function showTold(place, told) {
  if (told.refused) part(place).textContent = told.refused.map(one => one.message).join(" ");
  else part(place).innerHTML = told;
  part("said").textContent = (part(place).querySelector("p, title") || part(place)).textContent;
}

/// A tick for each club of the page, for those that are laid together.
function showChosen(list) {
  const ids = list.map(club => club.id).join("\n");
  const chosen = part("chosen");
  if (chosen.dataset.ids === ids) return;
  const off = new Set([...chosen.querySelectorAll("input:not(:checked)")].map(box => box.value));
  chosen.dataset.ids = ids;
  chosen.replaceChildren(...list.map(club => {
    const box = element("input", { type: "checkbox", value: club.id });
    box.checked = !off.has(club.id);
    return element("label", {}, box, " " + club.id);
  }));
}

/// The ticked clubs together.
async function together(ask, place) {
  const ticked = new Set([...part("chosen").querySelectorAll("input:checked")].map(box => box.value));
  const list = clubs.list().filter(club => ticked.has(club.id));
  const number = asked;
  part(place).textContent = "\u2026";
  const told = list.length ? await besides.ask({ ask, clubs: list, how: { ...question(), without: [] } }) : { refused: [{ message: "No club is ticked." }] };
  if (number !== asked) return;
  showTold(place, told);
}

/// Another club is on the bench.
function another() {
  left.clear();
  for (const card of cards) card.begin();
  part("short").textContent = "\u2026";
  part("answer").classList.add("of-another");
  part("why").hidden = true;
  part("right").scrollTop = 0;
  document.title = clubs.now().id;
  return renew();
}

function entered(clue, text) {
  clubs.change(club => { if (text) club.readings[clue] = text; else delete club.readings[clue]; }, clue);
  renew();
}

function layCards() {
  const entry = part("entry");
  let heading = "";
  for (const clue of opened.clues) {
    if (clue.part !== heading) {
      heading = clue.part;
      entry.append(element("h2", {}, PARTS[clue.part] || clue.part));
    }
    const card = clueCard(clue, text => entered(clue.id, text));
    cards.push(card);
    entry.append(card.card);
  }
}

function find() {
  const word = part("find").value.trim().toLowerCase();
  for (const { card, clue } of cards) {
    const words = [clue.name, clue.id, ...clue.levels.map(level => level.name + " " + level.look)].join(" ").toLowerCase();
    card.hidden = Boolean(word) && !words.includes(word);
  }
  part("found").textContent = word && cards.every(({ card }) => card.hidden) ? "No clue has that word." : "";
}

/// Pages of the club: to be printed, or saved where they are text.
async function page(kind) {
  const files = await engine.ask({ ask: "pages", club: clubs.now(), how: question(), kind });
  if (files.refused) { part("state").textContent = files.refused.map(one => one.message).join(" "); return; }
  const html = files.find(file => file.name.endsWith(".html"));
  if (!html) { saveFile(fileName(clubs.now().id) + "-" + files[0].name, files[0].contents, "text/markdown"); return; }
  const frame = element("iframe", { class: "printed", title: "the page to be printed" });
  frame.addEventListener("load", () => { frame.contentWindow.focus(); frame.contentWindow.print(); });
  document.querySelectorAll("iframe.printed").forEach(old => old.remove());
  frame.srcdoc = html.contents;
  document.body.append(frame);
}

async function read(files) {
  const told = [];
  for (const file of files) {
    const found = await engine.ask({ ask: "import", name: file.name, text: await file.text() });
    if (found.refused) told.push(...found.refused.map(one => one.message));
    else clubs.add(found);
  }
  const shown = another();
  part("state").textContent = told.join(" ");
  await shown;
  if (told.length) part("state").textContent = told.join(" ");
}

async function begin() {
  besides.ask({ ask: "open", own });
  opened = await engine.ask({ ask: "open", own });
  if (opened.refused) throw new Error(opened.refused.map(one => one.message).join(" "));
  part("calibration").textContent = opened.calibration + (opened.notice ? ". " + opened.notice : "");
  part("prior").replaceChildren(...opened.priors.map(prior => element("option", { value: prior.id, selected: prior.is_default }, prior.id + (prior.about ? ": " + prior.about : ""))));
  clubs.restore();
  layCards();
  const brought = (own.clubs || []).map(({ name, text }) => ({ name, text: async () => text }));
  if (brought.length && clubs.list().every(club => !Object.keys(club.readings).length)) await read(brought);
  part("working").hidden = true;
  part("bench").hidden = false;
  await renew();
}

part("clubs").addEventListener("change", event => { clubs.show(Number(event.target.value)); another(); });
part("club-id").addEventListener("input", event => { const id = event.target.value.trim(); const isTaken = clubs.list().some((club, place) => club.id === id && place !== clubs.place()); event.target.setCustomValidity(isTaken ? "Another club of the page has this number." : ""); event.target.reportValidity(); if (id && !isTaken) { clubs.change(club => { club.id = id; }, "its id"); renew(); } });
for (const { field, write } of FIELDS) field.addEventListener("input", () => { clubs.change(club => write(club, field.value), field.id); renew(); });
part("save-all").addEventListener("click", async () => { const table = await engine.ask({ ask: "clubs", clubs: clubs.list(), table: true }); if (table.refused) part("state").textContent = table.refused.map(one => one.message).join(" "); else { saveFile("clubs.csv", table.text, "text/csv"); part("state").textContent = table.left_out.length ? "Not in the table, since a reading of it makes no sense: " + table.left_out.join(", ") + "." : ""; } });
part("lay").addEventListener("click", () => together("clubs", "bars"));
part("compare").addEventListener("click", () => together("compare", "compared"));
part("club-id").addEventListener("blur", event => { event.target.value = clubs.now().id; event.target.setCustomValidity(""); });
part("prior").addEventListener("change", renew);
part("find").addEventListener("input", find);
part("undo").addEventListener("click", () => { if (clubs.undo()) renew(); });
part("add").addEventListener("click", () => { clubs.add(); another(); document.querySelector("details.about").open = true; part("club-id").select(); });
part("remove").addEventListener("click", () => { if (confirm("Take " + clubs.now().id + " out of this page? A saved file stays.")) { clubs.remove(); another(); part("clubs").focus(); } });
part("save").addEventListener("click", async () => { const record = await engine.ask({ ask: "record", club: clubs.now() }); if (record.refused) part("state").textContent = record.refused.map(one => one.message).join(" "); else saveFile(fileName(clubs.now().id) + ".toml", record, "application/toml"); });
part("open-file").addEventListener("change", event => { read([...event.target.files]); event.target.value = ""; });
part("next-go").addEventListener("click", event => { part("find").value = ""; find(); const card = part("clue-" + event.target.dataset.clue); card.open = true; card.scrollIntoView({ block: "center" }); card.querySelector("summary").focus(); });
for (const button of document.querySelectorAll("button[data-page]")) button.addEventListener("click", () => page(button.dataset.page));
part("sheet").addEventListener("click", () => { const shown = document.body.classList.toggle("sheet-up"); part("sheet").setAttribute("aria-expanded", String(shown)); });
begin().catch(error => { part("working").textContent = "The page cannot be used: " + error.message; });

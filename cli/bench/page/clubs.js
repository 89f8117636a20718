// The clubs of the page: kept in the browser's own storage, read from files and saved to them.
"use strict";
// A page with a calibration or clubs of its own keeps its clubs apart: another's readings may be of another catalogue.
const PLACE = (() => {
  let mark = 0;
  for (const letter of document.getElementById("own").textContent.slice(0, 1 << 20)) mark = (mark * 31 + letter.codePointAt(0)) >>> 0;
  return "agewright bench, clubs, " + mark;
})();

const clubs = (() => {
  let all = [], at = 0, before = [];
  let storageFails = "";

  function restore() {
    try {
      const kept = JSON.parse(localStorage.getItem(PLACE) || "null");
      if (kept && Array.isArray(kept.all) && kept.all.length) ({ all, at } = kept);
    } catch (error) {
      storageFails = error.message;
    }
    if (!all.length) all = [blank("club-1")];
    at = Math.min(Math.max(0, at || 0), all.length - 1);
  }

  function keep() {
    try {
      localStorage.setItem(PLACE, JSON.stringify({ all, at }));
      storageFails = "";
    } catch (error) {
      storageFails = error.message;
    }
  }

  const blank = id => ({ id, readings: {}, made: "", date_grade: "", set: "", note: "", text: {} });
  const now = () => all[at];
  const copy = value => JSON.parse(JSON.stringify(value));

  /// Changes the club that is shown; what it was can be had back. Letters typed in a row into one place are one change.
  function change(how, what) {
    const last = before[before.length - 1];
    const goesOn = last && what && last.what === what && last.id === at && Date.now() - last.when < 1500;
    if (goesOn) last.when = Date.now();
    else before.push({ id: at, what, when: Date.now(), club: copy(now()) });
    if (before.length > 200) before.shift();
    how(now());
    keep();
  }

  function undo() {
    const last = before.pop();
    if (!last) return false;
    at = Math.min(last.id, all.length - 1);
    all[at] = last.club;
    keep();
    return true;
  }

  /// The id, or where a club of the page has it one that none has.
  function free(id) {
    let [own, number] = [id, 2];
    while (all.some(club => club.id === own)) own = id + " (" + number++ + ")";
    return own;
  }

  function freeId() {
    let number = all.length + 1;
    while (all.some(club => club.id === "club-" + number)) number += 1;
    return "club-" + number;
  }

  function add(more) {
    const untouched = all.length === 1 && !Object.keys(all[0].readings).length && !Object.keys(all[0].text).length;
    if (untouched && more) all = [];
    // No two clubs have one number: a table of them could not be read again.
    for (const club of more || []) {
      club.id = free(club.id);
      all.push(club);
    }
    if (!more) all.push(blank(freeId()));
    at = more ? all.length - more.length : all.length - 1;
    before = [];
    keep();
  }

  function remove() {
    all.splice(at, 1);
    if (!all.length) all = [blank("club-1")];
    at = Math.min(at, all.length - 1);
    before = [];
    keep();
  }

  return {
    restore, now, change, undo, add, remove,
    list: () => all,
    place: () => at,
    show: place => { at = place; keep(); },
    canUndo: () => before.length > 0,
    storageFails: () => storageFails,
  };
})();

/// Gives the reader a file.
function saveFile(name, contents, type) {
  const address = URL.createObjectURL(new Blob([contents], { type }));
  const link = element("a", { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

/// A name that every system takes for a file.
const fileName = id => id.replace(/[^\p{L}\p{N}._-]+/gu, "-").replace(/^[-.]+/, "") || "club";

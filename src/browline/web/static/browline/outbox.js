// An outbox for forms that are filled in where the network comes and goes.
//
// How to use it. Load this script with `defer`, and mark the form and a place for what is to be said:
//
//   <form data-outbox action="{% url 'somewhere' %}" method="post"
//         data-outbox-label="Round of 3 West" data-outbox-as="{{ holder.actor }}">{% csrf_token %} ... </form>
//   <div data-outbox-status></div>
//
// Submitting puts {key, at, ...fields} away on this phone and sends it as JSON to the form's action, now or as soon
// as the network is back, also after the page was closed and opened again. `key` is a UUID made here: a record may
// arrive twice and the server keeps it once. `at` is this phone's moment with its offset from UTC, unless the form
// has a field of that name; `sent` is the phone's moment of sending, so that the server can tell a clock that is
// wrong. Boxes that share a name are a list, any other field is a text.
//
// The server answers {"kept": true|false, "waiting": true|false, "sentence": "..."}. Kept, or waiting (for the
// educator), takes the record off the phone. Neither: it stays, with the sentence, until it is sent again or thrown
// away by hand. No network, or an ended pass (403): everything stays where it is, and the page says so. Any other
// answer (a fault, a body too large) is about that one record: it says so beside it and is tried again by itself,
// and the others go on past it.
//
// `data-outbox-as` (may be left out) is whose records they are: one put away under one pass is never sent under
// another. `data-outbox-label` is what the record is called while it waits; it may be changed before submitting.
//
// A page may listen: `outbox:put` on the form (detail: the record; the form is then reset), and `outbox:answered`
// on the document (detail: {record, answer}). `outbox.put(url, fields, label)` does the same without a form.
//
// No service worker: browsers allow one only over TLS, which a ward's network does not have. So a page that is open
// goes on working, and one that was closed opens again when the network is back; the records wait meanwhile.
"use strict";

const outbox = (() => {
  const PREFIX = "browline-outbox:";
  const EVERY = 20_000;
  const SOON = 2_000;
  const PATIENCE = 15_000;
  const unkept = new Map(); // Records that this browser would not store: they live as long as the page.
  const said = []; // The latest answers, newest first.
  let sending = false;
  let again = false;
  let trouble = "";

  const form = () => document.querySelector("form[data-outbox]");
  const bearer = () => form()?.dataset.outboxAs ?? "";

  // crypto.randomUUID is there over TLS only; RFC 9562, version 4.
  function makeKey() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
  }

  function moment(date = new Date()) {
    const minutes = -date.getTimezoneOffset();
    const local = new Date(date.getTime() + minutes * 60_000).toISOString().slice(0, 19);
    const two = (number) => String(Math.floor(Math.abs(number))).padStart(2, "0");
    return `${local}${minutes < 0 ? "-" : "+"}${two(minutes / 60)}:${two(minutes % 60)}`;
  }

  // Each record has a place of its own, so that two open pages cannot write over each other's.
  function store(record) {
    try {
      localStorage.setItem(PREFIX + record.key, JSON.stringify(record));
      unkept.delete(record.key);
    } catch {
      unkept.set(record.key, record);
    }
  }

  function drop(key) {
    unkept.delete(key);
    try {
      localStorage.removeItem(PREFIX + key);
    } catch {
      // Nothing could have been stored either.
    }
  }

  // Each is read alone: one that cannot be read must not hide the others.
  function readBack(name) {
    try {
      const record = JSON.parse(localStorage.getItem(name));
      return record?.key && record.url && record.fields ? [record] : [];
    } catch {
      return [];
    }
  }

  function stored() {
    try {
      return Object.keys(localStorage).filter((name) => name.startsWith(PREFIX)).flatMap(readBack);
    } catch {
      return [];
    }
  }

  function records() {
    return [...stored(), ...unkept.values()].sort((a, b) => a.put - b.put);
  }

  function put(url, fields, label = "record", as = bearer()) {
    const key = makeKey();
    const record = { key, url, label, as, put: Date.now(), fields: { key, at: moment(), ...fields } };
    store(record);
    said.splice(0, said.length, ...said.filter((one) => one.waiting)); // A kept one has been read by now.
    show();
    send();
    return record;
  }

  function fieldsOf(filled) {
    const fields = {};
    for (const [name, value] of new FormData(filled)) {
      if (name === "csrfmiddlewaretoken" || typeof value !== "string") continue;
      const boxes = filled.querySelectorAll(`input[type=checkbox][name="${CSS.escape(name)}"]`).length > 1;
      if (boxes) fields[name] = [...(fields[name] ?? []), value];
      else fields[name] = value;
    }
    return fields;
  }

  async function post(record) {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), PATIENCE);
    try {
      const token = document.querySelector("input[name=csrfmiddlewaretoken]")?.value ?? "";
      return await fetch(record.url, {
        method: "POST",
        credentials: "same-origin",
        headers: { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": token },
        body: JSON.stringify({ ...record.fields, sent: moment() }),
        signal: stop.signal,
      });
    } finally {
      clearTimeout(timer);
    }
  }

  async function answerOf(response) {
    const told = await response.json().catch(() => null);
    return typeof told?.kept === "boolean" ? told : null;
  }

  // Unless it was thrown away while it was on its way.
  function keepBack(record, why) {
    if (records().some((one) => one.key === record.key)) store({ ...record, stuck: "", ...why });
  }

  // What keeps every record waiting, or "" where this one was answered.
  async function sendOne(record) {
    let response;
    try {
      response = await post(record);
    } catch {
      return "There is no network just now; all goes by itself when it is back.";
    }
    const answer = await answerOf(response);
    if (answer === null && response.status === 403)
      return "This page has to be opened again; with a pass, by its link. All stays on this phone and goes by itself then.";
    if (answer === null) {
      keepBack(record, { stuck: `The computer with the book could not take it (${response.status}); it is tried again.` });
      return "";
    }
    if (answer.kept || answer.waiting) drop(record.key);
    else keepBack(record, { refused: answer.sentence || "It was not taken." });
    said.unshift({ label: record.label, sentence: answer.sentence || "Kept.", waiting: answer.waiting, key: record.key });
    said.length = Math.min(said.length, 5);
    document.dispatchEvent(new CustomEvent("outbox:answered", { detail: { record, answer } }));
    return "";
  }

  async function send() {
    if (sending) {
      // The network came back while a record was still failing: what was asked meanwhile is not lost.
      again = true;
      return;
    }
    sending = true;
    try {
      trouble = "";
      let next;
      const tried = new Set();
      const ready = (record) => record.as === bearer() && !record.refused && !tried.has(record.key);
      while (!trouble && (next = records().find(ready))) {
        tried.add(next.key);
        trouble = await sendOne(next);
        show();
      }
    } finally {
      sending = false;
      show();
    }
    if (again) {
      again = false;
      send();
    }
  }

  function line(text, kind = "p") {
    const made = document.createElement(kind);
    made.textContent = text;
    return made;
  }

  function deed(text, act) {
    const button = line(text, "button");
    button.type = "button";
    button.className = "quiet";
    button.addEventListener("click", () => act(button));
    return button;
  }

  function throwAway(record) {
    return (button) => {
      if (button.dataset.sure) {
        drop(record.key);
        show();
      }
      button.dataset.sure = "yes";
      button.textContent = "Press again to throw it away";
    };
  }

  function heldLine(record) {
    const item = line(`${record.label}: ${record.refused || record.stuck}`, "div");
    const deeds = line("", "p");
    deeds.className = "deeds";
    deeds.append(
      deed("Send it again", () => {
        store({ ...record, refused: "", stuck: "" });
        send();
      }),
      deed("Throw it away", throwAway(record)),
    );
    item.append(deeds);
    return item;
  }

  const many = (number) => (number === 1 ? "1 record waits" : `${number} records wait`);

  function lines() {
    const all = records();
    const mine = all.filter((record) => record.as === bearer());
    const held = (record) => record.refused || record.stuck;
    const waiting = mine.filter((record) => !held(record));
    const others = all.length - mine.length;
    const shown = [];
    if (waiting.length) {
      shown.push(line(`${many(waiting.length)} on this phone. ${trouble || "Sending."}`));
      shown.push(line(`Waiting: ${waiting.map((record) => record.label).join("; ")}.`));
    }
    if (unkept.size) shown.push(line("This browser keeps nothing: leave this page open until everything has gone."));
    if (others) shown.push(line(`${many(others)} on this phone for whoever made ${others === 1 ? "it" : "them"} to come back.`));
    shown.push(...mine.filter(held).map(heldLine));
    shown.push(...said.filter((one) => !mine.some((record) => record.key === one.key)).map(told));
    return shown;
  }

  function told(one) {
    return line(`${one.label}: ${one.sentence}`);
  }

  function show() {
    for (const place of document.querySelectorAll("[data-outbox-status]")) {
      const shown = lines();
      place.setAttribute("role", "status");
      place.classList.toggle("messages", shown.length > 0);
      place.dataset.outboxWaiting = records().length;
      place.replaceChildren(...shown);
    }
  }

  document.addEventListener("submit", (event) => {
    const filled = event.target;
    if (!filled.matches("form[data-outbox]") || event.defaultPrevented) return;
    event.preventDefault();
    const { outboxLabel, outboxAs } = filled.dataset;
    const record = put(filled.getAttribute("action"), fieldsOf(filled), outboxLabel, outboxAs ?? "");
    filled.dispatchEvent(new CustomEvent("outbox:put", { detail: record, bubbles: true }));
    filled.reset();
  });
  // A phone says that it is back a moment before it is.
  window.addEventListener("online", () => {
    send();
    setTimeout(send, SOON);
  });
  window.addEventListener("storage", show);
  document.addEventListener("visibilitychange", () => document.hidden || send());
  window.addEventListener("beforeunload", (event) => unkept.size && event.preventDefault());
  setInterval(() => records().length && send(), EVERY);
  show();
  send();

  return { put, send, records, moment };
})();

// The outbox of a sheet. What is pressed is kept on this phone first and sent then, so that
// nothing is lost while the line is gone; the server enters each once, however often it comes.
"use strict";

const BOX = "backtime-outbox:";
const AGAIN = [3000, 5000, 10000, 20000, 30000]; // milliseconds until it is tried again
const LOOK = 120000; // milliseconds until an idle page is drawn anew
const PATIENCE = 15000; // milliseconds for an answer
const sheet = document.getElementById("sheet");
const line = document.getElementById("line");
let sending = false;
let tried = 0;
let timer = 0;
let memory = {}; // where the browser keeps nothing (a private window)

function put(key, value) {
  try {
    localStorage.setItem(key, value);
  } catch {
    memory[key] = value;
  }
}

function gone(key) {
  delete memory[key];
  try {
    localStorage.removeItem(key);
  } catch {
    // nothing was kept there
  }
}

function kept() {
  const found = Object.entries(memory);
  try {
    for (const key of Object.keys(localStorage)) {
      if (key.startsWith(BOX)) found.push([key, localStorage.getItem(key)]);
    }
  } catch {
    // only what is in memory
  }
  const forms = [];
  for (const [key, text] of found) {
    try {
      forms.push({ key, ...JSON.parse(text) });
    } catch {
      gone(key);
    }
  }
  return forms.sort((a, b) => (a.happened < b.happened ? -1 : 1));
}

// What somebody else has pressed on this phone waits until they have signed in again.
const mine = (form) => form.fields.as === sheet.dataset.as;
const waiting = () => kept().filter((one) => one.state === "waits" && mine(one));

function keep(form, change) {
  const { key, ...rest } = form;
  put(key, JSON.stringify({ ...rest, ...change }));
}

function button(text, then) {
  const one = document.createElement("button");
  one.type = "button";
  one.textContent = text;
  one.addEventListener("click", () => {
    then();
    told("");
    send();
  });
  return one;
}

function input(label, value) {
  const field = document.createElement("input");
  field.value = value;
  const named = document.createElement("label");
  named.append(label, field);
  return [named, field];
}

// What stands on top of the page: what waits here, what was asked of it, what was refused.
function told(text) {
  const forms = kept();
  const wait = waiting().length;
  const parts = text ? [text] : [];
  if (wait) parts.push(`${wait} ${wait === 1 ? "entry waits" : "entries wait"} here to be sent.`);
  line.replaceChildren(document.createTextNode(parts.join(" ")));
  for (const one of forms.filter((form) => form.state !== "waits" || !mine(form))) {
    const row = document.createElement("div");
    if (!mine(one)) {
      row.append(`${one.what}: waits for ${one.fields.as} to sign in here. `);
    } else if (one.state === "asks") {
      row.append(`${one.what}:`, ...questions(one));
    } else {
      row.append(`${one.what}: ${one.said.join(" ")} `);
      row.append(button("I have read it", () => gone(one.key)));
    }
    line.append(row);
  }
  line.hidden = !line.textContent;
}

// What is asked of a form that is no longer on the page as it was sent.
function questions(form) {
  const fields = {};
  const parts = [];
  for (const [name, why] of Object.entries(form.asks)) {
    const place = name.slice(1);
    const [read, value] = input(why, form.fields[name] || "");
    const [done, did] = input("What was done about it?", form.fields[`did${place}`] || "");
    fields[name] = value;
    fields[`did${place}`] = did;
    parts.push(read, done);
  }
  const again = () => {
    const said = Object.entries(fields).map(([name, field]) => [name, field.value]);
    keep(form, { state: "waits", fields: { ...form.fields, ...Object.fromEntries(said) } });
  };
  parts.push(button("Enter it", again), button("Throw it away", () => gone(form.key)));
  return parts;
}

// A job that waits to be sent is out of the way; the next one opens.
function marked() {
  for (const form of waiting()) {
    if (form.fields.does !== "done" && form.fields.does !== "skipped") continue;
    for (const job of document.querySelectorAll(".job")) {
      if (job.dataset.job !== form.fields.job || job.classList.contains("waits")) continue;
      job.classList.add("waits");
      if (job.tagName === "DETAILS") job.open = false;
      else job.hidden = true;
    }
  }
  const now = document.querySelector("section.job");
  if (now && !now.hidden) return;
  const next = document.querySelector("details.job:not(.waits)");
  if (next && !document.querySelector("details.job[open]:not(.waits)")) next.open = true;
}

function made() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// Ask at once what was done about a figure that is out of bounds, also without a line.
function asks(form) {
  let open = false;
  for (const box of form.querySelectorAll(".asks")) {
    const field = form.elements[box.dataset.of];
    const place = box.dataset.of.slice(1);
    const did = form.elements[`did${place}`];
    if (did.value.trim()) continue;
    let why = "";
    const typed = field.value.trim();
    if (!typed) why = "Nothing was measured. Why?";
    if (field.tagName === "SELECT") why = typed === "no" ? "Not so yet." : typed ? "" : "Look first.";
    const found = typed.replace(",", ".").match(/^([+-]?[0-9]+(?:\.[0-9]+)?)\s*[°º]?\s*([cCfF]?)$/);
    if (found && (field.dataset.least || field.dataset.most)) {
      const unit = form.elements[`u${place}`];
      const warm = found[2] ? /f/i.test(found[2]) : unit && unit.value === "°F";
      const value = warm ? ((Number(found[1]) - 32) * 5) / 9 : Number(found[1]);
      if (field.dataset.least && value < Number(field.dataset.least)) why = "That is too little.";
      if (field.dataset.most && value > Number(field.dataset.most)) why = "That is too much.";
    }
    if (!why) continue;
    box.hidden = false;
    box.querySelector("p").textContent = why;
    if (!open) did.focus();
    open = true;
  }
  return open;
}

function pressed(event) {
  const form = event.target;
  if (!form.matches("form.tick")) return;
  event.preventDefault();
  if (asks(form)) return;
  const fields = {};
  for (const [name, value] of new FormData(form)) if (!(name in fields)) fields[name] = value;
  const job = form.closest(".job");
  const head = job && job.querySelector("h2, h3");
  const happened = new Date().toISOString();
  const what = head ? head.textContent : "An entry";
  const entry = { fields, happened, what, state: "waits", said: [] };
  put(BOX + fields.id, JSON.stringify(entry));
  if (form.hasAttribute("data-stays")) {
    form.reset();
    form.elements.id.value = made();
  } else {
    form.classList.add("sent");
  }
  marked();
  told("");
  send();
}

// What is asked of a form that the server has not taken, beside its fields.
function asked(form, answer) {
  for (const there of document.querySelectorAll("form.tick")) {
    if (there.elements.id.value !== form.fields.id || there.hasAttribute("data-stays")) continue;
    there.classList.remove("sent");
    const job = there.closest(".job");
    if (job) {
      job.classList.remove("waits");
      job.hidden = false;
      if (job.tagName === "DETAILS") job.open = true;
    }
    for (const [name, text] of Object.entries(answer.asks)) {
      const box = there.querySelector(`.asks[data-of="${name}"]`);
      if (!box) return false;
      box.hidden = false;
      box.querySelector("p").textContent = text;
    }
    return true;
  }
  return false;
}

function answered(form, answer) {
  if (answer.state === "entered") {
    gone(form.key);
    return answer.said;
  }
  if (answer.state === "asks" && asked(form, answer)) {
    gone(form.key);
    return answer.said;
  }
  // Who has signed in is not whoever opened this page: it waits for them.
  const state = answer.state === "other" ? "waits" : answer.state;
  keep(form, { state, said: answer.said, asks: answer.asks });
  return answer.state === "other" ? answer.said : [];
}

async function send() {
  const forms = waiting().slice(0, 50);
  if (sending || !forms.length) return;
  sending = true;
  clearTimeout(timer);
  const stop = new AbortController();
  const late = setTimeout(() => stop.abort(), PATIENCE);
  let more = false;
  try {
    const body = JSON.stringify({
      now: new Date().toISOString(),
      forms: forms.map((one) => ({ fields: one.fields, happened: one.happened })),
    });
    const headers = { "content-type": "application/json" };
    const answer = await fetch(`/sheet/outbox${location.search}`, {
      method: "POST", body, headers, signal: stop.signal,
    });
    if (answer.status === 401) {
      signIn();
    } else if (answer.ok) {
      tried = 0;
      const found = (await answer.json()).answers;
      const said = found.flatMap((one, place) => answered(forms[place], one));
      more = waiting().length > 0 && !found.some((one) => one.state === "other");
      const asking = found.some((one) => one.state === "asks");
      if (!more && !asking && !typing() && found.some((one) => one.state === "entered")) {
        sessionStorage.setItem("backtime-said", JSON.stringify(said));
        location.reload();
        return;
      }
      told(said.join(" "));
    } else {
      told(`Backtime cannot take it now (${answer.status}).`);
      timer = setTimeout(send, AGAIN[AGAIN.length - 1]);
    }
  } catch {
    told("No line.");
    timer = setTimeout(send, AGAIN[Math.min(tried++, AGAIN.length - 1)]);
  } finally {
    clearTimeout(late);
    sending = false;
  }
  if (more) send();
}

function signIn() {
  told("Sign in to send what waits.");
  const way = document.createElement("a");
  way.href = `/sign-in?next=${encodeURIComponent(location.pathname + location.search)}`;
  way.textContent = "Sign in";
  line.append(" ", way);
}

// Nobody's half-typed word is swept away.
function typing() {
  return [...document.querySelectorAll("form.tick:not(.sent) input:not([type=hidden])")].some(
    (field) => field.value !== field.defaultValue,
  );
}

function fresh() {
  if (document.visibilityState !== "visible") return;
  if (waiting().length) send();
}

async function idle() {
  if (document.visibilityState !== "visible" || typing() || kept().length) return;
  if (document.querySelector("details.job[open]")) return;
  try {
    const there = await fetch(location.href, { method: "HEAD" });
    if (there.ok && !there.redirected) location.reload();
  } catch {
    // no line: the page stays as it is
  }
}

if (sheet && line) {
  document.addEventListener("submit", pressed);
  window.addEventListener("online", fresh);
  document.addEventListener("visibilitychange", fresh);
  setInterval(idle, LOOK);
  let said = [];
  try {
    said = JSON.parse(sessionStorage.getItem("backtime-said") || "[]");
    sessionStorage.removeItem("backtime-said");
  } catch {
    // nothing was said
  }
  marked();
  told(said.join(" "));
  send();
  if ("serviceWorker" in navigator && window.isSecureContext) {
    navigator.serviceWorker.register("/sheet/worker.js", { scope: "/sheet" }).catch(() => {});
  }
}

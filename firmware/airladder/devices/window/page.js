// Shows what the program sends, and sends what hands do. Nothing is decided here: a press is told as its two edges.
"use strict";

const LEAST_LEVEL = -60; // dBFS, the left end of the bar
const STANDS_MS = 40; // an edge stands so long before the next of its button; the box takes what is shorter for chatter
const TAP_MS = 100; // how long a press lasts that has no edges, such as that of a screen reader
const RETRY_MS = 1000;
const HISTORY_MS = 30000;

const LOST = "The program does not answer. This page looks for it again by itself.";
const ASLEEP = "The screen is dark, as nobody has played for a while; a sound or a press wakes it.";
const NO_HISTORY = "The history cannot be drawn at this moment.";

const one = (what) => document.querySelector(what);
const glass = one(".glass"), canvas = one("canvas"), told = one(".told"), plots = one(".history");
const buttons = [...document.querySelectorAll("[data-button]")];
const wait = (ms) => new Promise((done) => setTimeout(done, ms));

let page = ""; // our name at the program; empty while we are not connected
let light = "bright";

// ---- what is to be seen

function draw(packed) {
  const bytes = Uint8Array.from(atob(packed), (letter) => letter.charCodeAt(0));
  const pen = canvas.getContext("2d");
  const image = pen.createImageData(canvas.width, canvas.height);
  for (let at = 0; at < canvas.width * canvas.height; at++) {
    const lit = (bytes[at >> 3] >> (7 - (at & 7))) & 1;
    image.data.set(lit ? [255, 255, 255, 255] : [0, 0, 0, 255], 4 * at);
  }
  pen.putImageData(image, 0, 0);
}

// Every pixel of the picture becomes as many whole pixels of this screen as there is room for.
function fit() {
  const whole = Math.max(1, Math.floor((glass.clientWidth * devicePixelRatio) / canvas.width));
  canvas.style.width = `${(whole * canvas.width) / devicePixelRatio}px`;
}

function say(sentence) {
  if (told.textContent !== sentence) told.textContent = sentence;
}

function showLevel(dbfs) {
  const lane = one(".lane"), share = dbfs === null ? 0 : Math.min(1, Math.max(0, 1 - dbfs / LEAST_LEVEL));
  const words = dbfs === null ? "no sound yet" : `${Math.round(dbfs)} dBFS`.replace("-", "−");
  one(".fill").style.transform = `scaleX(${share})`;
  one(".now").textContent = words;
  lane.setAttribute("aria-valuenow", String(Math.round(LEAST_LEVEL * (1 - share))));
  lane.setAttribute("aria-valuetext", words);
}

function show(sight) {
  if (sight.pixels) draw(sight.pixels);
  light = glass.dataset.light = sight.light;
  say(light === "dark" ? ASLEEP : "");
  showLevel(sight.level);
}

// ---- the stream

function connect() {
  const stream = new EventSource("sights");
  const heard = (name, take) => stream.addEventListener(name, (event) => take(JSON.parse(event.data)));
  heard("page", (name) => { page = name; present(true); });
  heard("sight", show);
  heard("goodbye", (sentence) => { stream.close(); absent(sentence); });
  stream.onerror = () => { stream.close(); absent(LOST); setTimeout(connect, RETRY_MS); };
}

function present(isHere) {
  glass.classList.toggle("gone", !isHere);
  for (const button of buttons) button.disabled = !isHere;
}

function absent(sentence) {
  page = "";
  letGoOfAll(); // the program has let go of them already
  present(false);
  showLevel(null);
  say(sentence);
}

// ---- hands

const holders = new Map(buttons.map((button) => [button, new Set()])); // pointers and keys that hold each
const sent = new Map(buttons.map((button) => [button, Promise.resolve()])); // the edges of each, one after the other

function edge(button, down) {
  const from = page;
  button.classList.toggle("down", down);
  if (!from) return;
  const body = JSON.stringify({ page: from, button: button.dataset.button, down });
  const post = () => fetch("edge", { method: "POST", headers: { "Content-Type": "application/json" }, body });
  sent.set(button, sent.get(button).then(post).catch(() => {}).then(() => wait(STANDS_MS)));
}

function take(button, holder) {
  const all = holders.get(button);
  if (button.disabled || all.has(holder)) return;
  all.add(holder);
  if (all.size === 1) edge(button, true);
}

function letGo(button, holder) {
  const all = holders.get(button);
  if (all.delete(holder) && !all.size) edge(button, false);
}

function letGoOfAll() {
  for (const [button, all] of holders) for (const holder of [...all]) letGo(button, holder);
}

for (const button of buttons) {
  let pointed = false; // a click that a pointer made says nothing new
  button.addEventListener("pointerdown", (event) => {
    pointed = true;
    if (event.button === 0) take(button, event.pointerId);
  });
  button.addEventListener("mousedown", (event) => event.preventDefault()); // the focus stays where the keyboard put it
  for (const end of ["pointerup", "pointercancel", "pointerleave", "lostpointercapture"])
    button.addEventListener(end, (event) => letGo(button, event.pointerId));
  button.addEventListener("contextmenu", (event) => event.preventDefault()); // a long touch is a long press
  button.addEventListener("click", () => {
    if (!pointed) { take(button, "click"); setTimeout(() => letGo(button, "click"), TAP_MS); }
    pointed = false;
  });
}

// The button that a key means: the one with the focus for Enter and space, else the one with that letter.
function meant(event) {
  const focused = document.activeElement;
  if (event.key === "Enter" || event.key === " ") {
    if (holders.has(focused)) return focused;
    if (focused instanceof HTMLButtonElement || focused instanceof HTMLAnchorElement) return undefined;
  }
  return buttons.find((button) => button.dataset.key === event.key.toLowerCase());
}

addEventListener("keydown", (event) => {
  const button = event.ctrlKey || event.altKey || event.metaKey ? undefined : meant(event);
  if (!button) return;
  event.preventDefault();
  if (!event.repeat) take(button, event.code);
});
addEventListener("keyup", (event) => {
  if (meant(event)) event.preventDefault();
  for (const button of buttons) letGo(button, event.code);
});
addEventListener("blur", letGoOfAll);
addEventListener("pagehide", letGoOfAll);
document.addEventListener("visibilitychange", () => document.hidden ? letGoOfAll() : look());

// ---- history

let drawn = "";

async function look() {
  try {
    const answer = await fetch("history");
    if (!answer.ok) throw new Error(answer.statusText);
    const isPlot = answer.headers.get("Content-Type").startsWith("text/html");
    place(isPlot ? "innerHTML" : "textContent", await answer.text());
  } catch {
    place("textContent", NO_HISTORY);
  }
}

function place(as, text) {
  if (text === drawn) return; // whoever reads it is not disturbed
  drawn = text;
  plots[as] = text;
}

one(".again").addEventListener("click", look);
setInterval(() => { if (page && !document.hidden) look(); }, HISTORY_MS);
new ResizeObserver(fit).observe(glass);
present(false);
connect();
look();

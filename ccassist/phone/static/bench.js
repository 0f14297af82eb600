// The bench page's own hand: its keypad, posts without a white flash between two pages, a value kept while the network
// is gone, and, on a device that only looks, asking again.  Everything works without it, by plain forms.
"use strict";
(() => {
  const KEPT = "kept"; // readings that were not answered yet, the oldest first
  const HELD = "held"; // those that the server did not take: started anew, it knows nothing of them
  const PATIENCE = 8000; // ms until a post counts as not sent; sent again it is the same post
  const AGAIN = 2500; // ms between two tries, and between two looks
  let busy = false;

  const one = (what) => document.querySelector(what);
  // What a browser that keeps nothing refuses is done without.
  const tried = (what) => {
    try {
      return what();
    } catch {
      return null;
    }
  };
  const stored = (key) => tried(() => JSON.parse(localStorage.getItem(key))) || [];
  const store = (key, posts) =>
    tried(() => (posts.length ? localStorage.setItem(key, JSON.stringify(posts)) : localStorage.removeItem(key)));
  const kept = () => stored(KEPT).length > 0;
  const door = () => one("#screen[data-door]");
  const inputs = () => [...document.querySelectorAll("#reading input[type=text]")];
  const here = () => inputs().find((input) => input.classList.contains("now"));

  // What is said is put into one live region that stays where it is.
  function say(...nodes) {
    one("#said").replaceChildren(...nodes);
  }

  // ---- fields and keypad ----
  function ready(moved) {
    mirror();
    const field = one("[autofocus]");
    for (const input of inputs()) {
      if (input.inputMode === "decimal") input.inputMode = "none"; // the keypad stands on the page
    }
    if (field) {
      mark(field);
      field.focus({ preventScroll: true });
    } else if (moved) {
      one("#screen").focus({ preventScroll: true });
    }
  }

  function mark(field) {
    for (const input of inputs()) input.classList.toggle("now", input === field);
    for (const toggles of document.querySelectorAll(".toggles")) {
      toggles.classList.toggle("other", toggles.dataset.of !== field.dataset.of);
    }
  }

  function next(field) {
    const all = inputs();
    all[(all.indexOf(field) + 1) % all.length].focus();
  }

  function press(key) {
    const field = here();
    if (!field) return;
    if (key === "field ▸") return next(field);
    if (key === "abc") {
      field.inputMode = field.inputMode === "none" ? "text" : "none";
      field.blur(); // a keyboard comes, or goes, when the field gets the focus
      return field.focus({ preventScroll: true });
    }
    const [from, to] = [field.selectionStart, field.selectionEnd];
    if (key === "⌫") field.setRangeText("", from === to ? Math.max(0, from - 1) : from, to, "end");
    else field.setRangeText(key === ";" ? "; " : key, from, to, "end");
    field.focus({ preventScroll: true });
  }

  document.addEventListener("focusin", (event) => inputs().includes(event.target) && mark(event.target));
  document.addEventListener("pointerdown", (event) => {
    if (event.target.closest(".key")) event.preventDefault(); // the field keeps the focus
  });
  document.addEventListener("click", (event) => {
    const key = event.target.closest(".key");
    if (key) press(key.dataset.key);
  });
  document.addEventListener("change", (event) => {
    if (event.target.closest(".toggles")) here()?.focus({ preventScroll: true });
  });
  document.addEventListener("keydown", (event) => {
    const rest = inputs().slice(inputs().indexOf(event.target) + 1);
    if (event.key === "Enter" && inputs().includes(event.target) && rest.some((input) => !input.value)) {
      event.preventDefault();
      next(event.target);
    }
  });

  // ---- posts ----
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.hasAttribute("data-plain")) return;
    event.preventDefault();
    if (busy) return; // a second tap on what is on its way
    const button = event.submitter || form.querySelector("button.do");
    const post = { to: form.action, typed: Date.now(), pairs: [...new FormData(form, button)] };
    const reads = form.id === "reading" && inputs().some((input) => input.value.trim());
    if (reads && !kept()) store(KEPT, [post]); // before it leaves: nothing is lost
    if (kept()) again();
    else send(post);
  });

  function again() {
    if (kept() && !busy && !door()) send(stored(KEPT)[0], true);
  }

  // What the server did not take is kept here too until it was saved or dropped, and posted to one that was started anew.
  function mirror() {
    const { run, holds } = one("#screen").dataset;
    if (!run) return;
    const lost = stored(HELD).filter((post) => post.run !== run);
    store(KEPT, [...stored(KEPT), ...lost]);
    store(HELD, JSON.parse(holds).map(({ age, pairs }) => ({ to: "/do", typed: Date.now() - 1000 * age, pairs, run })));
  }

  async function send(post, reads) {
    busy = true;
    const body = new URLSearchParams(post.pairs);
    const token = one("input[name=csrf]");
    if (token) body.set("csrf", token.value);
    if (reads) body.set("age", Math.floor((Date.now() - post.typed) / 1000));
    try {
      const answer = await fetch(post.to, { method: "POST", body, signal: AbortSignal.timeout(PATIENCE) });
      const text = await answer.text();
      if (!show(text, answer.url)) throw new Error(text);
      const sent = JSON.stringify(post);
      if (reads && !door()) store(KEPT, stored(KEPT).filter((other) => JSON.stringify(other) !== sent));
    } catch (fault) {
      const why = fault.name === "Error" ? fault.message.trim() : "No connection.";
      if (reads) wait(post, why);
      else say(`Not done. ${why}`);
      return;
    } finally {
      busy = false;
    }
    again();
  }

  // Show a page in place of what stands; whether it is one.
  function show(text, url) {
    const page = new DOMParser().parseFromString(text, "text/html");
    const why = page.querySelector("#screen[data-not-so] .notice");
    if (why) throw new Error(why.textContent);
    if (!page.querySelector("#screen")) return false;
    for (const part of ["#place", "#ways", "#screen"]) one(part).replaceWith(document.adoptNode(page.querySelector(part)));
    document.title = page.title;
    history.replaceState(null, "", url);
    say(...page.querySelector("#said").childNodes);
    ready(true);
    return true;
  }

  // ---- the network is gone ----
  function wait(post, why) {
    const values = post.pairs.filter(([name, value]) => name.startsWith("v.") && value.trim());
    const typed = values.map(([name, value]) => (values.length > 1 ? `${name.slice(2)} ${value}` : value)).join(", ");
    const place = one(".figure, .notice");
    if (place && !place.classList.contains("kept")) {
      const words = document.createElement("p");
      words.textContent = `${why} Kept on this device, and sent once it is back: ${typed}`;
      place.className = "notice grave kept";
      place.replaceChildren(words);
      say("Not sent yet");
    }
    setTimeout(again, AGAIN);
  }
  addEventListener("online", again);

  // ---- what another device does is got by asking again; what is being typed here is left alone ----
  async function look() {
    if (busy || kept() || inputs().some((input) => input.value) || door()) return;
    try {
      const now = await (await fetch("/now")).json();
      const screen = one("#screen");
      if (now.stamp === screen.dataset.stamp && String(now.writes) === screen.dataset.writes) return;
      const answer = await fetch(location.href);
      show(await answer.text(), answer.url);
    } catch {
      say("No connection");
    }
  }
  setInterval(() => one('#screen[data-writes="false"]') && document.visibilityState === "visible" && look(), AGAIN);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && look());
  addEventListener("pageshow", (event) => event.persisted && look());

  ready(false);
  again();
})();

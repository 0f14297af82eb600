// What an eye finds wrong with a screen, a line a fault; called with the least height of a key.
"use strict";
const [key] = arguments;
const faults = [];
const seen = (e) => e.checkVisibility({ visibilityProperty: true }) && !e.closest(".unseen") && e.getClientRects().length;
const named = (e) => `${e.tagName.toLowerCase()}.${e.getAttribute("class") || ""} "${(e.innerText || e.id || "").slice(0, 30)}"`;
const all = (what) => [...document.querySelectorAll(what)].filter(seen);
const box = (e) => e.getBoundingClientRect();

// no scrolling, nothing cut off
const page = document.documentElement;
if (page.scrollHeight > innerHeight) faults.push(`scrolls: ${page.scrollHeight} of ${innerHeight}`);
if (page.scrollWidth > innerWidth) faults.push(`scrolls sideways: ${page.scrollWidth} of ${innerWidth}`);
const ellipsis = ".bar h1, .bar p, .field label"; // their whole text is said elsewhere, or to whoever hears the page
for (const e of all("body *:not(svg *)")) {
  if (e.matches(ellipsis) || getComputedStyle(e).overflow === "visible") continue; // what runs out of these lies over others
  if (e.clientHeight && e.scrollHeight > e.clientHeight + 2) faults.push(`cut off: ${named(e)} ${e.scrollHeight} of ${e.clientHeight}`);
  if (e.clientWidth && e.scrollWidth > e.clientWidth + 2) faults.push(`cut off sideways: ${named(e)}`);
}

// keys and buttons
for (const e of all(".pad .key")) if (box(e).height < key) faults.push(`low: ${named(e)} ${box(e).height}`);
for (const e of all(".pad .do")) if (box(e).height < 2 * key) faults.push(`low: ${named(e)} ${box(e).height}`);
for (const e of all("button, a, .toggles label")) {
  if (box(e).height < 42 || box(e).width < 42) faults.push(`small: ${named(e)} ${box(e).width} × ${box(e).height}`);
}
for (const e of innerHeight > innerWidth ? all(".pad") : []) {
  if (box(e).top < innerHeight / 2) faults.push(`the keypad begins at ${box(e).top} of ${innerHeight}`);
}

// nothing over anything
const things = all("button, a, label, input[type=text], .figure p, .notice, .vessels li, .lines li, .care, .drawing, h1, h2, #said");
things.forEach((one, i) => {
  const a = box(one);
  if (a.top < -1 || a.left < -1 || a.bottom > innerHeight + 1 || a.right > innerWidth + 1) faults.push(`outside: ${named(one)}`);
  for (const other of things.slice(i + 1)) {
    const b = box(other);
    const over = Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1;
    if (over && !one.contains(other) && !other.contains(one)) faults.push(`${named(one)} over ${named(other)}`);
  }
});

// the last value is the largest
const size = (e) => parseFloat(getComputedStyle(e).fontSize);
for (const last of all(".figure .last")) {
  for (const e of all("body *:not(svg *)")) {
    if (!last.contains(e) && e.textContent.trim() && size(e) > size(last)) faults.push(`larger than the last value: ${named(e)}`);
  }
}

// text on its ground at 7:1 (WCAG 2.2, relative luminance and 1.4.6)
const parts = (colour) => colour.match(/[\d.]+/g).map(Number);
const light = ([r, g, b]) => {
  const [x, y, z] = [r, g, b].map((c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4));
  return 0.2126 * x + 0.7152 * y + 0.0722 * z;
};
const ratio = (a, b) => (Math.max(light(a), light(b)) + 0.05) / (Math.min(light(a), light(b)) + 0.05);
function grounds(e) {
  const found = [];
  for (let at = e; at; at = at.parentElement) {
    const style = getComputedStyle(at);
    found.push(...(style.backgroundImage.match(/rgba?\([^)]*\)/g) || []).map(parts).filter((c) => c[3] !== 0));
    const [r, g, b, a = 1] = parts(style.backgroundColor);
    if (a === 1) return [...found, [r, g, b]];
  }
  return found;
}
const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
while (walk.nextNode()) {
  const e = walk.currentNode.parentElement;
  if (!walk.currentNode.data.trim() || !seen(e)) continue;
  const ink = parts(getComputedStyle(e)[e.closest("svg") ? "fill" : "color"]);
  const grounds_ = e.closest(".vessels .number") ? [...grounds(e), parts(getComputedStyle(document.querySelector(".fluid") || e).fill)] : grounds(e);
  for (const ground of grounds_) {
    if (ratio(ink, ground) < 7) faults.push(`contrast ${ratio(ink, ground).toFixed(1)}: ${named(e)} ${ink} on ${ground}`);
  }
}
return [...new Set(faults)];

// Looks at the page as it stands and lists what is wrong with it.
(() => {
  const found = [];
  const say = (what, el) => found.push(what + ": " + (el ? el.outerHTML.slice(0, 140) : ""));
  const channel = (v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
  const luminance = (c) => 0.2126 * channel(c[0]) + 0.7152 * channel(c[1]) + 0.0722 * channel(c[2]);
  const parse = (s) => { const m = s.match(/[\d.]+/g).map(Number); return m.length < 4 ? [...m, 1] : m; };
  const over = (a, b) => [0, 1, 2].map((i) => a[i] * a[3] + b[i] * (1 - a[3])).concat(1);
  const ground = (el) => {
    const layers = [];
    for (let e = el; e; e = e.parentElement) { layers.unshift(parse(getComputedStyle(e).backgroundColor)); }
    const page = matchMedia("(prefers-color-scheme: dark)").matches ? [18, 18, 18, 1] : [255, 255, 255, 1];
    return layers.reduce((under, layer) => over(layer, under), page);
  };
  const visible = (el) => el.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && !el.closest(".quietly, .skip:not(:focus)");
  const ratio = (a, b) => { const x = luminance(a), y = luminance(b); return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05); };

  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const seen = new Set();
  for (let n = walker.nextNode(); n; n = walker.nextNode()) {
    const el = n.parentElement;
    if (!n.textContent.trim() || seen.has(el) || !visible(el)) { continue; }
    seen.add(el);
    const style = getComputedStyle(el), size = parseFloat(style.fontSize);
    const below = ground(el), ink = over(parse(style.color), below), r = ratio(ink, below);
    const large = size >= 24 || size >= 18.66 && +style.fontWeight >= 700;
    if (r < (large ? 3 : 4.5)) { say("contrast " + r.toFixed(2), el); }
    if (size < 12) { say("type of " + size + " px", el); }
  }
  for (const el of document.querySelectorAll("input:not([type=hidden]), textarea, select")) {
    const style = getComputedStyle(el);
    if (!visible(el)) { continue; }
    if (ratio(over(parse(style.borderTopColor), ground(el.parentElement)), ground(el.parentElement)) < 3) { say("edge of a field", el); }
    if (!el.labels || !el.labels.length) { say("no label", el); }
  }
  if (document.documentElement.scrollWidth > document.documentElement.clientWidth) {
    say("scrolls sideways by " + (document.documentElement.scrollWidth - document.documentElement.clientWidth));
    for (const el of document.querySelectorAll("body *")) {
      if (el.getBoundingClientRect().right > document.documentElement.clientWidth + 1 && visible(el)) { say("  reaches out", el); break; }
    }
  }
  let level = 0;
  for (const h of document.querySelectorAll("h1, h2, h3, h4")) {
    const n = +h.tagName[1];
    if (n > level + 1) { say("heading skips a level", h); }
    level = n;
    if (!h.textContent.trim()) { say("empty heading", h); }
  }
  if (!window.framed && document.querySelectorAll("h1").length !== 1) { say("there is not one h1"); }
  for (const img of document.querySelectorAll("img")) {
    if (!img.alt.trim()) { say("picture without words", img); }
    if (img.complete && !img.naturalWidth) { say("picture does not load", img); }
  }
  for (const set of document.querySelectorAll("fieldset")) {
    if (!set.querySelector("legend")?.textContent.trim()) { say("fieldset without a legend", set); }
  }
  const ids = new Set();
  for (const el of document.querySelectorAll("[id]")) {
    if (ids.has(el.id)) { say("id twice", el); }
    ids.add(el.id);
  }
  for (const el of document.querySelectorAll("[aria-labelledby], [aria-describedby], [aria-controls]")) {
    for (const name of ["aria-labelledby", "aria-describedby", "aria-controls"]) {
      for (const id of (el.getAttribute(name) || "").split(/\s+/).filter(Boolean)) {
        if (!document.getElementById(id)) { say(name + " leads nowhere", el); }
      }
    }
  }
  for (const el of document.querySelectorAll("button, summary, input:not([type=hidden]), textarea, nav a, .links a")) {
    const box = (el.type === "radio" ? el.closest("label") : el).getBoundingClientRect();
    if (visible(el) && (box.width < 24 || box.height < 24)) { say("target of " + box.width.toFixed(0) + " by " + box.height.toFixed(0), el); }
  }
  if (document.querySelector("[style], style, script:not([src])")) { say("inline style or script", document.querySelector("[style], style, script:not([src])")); }
  if (!document.documentElement.lang) { say("no language"); }
  if (!document.querySelector("main")) { say("no main"); }
  return found;
})()

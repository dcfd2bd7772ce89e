"use strict";
// Moves and zooms the map, and lights up on map, curve and tables what is pointed at. Everything is readable without this.
(() => {
  const map = document.getElementById("map");
  const frame = document.getElementById("frame");
  const bar = document.getElementById("bar");
  const reading = document.getElementById("reading");
  const wide = matchMedia("(min-width: 1100px)");
  const first = map.getAttribute("viewBox");
  const [hx, hy, hw, hh] = first.split(" ").map(Number);
  const [wx, wy, ww, wh] = map.dataset.whole.split(" ").map(Number);
  const closest = Number(map.dataset.closest);
  const one = Number(bar.dataset.one);
  const names = [...map.querySelectorAll(".z")].map((g) => [g, Number(g.dataset.s), Number(g.dataset.to ?? Infinity)]);
  const lengths = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000];
  document.documentElement.classList.add("js");
  document.getElementById("tools").hidden = false;
  document.getElementById("keys").hidden = false;
  frame.tabIndex = 0;

  // The view: its middle in metres, and pixels for a metre.
  let x = hx + hw / 2, y = hy + hh / 2, k = 1, width = 1, height = 1, home = true;
  const within = (v, lo, hi) => Math.min(Math.max(v, lo), hi);
  const fit = () => Math.min(width / hw, height / hh);
  const farthest = () => Math.min(width / ww, height / wh, fit());
  const draw = () => {
    if (home) { k = fit(); x = hx + hw / 2; y = hy + hh / 2; }
    k = within(k, farthest(), closest);
    x = within(x, wx, wx + ww);
    y = within(y, wy, wy + wh);
    const [left, top, u] = [x - width / 2 / k, y - height / 2 / k, 1 / k];
    map.setAttribute("viewBox", `${left} ${top} ${width / k} ${height / k}`);
    map.style.setProperty("--u", String(u));
    map.classList.toggle("zoomed", k > fit() * 1.02);
    // The coarsest names are shown at every zoom; the window may be a little smaller than the scale they were laid out for.
    const coarsest = Math.min(...names.map(([, s]) => s));
    for (const [g, s, to] of names) g.style.display = (s === coarsest || k > s * 0.95) && k <= to * 0.95 ? "inline" : "none";
    const long = lengths.findLast((n) => n * one * k <= 130) ?? lengths[0];
    const d = `M0 ${-6 * u}V0H${long * one}V${-6 * u}`;
    for (const path of bar.querySelectorAll("path")) path.setAttribute("d", d);
    bar.querySelector("text").textContent = long + " " + bar.dataset.unit;
    bar.dataset.n = long;
    bar.setAttribute("transform", `translate(${left + 12 * u} ${top + (height - 12) * u})`);
  };
  const zoom = (by, px = width / 2, py = height / 2) => {
    const to = within(k * by, farthest(), closest);
    x += (px - width / 2) * (1 / k - 1 / to);
    y += (py - height / 2) * (1 / k - 1 / to);
    k = to;
    home = false;
    draw();
  };
  const move = (dx, dy) => { x += dx / k; y += dy / k; home = false; draw(); };
  const whole = () => { home = true; draw(); };
  const acts = {
    in: () => zoom(1.5), out: () => zoom(1 / 1.5), home: whole,
    left: () => move(-width / 5, 0), right: () => move(width / 5, 0),
    up: () => move(0, -height / 5), down: () => move(0, height / 5),
  };
  for (const b of document.querySelectorAll("[data-do]")) b.addEventListener("click", acts[b.dataset.do]);
  new ResizeObserver(() => {
    const box = map.getBoundingClientRect();
    if (box.width > 0 && !printing) { [width, height] = [box.width, box.height]; draw(); }
  }).observe(map);

  // A print always shows the whole way, as the page does without this script.
  let printing = false;
  const barFirst = bar.innerHTML, barPlace = bar.getAttribute("transform");
  addEventListener("beforeprint", () => {
    printing = true;
    map.setAttribute("viewBox", first);
    bar.innerHTML = barFirst;
    bar.setAttribute("transform", barPlace);
  });
  addEventListener("afterprint", () => { printing = false; draw(); });

  const keys = {
    ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down", "+": "in", "=": "in", "-": "out", "0": "home",
  };
  frame.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.altKey || e.metaKey || !keys[e.key]) return;
    e.preventDefault();
    acts[keys[e.key]]();
  });
  map.addEventListener("wheel", (e) => {
    // Where the map stands between the text, the wheel belongs to the page until the map is in use.
    if (!wide.matches && !e.ctrlKey && !frame.contains(document.activeElement)) return;
    e.preventDefault();
    const box = map.getBoundingClientRect();
    const lines = e.deltaMode === 1 ? 16 : 1;
    zoom(Math.exp(-within(e.deltaY * lines, -240, 240) * 0.002), e.clientX - box.left, e.clientY - box.top);
  }, { passive: false });

  // One finger moves the map once it is zoomed; two fingers zoom it.
  const fingers = new Map();
  let dragged = false;
  map.addEventListener("touchmove", (e) => { if (e.touches.length > 1) e.preventDefault(); }, { passive: false });
  map.addEventListener("dragstart", (e) => e.preventDefault());
  map.addEventListener("pointerdown", (e) => {
    if (e.button !== 0) return;
    if (fingers.size === 0) dragged = false;
    fingers.set(e.pointerId, [e.clientX, e.clientY]);
  });
  addEventListener("pointermove", (e) => {
    const was = fingers.get(e.pointerId);
    if (!was) return;
    const now = [e.clientX, e.clientY];
    if (!dragged && Math.hypot(now[0] - was[0], now[1] - was[1]) < 4) return;
    dragged = true;
    const other = [...fingers].find(([id]) => id !== e.pointerId)?.[1];
    fingers.set(e.pointerId, now);
    if (!other) { move(was[0] - now[0], was[1] - now[1]); return; }
    const apart = (p) => Math.max(Math.hypot(p[0] - other[0], p[1] - other[1]), 10);
    const box = map.getBoundingClientRect();
    move((was[0] - now[0]) / 2, (was[1] - now[1]) / 2);
    zoom(apart(now) / apart(was), (now[0] + other[0]) / 2 - box.left, (now[1] + other[1]) / 2 - box.top);
  });
  for (const end of ["pointerup", "pointercancel"]) addEventListener(end, (e) => fingers.delete(e.pointerId));

  // What is lit: legs "3", stops "s1", gaps "ga", blocks "b1".
  const items = new Map();
  for (const e of document.querySelectorAll("[data-i]")) {
    if (!items.has(e.dataset.i)) items.set(e.dataset.i, []);
    items.get(e.dataset.i).push(e);
  }
  let lit = null, kept = null;
  const read = (id) => {
    const said = document.getElementById("said-" + id);
    const row = items.get(id)?.find((e) => e.matches("tr, li"));
    if (said) reading.replaceChildren(...[...said.children].map((c) => c.cloneNode(true)));
    else if (row?.cells) reading.textContent = [...row.cells].map((c) => c.innerText.replace(/\s+/g, " ")).join("; ");
    else if (row) reading.textContent = row.innerText;
    else reading.textContent = "Point at a leg, a stop or a gap on the map, the curve or in a table: it is told here.";
    reading.scrollTop = 0;
  };
  const light = (id) => {
    if (id === lit) return;
    for (const e of items.get(lit) ?? []) e.classList.remove("on");
    for (const e of items.get(id) ?? []) e.classList.add("on");
    lit = id;
    read(id);
  };
  reading.hidden = false;
  read(null);
  const id = (e) => e.target.closest?.("[data-i]")?.dataset.i ?? null;
  document.addEventListener("pointerover", (e) => light(id(e) ?? kept));
  // Only the keyboard brings what it reaches into view: under the mouse the map stays where it is.
  document.addEventListener("focusin", (e) => { if (id(e) && e.target.matches(":focus-visible")) { light(id(e)); show(id(e)); } });
  document.addEventListener("focusout", () => light(kept));
  document.addEventListener("keydown", (e) => { if (e.key === "Escape") { kept = null; light(null); } });
  document.addEventListener("click", (e) => {
    const at = id(e);
    if (at === null) return;
    const onMap = e.target.closest("#map, #curve") !== null;
    if (e.target.closest("a")) e.preventDefault();
    if (onMap && dragged) return;
    if (!getSelection().isCollapsed) return;
    kept = onMap && kept === at ? null : at;
    light(kept ?? at);
    if (!onMap) { show(at); frame.scrollIntoView({ block: "nearest" }); }
  });
  // Brings into view what a table points at.
  const show = (what) => {
    const e = document.getElementById("m" + what);
    const part = e?.querySelector(".line, .stop, .block") ?? e;
    if (!part) return;
    const [at, box] = [part.getBoundingClientRect(), map.getBoundingClientRect()];
    const inside = at.left >= box.left && at.right <= box.right && at.top >= box.top && at.bottom <= box.bottom;
    if (inside) return;
    move((at.left + at.right - box.left - box.right) / 2, (at.top + at.bottom - box.top - box.bottom) / 2);
    const more = Math.max(at.width / (box.width - 40), at.height / (box.height - 40));
    if (more > 1) zoom(1 / more);
  };
})();

"use strict";
// Moves the aeroplane, the cursors and the reading together. Everything else is drawn without this.
(() => {
  const data = JSON.parse(document.getElementById("series").textContent);
  const slider = document.getElementById("time");
  const reading = document.getElementById("reading");
  const plane = document.getElementById("plane");
  const play = document.getElementById("play");
  const cursors = [...document.querySelectorAll(".cursor")];
  const last = data.time.length - 1;
  const clock = (s) => Math.floor(s / 60) + ":" + String(Math.floor(s % 60)).padStart(2, "0");
  const show = (k) => {
    const x = (data.way[k] / data.last) * 1000;
    for (const c of cursors) c.setAttribute("transform", `translate(${x.toFixed(1)} 0)`);
    const [px, py] = [data.ox + data.x[k] * data.scale, data.oy - data.y[k] * data.scale];
    plane.setAttribute("transform", `translate(${px.toFixed(2)} ${py.toFixed(2)}) rotate(${(-data.yaw[k]).toFixed(1)})`);
    const off = data.off[k];
    const gap = data.gap[k];
    const words = [
      clock(data.time[k]) + " min",
      data.way[k].toFixed(0) + " m along",
      data.kt[k].toFixed(1) + " kt",
      off === null ? "" : Math.abs(off).toFixed(2) + " m " + (off < 0 ? "right" : "left"),
      data.indicator[k] === null ? "" : "heading " + data.heading[k] + " true, indicator " + data.indicator[k] + ", compass " + data.compass[k],
      gap === null ? "" : "gap " + gap.toFixed(1) + " m",
      "pedals " + Math.round(100 * data.rudder[k]) + " %",
      "brakes " + Math.round(100 * data.left[k]) + " and " + Math.round(100 * data.right[k]) + " %",
      "throttle " + Math.round(100 * data.throttle[k]) + " %",
    ];
    const text = words.filter((w) => w).join("; ");
    reading.textContent = text;
    slider.setAttribute("aria-valuetext", text);
  };
  const at = (k) => { slider.value = String(k); show(k); };
  slider.addEventListener("input", () => show(Number(slider.value)));
  const nearest = (list, value) => {
    let best = 0;
    for (let k = 1; k <= last; k++) if (Math.abs(list[k] - value) < Math.abs(list[best] - value)) best = k;
    return best;
  };
  for (const svg of document.querySelectorAll(".plot svg")) {
    svg.addEventListener("pointermove", (e) => {
      const box = svg.getBoundingClientRect();
      at(nearest(data.way, ((e.clientX - box.left) / box.width) * data.last));
    });
  }
  for (const b of document.querySelectorAll("button[data-time]")) {
    b.addEventListener("click", () => at(nearest(data.time, Number(b.dataset.time))));
  }
  let timer = 0;
  play.addEventListener("click", () => {
    if (timer) { clearInterval(timer); timer = 0; play.textContent = "Play"; return; }
    play.textContent = "Pause";
    timer = setInterval(() => {
      const k = Number(slider.value);
      if (k >= last) { play.click(); return; }
      at(Math.min(last, k + 2));
    }, 100);
  });
  show(Number(slider.value));
})();

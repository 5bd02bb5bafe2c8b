// Beside the tank: counts taps on the phone, keeps readings on it until the workshop has them, sends them once.
"use strict";
(() => {
  const at = (id) => document.getElementById(id);
  const root = at("dial"), slug = root.dataset.slug, shelf = "fizzwright:" + slug;
  let taps = [], away = 0, sending = false, renewing = false, stale = false, drift = 0, letIn = true, refusal = "";

  // ---- what this phone keeps
  const waiting = () => {
    try { return JSON.parse(localStorage.getItem(shelf)) || []; } catch { return []; }
  };
  const keepAll = (list) => localStorage.setItem(shelf, JSON.stringify(list));
  const uid = () => Date.now().toString(36) + "-" + Array.from(crypto.getRandomValues(new Uint32Array(3)),
    (n) => n.toString(36)).join("");
  const put = (reading) => {
    const list = waiting();
    list.push({ uid: uid(), taken: new Date().toISOString(), ...reading });
    try { keepAll(list); } catch { refusal = "This phone has no room left to keep a reading."; return false; }
    return true;
  };

  // ---- words
  const ago = (ms) => {
    const min = Math.max(0, Math.floor(ms / 60000));
    return min < 60 ? min + "\u00a0min" : min < 2880 ? Math.floor(min / 60) + "\u00a0h"
      : Math.floor(min / 1440) + "\u00a0days";
  };
  const clock = (ms) => new Date(ms).toTimeString().slice(0, 5);
  const say = () => {
    const list = waiting(), parts = [];
    if (refusal) parts.push(refusal);
    if (list.length) parts.push(list.length + (list.length === 1 ? " reading" : " readings") + " kept on this phone.");
    if (!letIn) parts.push("Come in by the door again to send.");
    else if (away) parts.push("Workshop not in reach since " + clock(away) + ".");
    if (Math.abs(drift) > 30) parts.push("Phone clock and workshop clock differ by " + Math.round(Math.abs(drift))
      + " s. Times are kept as the phone saw them.");
    at("said").textContent = parts.join(" ");
    at("net").hidden = parts.length === 0;
    const body = at("reads");
    body.querySelectorAll("tr.waits").forEach((row) => row.remove());
    for (const one of list) {
      const row = document.createElement("tr");
      row.className = "waits";
      const what = one.taps ? one.taps.length + " taps" : one.event || "";
      for (const [text, css] of [[clock(Date.parse(one.taken)), ""], [one.quantity === "ph" ? one.value : "", "n"],
        ["", "n"], [what, "n"], ["○ phone", ""]]) {
        const cell = document.createElement("td");
        cell.textContent = text; cell.className = css; row.append(cell);
      }
      body.prepend(row);
    }
  };
  const tick = () => {
    const est = document.querySelector(".est");
    const old = est && est.querySelector(".ago");
    if (old && est.dataset.taken) old.textContent = ago(Date.now() - Date.parse(est.dataset.taken));
    const due = document.querySelector(".due");
    if (due && est.dataset.next) {
      const left = Date.parse(est.dataset.next) - Date.now();
      due.textContent = left > 0 ? ", in " + ago(left + 59999) : ", due now";
    }
  };

  // ---- sending: all that waits, again and again, until the workshop says it has it
  const ask = async (path, options, patience = 4000) => {
    const stop = new AbortController(), timer = setTimeout(() => stop.abort(), patience);
    try { return await fetch(path, { ...options, signal: stop.signal, credentials: "same-origin" }); }
    finally { clearTimeout(timer); }
  };
  const send = async () => {
    const list = waiting();
    if (list.length && !sending) {
      sending = true;
      await hand(list);
      sending = false;
      say();
    }
    if (stale && !away && !renewing) {
      renewing = true;
      stale = false;
      if (!await renew()) stale = true;
      renewing = false;
      say();
    }
  };
  const hand = async (list) => {
    try {
      const answer = await ask("/job/" + slug + "/readings", {
        method: "POST", headers: { "content-type": "application/json", accept: "application/json" },
        body: JSON.stringify({ clock: new Date().toISOString(), readings: list }),
      });
      letIn = answer.status !== 401;
      if (answer.ok) {
        const told = await answer.json(), done = new Set([...told.kept, ...Object.keys(told.refused)]);
        keepAll(waiting().filter((one) => !done.has(one.uid)));
        drift = (Date.now() - Date.parse(told.clock)) / 1000;
        const why = Object.values(told.refused);
        refusal = why.length ? "Not kept: " + why.join("; ") + "." : "";
        away = 0;
        stale = true;
        say();
      } else if (letIn) { away = away || Date.now(); }
    } catch { away = away || Date.now(); }
  };
  const renew = async () => {
    try {
      const answer = await ask("/job/" + slug + "/dial/now", { headers: { accept: "application/json" } }, 30000);
      if (!answer.ok) return false;
      const told = await answer.json();
      at("now").innerHTML = told.top; at("today").innerHTML = told.reads; at("means").innerHTML = told.means;
      tick();
      return true;
    } catch { return false; /* what stands on the page still stands, with its age */ }
  };

  // ---- taps
  const rate = () => (taps.length - 1) / (taps[taps.length - 1] - taps[0]);
  const draw = () => {
    at("count").textContent = taps.length;
    const lines = at("taps");
    lines.querySelectorAll("path.one").forEach((one) => one.remove());
    at("rate").textContent = "–"; at("band").textContent = "";
    if (taps.length < 2) return;
    const first = taps[0], span = Math.max(taps[taps.length - 1] - first, 0.001);
    taps.forEach((tap, n) => {
      const x = (8 + 340 * (tap - first) / span).toFixed(1), one = document.createElementNS(
        "http://www.w3.org/2000/svg", "path");
      one.setAttribute("class", (n === taps.length - 1 ? "gas" : "mid") + " one");
      one.setAttribute("d", "M" + x + " 5L" + x + " 20");
      lines.append(one);
    });
    at("rate").textContent = rate().toFixed(2) + " /s";
    // The workshop works out the band; here one tap more or less says about how good the count is.
    if (taps.length > 3) at("band").textContent = "(± " + (rate() / (taps.length - 1)).toFixed(2) + " at most)";
  };
  const tap = () => {
    const now = performance.now() / 1000;
    if (taps.length && now - taps[taps.length - 1] > 15) taps = [];
    taps.push(now);
    if (navigator.vibrate) navigator.vibrate(12);
    draw();
  };
  at("tap").addEventListener("pointerdown", (event) => { if (event.isPrimary) tap(); });
  at("tap").addEventListener("keydown", (event) => {
    if ((event.key === " " || event.key === "Enter") && !event.repeat) { event.preventDefault(); tap(); }
  });
  at("undo").addEventListener("click", () => { taps.pop(); draw(); });

  // ---- keeping
  at("entry").addEventListener("submit", (event) => {
    event.preventDefault();
    const typed = at("ph").value.trim().replace(",", ".");
    refusal = "";
    if (typed && !(Number(typed) >= 3 && Number(typed) <= 11)) refusal = typed + " is no pH of a tank. Read it again.";
    else if (!typed && taps.length < 3) refusal = "Write in a pH, or tap three bubbles at least.";
    else {
      if (typed && put({ quantity: "ph", value: typed })) at("ph").value = "";
      if (taps.length >= 3 && put({ taps: taps.map((t) => +(t - taps[0]).toFixed(4)) })) { taps = []; draw(); }
    }
    say();
    send();
  });
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) { tick(); send(); } });
  setInterval(send, 3000);
  setInterval(tick, 5000);
  say(); tick(); send();
})();

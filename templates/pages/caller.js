"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const at = id => document.getElementById(id);
  const body = document.body;
  const PACE = data.pace; // milliseconds that each step is shown when the page goes on by itself
  const LATE = 20; // milliseconds: a computer that is slower than that must not take them off a child's time
  const SMALLEST = 0.6; // of the usual type, for an answer in one line
  const LETTERS = ["", "found", "L", "W", "S"];
  const MEANING = { "": "not noted", found: "found", L: "late", W: "wrong place", S: "said wrongly" };
  const NEXT = { ready: "First cue", cue1: "Second cue", cue2: "The call", call: "Start the clock", run: "The clock runs", paused: "Go on", time: "Show the answer", answer: "Next call", done: "Start again" };
  const session = new Date().toISOString();
  const rows = new Map(); // "set call line" -> one line of the tally
  const fates = new Map(); // "set call" -> over, skipped or void
  const state = { set: 0, queue: [], call: 0, phase: "ready", seconds: 0, shorten: false, alone: false, sound: true, unsaved: false };

  // --- Time. Steps that follow by themselves are counted from when the one before was due, not from when it came.
  let due = 0, timer = 0, painter = 0, clock = null, audio = null, planned = [];
  const after = (ms, then) => {
    due += ms;
    clearTimeout(timer);
    timer = setTimeout(then, Math.max(0, due - performance.now()));
  };
  const fromNow = () => { due = performance.now(); };

  // Waking the sound takes a tenth of a second: done at the first cue, not on a child's time.
  function wake() {
    try { audio = audio || new AudioContext(); } catch (_) { state.sound = false; }
  }
  function beep(ms, high, long) {
    wake();
    if (!state.sound) return;
    try {
      audio.resume().catch(() => {});
      const start = audio.currentTime + Math.max(0, ms) / 1000, tone = audio.createOscillator(), volume = audio.createGain();
      tone.type = "triangle";
      tone.frequency.value = high ? 880 : 523;
      volume.gain.setValueAtTime(0.0001, start);
      volume.gain.exponentialRampToValueAtTime(0.7, start + 0.02);
      volume.gain.exponentialRampToValueAtTime(0.0001, start + long);
      tone.connect(volume).connect(audio.destination);
      tone.start(start);
      tone.stop(start + long + 0.05);
      planned.push(tone);
    } catch (_) { state.sound = false; show(); }
  }
  function hush() {
    planned.forEach(tone => { try { tone.stop(); } catch (_) { /* it is over already */ } });
    planned = [];
  }

  // --- Where we are.
  const set = () => data.sets[state.set];
  // A call that says no more than its item's name is written down as the item alone.
  const whole = (one, no) => {
    const call = { no, item: one, say: data.items[one.item || one].name, task: "", ...(one.item ? one : {}) };
    return { ...call, key: String(call.no) };
  };
  const call = () => state.queue[state.call];
  const item = () => data.items[call().item];
  const fate = (one = call()) => fates.get(state.set + " " + one.key);
  const seconds = () => {
    if (!state.shorten) return state.seconds;
    const [from, to] = data.shorten, steps = Math.max(1, state.queue.length - 1);
    return Math.round(2 * (from + (to - from) * state.call / steps)) / 2;
  };
  const signals = () => {
    const own = set().signals.map(one => ({ seconds: Math.max(1, seconds() + one.seconds - set().seconds), lines: one.lines }));
    return [{ seconds: seconds(), lines: [] }, ...own].sort((a, b) => a.seconds - b.seconds);
  };

  function choose(number) {
    stop();
    state.set = number;
    state.seconds = set().seconds;
    state.queue = set().calls.map((one, place) => whole(one, place + 1));
    state.call = 0;
    document.querySelectorAll(".paper section").forEach((one, place) => { one.hidden = place !== number; });
    go("ready");
  }

  // --- The clock of one call: it runs from signal to signal, and the answer waits for the last one.
  function startClock(began) {
    const marks = signals();
    clock = { began, marks, next: 0, left: 0 };
    go("run");
    beep(began - performance.now(), true, 0.15);
    toNextMark();
  }
  function toNextMark() {
    const mark = clock.marks[clock.next], last = clock.next === clock.marks.length - 1;
    due = clock.began + 1000 * mark.seconds;
    beep(due - performance.now(), !last, last ? 0.9 : 0.3);
    clearTimeout(timer);
    timer = setTimeout(markReached, Math.max(0, due - performance.now()));
    paint();
  }
  function markReached() {
    clock.next += 1;
    if (clock.next < clock.marks.length) toNextMark();
    else timeIsUp();
  }
  function timeIsUp() {
    clock = null;
    go("time");
    if (state.alone) after(PACE.time, forward);
  }
  function paint() {
    cancelAnimationFrame(painter);
    if (state.phase !== "run" || !clock) return;
    const mark = clock.marks[clock.next], from = clock.next ? clock.marks[clock.next - 1].seconds : 0;
    const left = Math.max(0, clock.began + 1000 * mark.seconds - performance.now());
    const share = left / (1000 * (mark.seconds - from));
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    at("left").textContent = Math.ceil(left / 1000 - 1e-6);
    at("ring").style.strokeDashoffset = 100 * (1 - (calm ? Math.ceil(left / 1000) * 1000 / (1000 * (mark.seconds - from)) : share));
    at("aside").textContent = mark.lines.length ? "Signal for line " + mark.lines.join(", ") + " at " + mark.seconds + " s" : call().speaker ? "" : call().task;
    painter = requestAnimationFrame(paint);
  }
  function pause() {
    if (state.phase === "run") {
      clearTimeout(timer);
      hush();
      clock.left = clock.began - performance.now();
      go("paused");
    } else if (state.phase === "paused") {
      clock.began = performance.now() + clock.left;
      go("run");
      toNextMark();
    }
  }
  function stop() {
    clearTimeout(timer);
    cancelAnimationFrame(painter);
    hush();
    clock = null;
  }

  // --- Steps.
  const ORDER = ["ready", "cue1", "cue2", "call", "run", "time", "answer"];
  function go(phase) {
    state.phase = phase;
    show();
  }
  function forward() {
    const phase = state.phase;
    if (phase === "run") return;
    if (phase === "paused") return pause();
    if (phase === "done") return choose(state.set);
    if (phase === "call") {
      const now = performance.now();
      return startClock(state.alone && now - due < LATE ? due : now);
    }
    if (phase === "answer") {
      if (!fate()) fates.set(state.set + " " + call().key, "over");
      return nextCall();
    }
    go(ORDER[ORDER.indexOf(phase) + 1]);
    wake();
    if (state.alone) after(state.phase === "answer" ? PACE.answer : state.phase === "call" ? PACE.call : PACE.cue, forward);
  }
  function nextCall() {
    stop();
    if (state.call + 1 >= state.queue.length) return go("done");
    state.call += 1;
    go(state.alone ? "cue1" : "ready");
    if (state.alone) after(PACE.cue, forward);
  }
  function back() {
    stop();
    if (state.phase === "done") return go("answer");
    const place = ORDER.indexOf(state.phase === "paused" ? "run" : state.phase);
    if (place > 0) return go(ORDER[state.phase === "time" || state.phase === "run" || state.phase === "paused" ? 3 : place - 1]);
    if (state.call > 0) { state.call -= 1; go("answer"); }
  }
  function repeat() {
    if (state.phase === "done") return;
    stop();
    forget();
    go("call");
    if (state.alone) { fromNow(); after(PACE.call, forward); }
  }
  function leave(how) {
    if (state.phase === "done") return;
    stop();
    forget();
    fates.set(state.set + " " + call().key, how);
    if (how === "void") offerReserve();
    if (state.alone) fromNow();
    nextCall();
  }
  function offerReserve() {
    const used = new Set(state.queue.map(one => one.key));
    const spare = (set().reserves || []).find(one => one.replaces.includes(call().no) && !used.has("R" + one.no));
    if (spare) state.queue.splice(state.call + 1, 0, { ...whole(spare, spare.no), key: "R" + spare.no, instead: call().no, speaker: call().speaker });
  }
  function forget() {
    fates.delete(state.set + " " + call().key);
    data.lines.forEach((_, line) => rows.delete(`${state.set} ${call().key} ${line + 1}`));
  }

  // --- Tally by line number: for practice alone.
  function mark(line, word) {
    if (!data.tally || !["time", "answer"].includes(state.phase) || line > data.lines.length) return;
    const key = `${state.set} ${call().key} ${line}`, before = rows.get(key);
    const next = word || LETTERS[(LETTERS.indexOf(before ? before.mark : "") + 1) % LETTERS.length];
    if (next) rows.set(key, { set: set().id, call: call().no, item: call().item, seconds: seconds(), line, mark: next });
    else rows.delete(key);
    state.unsaved = true;
    drawLines();
  }
  function othersFound() {
    data.lines.forEach((_, line) => { if (!rows.has(`${state.set} ${call().key} ${line + 1}`)) mark(line + 1, "found"); });
  }
  function save() {
    const tally = { format: "tourney-tally/1", event: data.event, division: data.division, group: data.group, session, lines: data.lines.map((who, line) => ({ line: line + 1, who })), rows: [...rows.values()] };
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([JSON.stringify(tally, null, 1) + "\n"], { type: "application/json" }));
    link.download = "tally_" + session.slice(0, 16).replace(/[:T]/g, "-") + ".json";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
    state.unsaved = false;
  }

  // --- What is seen.
  const SAID = {
    ready: () => (call().instead ? "Reserve call" : "Call " + call().no),
    cue1: () => data.cues[0], cue2: () => data.cues[1], call: () => call().say, run: () => call().say, paused: () => call().say,
    time: () => "Time", answer: () => "", done: () => "",
  };
  function show() {
    const phase = state.phase;
    body.dataset.phase = phase;
    at("place").textContent = phase === "done" ? "the set is over" : `call ${state.call + 1} of ${state.queue.length}`;
    at("seconds").textContent = (phase === "done" ? state.seconds : seconds()) + " s";
    at("cue").textContent = phase === "run" ? data.cues[2] : phase === "paused" ? "Paused" : call().instead && phase !== "done" ? "instead of call " + call().instead : "";
    at("said").textContent = SAID[phase]();
    at("aside").textContent = { ready: set().calls.length === state.queue.length ? set().aside : "", call: call().task, time: call().speaker ? `Line ${call().speaker} answers aloud` : "Now the answer, aloud" }[phase] || "";
    at("answer").hidden = phase !== "answer";
    at("done").hidden = phase !== "done";
    at("tally").hidden = !data.tally || !["time", "answer"].includes(phase);
    if (phase === "answer") drawAnswer();
    if (phase === "done") drawDone();
    at("forward").textContent = phase === "answer" && state.call + 1 >= state.queue.length ? "End of the set" : NEXT[phase];
    at("forward").disabled = phase === "run";
    at("pause").disabled = !["run", "paused"].includes(phase);
    at("pause").textContent = phase === "paused" ? "Go on" : "Pause";
    at("end").disabled = !["run", "paused"].includes(phase);
    ["repeat", "skip", "void"].forEach(id => { at(id).disabled = phase === "done"; });
    at("back").disabled = phase === "ready" && state.call === 0;
    for (const [id, on] of [["shorten", state.shorten], ["alone", state.alone], ["sound", state.sound], ["hall", body.dataset.view === "hall"], ["large", body.dataset.type === "large"]]) if (at(id)) at(id).setAttribute("aria-pressed", String(on));
    drawCalls();
    drawLines();
    fit();
    paint();
  }
  function fit() {
    fitParts();
    const said = at("said"), room = said.parentElement;
    if (!said.textContent) return;
    let low = 20, high = Math.max(40, innerHeight * 0.42);
    while (high - low > 2) {
      const size = (low + high) / 2;
      said.style.fontSize = size + "px";
      if (said.scrollWidth > room.clientWidth || said.scrollHeight > room.clientHeight) high = size;
      else low = size;
    }
    said.style.fontSize = low + "px";
  }
  // The answer stands in one line as long as its type does not get much smaller.
  function fitParts() {
    const row = at("parts"), boxes = row.children;
    row.style.fontSize = "";
    if (!boxes.length || at("answer").hidden) return;
    row.className = "one";
    const size = parseFloat(getComputedStyle(row).fontSize);
    const share = row.clientWidth / (boxes[boxes.length - 1].getBoundingClientRect().right - boxes[0].getBoundingClientRect().left);
    if (share < SMALLEST) row.className = "";
    else if (share < 1) row.style.fontSize = 0.98 * share * size + "px";
  }
  const made = (tag, text, kind) => {
    const one = document.createElement(tag);
    one.textContent = text;
    if (kind) one.className = kind;
    return one;
  };
  function drawAnswer() {
    const { answer, also, section, open, place } = item(), own = data.sections[section];
    const sides = answer.length === 3 ? ["before", "", "after"] : [];
    at("parts").replaceChildren(...answer.map((part, number) => {
      const box = made("li", part, number === place ? "called" : "");
      if (sides[number]) box.append(made("small", sides[number]));
      return box;
    }));
    at("also").textContent = also.length ? "Also right: " + also.join(", ") : "";
    at("section").textContent = own.name;
    const names = own.items.flatMap(([key, name]) => [made("span", name, key === call().item ? "now" : Math.abs(data.order[key] - data.order[call().item]) === 1 ? "near" : ""), document.createTextNode(", ")]);
    at("strip").replaceChildren(...names.slice(0, -1));
    at("open").textContent = open;
  }
  function drawCalls() {
    at("calls").replaceChildren(...state.queue.map((one, place) => {
      const how = fate(one), now = place === state.call && state.phase !== "done";
      const box = made("li", one.key, [now ? "now" : "", how === "over" ? "over" : "", how === "void" || how === "skipped" ? "gone" : ""].join(" "));
      box.setAttribute("aria-label", `call ${one.key}, ${now ? "now" : how || "still to come"}`);
      return box;
    }));
  }
  function drawLines() {
    if (!data.tally || at("tally").hidden) return;
    const boxes = [...at("lines").children];
    data.lines.forEach((who, place) => {
      const noted = rows.get(`${state.set} ${call().key} ${place + 1}`), word = MEANING[noted ? noted.mark : ""];
      boxes[place].className = noted ? "noted" : "";
      boxes[place].lastChild.textContent = noted ? (noted.mark.length === 1 ? noted.mark + " " : "✓ ") + word : who || "–";
      boxes[place].setAttribute("aria-label", `Line ${place + 1}${who ? ", " + who : ""}: ${word}`);
    });
  }
  function drawDone() {
    const here = [...rows.values()].filter(row => row.set === set().id), parts = [made("h1", "The set is over")];
    const gone = state.queue.filter(one => ["void", "skipped"].includes(fate(one)));
    parts.push(made("p", `${state.queue.length - gone.length} calls made` + (gone.length ? `; left out: ${gone.map(one => one.key + " (" + fate(one) + ")").join(", ")}.` : ".") + (data.sealed && gone.some(one => fate(one) === "void") ? " A void call counts only once the chief judge has ruled it: tell the coordinator." : "")));
    if (here.length) {
      const table = document.createElement("table"), head = table.createTHead().insertRow();
      ["line", "found, of those noted", "to look at again"].forEach(word => head.append(made("th", word)));
      const rest = table.createTBody();
      data.lines.forEach((who, place) => {
        const own = here.filter(row => row.line === place + 1), row = own.length ? rest.insertRow() : null;
        if (!row) return;
        const missed = own.filter(one => one.mark !== "found").map(one => `${data.items[one.item].name} (${MEANING[one.mark]})`);
        [`${place + 1}${who ? " · " + who : ""}`, `${own.length - missed.length} of ${own.length}`, missed.join(", ") || "nothing"].forEach(word => row.append(made("td", word)));
      });
      parts.push(table, made("p", "Save the tally, and practice of the next weeks looks at it first."));
    }
    at("done").replaceChildren(...parts);
  }

  // --- Hands: buttons, keys, a clicker, a finger.
  const toggle = name => () => { state[name] = !state[name]; if (name === "sound" && !state.sound) hush(); show(); };
  const ACTS = {
    forward: () => { if (state.alone) fromNow(); forward(); }, back, pause, repeat, save,
    end: () => { if (["run", "paused"].includes(state.phase)) { stop(); fromNow(); beep(0, false, 0.9); timeIsUp(); } },
    skip: () => leave("skipped"), void: () => leave("void"), sound: toggle("sound"), shorten: toggle("shorten"),
    less: () => { state.seconds = Math.max(3, state.seconds - 1); show(); },
    more: () => { state.seconds = Math.min(60, state.seconds + 1); show(); },
    alone: () => { state.alone = !state.alone; if (state.alone && !["run", "paused", "done"].includes(state.phase)) { fromNow(); after(PACE.cue, forward); } else if (state.phase !== "run") clearTimeout(timer); show(); },
    hall: () => {
      body.dataset.view = body.dataset.view === "hall" ? "desk" : "hall";
      if (body.dataset.view === "hall" && document.documentElement.requestFullscreen) document.documentElement.requestFullscreen().catch(() => {});
      else if (document.fullscreenElement) document.exitFullscreen().catch(() => {});
      show();
    },
    large: () => { body.dataset.type = body.dataset.type === "large" ? "" : "large"; show(); },
  };
  for (const [id, act] of Object.entries(ACTS)) if (at(id)) at(id).addEventListener("click", event => { act(); freed(event); });
  // After a finger or a mouse the space bar goes on again; who came by the Tab key stays where they are.
  const freed = event => { if (event.detail) event.currentTarget.blur(); };
  const KEYS = { " ": "forward", Enter: "forward", PageDown: "forward", ArrowRight: "forward", PageUp: "back", ArrowLeft: "back", p: "pause", e: "end", r: "repeat", s: "skip", v: "void", m: "sound", a: "alone", f: "hall", g: "large" };
  addEventListener("keydown", event => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.repeat || ["SELECT", "SUMMARY"].includes(event.target.tagName)) return;
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    if (event.target.tagName === "BUTTON" && (key === " " || key === "Enter")) return;
    if (key === "Escape" && body.dataset.view === "hall") ACTS.hall();
    else if (KEYS[key]) ACTS[KEYS[key]]();
    else if (data.tally && key === "t") save();
    else if (data.tally && key === "+") othersFound();
    else if (/^[1-9]$/.test(key)) mark(Number(key));
    else return;
    event.preventDefault();
  });
  at("stage").addEventListener("click", () => { if (body.dataset.view === "hall") ACTS.forward(); });
  document.addEventListener("fullscreenchange", () => { if (!document.fullscreenElement && body.dataset.view === "hall") ACTS.hall(); });
  addEventListener("resize", fit);
  addEventListener("beforeunload", event => { if (state.unsaved) event.preventDefault(); });
  at("choose").append(...data.sets.map((one, place) => { const option = made("option", one.title); option.value = place; return option; }));
  at("choose").addEventListener("change", event => { choose(Number(event.target.value)); event.target.blur(); });
  if (data.tally) {
    at("lines").append(...data.lines.map((_, place) => {
      const box = document.createElement("button");
      box.type = "button";
      box.append(made("b", String(place + 1)), made("span", ""));
      box.addEventListener("click", event => { mark(place + 1); freed(event); });
      return box;
    }));
    const all = made("button", "All others found it");
    all.type = "button";
    all.addEventListener("click", event => { othersFound(); freed(event); });
    at("lines").append(all);
  }
  choose(0);
})();

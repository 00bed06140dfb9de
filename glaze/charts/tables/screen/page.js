// One step a screen, ticks, clocks that run on, and the sheet near or far. Without it the page is
// a long list of all steps that can be read and printed.
"use strict";
(() => {
  const told = JSON.parse(document.getElementById("told").textContent);
  const words = told.words, root = document.documentElement;
  const fill = (text, values) => text.replace(/\{(\w+)\}/g, (_, key) => values[key]);
  const all = (what, within = document) => [...within.querySelectorAll(what)];
  const screens = all("main > .screen"), status = document.querySelector(".spoken");
  const store = "bench page " + told.plan;
  root.classList.add("js");

  // --- what is kept: ticks in their order, clocks with the moment they ring ---

  let kept = { ticks: [], clocks: [], look: "" };
  const read = () => {
    try {
      kept = Object.assign({ ticks: [], clocks: [], look: "" }, JSON.parse(localStorage.getItem(store)));
    } catch { /* nothing kept yet, or nothing can be */ }
  };
  const keep = () => {
    try {
      localStorage.setItem(store, JSON.stringify(kept));
    } catch {
      document.getElementById("kept").textContent = words.not_kept;
    }
  };
  read();
  keep();

  // --- screens ---

  const shown = () => screens.find((screen) => !screen.hidden);
  const show = (screen, focus = true) => {
    screens.forEach((one) => { one.hidden = one !== screen; });
    all(".list a").forEach((link) => {
      if (link.hash === "#" + screen.id) link.setAttribute("aria-current", "step");
      else link.removeAttribute("aria-current");
    });
    document.querySelector(".list").open = false;
    const count = screens.filter((one) => one.dataset.step).length;
    const where = { front: words.front, "set-out": words.set_out, end: words.end };
    document.querySelector(".where").textContent =
      where[screen.id] || fill(words.step_of, { number: screen.dataset.step, count });
    document.getElementById("back").disabled = screen === screens[0];
    document.getElementById("next").disabled = screen === screens.at(-1);
    if (focus) {
      scrollTo(0, 0);
      screen.focus({ preventScroll: true });
    }
    fit(screen);
  };
  const from_hash = (focus) =>
    show(screens.find((one) => "#" + one.id === location.hash) || screens[0], focus);
  const go = (screen) => {
    if (!screen) return;
    history.pushState(null, "", "#" + screen.id);
    show(screen);
    draw();
  };
  const turn = (by) => go(screens[screens.indexOf(shown()) + by]);
  addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='#']");
    if (!link) return;
    event.preventDefault();
    go(document.querySelector(link.hash));
  });
  addEventListener("hashchange", () => from_hash(true));
  document.getElementById("back").onclick = () => turn(-1);
  document.getElementById("next").onclick = () => turn(1);
  addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || event.target.closest(".window")) return;
    if (event.key === "PageDown" || event.key === "ArrowRight") turn(1);
    else if (event.key === "PageUp" || event.key === "ArrowLeft") turn(-1);
    else return;
    event.preventDefault();
  });

  // --- ticks ---

  const buttons = all(".tick");
  const of_key = (key) => buttons.find((button) => button.dataset.key === key);
  const tick = (button) => {
    const key = button.dataset.key;
    kept.ticks.push(key);
    for (const clock of JSON.parse(button.dataset.clocks || "[]")) {
      kept.clocks.push({ key, ends: Date.now() + clock.minutes * 60000, label: clock.label, told: clock.told });
    }
    // what was waited for is over once the next thing of the same step is done
    const step = key.split(".")[0], earlier = buttons.indexOf(button);
    kept.clocks = kept.clocks.filter(
      (clock) => clock.key === key || clock.key.split(".")[0] !== step || buttons.indexOf(of_key(clock.key)) > earlier);
    wake();
  };
  const untick = (key) => {
    kept.ticks = kept.ticks.filter((one) => one !== key);
    kept.clocks = kept.clocks.filter((clock) => clock.key !== key);
  };
  buttons.forEach((button) => {
    button.onclick = () => {
      if (kept.ticks.includes(button.dataset.key)) untick(button.dataset.key);
      else tick(button);
      keep();
      draw();
    };
  });
  document.getElementById("undo").onclick = () => {
    const key = kept.ticks.at(-1);
    if (!key) return;
    untick(key);
    keep();
    draw();
    const screen = of_key(key)?.closest(".screen");
    if (screen && screen !== shown()) go(screen);
    say(fill(words.undone, { what: of_key(key)?.textContent ?? key }));
  };
  addEventListener("storage", (event) => {
    if (event.key === store) { read(); draw(); }
  });

  // --- clocks ---

  const left = (clock) => Math.ceil((clock.ends - Date.now()) / 1000);
  const spoken = (seconds) => {
    const two = (number) => String(number).padStart(2, "0");
    const hours = Math.floor(seconds / 3600), minutes = Math.floor(seconds / 60) % 60;
    return (hours ? hours + ":" + two(minutes) : minutes) + ":" + two(seconds % 60);
  };
  let sound;
  const wake = () => { // a browser lets a page sound only after a press
    try { sound ||= new AudioContext(); } catch { /* a silent browser */ }
  };
  const ring = (clock) => {
    say(clock.told);
    if (navigator.vibrate && navigator.userActivation?.hasBeenActive) navigator.vibrate([300, 150, 300]);
    if (!sound) return;
    for (const at of [0, 0.45, 0.9]) {
      const tone = sound.createOscillator(), loud = sound.createGain();
      tone.frequency.value = 660;
      loud.gain.setValueAtTime(0.15, sound.currentTime + at);
      loud.gain.exponentialRampToValueAtTime(0.001, sound.currentTime + at + 0.4);
      tone.connect(loud).connect(sound.destination);
      tone.start(sound.currentTime + at);
      tone.stop(sound.currentTime + at + 0.4);
    }
  };
  const say = (text) => { status.textContent = ""; status.textContent = text; };

  const clock_row = (clock) => {
    const row = document.createElement("li"), text = document.createElement("span");
    const more = document.createElement("button"), off = document.createElement("button");
    more.textContent = "+5 min";
    off.textContent = "×";
    more.onclick = () => { clock.ends = Math.max(clock.ends, Date.now()) + 300000; clock.rung = false; keep(); draw(); };
    off.onclick = () => { kept.clocks = kept.clocks.filter((one) => one !== clock); clock.off = true; keep(); draw(); };
    for (const button of [more, off]) button.type = "button";
    more.setAttribute("aria-label", words.more + ": " + clock.label);
    off.setAttribute("aria-label", words.off + ": " + clock.label);
    row.append(text, more, off);
    row.clock = clock;
    return row;
  };
  const draw_clocks = () => {
    const list = document.querySelector(".clocks");
    const rows = new Map(all("li", list).map((row) => [row.clock, row]));
    kept.clocks.sort((a, b) => a.ends - b.ends);
    rows.forEach((row, clock) => { if (!kept.clocks.includes(clock)) row.remove(); });
    kept.clocks.forEach((clock, place) => {
      const row = rows.get(clock) || clock_row(clock);
      if (list.children[place] !== row) list.insertBefore(row, list.children[place] || null);
      const seconds = left(clock);
      row.firstChild.textContent = seconds > 0 ? clock.label + " " + spoken(seconds) : clock.told;
      row.classList.toggle("rings", seconds <= 0);
      if (seconds <= 0 && !clock.rung) {
        clock.rung = true;
        keep();
        ring(clock);
      }
    });
    root.style.setProperty("--head", document.querySelector("header").offsetHeight + "px");
    const rings = kept.clocks.some((clock) => left(clock) <= 0);
    document.title = (rings ? "● " : "") + document.title.replace(/^● /, "");
  };

  // --- how things stand ---

  const state_of = (step) => {
    const dries = buttons.find((one) => one.dataset.dries && one.dataset.key.split(".")[0] === step);
    if (!dries || !kept.ticks.includes(dries.dataset.key)) return ["", words.not_laid];
    const clocks = kept.clocks.filter((clock) => clock.key === dries.dataset.key && left(clock) > 0);
    if (!clocks.length) return ["ready", words.is_dry];
    return ["", fill(words.wet, { left: spoken(Math.max(...clocks.map(left))) })];
  };
  const draw = () => {
    buttons.forEach((button) =>
      button.setAttribute("aria-pressed", kept.ticks.includes(button.dataset.key)));
    document.getElementById("undo").disabled = !kept.ticks.length;
    all(".list a").forEach((link) => {
      const within = all(".tick", document.querySelector(link.hash));
      link.classList.toggle("done", within.length > 0
        && within.every((one) => kept.ticks.includes(one.dataset.key)));
    });
    count_down();
  };
  const count_down = () => {
    draw_clocks();
    all(".waits a", shown()).forEach((link) => {
      const [ready, text] = state_of(link.dataset.waits);
      link.className = ready;
      if (link.lastChild.textContent !== text) link.lastChild.textContent = text;
    });
  };
  setInterval(count_down, 500);

  // --- the sheet near or far ---

  const views = new WeakMap();
  const view_of = (pane) => {
    if (!views.has(pane)) views.set(pane, { scale: 1, x: 0, y: 0 });
    return views.get(pane);
  };
  const place = (pane) => {
    const view = view_of(pane), paper = pane.firstElementChild;
    view.scale = Math.min(8, Math.max(1, view.scale));
    const wide = paper.offsetWidth, high = paper.offsetHeight;
    view.x = Math.min(0, Math.max(wide * (1 - view.scale), view.x));
    view.y = Math.min(0, Math.max(high * (1 - view.scale), view.y));
    paper.style.transform = `translate(${view.x}px, ${view.y}px) scale(${view.scale})`;
    pane.classList.toggle("near", view.scale > 1);
  };
  const nearer = (pane, by, x, y) => {
    const view = view_of(pane), paper = pane.firstElementChild;
    const at_x = x ?? paper.offsetWidth / 2, at_y = y ?? paper.offsetHeight / 2;
    const scale = Math.min(8, Math.max(1, view.scale * by));
    view.x = at_x - (at_x - view.x) * scale / view.scale;
    view.y = at_y - (at_y - view.y) * scale / view.scale;
    view.scale = scale;
    place(pane);
  };
  const to_whole = (pane) => { Object.assign(view_of(pane), { scale: 1, x: 0, y: 0 }); place(pane); };
  // closer for the first time: to the middle of the place to paint
  const closer = (pane) => {
    const paper = pane.firstElementChild, [, , right, bottom] = screen_mm();
    const [l, t, r, b] = pane.dataset.box.split(" ").map(Number);
    if (view_of(pane).scale > 1) return nearer(pane, 1.5);
    const share = Math.max((r - l) / right, (b - t) / bottom, 0.16);
    nearer(pane, Math.max(1.5, 0.85 / share),
      (l + r) / 2 / right * paper.offsetWidth, (t + b) / 2 / bottom * paper.offsetHeight);
    const view = view_of(pane);
    view.x = paper.offsetWidth * (0.5 - (l + r) / 2 / right * view.scale);
    view.y = paper.offsetHeight * (0.5 - (t + b) / 2 / bottom * view.scale);
    place(pane);
  };
  const screen_mm = () => document.querySelector("#front .window").dataset.box.split(" ").map(Number);
  const fit = (screen) => all(".window", screen).forEach(place);
  addEventListener("resize", () => fit(shown()));

  all(".window").forEach((pane) => {
    const down = new Map();
    const local = (event) => {
      const paper = pane.firstElementChild, box = pane.getBoundingClientRect();
      return [event.clientX - box.left - paper.offsetLeft + pane.offsetLeft,
        event.clientY - box.top - paper.offsetTop + pane.offsetTop];
    };
    pane.addEventListener("pointerdown", (event) => {
      down.set(event.pointerId, local(event));
      if (view_of(pane).scale > 1 || down.size > 1) pane.setPointerCapture(event.pointerId);
    });
    pane.addEventListener("pointermove", (event) => {
      if (!down.has(event.pointerId)) return;
      const before = [...down.values()];
      down.set(event.pointerId, local(event));
      const after = [...down.values()], view = view_of(pane);
      if (before.length === 1 && view.scale > 1) {
        view.x += after[0][0] - before[0][0];
        view.y += after[0][1] - before[0][1];
        place(pane);
      } else if (before.length === 2) {
        const apart = (two) => Math.hypot(two[0][0] - two[1][0], two[0][1] - two[1][1]);
        const middle = (two) => [(two[0][0] + two[1][0]) / 2, (two[0][1] + two[1][1]) / 2];
        nearer(pane, apart(after) / Math.max(1, apart(before)), ...middle(after));
        event.preventDefault();
      }
    });
    for (const over of ["pointerup", "pointercancel"]) {
      pane.addEventListener(over, (event) => down.delete(event.pointerId));
    }
    pane.addEventListener("wheel", (event) => {
      nearer(pane, Math.exp(-event.deltaY / 400), ...local(event));
      event.preventDefault();
    }, { passive: false });
    pane.addEventListener("keydown", (event) => {
      const view = view_of(pane), steps = { ArrowLeft: [60, 0], ArrowRight: [-60, 0], ArrowUp: [0, 60], ArrowDown: [0, -60] };
      if (event.key === "+" || event.key === "=") nearer(pane, 1.5);
      else if (event.key === "-") nearer(pane, 1 / 1.5);
      else if (event.key === "0") to_whole(pane);
      else if (event.key in steps) { view.x += steps[event.key][0]; view.y += steps[event.key][1]; place(pane); }
      else return;
      event.preventDefault();
    });
  });

  // --- how the sheet is shown ---

  const stages = all(".screen[data-step] .stage");
  stages.forEach((image) => { image.after_step = image.src; });
  const acts = {
    closer, whole: to_whole, farther: (pane) => nearer(pane, 1 / 1.5),
    veil: (pane, on) => pane.classList.toggle("bare", !on),
    grey: (pane, on) => pane.classList.toggle("grey", on),
    before: (pane, on) => {
      const image = pane.querySelector(".stage"), earlier = stages[stages.indexOf(image) - 1];
      image.src = on ? (earlier ? earlier.after_step : told.bare) : image.after_step;
    },
  };
  all("[data-do]").forEach((button) => {
    button.onclick = () => {
      const pane = button.closest("figure").querySelector(".window");
      const toggles = button.hasAttribute("aria-pressed");
      const on = toggles && button.getAttribute("aria-pressed") !== "true";
      if (toggles) button.setAttribute("aria-pressed", on);
      acts[button.dataset.do](pane, on);
    };
  });

  // --- light or dark ---

  const dark = matchMedia("(prefers-color-scheme: dark)");
  const look = () => { root.dataset.look = kept.look || (dark.matches ? "dark" : "light"); };
  dark.addEventListener("change", look);
  document.getElementById("look").onclick = () => {
    kept.look = root.dataset.look === "dark" ? "light" : "dark";
    keep();
    look();
  };

  look();
  from_hash(false);
  draw();
})();

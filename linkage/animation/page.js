/* Moves the drawing after the numbers in #motion.

   end, layouts: each with its own travel spread evenly over n positions:
   end [mm], stop [words], throttle [°], share [%], area [%], force [N, pressing
   and releasing], bounds [°], rods, plates, views. null is a number not known.
   length and force say how words speak: unit, its size in mm or N, digits; driver what
   they call what drives: its end, at rest, and both its ways.
   Views hold positions in mm; scale [pt/mm] and origin [pt] bring them here.
   slot: half its width [pt], neck of a hook and lips, over that. tube: zigzags of
   its coil, and how wide they are, over a slot. wires: widths of wires by sense;
   hung: where along a wire that hangs its points are. */
(() => {
  "use strict";
  const motion = JSON.parse(document.getElementById("motion").textContent);
  const play = document.getElementById("play");
  const slider = document.getElementById("pedal");
  const speed = document.getElementById("speed");
  const pad = document.getElementById("pad");
  const say = document.getElementById("say");
  const steps = Number(slider.max);
  const STROKE = 2400; /* one way at speed 1 [ms] */
  const HOLD = 450; /* at each end [ms] */
  const LETTERS = motion.letters; /* of the views, in their own measure */
  const MOST_LETTERS = 14; /* [px] */
  const DASHES = motion.dashes; /* push, neither, pull, slack */
  const SENSES = ["push", "neither", "pull", "slack"];
  let share = 0; /* of the deepest pad travel */
  let way = 1; /* 1 pedal going down, -1 coming up */
  let playing = false;
  let before = 0;
  let held = 0;
  let waiting = 0;

  const number = (value, digits) => value.toFixed(digits).replace("-", "−");

  const inUnit = ([unit, factor, digits], value) => `${number(value / factor, digits)} ${unit}`;
  const length = (mm) => inUnit(motion.length, mm);
  const newtons = (force) => inUnit(motion.force, force);

  /* A column at a place between two positions. */
  function at(column, place) {
    const low = Math.min(Math.floor(place), column.length - 1);
    const high = Math.min(low + 1, column.length - 1);
    const one = column[low], two = column[high];
    if (one === null || two === null) return place - low < 0.5 ? one : two;
    return one + (two - one) * (place - low);
  }
  const nearest = (column, place) => column[Math.round(place)];

  function find(root, name) {
    const found = Object.create(null);
    for (const part of root.querySelectorAll(`[data-${name}]`)) {
      const key = part.getAttribute(`data-${name}`);
      (found[key] = found[key] || []).push(part);
    }
    return found;
  }

  function set(part, values) {
    for (const key in values) part.setAttribute(key, values[key]);
  }

  function tell(part, text) {
    if (part && part.textContent !== text) part.textContent = text;
  }

  /* One view of a layout: returns what moves it to a place. */
  function viewer(data, root, rods) {
    const arms = find(root, "arm"), pins = find(root, "pin"), lines = find(root, "rod"), wires = find(root, "wire");
    const words = find(root, "word"), springs = find(root, "spring");
    const gaps = find(root, "gap"), loose = find(root, "end"), slots = find(root, "slot");
    const face = root.querySelector("[data-pad]");
    const x = (mm) => data.origin[0] + data.scale * mm;
    const y = (mm) => data.origin[1] - data.scale * mm;
    const written = (points) => points.map(([px, py]) => `${x(px).toFixed(2)},${y(py).toFixed(2)}`).join(" ");

    /* A rod's word, beside a place between its ends. */
    function say(rod, sense, one, two) {
      if (!(rod.name in data.words)) return; /* its word stands in another view */
      const [part, right, up] = data.words[rod.name];
      const word = words[rod.name][0];
      set(word, { x: x(one[0] + part * (two[0] - one[0]) + right), y: y(one[1] + part * (two[1] - one[1]) + up) });
      tell(word, sense ? `${rod.short}: ${SENSES[sense + 1]}` : rod.short);
    }

    /* The wire at one end of a cable: from its nipple over the drum, and on to the sheath. */
    function wire({ hole, foot, sheath, sag, wound, turn }, place, nipple) {
      const start = foot.map((column) => at(column, place));
      const hangs = sag ? sag.map((column) => at(column, place)) : [0, 0];
      const on = wound ? at(wound, place) : 0;
      const laid = on > 0 ? onRim(data.drums[hole], at(turn, place), [...data.drums[hole].rim[0].filter((one) => one < on), on]) : [nipple];
      const shares = hangs[0] || hangs[1] ? motion.hung : [0, 1];
      return [...laid, ...shares.map((s) => [0, 1].map((k) => start[k] + s * (sheath[k] - start[k]) + 4 * s * (1 - s) * hangs[k]))];
    }

    return (place, turn) => {
      const where = Object.create(null);
      for (const hole in data.pins) {
        const px = at(data.pins[hole][0], place), py = at(data.pins[hole][1], place);
        where[hole] = [px, py];
        for (const pin of pins[hole]) set(pin, { transform: `translate(${x(px).toFixed(2)} ${y(py).toFixed(2)})` });
        const foot = data.feet[hole];
        if (hole in data.drums) {
          const { turn, rim, closed, root } = data.drums[hole];
          const ring = onRim(data.drums[hole], at(turn, place), rim[0]);
          const line = [root, ...ring, ...(closed ? [] : [root])];
          for (const arm of arms[hole]) set(arm, { points: written(line) });
        } else if (hole in data.bars) {
          const line = [foot, data.bars[hole].map((column) => at(column, place)), [px, py]];
          for (const arm of arms[hole]) set(arm, { points: written(line) });
        } else for (const arm of arms[hole]) set(arm, { x1: x(foot[0]), y1: y(foot[1]), x2: x(px), y2: y(py) });
      }
      for (const rod of rods) {
        const [hole, px, py] = data.parted[rod.name] || [null, [null], [null]];
        const end = [at(px, place), at(py, place)]; /* null where it is on its lever */
        const away = end[0] !== null;
        const [one, two] = data.rods[rod.name].map((name) => (away && name === hole ? end : where[name]));
        if (hole !== null) {
          for (const part of [...gaps[rod.name], ...loose[rod.name]]) part.classList.toggle("none", !away);
          if (away) {
            set(gaps[rod.name][0], { x1: x(end[0]), y1: y(end[1]), x2: x(where[hole][0]), y2: y(where[hole][1]) });
            set(loose[rod.name][0], { cx: x(end[0]), cy: y(end[1]) });
          }
        }
        const sense = nearest(rod.sense[turn], place);
        if (rod.name in data.cables) {
          const dash = { "stroke-dasharray": DASHES[sense + 1], "stroke-width": motion.wires[sense + 1], "data-sense": SENSES[sense + 1] };
          data.cables[rod.name].forEach((free, k) => {
            const nipple = away && free.hole === hole ? end : where[free.hole];
            set((k ? wires : lines)[rod.name][0], { points: written(wire(free, place, nipple)), ...dash });
          });
          say(rod, sense, [0, 0], [0, 0]);
          continue;
        }
        let bar = [[x(one[0]), y(one[1])], [x(two[0]), y(two[1])]];
        if (rod.name in slots) {
          const drawn = rod.name in data.loose ? outlined(data.loose[rod.name], place, bar, data.scale) : tubed(data.sprung[rod.name], place, bar);
          bar = drawn.bar;
          set(slots[rod.name][0], { d: drawn.path });
        }
        set(lines[rod.name][0], { x1: bar[0][0], y1: bar[0][1], x2: bar[1][0], y2: bar[1][1], "stroke-dasharray": DASHES[sense + 1], "stroke-width": motion.widths[sense + 1], "data-sense": SENSES[sense + 1] });
        say(rod, sense, one, two);
      }
      for (const name in data.springs) {
        const [hole, ax, ay] = data.springs[name];
        const line = springs[name][0];
        const from = [x(where[hole][0]), y(where[hole][1])];
        set(line, { points: zigzag(from, [x(ax), y(ay)], Number(line.dataset.width)) });
      }
      if (!face) return;
      const ends = data.pad.map((column) => at(column, place));
      set(face, { x1: x(ends[0]), y1: y(ends[1]), x2: x(ends[2]), y2: y(ends[3]) });
    };
  }

  /* Places on the rim of a drum, by turns from its nipple on. [°] */
  function onRim({ root, axes, nipple, sense, rim }, turned, turns) {
    const [u, v] = axes, [from, radii] = rim;
    let k = 0;
    return turns.map((turn) => {
      while (k < from.length - 2 && from[k + 1] < turn) k++;
      const radius = radii[k] + ((radii[k + 1] - radii[k]) * (turn - from[k])) / (from[k + 1] - from[k]);
      const angle = ((nipple + turned + sense * turn) * Math.PI) / 180;
      const a = radius * Math.cos(angle), b = radius * Math.sin(angle);
      return [root[0] + a * u[0] + b * v[0], root[1] + a * u[1] + b * v[1]];
    });
  }

  /* Places on a rod: a share of the way between its pins, and from there along and
     across it, in half widths of a slot. */
  function spotsOn(from, to) {
    const [half] = motion.slot;
    const dx = to[0] - from[0], dy = to[1] - from[1], seen = Math.hypot(dx, dy);
    const ux = seen ? dx / seen : 1, uy = seen ? dy / seen : 0;
    const spot = (share, along, across) => [from[0] + share * dx + half * (along * ux + across * uy), from[1] + share * dy + half * (along * uy - across * ux)];
    const written = (...where) => spot(...where).map((part) => part.toFixed(2)).join(" ");
    return [spot, written, seen];
  }

  /* A rod that loses motion as on the drawings: its bar, and its slot, hook or cup; of a cam the roller. */
  function outlined([end, kind, near, far, rim], place, ends, scale) {
    const [half, neck, lip] = motion.slot;
    const [eye, pin] = end ? ends : [ends[1], ends[0]];
    if (kind === "roller") {
      const about = rim[0].map((right, k) => `${(pin[0] + scale * right).toFixed(2)} ${(pin[1] - scale * rim[1][k]).toFixed(2)}`);
      return { path: `M${about.join("L")}Z`, bar: [pin, pin] };
    }
    const [spot, to, seen] = spotsOn(eye, pin);
    const one = at(near, place), two = at(far, place);
    const foot = kind === "hook" ? 1 + neck : 1;
    /* Half a circle: a radius too small grows until it fits, whatever was rounded. */
    const round = (way, ...where) => `A1 1 0 0 ${way} ${to(...where)}`;
    const path = {
      slot: () => `M${to(one, 0, 1)}L${to(two, 0, 1)}${round(1, two, 0, -1)}L${to(one, 0, -1)}${round(1, one, 0, 1)}Z`,
      hook: () => `M${to(two, -lip, 1)}L${to(two, 0, 1)}${round(1, two, 0, -1)}L${to(one, -1, -1)}L${to(one, -foot, 0)}`,
      cup: () => `M${to(one, lip, 1)}L${to(one, 0, 1)}${round(0, one, 0, -1)}L${to(one, lip, -1)}`,
    }[kind]();
    const stop = one * seen > foot * half ? spot(one, -foot, 0) : eye;
    return { path, bar: end ? [eye, stop] : [stop, eye] };
  }

  /* A rod with an over-travel spring as on the drawings: its bar up to the tube, and tube,
     coil and collar. */
  function tubed([end, ...columns], place, ends) {
    const [coils, wide] = motion.tube;
    const [pin, other] = end ? [ends[1], ends[0]] : ends;
    const [spot, to] = spotsOn(pin, other);
    const [seat, bottom, collar] = columns.map((column) => at(column, place));
    const near = Math.min(seat, bottom), far = Math.max(seat, bottom);
    const line = [[0, 0], [near, 0], [near, 1], [far, 1], [far, -1], [near, -1], [near, 0]];
    if (seat === far) line.push([near, 1], [far, 1], [far, 0]);
    for (let k = 1; k <= 2 * coils; k++) line.push([seat + ((collar - seat) * k) / (2 * coils + 1), k % 2 ? wide : -wide]);
    line.push([collar, 0], [collar, wide], [collar, -wide], [collar, 0], [far, 0]);
    const path = `M${line.map(([share, side]) => to(share, 0, side)).join("L")}`;
    const stop = spot(far, 0, 0);
    return { path, bar: end ? [other, stop] : [stop, other] };
  }

  /* A spring as on the drawings: straight ends, the rest to and fro. */
  function zigzag(from, to, width) {
    const dx = to[0] - from[0], dy = to[1] - from[1];
    const length = Math.hypot(dx, dy) || 1;
    const half = Math.min(width, length / 4) / 2;
    const count = 2 * motion.coils;
    const shares = [[0, 0], [0.14, 0]];
    for (let k = 1; k <= count; k++) shares.push([0.14 + (0.72 * k) / (count + 1), k % 2 ? 1 : -1]);
    shares.push([0.86, 0], [1, 0]);
    return shares.map(([s, side]) => `${(from[0] + s * dx - (side * half * dy) / length).toFixed(2)},${(from[1] + s * dy + (side * half * dx) / length).toFixed(2)}`).join(" ");
  }

  function givesWords(rod, place) {
    const given = rod.given ? at(rod.given, place) : 0;
    return given > 0.005 ? `, gives ${length(given)} of ${length(rod.way)}` : "";
  }

  function rodWords(rod, place, turn) {
    const sense = SENSES[nearest(rod.sense[turn], place) + 1];
    const force = rod.force && at(rod.force[turn], place);
    if (sense === "slack" || force === null || force === undefined) return sense;
    return sense === "neither" ? "no load" : `${sense} ${newtons(Math.abs(force)).replace(" ", "\u00a0")}`;
  }

  /* A layout's part of the page. */
  function shower(data, root) {
    const last = data.throttle.length - 1;
    const views = [...root.querySelectorAll("[data-view]")].map((part, k) => viewer(data.views[k], part, data.rods));
    const cell = (name) => root.querySelector(`[data-show="${name}"]`);
    const cells = { pad: cell("pad"), throttle: cell("throttle"), area: cell("area"), force: cell("force"), stop: cell("stop") };
    const plates = [...root.querySelectorAll("[data-plate]")];
    const states = [...root.querySelectorAll("[data-plate-state]")];
    const mark = root.querySelector("[data-mark]");
    const curve = mark.ownerSVGElement.dataset;
    const rows = [...root.querySelectorAll("[data-row]")];
    function place() {
      return data.end > 0 ? Math.min((share * motion.end) / data.end, 1) * last : 0;
    }
    function show() {
      const p = place(), turn = way > 0 ? 0 : 1;
      const mm = (p / last) * data.end, angle = at(data.throttle, p);
      for (const view of views) view(p, turn);
      tell(cells.pad, `${length(mm)} of ${length(data.end)}`);
      tell(cells.throttle, `${number(angle, 1)}° = ${number(at(data.share, p), 0)} % of swing`);
      if (cells.area) tell(cells.area, `${number(at(data.area, p), 0)} %`);
      if (cells.force) {
        const force = at(data.force[turn], p);
        tell(cells.force, `${force === null ? "not known" : newtons(force)}, ${motion.driver.ways[turn]}`);
      }
      tell(cells.stop, stop(p));
      data.plates.forEach((plate, k) => {
        set(plates[k], { transform: `rotate(${(-at(plate.angle, p)).toFixed(2)})` });
        tell(states[k], plate.words[nearest(plate.state, p)]);
      });
      set(mark, { cx: mm * curve.x, cy: curve.high - angle * curve.y });
      data.rods.forEach((rod, k) => {
        const left = at(rod.left, p), slack = left === null; /* then it makes no angle that counts */
        const near = slack ? "" : left < data.bounds[0] ? " TOO NEAR" : left < data.bounds[1] ? " near" : "";
        const [force, words, bar] = rows[k].querySelectorAll("td");
        const [hole, away] = data.views[0].parted[rod.name] || [null, [null]];
        const held = at(away, p) === null ? "" : `, parted from ${hole}, which its stop holds`;
        tell(force, rodWords(rod, p, turn) + givesWords(rod, p) + held);
        tell(words, slack ? "slack" : `${number(left, 0)}°${near} at ${rod.holes[nearest(rod.nearer, p)]}`);
        words.classList.toggle("near", near !== "");
        bar.querySelector("i").style.width = `${slack ? 0 : (left / 90) * 100}%`;
      });
    }
    function stop(p) {
      if (p >= last) return data.stop;
      return p <= 0 ? motion.driver.rest : "between its stops";
    }
    function summary() {
      const p = place();
      return `throttle ${number(at(data.throttle, p), 0)} degrees, ${number(at(data.share, p), 0)} per cent, ${stop(p)}`;
    }
    return { show, summary };
  }

  const showers = motion.layouts.map((data, k) => shower(data, document.querySelectorAll(".layout")[k]));

  /* Letters do not grow with their view for ever: standing ones shrink toward what they name. */
  const pictures = [...document.querySelectorAll("[data-view]")];
  let printing = false; /* on paper they keep their own size */
  function fitLetters() {
    for (const picture of pictures) {
      const matrix = picture.getScreenCTM();
      if (!matrix) continue;
      const share = printing ? 1 : Math.min(1, MOST_LETTERS / (LETTERS * matrix.a));
      for (const part of picture.querySelectorAll("[data-near]")) {
        const [x, y] = part.dataset.near.split(" ");
        set(part, { transform: `translate(${x} ${y}) scale(${share.toFixed(4)}) translate(${-x} ${-y})` });
      }
      for (const part of picture.querySelectorAll("[data-word]")) set(part, { "font-size": (share * LETTERS).toFixed(3) });
    }
  }

  function words() {
    return `${motion.driver.end} ${length(share * motion.end)}; ${showers.map((one) => one.summary()).join("; ")}`;
  }

  function show() {
    for (const one of showers) one.show();
    tell(pad, `${motion.driver.end} ${length(share * motion.end)}`);
    if (playing) slider.value = Math.round(share * steps);
    else slider.setAttribute("aria-valuetext", words());
  }

  /* Speaks once things have come to rest, never frame by frame. */
  function speak() {
    clearTimeout(waiting);
    waiting = setTimeout(() => tell(say, words()), 500);
  }

  function step(now) {
    if (!playing) return;
    const passed = Math.min(now - before, 100);
    before = now;
    if (held > 0) {
      held -= passed;
      if (held <= 0) way = share >= 1 ? -1 : 1;
    } else {
      share += (way * passed * Number(speed.value)) / STROKE;
      if (share >= 1 || share <= 0) {
        share = Math.min(Math.max(share, 0), 1);
        held = HOLD;
      }
    }
    show();
    requestAnimationFrame(step);
  }

  function run(wanted) {
    if (playing === wanted) return;
    playing = wanted;
    play.textContent = playing ? "Pause" : "Play";
    if (playing) {
      clearTimeout(waiting);
      held = 0;
      if (share >= 1) way = -1;
      if (share <= 0) way = 1;
      before = performance.now();
      requestAnimationFrame(step);
    } else {
      slider.value = Math.round(share * steps);
      show();
      speak();
    }
  }

  /* Stands at a step of the slider. */
  function stand(place) {
    run(false);
    const wanted = Math.min(Math.max(place, 0), steps) / steps;
    if (wanted !== share) way = wanted > share ? 1 : -1;
    share = wanted;
    slider.value = Math.round(share * steps);
    show();
    speak();
  }

  play.addEventListener("click", () => run(!playing));
  slider.addEventListener("input", () => stand(Number(slider.value)));
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const target = event.target;
    if (target === speed || (target === play && (event.key === " " || event.key === "Enter"))) return;
    const here = Math.round(share * steps);
    const moves = { ArrowRight: here + 1, ArrowUp: here + 1, ArrowLeft: here - 1, ArrowDown: here - 1, PageUp: here + 10, PageDown: here - 10, Home: 0, End: steps };
    if (event.key === " ") run(!playing);
    else if (event.key in moves && (target === slider || !event.key.startsWith("Page"))) stand(moves[event.key]);
    else return;
    event.preventDefault();
  });
  const watcher = new ResizeObserver(fitLetters);
  for (const picture of pictures) watcher.observe(picture);
  for (const [name, now] of [["beforeprint", true], ["afterprint", false]]) {
    addEventListener(name, () => {
      run(false);
      printing = now;
      fitLetters();
    });
  }

  show();
  if (!matchMedia("(prefers-reduced-motion: reduce)").matches) run(true);
})();

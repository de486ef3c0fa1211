  // ---- beds on a day (put into page.js, whose names it shares)
  const MANY = 12; // more places, or sowings in trays, than so many are folded
  const stages = (p, day) => (day >= p.harvest ? "harvest" : "grow");
  function holders(place, day) { return plan.plantings.filter((p) => p.place === place && p.in <= day && day < p.cleared); }

  // Rows with room for more plants end with the last that stands; the rest is left bare in a broken line.
  function strip(place, p, day, scale, across) { // px a metre along the bed and across it
    const begin = place.edge + p.at, end = begin + p.long, near = place.edge, far = place.width - place.edge;
    const at = (x, y) => (x * scale).toFixed(1) + " " + (y * across).toFixed(1);
    const apart = Math.max(0, ...p.ys.map(([, step]) => step)) || p.dot / 0.3;
    let dots = "", left = p.plants, x = begin, edge = "M" + at(begin, near), bare = false;
    for (let row = 0; row < p.rows && left > 0; row++) {
      const [start, step, count] = p.ys[Math.min(row % 2, p.ys.length - 1)] || [0, 0, 0], here = Math.min(count, left);
      const middle = begin + p.lead + row * p.pitch, last = start + (here - 1) * step;
      for (let n = 0; n < here; n++) dots += "M" + at(middle, start + n * step) + "h0";
      const reach = far - last > 1.4 * apart ? last + apart / 2 : far;
      edge += "L" + at(x, reach);
      x = row + 1 < p.rows ? middle + p.pitch / 2 : end;
      edge += "L" + at(x, reach);
      bare = bare || reach < far || (left <= count && x < end);
      left -= count;
    }
    return draw("g", null,
      bare ? draw("rect", { x: begin * scale, y: near * across, width: p.long * scale, height: (far - near) * across, fill: "none", stroke: "var(--edge)", "stroke-dasharray": "2 3" }) : null,
      draw("path", { d: edge + "L" + at(x, near) + "Z", fill: stages(p, day) === "harvest" ? "url(#h-harvest)" : "var(--grow)", stroke: "var(--grow-edge)" }),
      draw("path", { d: dots, stroke: "var(--grow-edge)", fill: "none", "stroke-linecap": "round", "stroke-width": p.dot * scale }));
  }
  function plate(x, y, number) {
    return draw("g", null,
      draw("circle", { cx: x, cy: y, r: 11, fill: "var(--paper)", stroke: "var(--grow-edge)" }),
      draw("text", { x, y: y + 5, "text-anchor": "middle", "font-size": 14, "font-weight": 600, fill: "var(--ink)" }, String(number)));
  }

  // Numbers stand on their strips: beside each other, else one below the other where narrow ones crowd.
  const PLATE = 23;
  function plates(middles, high) {
    const lanes = [0];
    for (let off = PLATE; off + PLATE / 2 <= high / 2; off += PLATE) lanes.push(off, -off);
    const taken = lanes.map(() => -Infinity), at = [];
    for (const middle of middles) {
      const x = Math.max(PLATE / 2, Math.min(middle, 320 - PLATE / 2)), lane = taken.findIndex((last) => x - last >= PLATE);
      if (lane < 0) return abreast(middles, Math.min(PLATE, 320 / middles.length), 320).map((aside) => [aside, high / 2]);
      taken[lane] = x;
      at.push([x, high / 2 + lanes[lane]]);
    }
    return at;
  }
  function abreast(middles, apart, end) { // too many for their strips: moved aside along the bed
    const at = [...middles];
    for (let n = 0; n < at.length; n++) at[n] = Math.max(at[n], n ? at[n - 1] + apart : apart / 2);
    for (let n = at.length - 1; n >= 0; n--) at[n] = Math.min(at[n], n + 1 < at.length ? at[n + 1] - apart : end - apart / 2);
    return at;
  }
  function kept([x, y, long, wide, round], scale, across) { // crossed out: a pipe, a stone
    const [left, top, right, low] = [x * scale, y * across, (x + long) * scale, (y + wide) * across];
    const inX = round ? (right - left) * 0.146 : 0, inY = round ? (low - top) * 0.146 : 0; // where a circle's cross ends
    return draw("g", { fill: "none", stroke: "var(--quiet)" },
      draw("rect", { x: left, y: top, width: right - left, height: low - top, ...(round ? { rx: (right - left) / 2, ry: (low - top) / 2 } : {}) }),
      draw("path", { d: "M" + (left + inX) + " " + (top + inY) + "L" + (right - inX) + " " + (low - inY) + "M" + (right - inX) + " " + (top + inY) + "L" + (left + inX) + " " + (low - inY) }));
  }
  function bed(place, here, day) {
    const scale = 320 / place.length, height = Math.max(place.width * scale, 24);
    const at = plates(here.map((p) => (place.edge + p.at + p.long / 2) * scale), height);
    return draw("svg", { viewBox: "-1 -1 322 " + (height + 2).toFixed(1), "aria-hidden": "true" },
      draw("path", { d: "M" + (place.corners || [[0, 0], [place.length, 0], [place.length, place.width], [0, place.width]]).map(([x, y]) => (x * scale).toFixed(1) + " " + (y * height / place.width).toFixed(1)).join("L") + "Z", fill: "none", stroke: "var(--edge)", "stroke-width": 1.5 }),
      ...(place.kept || []).map((thing) => kept(thing, scale, height / place.width)),
      ...here.map((p) => strip(place, p, day, scale, height / place.width)),
      ...at.map(([x, y], n) => plate(x, y, n + 1)));
  }
  function slots(place, here, day) {
    const across = Math.min(place.slots, 12), size = 320 / 12, lines = Math.ceil(place.slots / across), parts = [];
    for (let slot = 1; slot <= place.slots; slot++) {
      const at = here.findIndex((p) => p.slots.includes(slot));
      const x = ((slot - 1) % across + 0.5) * size, y = (Math.floor((slot - 1) / across) + 0.5) * size;
      const fill = at < 0 ? "none" : stages(here[at], day) === "harvest" ? "url(#h-harvest)" : "var(--grow)";
      parts.push(draw("circle", { cx: x, cy: y, r: 11, fill, stroke: at < 0 ? "var(--edge)" : "var(--grow-edge)" }));
      if (at >= 0) {
        parts.push(draw("circle", { cx: x, cy: y, r: 8, fill: "var(--paper)" }));
        parts.push(draw("text", { x, y: y + 4.5, "text-anchor": "middle", "font-size": 13, "font-weight": 600, fill: "var(--ink)" }, String(at + 1)));
      }
    }
    return draw("svg", { viewBox: "-1 -1 322 " + (lines * size + 2).toFixed(1), "aria-hidden": "true" }, ...parts);
  }

  function told(p, day) {
    let what;
    if (day < p.sow) what = (p.bought ? "planted out " : p.verb + " ") + short(p.sow) + (p.tray ? ", out " + short(p.in) : "") + (p.lots.length ? ", harvest " + span(p.harvest, p.end) : ", nothing to harvest");
    else if (!p.lots.length) what = "nothing to harvest, cleared " + short(p.cleared);
    else if (day < p.up) what = p.verb + ", up about " + short(p.up);
    else if (day < p.harvest) what = "harvest from " + short(p.harvest) + (p.late > p.early ? " (" + span(p.early, p.late) + ")" : "");
    else if (day > p.end) what = "to be cleared";
    else what = "harvest until " + short(p.end);
    return p.name + ", " + p.count + ", " + p.where + ": " + what;
  }

  const listed = (words) => (words.length > 1 ? words.slice(0, -1).join(", ") + " and " : "") + words.at(-1);

  // What is unfolded stays so while the day is moved along.
  const unfolded = new Set();
  function folded(name, summary, ...children) {
    const fold = make("details", null, make("summary", null, ...[summary].flat()), ...children);
    fold.open = unfolded.has(name);
    fold.addEventListener("toggle", () => { if (fold.open) unfolded.add(name); else unfolded.delete(name); });
    return fold;
  }
  function shownPlace(place, day) {
    const here = holders(place.name, day).sort((a, b) => a.at - b.at);
    const list = make("ol", null, ...here.map((p) => make("li", null, told(p, day))));
    const numbers = new Map();
    here.forEach((p, n) => numbers.set(p.name, [...(numbers.get(p.name) || []), String(n + 1)]));
    const names = [...numbers].flatMap(([name, its], n) => [n ? ", " : "", make("b", null, listed(its)), HARD + name]);
    return make("div", { class: "place" },
      make("h3", null, place.name, make("span", null, place.size)),
      place.kind === "bed" ? bed(place, here, day) : slots(place, here, day),
      !here.length ? make("p", null, "Free") : narrow.matches ? folded("place " + place.name, names, list) : list);
  }
  function showGroups(day) { // of many places: those that share a name are a fold, filled when it is opened
    const groups = new Map();
    for (const place of plan.places) {
      const stem = place.name.replace(/\s*\d+$/, "") || place.name;
      groups.set(stem, [...(groups.get(stem) || []), place]);
    }
    const kind = (its) => (its.length === 1 ? "" : ", " + its.length + (new Set(its.map((one) => one.kind)).size > 1 ? " places" : " " + its[0].kind + "s"));
    $("places").className = "";
    $("places").replaceChildren(...[...groups].map(([stem, its]) => {
      const inside = make("div", { class: "places" });
      const group = folded("group " + stem, stem + kind(its), inside);
      const fill = () => { if (group.open && !inside.firstChild) inside.append(...its.map((place) => shownPlace(place, day))); };
      group.className = "group";
      group.addEventListener("toggle", fill);
      fill();
      return group;
    }));
  }
  function showBeds(day) {
    $("beds-day").textContent = long(day);
    $("slider").value = day;
    $("slider").setAttribute("aria-valuetext", long(day));
    if (plan.places.length <= MANY) $("places").replaceChildren(...plan.places.map((place) => shownPlace(place, day)));
    else showGroups(day);
    const box = $("trays"), rows = new Map(); // those alike that go out on one day are one line
    box.replaceChildren();
    for (const p of plan.plantings.filter((p) => p.tray && p.sow <= day && day < p.in).sort((a, b) => a.in - b.in)) {
      const words = (day < p.up ? "up about " + short(p.up) + ", " : "") + "out " + short(p.in) + " to ", key = [p.tray, p.name, words].join("\n");
      const row = rows.get(key) || { tray: p.tray, name: p.name, words, cells: 0, places: new Set() };
      row.cells += p.cells;
      row.places.add(p.place);
      rows.set(key, row);
    }
    const raising = [...rows.values()];
    if (raising.length) {
      const one = new Set(raising.map((row) => row.tray)).size === 1;
      const head = one ? "In the trays: " + raising[0].tray : "In the trays", list = make("ul", null, ...raising.map((row) =>
        make("li", null, (one ? "" : row.tray + ": ") + row.name + ", " + row.cells + HARD + (row.cells === 1 ? "cell, " : "cells, ") + row.words + listed([...row.places]))));
      if (narrow.matches || raising.length > MANY) box.append(folded("trays", head + ", " + raising.length + (raising.length === 1 ? " sowing" : " sowings"), list));
      else box.append(make("h3", null, head), list);
    }
  }

"use strict";
(function () {
  const plan = JSON.parse(document.getElementById("plan").textContent);
  const $ = (id) => document.getElementById(id);
  const DAY = 86400000;
  const MONTHS = "January February March April May June July August September October November December".split(" ");
  const WEEKDAYS = "Sun Mon Tue Wed Thu Fri Sat".split(" ");
  const HARD = "\u00a0"; // a space at which no line ends: a figure stays with what it counts
  const first = Date.parse(plan.start + "T00:00:00Z");
  const last = plan.days - 1;

  // ---- the data, laid out: texts are kept as the numbers of their pieces (phrases.py)
  const ENDS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789";
  const LEADS = "!#$%'()*+,-./:;=?@[]^_`{|}~";
  function spell(code) {
    let said = "", lead = 0;
    for (const sign of code) {
      const end = ENDS.indexOf(sign);
      if (end < 0) lead = lead * LEADS.length + LEADS.indexOf(sign) + 1;
      else { said += plan.pieces[lead * ENDS.length + end]; lead = 0; }
    }
    return said;
  }
  const DATES = ["sow", "up", "in", "harvest", "early", "late", "end", "cleared"];
  plan.plantings = plan.plantings.map(([id, crop, place, plants, tray, cells, days, stands, where, lots]) => {
    const p = { id, plants, cells, name: plan.crops[crop][0], dot: plan.crops[crop][1], verb: plan.crops[crop][2] || "sown", place: plan.places[place].name };
    DATES.forEach((name, n) => { p[name] = days[n]; });
    p.tray = tray < 0 ? "" : plan.trays[tray];
    p.bought = tray === -2;
    p.count = plants + HARD + (plants === 1 ? "plant" : "plants");
    p.where = spell(where);
    p.lots = lots.map(([ready, end, amount, wanted]) => [ready, end, spell(amount), wanted ?? ready]);
    if (plan.places[place].kind === "bed") [p.rows, p.at, p.long, p.lead, p.pitch, p.ys] = stands;
    else { p.slots = stands; p.at = Math.min(...stands); }
    return p;
  });

  // Bed 2 comes before Bed 10.
  const byNumber = (a, b) => a.localeCompare(b, "en", { numeric: true });

  // Days are counted from the season's first, so that no time zone can shift them.
  const date = (n) => new Date(first + n * DAY);
  const iso = (n) => date(n).toISOString().slice(0, 10);
  const short = (n) => date(n).getUTCDate() + HARD + MONTHS[date(n).getUTCMonth()].slice(0, 3);
  const long = (n) => WEEKDAYS[date(n).getUTCDay()] + HARD + date(n).getUTCDate() + HARD + MONTHS[date(n).getUTCMonth()] + " " + date(n).getUTCFullYear();
  const alike = (from, to) => date(from).getUTCMonth() === date(to).getUTCMonth() && to - from < 31;
  const span = (from, to) => (from === to ? "" : (alike(from, to) ? date(from).getUTCDate() : short(from)) + " to ") + short(to);
  const clamp = (n) => Math.min(Math.max(n, 0), last);
  const weekOf = (n) => n - ((date(n).getUTCDay() + 6 - plan.weekStart + 7) % 7);

  function today() {
    const now = new Date();
    return Math.round((Date.UTC(now.getFullYear(), now.getMonth(), now.getDate()) - first) / DAY);
  }

  function make(name, attributes, ...children) {
    const element = document.createElement(name);
    return dress(element, attributes, children);
  }
  function draw(name, attributes, ...children) {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    return dress(element, attributes, children);
  }
  function dress(element, attributes, children) {
    for (const key in attributes || {}) {
      if (attributes[key] !== null && attributes[key] !== undefined) element.setAttribute(key, attributes[key]);
    }
    element.append(...children.filter((child) => child !== null));
    return element;
  }

  // ---- ticks, kept in the browser under the plan's own name
  const KEY = "sowplan:" + plan.id + ":done";
  let ticks = {};
  try { ticks = JSON.parse(localStorage.getItem(KEY) || "{}") || {}; } catch (error) { ticks = {}; }
  function keep() {
    try { localStorage.setItem(KEY, JSON.stringify(ticks)); }
    catch (error) { say("This browser does not keep ticks for files: copy the line before you close the page."); }
  }
  function say(words) { $("said").textContent = words; }

  // A job of several crops is ticked whole, under its id, or crop by crop, under "/" and each part's.
  function dayOf(task, part) {
    return ticks[task.id] || (part.ids.every((id) => "/" + id in ticks) ? ticks["/" + part.ids[0]] : "");
  }
  // What the diary has done is so for good here: it is neither ticked nor carried back.
  const entered = (id) => Object.hasOwn(plan.told, id);
  function inDiary(task, part) {
    if (entered(task.id)) return true;
    return part ? part.ids.every((id) => entered("/" + id)) : task.parts.length > 0 && task.parts.every((one) => inDiary(task, one));
  }
  const isDone = (task) => inDiary(task) || task.id in ticks || (task.parts.length > 0 && task.parts.every((part) => inDiary(task, part) || dayOf(task, part)));

  function mark(task, part, day) { // no part: the whole job; no day: not done
    const open = task.parts.filter((one) => !inDiary(task, one)), whole = open.length === task.parts.length;
    const days = open.map((one) => (part && part !== one ? dayOf(task, one) : day));
    delete ticks[task.id];
    for (const one of task.parts) for (const id of one.ids) delete ticks["/" + id];
    if (whole && (!part ? day : days.every((one) => one && one === day))) { if (day) ticks[task.id] = day; }
    else open.forEach((one, n) => { if (days[n]) for (const id of one.ids) ticks["/" + id] = days[n]; });
    keep();
    for (const show of reflected) show();
    carry();
  }
  function tick(task, part, done) {
    mark(task, part, done ? iso(today()) : "");
    say((done ? "Ticked: " : "Not ticked any more: ") + (part ? part.name + ", " : "") + task.title);
  }

  function carry() {
    const known = new Map(); // a job of several has its first part's id: alone, that part is told so
    for (const task of tasks) {
      if (inDiary(task)) continue;
      known.set(task.id, "");
      for (const part of task.parts) if (!inDiary(task, part)) for (const id of part.ids) known.set("/" + id, id === task.id ? "--only " : "");
    }
    const done = Object.keys(ticks).filter((id) => known.has(id)).sort((a, b) => (ticks[a] + a < ticks[b] + b ? -1 : 1));
    $("carry").hidden = done.length === 0;
    const quoted = (word) => (/^[\w.:=@+-]+$/.test(word) ? word : "'" + word.replace(/'/g, "'\\''") + "'");
    $("line").value = "sowplan done " + done.map((id) => known.get(id) + quoted(id.replace(/^\//, "") + "=" + ticks[id])).join(" ");
  }

  // ---- a phone is shown what is needed first; the rest is folded
  const narrow = window.matchMedia("(max-width: 40rem)");
  const parts = [...document.querySelectorAll("details.part")];
  const unfold = (hash) => { for (const part of parts) if (hash && part.parentElement.id === hash.slice(1)) part.open = true; };
  for (const part of parts) part.open = !narrow.matches;
  for (const link of document.querySelectorAll("nav a")) link.addEventListener("click", () => unfold(link.hash));
  unfold(window.location.hash);

  // ---- tasks
  const titles = [...document.querySelectorAll("#every dd")].map((line) => line.firstChild.data);
  const tasks = plan.tasks.map(([owner, rest, day, wait, details, crops], n) => ({
    id: (owner === null ? "" : plan.plantings[owner].id) + rest,
    day, until: day + wait, title: titles[n], details,
    parts: (crops || []).map(([crop, ...ids]) => ({
      name: plan.crops[crop][0],
      ids: ids.map((id) => (typeof id === "number" ? plan.plantings[id].id + rest : id)),
    })),
  }));
  let boxes = 0, reflected = []; // what shows the ticks again when one has changed
  function when(task, from) {
    if (task.until > task.day) return task.day < from ? span(task.day, task.until) : "until " + short(task.until);
    return task.day < from ? short(task.day) : "on the day";
  }
  function ticked(task, part, ...more) { // a box, what it is for, and on which day it was done
    const id = "task-" + boxes++, name = part ? part.name : task.title;
    const box = make("input", { type: "checkbox", id });
    box.addEventListener("change", () => tick(task, part, box.checked));
    const on = make("input", { type: "date", max: iso(today()), "aria-label": "Day on which this was done: " + name });
    on.addEventListener("change", () => {
      if (on.value && on.value <= on.max) mark(task, part, on.value); else on.value = part ? dayOf(task, part) : ticks[task.id];
    });
    const known = inDiary(task, part), day = plan.told[entered(task.id) ? task.id : part ? "/" + part.ids[0] : ""];
    const dated = make("div", { class: "on" }, ...(known ? [Number.isInteger(day) ? "in the diary, " + short(day) : "nothing left to do"] : ["done on", on]));
    box.disabled = known;
    const line = make("li", null, box, make("label", { for: id }, name), dated, ...more);
    const show = () => {
      const day = part ? dayOf(task, part) : ticks[task.id];
      box.checked = known || (part ? Boolean(day) : isDone(task));
      box.indeterminate = !part && !box.checked && task.parts.some((one) => dayOf(task, one) || inDiary(task, one));
      line.classList.toggle("done", box.checked);
      dated.hidden = known ? part && inDiary(task) : !day || (part && task.id in ticks);
      on.value = day || "";
    };
    reflected.push(show);
    show();
    return line;
  }
  function item(task, from) {
    const wait = when(task, from);
    if (!task.details) return ticked(task, null, make("span", null, wait));
    const summary = make("summary", { "aria-label": wait + ", more about " + task.title }, wait);
    const more = make("details", null, summary, ...spell(task.details).split("\n").map((paragraph) => make("p", null, paragraph)));
    if (task.parts.length) { // the boxes of its crops are made when they are looked for
      more.addEventListener("toggle", () => summary.after(
        make("ul", { class: "parts", "aria-label": "Crop by crop" }, ...task.parts.map((part) => ticked(task, part)))), { once: true });
    }
    return ticked(task, null, more);
  }

  function showWeek(day) {
    const from = weekOf(day), to = from + 6, now = weekOf(clamp(today()));
    const name = from === now ? "This week" : from === now + 7 ? "Next week" : "The week";
    $("week-title").textContent = name + ", " + span(from, to);
    const list = $("tasks");
    list.replaceChildren();
    reflected = [];
    const open = tasks.filter((task) => task.day < from && task.until >= from && !inDiary(task));
    const groups = new Map();
    if (open.length) groups.set("Still open", open);
    for (const task of tasks) {
      if (task.day >= from && task.day <= to) {
        const head = (task.day === today() ? "Today, " : "") + long(task.day).replace(/ \d{4}$/, "");
        if (!groups.has(head)) groups.set(head, []);
        groups.get(head).push(task);
      }
    }
    // Today's jobs are looked for first, whatever stands open from before.
    for (const [head, group] of [...groups].sort((a, b) => b[0].startsWith("Today") - a[0].startsWith("Today"))) {
      list.append(make("div", { class: "date" }, make("h3", null, head), make("ul", { class: "tasks" }, ...group.map((task) => item(task, from)))));
    }
    if (!groups.size) list.append(make("p", { class: "quiet" }, "Nothing to do but water and look."));
    const late = tasks.filter((task) => task.until < from && task.until >= from - 21 && !isDone(task));
    $("late").hidden = late.length === 0 || from > now;
    $("late").querySelector("summary").textContent = late.length + (late.length === 1 ? " earlier task is" : " earlier tasks are") + " not ticked";
    $("late").querySelector("ul").replaceChildren(...late.map((task) => item(task, from)));
    const next = tasks.filter((task) => task.day > to && task.day <= to + 7);
    $("next").hidden = next.length === 0;
    $("next").querySelector("ul").replaceChildren(...next.map((task) => item(task, to + 8)));
    $("week-back").disabled = weekOf(0) >= from;
    $("week-on").disabled = to >= last;
  }

  function showSky(day) {
    const sky = plan.sky[day];
    let words = long(day);
    if (sky.length) {
      const [hours, night, noon, frost] = sky;
      words += ": day " + hours + HARD + "h, usually " + night + " to " + noon + HARD + plan.degree;
      if (frost >= 0.5) words += ", frost that week in " + (frost < 1 ? "under 1" : frost) + HARD + "% of years";
    }
    $("sky").textContent = words.replace(/-(\d)/g, "\u2212$1");
    const water = spell(plan.water[(weekOf(day) - weekOf(0)) / 7] || "");
    $("water").replaceChildren(...(water ? [make("b", null, "Water " + (weekOf(day) === weekOf(today()) ? "this" : "that") + " week."), " " + water] : []));
  }

  // {{beds.js}}

  // ---- season and harvest
  for (const bar of document.querySelectorAll("#scroll [data-p]")) {
    const p = plan.plantings[bar.dataset.p];
    bar.append(draw("title", null, told(p, -1e6)));
  }
  function showSeason(day, scroll) {
    const box = $("scroll"), x = (day + 0.5) * plan.perDay, now = $("now");
    now.hidden = false;
    now.style.left = x + "px";
    if (scroll) box.scrollLeft = Math.max(0, x - box.clientWidth / 3);
  }

  // The table of plantings is long and seldom asked for: it is filled when it is opened.
  function fillTable() {
    const body = $("all").tBodies[0];
    if (body.rows.length) return;
    const rows = [...plan.plantings].sort((a, b) => a.in - b.in || byNumber(a.id, b.id));
    for (const p of rows) {
      body.append(make("tr", null, ...[
        p.name, String(p.plants), p.place, p.where, p.bought ? "bought" : short(p.sow) + (p.tray ? ", " + p.tray : ""), p.tray || p.bought ? short(p.in) : "",
        p.lots.length ? span(p.harvest, p.end) : "none", p.late > p.early ? span(p.early, p.late) : "", short(p.cleared),
      ].map((words) => make("td", null, words))));
    }
  }
  $("all").closest("details").addEventListener("toggle", fillTable);

  const MOST_TOLD = 8; // of the crops that are fit soon so many stand on a phone, the rest in a fold
  function showHarvest(day) {
    $("coming-day").textContent = short(day);
    const rows = [];
    for (const p of plan.plantings) {
      p.lots.forEach(([ready, end, amount, wanted], n) => {
        const range = n === 0 && p.late > p.early ? "first fit " + span(p.early, p.late) : "";
        const waits = (wanted > end ? "not wanted before " : "stands ready, wanted from ") + short(wanted);
        const note = wanted > Math.max(day, ready) ? waits : range;
        if (end >= day && ready <= day + 28) rows.push([ready, end, p, amount, note]);
      });
    }
    const near = narrow.matches ? 7 : 14;
    $("near").textContent = narrow.matches ? "week" : "two weeks";
    rows.sort((a, b) => a[0] - b[0] || a[1] - b[1] || byNumber(a[2].id, b[2].id));
    // A crop is told once, with a line for all of it that is fit on the same days.
    const line = (same) => {
      const [ready, end, , , note] = same[0];
      const lots = same.flatMap(([, , p, amount], n) => [make("span", { class: "lot" }, amount + ", " + p.place + (n + 1 < same.length ? ";" : "")), " "]);
      return make("li", null, make("span", null, span(ready, end)), make("span", null, ...lots),
        note ? make("span", { class: "range" }, note) : null);
    };
    const byCrop = (some) => {
      const crops = new Map();
      for (const row of some) {
        const [ready, end, p, , note] = row, days = [ready, end, note].join();
        if (!crops.has(p.name)) crops.set(p.name, new Map());
        const lines = crops.get(p.name);
        lines.set(days, [...(lines.get(days) || []), row]);
      }
      return [...crops].map(([name, lines]) => make("li", null, make("b", null, name), make("ul", null, ...[...lines.values()].map(line))));
    };
    const soon = rows.filter(([ready]) => ready <= day + near), later = rows.slice(soon.length);
    const nearest = byCrop(soon), most = narrow.matches && nearest.length > MOST_TOLD + 2 ? MOST_TOLD : nearest.length;
    $("coming").replaceChildren(...nearest.slice(0, most));
    $("rest").hidden = most === nearest.length;
    $("rest").querySelector("summary").textContent = nearest.length - most + " more crops";
    $("rest").querySelector("ul").replaceChildren(...nearest.slice(most));
    if (!soon.length) $("coming").append(make("li", null, make("span", null, "Nothing is fit in these days.")));
    $("later").hidden = !later.length;
    const crops = byCrop(later), weeks = narrow.matches ? "The three weeks after: " : "The two weeks after: ";
    $("later").querySelector("summary").textContent = weeks + crops.length + HARD + (crops.length === 1 ? "crop" : "crops");
    $("later").querySelector("ul").replaceChildren(...crops);
  }

  // ---- one day for all
  let shown = clamp(today());
  function show(day, scroll) {
    shown = clamp(day);
    $("day").value = iso(shown);
    showWeek(shown);
    showSky(shown);
    showBeds(shown);
    showSeason(shown, scroll);
    showHarvest(shown);
  }

  $("day").min = iso(0);
  $("day").max = iso(last);
  $("slider").max = last;
  $("day").addEventListener("change", (event) => {
    const asked = Date.parse(event.target.value + "T00:00:00Z");
    show(isNaN(asked) ? shown : Math.round((asked - first) / DAY), true);
  });
  $("slider").addEventListener("input", (event) => show(Number(event.target.value), true));
  $("week-back").addEventListener("click", () => show(shown - 7, true));
  $("week-on").addEventListener("click", () => show(shown + 7, true));
  $("today").addEventListener("click", () => show(today(), true));
  $("copy").addEventListener("click", () => {
    const done = () => say("The line is copied.");
    const byHand = () => {
      $("line").focus();
      $("line").select();
      say(document.execCommand && document.execCommand("copy") ? "The line is copied." : "The line is selected: copy it by hand.");
    };
    if (navigator.clipboard && window.isSecureContext) navigator.clipboard.writeText($("line").value).then(done, byHand);
    else byHand();
  });
  $("forget").addEventListener("click", () => {
    if (!window.confirm("Forget every tick on this page?")) return;
    ticks = {};
    keep();
    carry();
    show(shown, false);
    say("All ticks are forgotten.");
  });

  narrow.addEventListener("change", () => show(shown, false));
  parts[0].addEventListener("toggle", () => { if (parts[0].open) showSeason(shown, true); });
  $("every").open = false; // without scripts it is the list of jobs
  const now = today();
  if (now < 0 || now > last) {
    $("outside").hidden = false;
    $("outside").textContent = now < 0
      ? "The season begins on " + long(0) + ": its first week is shown."
      : "The season ended on " + long(last) + ": its last week is shown.";
  }
  show(now, true);
  carry();
})();

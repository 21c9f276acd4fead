// The day as blocks that can be dragged; without this module the form alone does all of it.
const form = document.querySelector("#day-form");
const $ = (what, at = document) => at.querySelector(what);
const $$ = (what, at = document) => [...at.querySelectorAll(what)];
const me = Math.random().toString(36).slice(2);
const UNITS = { d: 1440, h: 60, min: 1, s: 1 / 60 };

// Minutes of a time as people write it; none where it cannot be read.
function minutes(text) {
  const parts = [...text.matchAll(/(\d+(?:\.\d+)?)\s*(d|h|min|s)\b/g)];
  const rest = text.replace(/(\d+(?:\.\d+)?)\s*(d|h|min|s)\b/g, "").trim();
  return parts.length && !rest ? parts.reduce((sum, [, value, unit]) => sum + value * UNITS[unit], 0) : null;
}
function told(value) {
  const hours = value / 60;
  return value >= 120 && hours * 4 === Math.round(hours * 4) ? `${hours} h` : `${value} min`;
}

class Day {
  constructor() {
    this.call = null;
    form.addEventListener("input", (event) => { if (event.target.name !== "text") { this.draw(); this.soon(); } });
    form.addEventListener("focusin", (event) => this.light(event.target.closest(".span")));
    form.addEventListener("submit", (event) => this.submit(event));
    this.draw();
  }
  get spans() { return $$("#spans > .span", form); }
  field(span, name) { return $(`[name^="${name} "]`, span); }
  // What a span is and what runs in it stands in its row, open or not.
  tell(span) {
    const when = this.field(span, "when").selectedOptions[0].textContent, value = (name) => this.field(span, name).value.trim();
    $(".head", span).textContent = `${when} ${value("time")}`;
    const air = ($("#d-cold", form).value.trim() || value("temperature")).replace(/\s*(?:deg)?([CF])$/, " °$1").replace("-", "−");
    $(".air", span).textContent = [air, value("sun") && `${form.dataset.sun} ${value("sun")}`].filter(Boolean).map((each) => ` · ${each.replaceAll(" ", "\u00a0")}`).join("");
    $(".runs", span).textContent = $$(".tick :checked", span).map((each) => each.value).join(", ") || form.dataset.nothing;
  }
  draw() {
    const bar = $("#blocks", form), spans = this.spans;
    const edge = bar.contains(document.activeElement) ? document.activeElement.dataset.edge : null;
    bar.hidden = false;
    bar.replaceChildren(...spans.flatMap((span, n) => {
      const when = this.field(span, "when"), time = this.field(span, "time");
      const block = document.createElement("div"), text = document.createElement("span");
      const name = when.selectedOptions[0].textContent;
      this.tell(span);
      block.className = when.value;
      block.dataset.number = n + 1;
      text.textContent = `${name} ${time.value}`;
      block.title = text.textContent;
      block.style.flexGrow = Math.max(minutes(time.value) ?? 0, 1);
      block.append(text);
      block.onclick = () => { $("details", span).open = true; time.scrollIntoView({ block: "center" }); time.focus(); };
      return [block, this.edge(n, name, minutes(time.value) ?? 0)];
    }));
    if (edge !== null) $(`[data-edge="${edge}"]`, bar)?.focus();
  }
  // The end of a span: what it gets the next one gives; the last one alone changes the length of the day.
  edge(n, name, value) {
    const found = document.createElement("span");
    Object.assign(found, { className: "edge", tabIndex: 0, role: "slider" });
    found.dataset.edge = n;
    const about = { label: form.dataset.ends.replace("{name}", name), valuenow: Math.round(value), valuemin: 5, valuemax: 2880, valuetext: form.dataset.minutes.replace("{count}", Math.round(value)) };
    for (const [key, each] of Object.entries(about)) found.setAttribute(`aria-${key}`, each);
    found.onkeydown = (event) => {
      const step = { ArrowRight: 5, ArrowUp: 5, ArrowLeft: -5, ArrowDown: -5, PageUp: 60, PageDown: -60 }[event.key];
      if (!step) return;
      event.preventDefault();
      this.move(n, value + step);
    };
    found.onpointerdown = (event) => this.drag(event, n, value);
    return found;
  }
  drag(event, n, value) {
    event.preventDefault();
    const bar = $("#blocks", form), from = event.clientX, wide = bar.getBoundingClientRect().width;
    const whole = this.spans.reduce((sum, span) => sum + (minutes(this.field(span, "time").value) ?? 0), 0);
    const move = (now) => this.move(n, value + ((now.clientX - from) / wide) * whole, now.shiftKey ? 1 : 5);
    const stop = () => { removeEventListener("pointermove", move); removeEventListener("pointerup", stop); removeEventListener("pointercancel", stop); };
    addEventListener("pointermove", move);
    addEventListener("pointerup", stop);
    addEventListener("pointercancel", stop);
  }
  move(n, wanted, grain = 5) {
    const [mine, next] = [this.spans[n], this.spans[n + 1]].map((span) => span && this.field(span, "time"));
    const have = minutes(mine.value) ?? 0, other = next ? minutes(next.value) : null;
    let value = Math.max(grain, Math.round(wanted / grain) * grain);
    if (other !== null) value = Math.min(value, have + other - grain);
    if (value === have) return;
    mine.value = told(value);
    if (other !== null) next.value = told(have + other - value);
    this.draw();
    $(`[data-edge="${n}"]`, form).focus({ preventScroll: true });
    this.soon();
  }
  light(span) { for (const each of this.spans) each.classList.toggle("lit", each === span); }
  soon() { clearTimeout(this.timer); this.timer = setTimeout(() => this.run(), 300); }
  submit(event) {
    const what = event.submitter?.value ?? "";
    if (event.submitter?.name === "cure" || what === "write") return;
    event.preventDefault();
    if (what === "run" || !what) this.run(); else this.run(what);
  }
  // The newest question wins: first without cures, which take longest; a change of rows brings the form back.
  // What is kept as a draft has a day of its own: that one is asked for, none is sent.
  async run(what = "run", quick = true) {
    clearTimeout(this.timer);
    this.call?.abort();
    const call = (this.call = new AbortController()), data = new FormData(form), kept = what === "kept";
    if (kept) for (const name of [...data.keys()]) if (name.includes(" ")) data.delete(name);
    $("#spans", form).inert = kept;
    data.set("do", what);
    if (quick) data.set("quick", "1");
    this.busy(quick ? form.dataset.running : form.dataset.curing);
    try {
      const answer = await fetch(form.getAttribute("action"), { method: "POST", body: data, signal: call.signal, headers: { Accept: "text/html", "X-CSRF-Token": data.get("csrf"), "X-Page": me } });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      if (call !== this.call) return;
      if (!$("#days-answer", page)) this.wrong($("main", page)?.textContent.trim() || document.body.dataset.failed);
      else if (quick) this.paint(page, what !== "run", kept);
      else this.cured(page);
      if (quick && $("#days-answer").dataset.cures) this.run("run", false);
    } catch (error) {
      if (error.name !== "AbortError") this.wrong(form.dataset.asleep);
    } finally {
      if (call === this.call) { this.busy(""); $("#spans", form).inert = false; }
    }
  }
  busy(text) {
    $("#day-state", form).textContent = text;
    $("#days").classList.toggle("busy", Boolean(text));
    if (text) $("#days-answer").setAttribute("aria-busy", "true"); else $("#days-answer").removeAttribute("aria-busy");
  }
  paint(page, rows, kept) {
    const now = $("#days-answer"), answer = $("#days-answer", page), wrong = $("#day-wrong", page).textContent.trim(), open = $$("details[open][id]").map((each) => each.id);
    if (rows && $("#spans", page)) { $("#spans", form).replaceChildren(...$("#spans", page).childNodes); this.draw(); if (!kept) $("#spans summary", form)?.focus({ preventScroll: true }); }
    const ran = $(".verdict", answer);
    delete now.dataset.cures;
    if (ran || kept || !$(".verdict", now)) now.replaceChildren(...answer.childNodes);
    if (ran) {
      if (answer.dataset.cures) now.dataset.cures = answer.dataset.cures;
      $("#day-short", form).replaceChildren(...$("#day-short", page).childNodes);
      if (!rows) for (const [n, span] of this.spans.entries()) for (const what of [".change", ".idle"]) $(what, span).replaceChildren(...($$(`#spans > .span ${what}`, page)[n]?.childNodes ?? []));
    }
    this.wrong(wrong);
    for (const id of open) { const each = document.getElementById(id); if (each) each.open = true; }
  }
  // What cures it came after the rest, or why it did not.
  cured(page) {
    const wrong = $("#day-wrong", page).textContent.trim(), box = $("#cures");
    delete $("#days-answer").dataset.cures;
    if (!wrong) this.paint(page, false, false);
    else if (box) box.replaceChildren(box.firstElementChild, Object.assign(document.createElement("p"), { textContent: wrong }));
  }
  // A run that failed leaves the one before in its place, marked as such.
  wrong(text) {
    const box = $("#day-wrong", form);
    box.textContent = text;
    box.hidden = !text;
    $("#days-answer").classList.toggle("outdated", Boolean(text && $("#days-answer .verdict")));
    if (text) $("#day-short", form).replaceChildren();
  }
}
if (form) {
  const key = `draft ${$("#main").dataset.job}`, told = new URLSearchParams(location.search), saved = told.has("saved");
  const text = $('[name="text"]', form), day = new Day();
  let draft = null;
  try { draft = JSON.parse(localStorage.getItem(key)); } catch { /* a browser that keeps nothing */ }
  // What was written in is a revision now: a draft of before would hide it, and undo it with the next that is written.
  if (saved) { text.value = ""; try { localStorage.removeItem(key); } catch { /* the same */ } history.replaceState(null, "", location.pathname); }
  else if (draft?.text) { text.value = draft.text; $('[name="based_on"]', form).value = draft.base; day.run("kept"); }
  if ($("#days-answer").dataset.cures && !day.call) day.run("run", false);
}

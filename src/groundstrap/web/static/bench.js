// Without this module the page works by forms.
const $ = (what, at = document) => at.querySelector(what);
const $$ = (what, at = document) => [...at.querySelectorAll(what)];
const page = document.body.dataset;
const main = $("#main");
const me = Math.random().toString(36).slice(2);
document.documentElement.classList.add("live");
const wide = matchMedia("(min-width: 60rem)");

function ask(address, data, { method = "POST", accept = "text/html", signal } = {}) {
  const form = data instanceof FormData;
  const headers = { Accept: accept, "X-CSRF-Token": page.token, "X-Page": me };
  if (!form) headers["Content-Type"] = "application/json";
  busy(1);
  return fetch(address, { method, signal, headers, body: form ? data : JSON.stringify(data) }).finally(() => busy(-1));
}
// What takes longer than one notices is shown to be under way.
let asked = 0, slow;
function busy(more) {
  asked += more;
  if (asked) slow ||= setTimeout(() => document.documentElement.classList.add("busy"), 300);
  else { clearTimeout(slow); slow = 0; document.documentElement.classList.remove("busy"); }
}
const later = (wait, work) => {
  let timer;
  return (...given) => { clearTimeout(timer); timer = setTimeout(work, wait, ...given); };
};
const kept = {
  get(store, key) { try { return JSON.parse(store.getItem(key)); } catch { return null; } },
  put(store, key, value) { try { store.setItem(key, JSON.stringify(value)); return true; } catch { return false; } },
  drop(store, key) { try { store.removeItem(key); } catch { /* a browser that keeps nothing */ } },
};
const fill = (text, values) => text.replace(/\{(\w+)\}/g, (_, name) => values[name] ?? "");

// One place that shows an answer: the newest question wins, an older one is called off.
class Pane {
  constructor(box, painted = () => {}, before = () => {}) { Object.assign(this, { box, painted, before, call: null }); }
  async show(address, data) {
    this.call?.abort();
    const call = (this.call = new AbortController());
    this.box.setAttribute("aria-busy", "true");
    try {
      const answer = await ask(address, data, { signal: call.signal });
      const told = await answer.text();
      if (call !== this.call) return;
      this.paint(told, answer.status);
    } catch (error) {
      if (error.name !== "AbortError") this.painted(0);
    } finally {
      if (call === this.call) this.box.removeAttribute("aria-busy");
    }
  }
  got(told, status) { this.call?.abort(); this.call = null; this.box.removeAttribute("aria-busy"); this.paint(told, status); }
  paint(told, status) {
    this.before();
    const open = $$("details[open][id]", this.box).map((each) => each.id);
    const { show, name } = this.box.contains(document.activeElement) ? document.activeElement.dataset : {};
    const stays = status === 422 && $(".verdict", this.box);
    this.box.classList.toggle("outdated", Boolean(stays));
    $$(":scope > .faults", this.box).forEach((each) => each.remove());
    if (stays) this.box.insertAdjacentHTML("afterbegin", told);
    else if (this.box.matches(".answer")) {
      const now = this.box.cloneNode();
      now.innerHTML = told;
      renew(this.box, now);
    } else this.box.innerHTML = told;
    for (const id of open) { const each = document.getElementById(id); if (each) each.open = true; }
    if (name) $(`[data-show="${show}"][data-name="${CSS.escape(name)}"]`, this.box)?.focus();
    tidy(this.box);
    this.painted(status);
  }
}
// Only what differs is put in anew: the rest need not be laid out and painted again.
function renew(old, now) {
  const coming = [...now.childNodes];
  if (old.childNodes.length !== coming.length) old.replaceChildren(...coming);
  else [...old.childNodes].forEach((each, n) => {
    const next = coming[n];
    if (each.isEqualNode(next)) return;
    if (each.childElementCount && each.cloneNode().isEqualNode(next.cloneNode())) renew(each, next); else each.replaceWith(next);
  });
}

// What a part of a drawing is of: an entry has its whole name, or the most of its beginning.
function behind({ dataset: { kind, name } }) {
  const of = { wire: "circuit", part: "circuit" }[kind] ?? kind, there = /^(place|route|zone)$/;
  const rank = ({ dataset: each }) => 2 * each.name.length + (each.entryOf === of);
  const fits = ({ dataset: each }) => there.test(of) ? each.entryOf === of && each.name === name : !there.test(each.entryOf) && `${name} `.startsWith(`${each.name} `);
  return $$("[data-entry-of][data-name]").filter(fits).sort((a, b) => rank(b) - rank(a))[0];
}
// What a browser needs told: parts of a drawing can be reached by keyboard.
function tidy(at) {
  for (const each of $$(".picture svg:has([data-kind][data-name])", at)) each.setAttribute("role", "group");
  for (const each of $$(".picture [data-kind][data-name]", at)) {
    if (!behind(each)) continue;
    each.setAttribute("tabindex", "0");
    each.setAttribute("role", "link");
    each.setAttribute("aria-label", `${JSON.parse(each.closest(".picture").dataset.kinds)[each.dataset.kind]} ${each.dataset.name}`);
  }
}
function strip(box) {
  const bar = $("#strip"), told = $("[data-strip]", box);
  if (!bar || !told) return;
  bar.hidden = false;
  const text = $(".text", bar);
  text.textContent = told.dataset.strip;
  text.className = `text sign is-${told.dataset.stripSign}`;
  if (told.dataset.stripMore) text.append(Object.assign(document.createElement("small"), { className: "out-of-sight", textContent: told.dataset.stripMore }));
}
function openNamed(id) {
  const found = id && document.getElementById(id);
  if (!found) return null;
  for (let each = found; each; each = each.parentElement) if (each.tagName === "DETAILS") each.open = true;
  return found;
}
function dialog(content) {
  const box = $("#dialog") ?? document.body.appendChild(Object.assign(document.createElement("dialog"), { id: "dialog" }));
  const shut = Object.assign(document.createElement("button"), { type: "button", textContent: page.close, className: "small" });
  shut.onclick = () => box.close();
  box.replaceChildren(content, shut);
  for (const each of $$("details", box)) each.open = true;
  if (!box.open) box.showModal();
}
async function fetched(address, what, data) {
  const answer = data ? await ask(address, data) : await fetch(address, { headers: { Accept: "text/html" } });
  return $(what, new DOMParser().parseFromString(await answer.text(), "text/html"));
}

// A term, a number's working, a part of a drawing: each opens where one stands.
document.addEventListener("click", async (event) => {
  const link = event.target.closest("a.term, a.fig");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const there = link.dataset.working && openNamed(`w-${link.dataset.working}`);
  event.preventDefault();
  if (there) { there.scrollIntoView({ block: "nearest" }); $("summary", there).focus(); return; }
  const [address, id] = link.getAttribute("href").split("#");
  const data = link.dataset.working && writing ? writing.question() : null;
  const found = await fetched(data ? `/api/${link.closest("[data-load]") ? "loads" : "circuits"}/${address.split("/").pop()}` : address, `#${CSS.escape(id)}`, data);
  if (found) dialog(found); else location.href = link.href;
});
addEventListener("hashchange", () => openNamed(decodeURIComponent(location.hash.slice(1)))?.scrollIntoView());
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") $$(".menu[open]").forEach((each) => { each.open = false; $("summary", each).focus(); });
  if ((event.key === "Enter" || event.key === " ") && event.target.closest?.(".picture [data-name]")) { event.preventDefault(); event.target.dispatchEvent(new MouseEvent("click", { bubbles: true })); }
});
document.addEventListener("click", (event) => $$(".menu[open]").forEach((each) => { if (!each.contains(event.target)) each.open = false; }));

// The writing of a job: the text is the truth, forms are a way to edit it.
class Writing {
  constructor() {
    const { job, base, at } = main.dataset;
    Object.assign(this, { id: job, at, base: Number(base), area: $("#job-text"), forms: $("#forms"), lines: $(".lines"), state: $("#state") });
    this.saved = this.area.value;
    this.what = { show: "answer", name: "" };
    this.pane = new Pane($("#answer"), (status) => this.painted(status));
    this.formPane = new Pane(this.forms, () => this.formed(), () => this.hold());
    this.past = []; this.next = []; this.last = { from: "", when: 0 };
    this.wanted = new Map(); this.busy = false; this.turn = Promise.resolve(); this.held = [];
    this.wire();
    this.recall();
    this.number();
    if (this.area.value !== this.saved) this.answer(); else { tidy($("#answer")); this.painted(200); }
  }
  question() {
    const { units, language } = main.dataset;
    return { text: this.area.value, job: this.id, language, ...(units ? { units } : {}) };
  }
  wire() {
    const panes = $("#panes");
    panes.hidden = false; $("#shown").hidden = false;
    panes.addEventListener("click", (event) => { const pane = event.target.dataset.pane; if (pane) this.side(pane); });
    this.side(kept.get(sessionStorage, "side") ?? "forms");
    this.area.addEventListener("input", () => this.put(this.area.value, "text", true));
    this.area.addEventListener("scroll", () => { this.lines.scrollTop = this.area.scrollTop; });
    this.forms.addEventListener("input", (event) => { if (event.target.dataset.path) this.field(event.target); });
    this.forms.addEventListener("submit", (event) => { event.preventDefault(); if (event.submitter?.name === "do") this.act(event.submitter); });
    this.forms.addEventListener("toggle", (event) => { if (event.target.matches(".entry")) this.opened(event.target); }, true);
    this.forms.addEventListener("keydown", (event) => {
      const button = event.key === "Enter" && event.target.matches("input") && $("button[name=do]", event.target.closest(".adding") ?? document.createElement("p"));
      if (button) { event.preventDefault(); this.act(button); }
    });
    this.forms.addEventListener("focusin", () => this.light());
    $("#answer").addEventListener("click", (event) => this.follow(event));
    $("#shown").addEventListener("click", (event) => this.follow(event));
    document.addEventListener("click", (event) => { const line = event.target.dataset?.line; if (line) this.jump(Number(line), Number(event.target.dataset.column)); });
    $("#keep").addEventListener("submit", (event) => { event.preventDefault(); this.save(); });
    for (const each of $$("[data-do]")) { each.hidden = false; each.addEventListener("click", () => this.step(each.dataset.do)); }
    document.addEventListener("keydown", (event) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const key = event.key.toLowerCase();
      const what = { z: event.shiftKey ? "redo" : "undo", y: "redo", s: "save" }[key];
      if (!what || event.target.closest("dialog, .top")) return;
      event.preventDefault();
      if (what === "save") this.save(); else this.step(what);
    });
    addEventListener("pagehide", () => this.keep());
  }
  side(pane) {
    for (const each of $$("[data-pane]")) each.setAttribute("aria-pressed", String(each.dataset.pane === pane));
    $("#forms").hidden = pane !== "forms";
    $("#text").hidden = pane !== "text";
    kept.put(sessionStorage, "side", pane);
    if (pane === "text") this.number(); else if (this.stale) this.redrawForms();
  }
  // Every change of the text comes through here, whichever way it was made.
  put(text, from, typed = false, told) {
    const before = typed ? this.before ?? this.saved : this.area.value;
    if (text === before) return;
    const now = Date.now();
    if (from !== this.last.from || now - this.last.when > 900) { this.past.push(before); if (this.past.length > 80) this.past.shift(); }
    this.last = { from, when: now };
    this.next = [];
    this.set(text, from, told);
  }
  set(text, from, told) {
    if (this.area.value !== text) this.area.value = text;
    this.before = text;
    this.stale = !from.startsWith("field ");
    this.number();
    if (told) this.pane.got(told.answer, told.status); else this.answer();
    this.told();
    this.keepSoon();
    if (this.stale && !this.forms.hidden) this.redrawSoon();
  }
  redrawSoon = later(350, () => this.redrawForms());
  keepSoon = later(400, () => this.keep());
  redrawForms() { this.stale = false; this.formPane.show("/api/forms", { ...this.question(), base: this.base, open: $$(".entry[open]", this.forms).map((each) => each.id) }); }
  step(what) {
    const [from, to] = what === "undo" ? [this.past, this.next] : [this.next, this.past];
    if (!from.length) return;
    to.push(this.area.value);
    this.last.from = "";
    this.set(from.pop(), what);
  }
  told(word) {
    const changed = this.area.value !== this.saved;
    this.state.textContent = word ?? (changed ? main.dataset.unsaved : fill(main.dataset.saved, { number: this.base }));
    $('[data-do="undo"]').disabled = !this.past.length;
    $('[data-do="redo"]').disabled = !this.next.length;
  }
  keep() {
    const key = `draft ${this.id}`;
    if (this.area.value === this.saved) kept.drop(localStorage, key);
    else kept.put(localStorage, key, { base: this.base, text: this.area.value });
    const steps = { past: this.past, next: this.next };
    while (!kept.put(sessionStorage, `steps ${this.id}`, steps) && steps.past.length) steps.past = steps.past.slice(Math.ceil(steps.past.length / 2));
  }
  recall() {
    const steps = kept.get(sessionStorage, `steps ${this.id}`), draft = kept.get(localStorage, `draft ${this.id}`);
    if (steps) { this.past = steps.past ?? []; this.next = steps.next ?? []; }
    this.before = this.saved;
    if (new URLSearchParams(location.search).has("saved")) {
      history.replaceState(null, "", location.pathname + location.hash);
      if (draft?.text && draft.text !== this.saved) this.past.push(draft.text);
      kept.drop(localStorage, `draft ${this.id}`);
      this.told();
    } else if (draft && typeof draft.text === "string" && draft.text !== this.saved) {
      this.base = draft.base;
      $('[name="based_on"]').value = draft.base;
      this.area.value = this.before = draft.text;
      this.redrawForms();
      this.told(main.dataset.restored);
    } else this.told();
  }
  // Behind the text stands a copy that is not seen: a line that is wrapped keeps its number.
  number() {
    if ($("#text").hidden) return;
    const texts = this.area.value.split("\n"), bad = this.bad ?? new Set(), box = this.lines;
    while (box.childElementCount > texts.length) box.lastChild.remove();
    texts.forEach((text, n) => {
      const line = box.children[n] ?? box.appendChild(document.createElement("div")), tag = bad.has(n + 1) ? "B" : "I";
      if (line.firstChild?.tagName !== tag) line.replaceChildren(Object.assign(document.createElement(tag), { textContent: n + 1 }), document.createElement("span"));
      if (line.lastChild.textContent !== text) line.lastChild.textContent = text;
    });
    box.scrollTop = this.area.scrollTop;
  }
  answer() {
    const { show, name } = this.what, question = this.question();
    if (show === "circuit" || show === "load") this.pane.show(`/api/${show}s/${encodeURIComponent(name)}`, question);
    else if (show === "drawing" || show === "routes") this.pane.show("/api/drawings", { ...question, compact: !wide.matches, routes: show === "routes" });
    else this.pane.show("/api/answers", question);
  }
  painted(status) {
    const box = $("#answer");
    this.bad = new Set($$("[data-line]", box).map((each) => Number(each.dataset.line)));
    $("#faults").replaceChildren(...$$(".faults", box).map((each) => each.cloneNode(true)));
    this.number();
    this.light();
    if (!status) this.told(main.dataset.asleep);
    else if (status === 404 && this.what.name) { this.what = { show: "answer", name: "" }; this.answer(); }
  }
  // What somebody is typing beside a button stays when the forms are made anew.
  hold() {
    const boxes = $$(".adding, .new form", this.forms).filter((box) => $("button[name=do]", box));
    this.held = boxes.map((box) => [$("button[name=do]", box).value, this.typed(box).map((each) => each.value), this.typed(box).indexOf(document.activeElement)]);
  }
  typed(box) { return $$("input:not([type=hidden]), select", box); }
  formed() {
    let { at, go, from } = this.coming ?? {};
    this.coming = null;
    for (const [key, values, on] of this.held) {
      // Who is writing somewhere else already is left there.
      const stays = on >= 0 && (values[on] || key !== from);
      const button = (stays || values.some(Boolean)) && $(`button[name=do][value="${CSS.escape(key)}"]`, this.forms);
      if (!button) continue;
      const fields = this.typed(button.closest(".adding, form"));
      fields.forEach((each, n) => { each.value ||= values[n] ?? ""; });
      if (stays) { go = false; fields[on]?.focus({ preventScroll: true }); }
    }
    const entry = at && $$("[data-entry-of]").find((each) => each.dataset.entryOf === at[0].slice(0, -1) && each.dataset.name === at[1]);
    if (entry && go) {
      // Of what was added one after the other only the last stands open.
      if (this.fresh && this.fresh !== entry.id && document.getElementById(this.fresh)) document.getElementById(this.fresh).open = false;
      this.fresh = entry.id;
      this.go(entry.id);
    }
    if (entry && this.heard) $("summary", entry).after(Object.assign(document.createElement("p"), { className: "said", textContent: this.heard }));
    this.heard = "";
    this.light();
  }
  // The circuit that one is writing at stands out in the answer, and over the keyboard of a phone.
  light() {
    const entry = document.activeElement?.closest?.("[data-entry-of]");
    $$(".lit").forEach((each) => each.classList.remove("lit"));
    strip($("#answer"));
    if (!entry) return;
    entry.classList.add("lit");
    const { entryOf, name } = entry.dataset, row = $(`#answer tr[data-${entryOf}="${CSS.escape(name)}"]`), bar = $("#strip .text");
    if (!row) return;
    row.classList.add("lit");
    bar.className = row.dataset.sign ? `text sign is-${row.dataset.sign}` : "text";
    bar.textContent = `${name}: ${$$("[data-part], [data-load] > td", row).slice(0, 3).map((each) => each.firstChild?.textContent.trim()).filter(Boolean).join(" · ")}`;
  }
  follow(event) {
    const link = event.target.closest("[data-show], [data-entry]");
    const part = event.target.closest(".picture [data-name]");
    if (part) { const entry = behind(part); if (entry) this.go(entry.id); return; }
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    if (link.dataset.entry) { this.go(link.dataset.entry); return; }
    this.what = { show: link.dataset.show, name: link.dataset.name ?? "" };
    for (const each of $$("#shown [data-show]")) each.setAttribute("aria-pressed", String((each.dataset.show === "drawing") === /^(drawing|routes)$/.test(this.what.show)));
    this.answer();
    if (link.closest("#answer")) { $("#answer").scrollIntoView({ block: "start" }); $("#answer").focus({ preventScroll: true }); }
  }
  async go(id) {
    this.side("forms");
    const found = openNamed(id);
    if (!found) return;
    const was = document.activeElement;
    await this.opened(found);
    if (document.activeElement !== was && document.activeElement.matches("input, select, textarea")) return;
    found.scrollIntoView({ block: "start" });
    ($("input:not([type=hidden]), select, textarea", found) ?? $("summary", found))?.focus({ preventScroll: true });
  }
  jump(line, column = 1) {
    this.side("text");
    const at = this.area.value.split("\n").slice(0, line - 1).reduce((sum, each) => sum + each.length + 1, 0);
    const end = this.area.value.indexOf("\n", at);
    this.area.focus();
    this.area.setSelectionRange(at + column - 1, end < 0 ? this.area.value.length : end);
    this.area.scrollTop = (this.lines.children[line - 1]?.offsetTop ?? 0) - 60;
    $(".editor").scrollIntoView({ block: "nearest" });
  }
  // Fields: the newest value of each path is put into the text, one edit at a time.
  field(input) {
    this.wanted.set(input.dataset.path, input);
    this.drain();
  }
  async drain() {
    if (this.busy) return;
    this.busy = true;
    while (this.wanted.size) {
      const [path, input] = this.wanted.entries().next().value;
      this.wanted.delete(path);
      const value = input.type === "checkbox" ? (input.checked ? "yes" : "no") : input.value.trim();
      await this.edit([{ path: JSON.parse(path), value: value || null }], `field ${path}`, input);
    }
    this.busy = false;
  }
  // One edit after the other, each of the text that the one before has left.
  edit(...given) { return (this.turn = this.turn.then(() => this.edited(...given))); }
  async edited(edits, from, input) {
    const text = this.area.value;
    try {
      const answer = await ask("/api/edits", { ...this.question(), edits, answer: this.what.show === "answer" }, { accept: "application/json" });
      const told = await answer.json();
      if (this.area.value !== text) return this.edited(edits, from, input);
      if (answer.ok) {
        const said = told.said.join(" ");
        this.heard = said;
        this.wrong(input, said, false, "said");
        this.put(told.text, from, false, told.answer && told);
        return true;
      }
      this.wrong(input, told.faults?.[0]?.said ?? told.detail ?? page.failed, true);
    } catch { this.told(main.dataset.asleep); }
    return false;
  }
  wrong(input, text, gently = false, kind = "wrong") {
    if (!input) { if (text) this.told(text); return; }
    clearTimeout(input.slow);
    const show = () => {
      const box = document.getElementById(`${input.id}-wrong`);
      if (box) { box.textContent = text; box.hidden = !text; box.className = kind; if (text) box.scrollIntoView({ block: "nearest" }); }
      input.setAttribute("aria-invalid", String(Boolean(text) && kind === "wrong"));
    };
    if (text && gently) { input.slow = setTimeout(show, 700); input.addEventListener("blur", () => { clearTimeout(input.slow); if (document.contains(input)) show(); }, { once: true }); } else show();
  }
  // A button says what it does at which path; what was typed stands beside it.
  async act(button) {
    const { do: what, path, before } = JSON.parse(button.value), box = button.closest(".adding, form");
    const key = $("[data-key]", box)?.value.trim() ?? "", field = $("[data-new]", box), typed = field?.value.trim() ?? "";
    const parts = $$("[data-part-key]", box).filter((each) => each.value.trim()).map((each) => [each.dataset.partKey, each.value.trim()]);
    const value = parts.length ? Object.fromEntries(parts) : typed;
    const edit = {
      remove: { path, do: "remove" }, move: { path, do: "move", before }, rename: { path, value: typed, do: "rename" },
      fact: { path: [...path, key], value }, entry: { path: [...path, key], value: value || {}, do: "add" },
      step: { path, value: key && value ? { [key]: value } : key || value, do: "add" }, item: { path, value: value || {}, do: "add" },
    }[what];
    // Items go by their number: a second press would take the next.
    if (button.used) return;
    button.used = /move/.test(what);
    const renamed = what === "rename", go = renamed || what === "entry";
    // What was pressed leaves its fields at once: what is typed there next is another entry.
    const fields = ["fact", "entry", "step", "item"].includes(what) ? this.typed(box) : [], was = fields.map((each) => each.value);
    fields.forEach((each) => { each.value = ""; });
    if (!(await this.edit([{ ...edit, typed: true }], `press ${what}`, field ?? $("[data-key]", box) ?? button))) {
      button.used = false;
      if (!fields.some((each) => each.value)) fields.forEach((each, n) => { each.value = was[n]; });
    } else {
      this.coming = { at: path.length < 2 || renamed ? [path[0], renamed ? typed : key] : path, go, from: button.value };
    }
  }
  async opened(entry) {
    const later = $("[data-later]", entry);
    if (!later || !entry.open || entry.loading) return;
    entry.loading = true;
    const answer = await ask("/api/forms", { ...this.question(), base: this.base, only: entry.id });
    const told = new DOMParser().parseFromString(await answer.text(), "text/html");
    const found = told.getElementById(entry.id);
    if (found) { later.replaceWith(...found.children[1] ? [found.children[1]] : []); const keys = $(".keys", told); if (keys) entry.append(keys); }
    entry.loading = false;
  }
  async save() {
    this.told("…");
    const { text } = this.question(), note = $("#note").value, who = $("#c-who").value;
    try {
      const answer = await ask(`/api/jobs/${this.id}`, { text, based_on: this.base, note, who }, { method: "PUT", accept: "application/json" });
      if (answer.status === 409) { this.keep(); $("#keep").submit(); return; }
      const told = await answer.json();
      if (!answer.ok) { this.told(told.detail ?? page.failed); return; }
      this.base = told.number; this.saved = text;
      $('[name="based_on"]').value = told.number;
      $("#note").value = "";
      this.keep();
      this.told(told.new === false ? main.dataset.same : undefined);
    } catch { this.told(main.dataset.asleep); }
  }
}
const writing = $("#job-text") ? new Writing() : null;

tidy(document);
openNamed(decodeURIComponent(location.hash.slice(1)));

export { $, $$, Pane, behind, fetched, kept, main, openNamed, page, strip, tidy, wide };

// Readings without a new page for each; without this module the form alone does all of it.
const form = document.querySelector("#meter");
const $ = (what, at = document) => at.querySelector(what);
const $$ = (what, at = document) => [...at.querySelectorAll(what)];
const job = $("#main").dataset.job;
const store = {
  get() { try { return JSON.parse(localStorage.getItem(`draft ${job}`)); } catch { return null; } },
  put(text) { try { localStorage.setItem(`draft ${job}`, JSON.stringify(text)); } catch { /* a browser that keeps nothing */ } },
  drop() { try { localStorage.removeItem(`draft ${job}`); } catch { /* the same */ } },
};

class Meter {
  constructor() {
    this.call = null;
    form.addEventListener("submit", (event) => this.submit(event));
  }
  submit(event) {
    const what = event.submitter?.value ?? "enter";
    if (what === "save") return;
    event.preventDefault();
    this.run(what);
  }
  // One thing after the other: while a reading is taken nothing else is pressed.
  async run(what) {
    if (this.call && what !== "look") return;
    this.call?.abort();
    const call = (this.call = new AbortController()), data = new FormData(form);
    data.set("do", what);
    form.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(form.getAttribute("action"), { method: "POST", body: data, signal: call.signal, headers: { Accept: "text/html", "X-CSRF-Token": data.get("csrf") } });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html"), now = $("#meter", page);
      if (now) this.paint(now, what); else this.wrong($("#main", page)?.textContent.trim() || form.dataset.asleep);
    } catch (error) {
      if (error.name !== "AbortError") this.wrong(form.dataset.asleep);
    } finally {
      if (call === this.call) { this.call = null; form.removeAttribute("aria-busy"); }
    }
  }
  paint(now, what) {
    const open = $$("details[open][id]", form).map((each) => each.id);
    form.replaceChildren(...now.childNodes);
    if (what !== "look") for (const id of open) if (id !== "d-caution" && id !== "d-other") { const each = document.getElementById(id); if (each) each.open = true; }
    this.keep();
    const wrong = $("[aria-invalid]", form), next = $("#meter-next", form);
    const told = $("#meter-wrong > *", form) ?? $("#meter-put-in", form);
    if (wrong) { wrong.focus(); wrong.select(); }
    else if (told) told.scrollIntoView({ block: "center" });
    else if (what.startsWith("back")) $("#meter-known", form).scrollIntoView({ block: "nearest" });
    else if (next) { next.focus({ preventScroll: true }); ($("#meter-outcome:not(:empty)", form) ?? next).scrollIntoView({ block: "start" }); }
  }
  // A draft like any other of this job; the address brings back what is complained of.
  keep() {
    const told = new FormData(form), text = told.get("text"), about = told.get("about");
    if (text) store.put({ base: Number(told.get("based_on")), text }); else store.drop();
    const query = about ? new URLSearchParams({ about, symptom: told.get("symptom"), meter: told.get("meter") }) : "";
    history.replaceState(null, "", `${location.pathname}${query && `?${query}`}`);
  }
  wrong(text) {
    const told = Object.assign(document.createElement("p"), { className: "faults", textContent: text });
    $("#meter-wrong", form).replaceChildren(told);
    told.scrollIntoView({ block: "nearest" });
  }
}
if (form) {
  const meter = new Meter(), saved = new URLSearchParams(location.search).has("saved");
  // What was saved is a revision now: a draft of before would hide it.
  if (saved) { $('[name="text"]', form).value = ""; meter.keep(); }
  const draft = saved ? null : store.get();
  if (draft?.text) {
    $('[name="text"]', form).value = draft.text;
    $('[name="based_on"]', form).value = draft.base;
    meter.run("look");
  }
}

// The aircraft's text: findings at their line while one types, the diagram following. The editor
// lives in a shadow root, so that its styles and the page's leave each other alone.
import { defaultKeymap, history, historyKeymap } from "@codemirror/commands";
import { yaml } from "@codemirror/lang-yaml";
import { syntaxHighlighting } from "@codemirror/language";
import { type Diagnostic, lintGutter, setDiagnostics } from "@codemirror/lint";
import { EditorState } from "@codemirror/state";
import {
  drawSelection,
  EditorView,
  highlightActiveLine,
  keymap,
  lineNumbers,
} from "@codemirror/view";
import type { Finding } from "./answers.ts";
import type { App, Extra } from "./app.ts";
import { awaitedPart, awaitsFigure, entryAt, markAwaited, spotOf } from "./awaited.ts";
import { toldByCore } from "./card_told.ts";
import { parseDrawing } from "./drawing.ts";
import { brief, button, el } from "./dom.ts";
import { LOOK, WORDS } from "./editor_look.ts";
import { hintOf, lineFindings, rangeOf, showFindings } from "./line_findings.ts";
import { busOf, restsBar } from "./rests_on.ts";

const PAUSE = 250; // milliseconds without a key before the text is read

const EXAMPLE = `# A short worked example: change it line by line.
deadbus: 1

aircraft:
  name: My aeroplane
  tail: TAIL
  nominal: 14 V

parts:
  battery:         {battery: 12 V, capacity: 25 Ah}
  master-contactor:
    {contactor: continuous, from: battery, to: main-bus, coil-from: battery, coil-to: master-switch}
  master-switch:   {switch: MASTER, to: ground}
  engine:          {engine: four cylinders, gives: power}
  alternator:      {alternator: 60 A, field-from: regulator, turned-by: engine, ratio: 3 to 1}
  alternator-breaker: {breaker: 60 A, from: alternator, to: main-bus, label: ALT}
  field-breaker:   {breaker: 5 A, from: main-bus, label: FIELD}
  regulator:       {regulator: 14.2 V, from: field-breaker}
  main-bus:        {bus: MAIN BUS}
  com:             {radio: 1.2 A, from: main-bus, breaker: 5 A COM, gives: communication}
  lights:
    {lamp: 50 W, from: main-bus, breaker: 10 A LIGHTS, switch: LIGHTS, gives: landing-light}

seen:
  ammeter:
    {ammeter: center-zero, reads: master-contactor, scale: 60 A, right: towards battery}

phases:
  cruise:          {engine: 2400 rpm, airborne: yes, on: [master-switch]}
`;

function waiting(list: Finding[], errors: number): string {
  if (!list.every((f) => f.severity !== "error" || awaitsFigure(f)))
    return `The diagram waits: ${errors} to put right before it can be solved.`;
  return `The diagram waits for ${errors === 1 ? "one figure" : `${errors} figures`}.`;
}

class FileView implements Extra {
  readonly view = "file";
  readonly told = toldByCore;
  private editor: EditorView | null = null;
  private timer = 0;
  private readonly host = el("div", { class: "editor-host" });
  private readonly findings = el("ul", { class: "findings", "aria-live": "polite" });
  private readonly picture = el("div", {
    class: "drawing",
    role: "region",
    "aria-label": "Diagram of the file",
    tabindex: "0",
  });
  private readonly rests = el("div");
  private readonly waits = el("div", { class: "waits" });
  private part = ""; // of the line one is on
  private app: App | null = null;

  open(app: App, box: HTMLElement): void {
    this.app = app;
    if (!this.editor) this.editor = this.make(app.session.plane.text);
    const bar = el(
      "div",
      { class: "print-bar" },
      button("Save to a file", () => this.save(), { class: "solid" }),
      button("Start a new aircraft", () => this.fresh(), { class: "link" }),
    );
    box.replaceChildren(
      el(
        "div",
        { class: "file-view" },
        el("div", {}, bar, this.host, this.findings),
        el("div", { class: "beside" }, this.rests, this.waits, this.picture),
      ),
    );
    this.read();
  }

  /** All of the text: the editor holds only the lines that one sees. */
  printed(): HTMLElement {
    const width = String(this.text().split("\n").length).length;
    const numbered = this.text()
      .split("\n")
      .map((line, i) => `${String(i + 1).padStart(width)}  ${line}`);
    return el(
      "article",
      { class: "file-sheet" },
      el("h2", {}, this.app?.session.show.name ?? ""),
      this.findings.cloneNode(true),
      el("pre", {}, numbered.join("\n")),
    );
  }

  private make(text: string): EditorView {
    const root = this.host.attachShadow({ mode: "open" });
    const state = EditorState.create({
      doc: text,
      extensions: [
        lineNumbers(),
        history(),
        drawSelection(),
        highlightActiveLine(),
        lintGutter(),
        lineFindings,
        yaml(),
        LOOK,
        syntaxHighlighting(WORDS),
        keymap.of([...defaultKeymap, ...historyKeymap]),
        EditorView.contentAttributes.of({ "aria-label": "Aircraft file", tabindex: "0" }),
        EditorView.updateListener.of((u) => {
          if (u.docChanged) this.later();
          else if (u.selectionSet) this.follow();
        }),
      ],
    });
    return new EditorView({ state, parent: root, root });
  }

  private later(): void {
    window.clearTimeout(this.timer);
    this.timer = window.setTimeout(() => this.read(), PAUSE);
  }

  private text(): string {
    return this.editor?.state.doc.toString() ?? "";
  }

  private read(): void {
    const { app, editor } = this;
    if (!app || !editor) return;
    const list = app.findingsOf(this.text());
    const errors = list.filter((f) => f.severity === "error").length;
    const marks: Diagnostic[] = list.map((f) => this.mark(f));
    editor.dispatch(setDiagnostics(editor.state, marks), { effects: showFindings.of(list) });
    this.findings.replaceChildren(...list.slice(0, 40).map((f) => this.line(f)));
    if (errors) app.say(waiting(list, errors));
    else {
      app.replace(this.text());
      app.say(
        `The file is right. ${list.length ? `${list.length} to look at.` : "Nothing to look at."}`,
      );
    }
    this.draw(app, list);
  }

  /** While the file has a mistake the drawing is that of before, with a "?" for what is missing. */
  private draw(app: App, list: Finding[]): void {
    const { show } = app.session;
    const width = Math.max(400, this.picture.clientWidth || 600);
    const art = parseDrawing(app.session.drawing(app.session.now, width));
    if (!art) return;
    const lines = this.text().split("\n");
    const parts = new Set(
      list.filter(awaitsFigure).map((f) => awaitedPart(show, lines, f) || `line ${f.line}`),
    );
    const homeless = markAwaited(art, parts);
    this.waits.replaceChildren();
    if (list.some((f) => f.severity === "error"))
      this.waits.append(el("p", { class: "quiet" }, "The diagram is that of before this edit."));
    for (const name of homeless)
      this.waits.append(el("p", {}, el("b", { class: "awaited-word" }, "?"), ` ${brief(name)}`));
    this.picture.replaceChildren(art);
    this.part = "";
    this.follow();
  }

  /** The drawing and the bar beside it show what the line is about. */
  private follow(): void {
    const { app, editor } = this;
    if (!app || !editor) return;
    const { doc, selection } = editor.state;
    const lines = doc.toString().split("\n");
    const part = entryAt(lines, doc.lineAt(selection.main.head).number);
    if (part === this.part && this.rests.firstChild) return;
    this.part = part;
    const bus = busOf(app.session.show, part);
    this.rests.replaceChildren(...(bus ? [restsBar(bus)] : []));
    this.picture.querySelector(".chosen")?.classList.remove("chosen");
    const spot = spotOf(this.picture, part);
    spot?.classList.add("chosen");
    if (spot) this.bringToView(spot);
  }

  private bringToView(spot: Element): void {
    const box = this.picture.getBoundingClientRect();
    const at = spot.getBoundingClientRect();
    if (at.top < box.top || at.bottom > box.bottom)
      this.picture.scrollTop += at.top - box.top - box.height / 3;
  }

  private mark(f: Finding): Diagnostic {
    const doc = this.editor?.state.doc;
    const { from, to } = doc ? rangeOf(doc, f) : { from: 0, to: 0 };
    return {
      from,
      to,
      severity: f.severity === "note" ? "info" : f.severity,
      message: [f.text, hintOf(f)].filter(Boolean).join(". "),
    };
  }

  private line(f: Finding): HTMLElement {
    const go = () => {
      const { editor } = this;
      if (!editor || f.line < 1 || f.line > editor.state.doc.lines) return;
      const at = editor.state.doc.line(f.line);
      editor.dispatch({
        selection: { anchor: at.from },
        effects: EditorView.scrollIntoView(at.from, { y: "center" }),
      });
      editor.focus();
    };
    return el(
      "li",
      { class: f.severity },
      button(`Line ${f.line}`, go, { class: "link" }),
      el("span", {}, ` ${f.text}. ${hintOf(f)}`),
    );
  }

  private save(): void {
    const link = el("a", {
      href: URL.createObjectURL(new Blob([this.text()], { type: "application/yaml" })),
      download: "aircraft.yaml",
    });
    link.click();
    window.setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  }

  private fresh(): void {
    const { editor } = this;
    editor?.dispatch({ changes: { from: 0, to: editor.state.doc.length, insert: EXAMPLE } });
  }
}

export const fileView: Extra = new FileView();

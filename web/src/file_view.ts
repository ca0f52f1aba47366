// The aircraft's text: findings at their line while one types, the diagram following. The editor
// lives in a shadow root, so that its styles and the page's leave each other alone.
import { defaultKeymap, history, historyKeymap } from "@codemirror/commands";
import { yaml } from "@codemirror/lang-yaml";
import { HighlightStyle, syntaxHighlighting } from "@codemirror/language";
import { type Diagnostic, lintGutter, setDiagnostics } from "@codemirror/lint";
import { EditorState } from "@codemirror/state";
import {
  drawSelection,
  EditorView,
  highlightActiveLine,
  keymap,
  lineNumbers,
} from "@codemirror/view";
import { tags } from "@lezer/highlight";
import type { Finding } from "./answers.ts";
import type { App, Extra } from "./app.ts";
import { parseDrawing } from "./drawing.ts";
import { button, el } from "./dom.ts";
import { lineFindings, rangeOf, showFindings } from "./line_findings.ts";

// Weight and slope before color, as everywhere.
const WORDS = HighlightStyle.define([
  { tag: [tags.definition(tags.propertyName), tags.propertyName], fontWeight: "700" },
  { tag: tags.comment, color: "var(--quiet)", fontStyle: "italic" },
  { tag: [tags.string, tags.content, tags.literal], color: "var(--ink)" },
]);

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

class FileView implements Extra {
  readonly view = "file";
  private editor: EditorView | null = null;
  private timer = 0;
  private readonly host = el("div", { class: "editor-host" });
  private readonly findings = el("ul", { class: "findings", "aria-live": "polite" });
  private readonly picture = el("div", { class: "drawing" });
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
      el("div", { class: "file-view" }, el("div", {}, bar, this.host, this.findings), this.picture),
    );
    this.read();
  }

  private make(text: string): EditorView {
    const root = this.host.attachShadow({ mode: "open" });
    const look = EditorView.theme({
      "&": {
        fontSize: "15px",
        height: "70vh",
        border: "1px solid var(--hair)",
        borderRadius: "6px",
        background: "var(--paper)",
        color: "var(--ink)",
      },
      ".cm-scroller": {
        fontFamily: "ui-monospace, monospace",
        lineHeight: "24px",
        containerType: "inline-size",
      },
      ".cm-gutters": { background: "var(--paper)", color: "var(--quiet)", border: "0" },
      ".cm-activeLine": { background: "var(--chosen)" },
      ".cm-activeLineGutter": { background: "var(--chosen)" },
      ".cm-cursor": { borderLeftColor: "var(--ink)", borderLeftWidth: "2px" },
      "&.cm-focused": { outline: "3px solid var(--ink)" },
      // As wide as what one sees of a line, not as its longest.
      ".said-below": {
        position: "sticky",
        left: "52px",
        boxSizing: "border-box",
        maxWidth: "calc(100cqw - 72px)",
        display: "flex",
        flexWrap: "wrap",
        gap: "2px 16px",
        justifyContent: "space-between",
        margin: "4px 8px 8px",
        padding: "4px 12px",
        background: "var(--wash)",
        borderLeft: "4px double var(--draining)",
        fontFamily: "var(--sans)",
        whiteSpace: "normal",
      },
      ".said-below.error": { borderLeft: "4px solid var(--warn)" },
      ".said-below button": {
        font: "inherit",
        color: "inherit",
        fontWeight: "700",
        minHeight: "32px",
        padding: "0 4px",
        border: "0",
        borderBottom: "2px solid var(--ink)",
        background: "none",
        cursor: "pointer",
      },
    });
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
        look,
        syntaxHighlighting(WORDS),
        keymap.of([...defaultKeymap, ...historyKeymap]),
        EditorView.contentAttributes.of({ "aria-label": "Aircraft file", tabindex: "0" }),
        EditorView.updateListener.of((u) => {
          if (u.docChanged) this.later();
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
    if (errors) app.say(`The diagram waits: ${errors} to put right before it can be solved.`);
    else {
      app.replace(this.text());
      app.say(
        `The file is right. ${list.length ? `${list.length} to look at.` : "Nothing to look at."}`,
      );
      this.draw(app);
    }
  }

  private draw(app: App): void {
    const width = Math.max(400, this.picture.clientWidth || 600);
    const art = parseDrawing(app.session.drawing(app.session.now, width));
    if (art) this.picture.replaceChildren(art);
  }

  private mark(f: Finding): Diagnostic {
    const doc = this.editor?.state.doc;
    const { from, to } = doc ? rangeOf(doc, f) : { from: 0, to: 0 };
    return {
      from,
      to,
      severity: f.severity === "note" ? "info" : f.severity,
      message: [f.text, f.hint].filter(Boolean).join(". "),
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
      el("span", {}, ` ${f.text}. ${f.hint}`),
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

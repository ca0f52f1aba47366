// A finding stands under its line in the editor: what is wrong, what to write, and a button that
// writes it where that is plain.
import { type EditorState, StateEffect, StateField, type Text } from "@codemirror/state";
import { Decoration, type DecorationSet, EditorView, WidgetType } from "@codemirror/view";
import type { Finding } from "./answers.ts";
import { button, el } from "./dom.ts";
import { putRight } from "./put_right.ts";

/** Where the finding points, in the editor's own counting. */
export function rangeOf(doc: Text, f: Finding): { from: number; to: number } {
  if (f.line < 1 || f.line > doc.lines) return { from: 0, to: 0 };
  const line = doc.line(f.line);
  // The core counts columns in characters and lengths in bytes, the editor all in UTF-16.
  const before = [...line.text].slice(0, Math.max(0, f.column - 1)).join("").length;
  const bytes = new TextEncoder().encode(line.text.slice(before)).slice(0, f.length);
  const from = line.from + before;
  return { from, to: from + new TextDecoder().decode(bytes).length };
}

/** As a sentence, unless it begins with a word that is to be written as it stands. */
export function hintOf({ hint }: Finding): string {
  return /^[a-z]+ /.test(hint) ? hint.charAt(0).toUpperCase() + hint.slice(1) : hint;
}

class Below extends WidgetType {
  constructor(
    private readonly finding: Finding,
    private readonly words: string[],
  ) {
    super();
  }

  override eq(other: Below): boolean {
    return (
      JSON.stringify([this.finding, this.words]) === JSON.stringify([other.finding, other.words])
    );
  }

  toDOM(view: EditorView): HTMLElement {
    const { severity, text, hint } = this.finding;
    const box = el(
      "div",
      { class: `said-below ${severity}` },
      el("span", {}, el("b", {}, `${text}.`), hint ? ` ${hintOf(this.finding)}.` : ""),
    );
    for (const words of this.words)
      box.append(button(`Write ${words}`, () => this.write(view, box, words)));
    // The editor measures a block by its box: distances are inside, not margins.
    return el("div", { class: "said-holder" }, box);
  }

  private write(view: EditorView, box: HTMLElement, words: string): void {
    const line = view.state.doc.lineAt(view.posAtDOM(box));
    const now = { ...this.finding, line: line.number };
    const { from, to } = rangeOf(view.state.doc, now);
    view.dispatch({ changes: { from, to, insert: words }, selection: { anchor: from } });
    view.focus();
  }

  override ignoreEvent(): boolean {
    return true;
  }
}

const MOST = 40;

export const showFindings = StateEffect.define<Finding[]>();

function below(state: EditorState, list: Finding[]): DecorationSet {
  const { doc } = state;
  const at = list
    .filter((f) => f.severity !== "note" && f.line >= 1 && f.line <= doc.lines)
    .slice(0, MOST)
    .map((f) => {
      const { from, to } = rangeOf(doc, f);
      const widget = new Below(f, putRight(f, doc.sliceString(from, to)));
      return Decoration.widget({ widget, block: true, side: 1 }).range(doc.line(f.line).to);
    });
  return Decoration.set(at, true);
}

export const lineFindings = StateField.define<DecorationSet>({
  create: () => Decoration.none,
  update(set, tr) {
    for (const e of tr.effects) if (e.is(showFindings)) return below(tr.state, e.value);
    return set.map(tr.changes);
  },
  provide: (field) => EditorView.decorations.from(field),
});

// How the editor looks: the page's type and colors, inside its shadow root.
import { HighlightStyle } from "@codemirror/language";
import { EditorView } from "@codemirror/view";
import { tags } from "@lezer/highlight";

// Weight and slope before color, as everywhere.
export const WORDS = HighlightStyle.define([
  { tag: [tags.definition(tags.propertyName), tags.propertyName], fontWeight: "700" },
  { tag: tags.comment, color: "var(--quiet)", fontStyle: "italic" },
  { tag: [tags.string, tags.content, tags.literal], color: "var(--ink)" },
]);

export const LOOK = EditorView.theme({
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
  ".said-holder": { padding: "4px 8px 8px" },
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

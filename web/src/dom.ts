// Elements made one by one: text is always text, whatever it holds.

type Child = Node | string | null | undefined | false;
type Attributes = Record<string, string | number | boolean | undefined | ((e: Event) => void)>;

function fill(node: Element, attributes: Attributes, children: Child[]): void {
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === "function") node.addEventListener(key, value as EventListener);
    else if (value === true) node.setAttribute(key, "");
    else if (value !== false && value !== undefined) node.setAttribute(key, String(value));
  }
  for (const child of children) if (child) node.append(child);
}

export function el<K extends keyof HTMLElementTagNameMap>(
  name: K,
  attributes: Attributes = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  const node = document.createElement(name);
  fill(node, attributes, children);
  return node;
}

export const SVG = "http://www.w3.org/2000/svg";

export function svg<K extends keyof SVGElementTagNameMap>(
  name: K,
  attributes: Attributes = {},
  ...children: Child[]
): SVGElementTagNameMap[K] {
  const node = document.createElementNS(SVG, name);
  fill(node, attributes, children);
  return node as SVGElementTagNameMap[K];
}

/** By what it says the focus finds it again where it is made anew. */
export function button(label: string, act: () => void, attributes: Attributes = {}) {
  return el("button", { type: "button", click: act, "data-keep": label, ...attributes }, label);
}

const LONGEST = 160; // letters

/** What no one would write isn't let push the rest away. */
export function brief(text: string): string {
  return text.length > LONGEST ? `${text.slice(0, LONGEST)}…` : text;
}

/** The core's own list, put in by the build: "adf|dme|...". */
declare const INITIALS: string;
const said = new RegExp(`\\b(${INITIALS})\\b`, "g");

/** "fuel-pressure" -> "Fuel pressure"; initials are capitals, as in the core's words. */
export function words(id: string): string {
  const plain = brief(id)
    .replace(/-/g, " ")
    .replace(said, (initials) => initials.toUpperCase());
  return plain.charAt(0).toUpperCase() + plain.slice(1);
}

/** A figure and its unit stay on one line. */
export function whole(reading: string): string {
  return reading.replace(/(\d) (?=\S)/, "$1\u00a0");
}

/** A sentence whose figures stand out. */
export function sentence(text: string): DocumentFragment {
  const out = document.createDocumentFragment();
  const figure = /[−+-]?\d+(?:\.\d+)? (?:V|A|mA|%)(?![A-Za-z])|\d+ items? lost|\d+ lost/g;
  let at = 0;
  for (const found of text.matchAll(figure)) {
    out.append(text.slice(at, found.index), el("b", {}, found[0]));
    at = found.index + found[0].length;
  }
  out.append(text.slice(at));
  return out;
}

const shown = new WeakMap<Element, string>();

/** Fills a slot again only where what it depends on has changed. */
export function refresh(slot: Element, key: string, build: () => (Node | string)[]): void {
  if (shown.get(slot) === key) return;
  slot.replaceChildren(...build());
  shown.set(slot, key);
}

/** Puts the children of a box in order, touching none that stands right already. */
export function arrange(box: Element, nodes: Element[]): void {
  let at = box.firstElementChild;
  for (const node of nodes) {
    if (node === at) at = at.nextElementSibling;
    else box.insertBefore(node, at);
  }
  while (at) {
    const next: Element | null = at.nextElementSibling;
    at.remove();
    at = next;
  }
}

/** What says the same already isn't laid out again. */
export function say(node: Element, text: string): void {
  if (node.textContent !== text) node.textContent = text;
}

/** Sets an attribute only where it isn't so already. */
export function set(node: Element, name: string, value: string): void {
  if (node.getAttribute(name) !== value) node.setAttribute(name, value);
}

/** When the reader has nothing better to do; not all of them can tell. */
export function pause(act: () => void): void {
  if ("requestIdleCallback" in window) requestIdleCallback(act, { timeout: 500 });
  else setTimeout(act, 50);
}

// A tab as the steps use it, whatever drives the browser: an element is found in the page, and a
// real pointer or key acts on it. A driver gives `evaluate`, `pointer`, `keys` and `pdf`.
import assert from "node:assert/strict";

/** Runs in the page. `>>>` goes into a shadow root; `text` picks among what the selector finds. */
function find(selector, text) {
  let roots = [document];
  const parts = selector.split(" >>> ");
  for (const part of parts.slice(0, -1))
    roots = roots.flatMap((r) => [...r.querySelectorAll(part)].map((e) => e.shadowRoot ?? e));
  const all = roots.flatMap((r) => [...r.querySelectorAll(parts[parts.length - 1])]);
  if (text === null) return all;
  const named = (e) => [e.getAttribute("aria-label"), e.innerText?.trim()];
  return all.filter((e) => named(e).some((name) => name === text));
}

/** Runs in the page: where the only such element's middle is, brought into sight. */
function middle(selector, text, find) {
  const all = find(selector, text);
  if (all.length !== 1) return `${all.length} elements are "${selector}", "${text ?? ""}"`;
  const [element] = all;
  if (element.disabled) return `"${selector}", "${text ?? ""}" is disabled`;
  element.scrollIntoView({ block: "center", inline: "nearest" });
  const box = element.getBoundingClientRect();
  const at = { x: Math.round(box.x + box.width / 2), y: Math.round(box.y + box.height / 2) };
  const hit = (element.getRootNode().elementFromPoint ?? (() => null)).call(
    element.getRootNode(),
    at.x,
    at.y,
  );
  if (!hit || !(element.contains(hit) || hit.contains(element)))
    return `"${selector}", "${text ?? ""}" is covered by ${hit?.outerHTML.slice(0, 120)}`;
  return at;
}

export class Tab {
  constructor(driver) {
    this.driver = driver;
  }

  /** A function of the page's world; its arguments and answer are JSON. */
  run(what, ...args) {
    return this.driver.evaluate(`(${what})(...${JSON.stringify(args)})`);
  }

  /** `what` of the first such element: an attribute or property; null: there is none. */
  look(selector, what, text = null) {
    return this.driver.evaluate(
      `((first) => first ? first.getAttribute(${JSON.stringify(what)}) ??
        first[${JSON.stringify(what)}] ?? null : null)(
        (${find})(${JSON.stringify(selector)}, ${JSON.stringify(text)})[0])`,
    );
  }

  count(selector, text = null) {
    return this.driver.evaluate(
      `(${find})(${JSON.stringify(selector)}, ${JSON.stringify(text)}).length`,
    );
  }

  async click(selector, text = null) {
    const at = await this.driver.evaluate(
      `(${middle})(${JSON.stringify(selector)}, ${JSON.stringify(text)}, ${find})`,
    );
    assert.ok(typeof at === "object", at);
    await this.driver.pointer(at.x, at.y);
  }

  focus(selector) {
    return this.driver.evaluate(`(${find})(${JSON.stringify(selector)}, null)[0].focus()`);
  }

  /** A choice list by its value: how its pop-up opens is the browser's own affair. */
  choose(selector, value) {
    return this.run(
      (s, v) => {
        const list = document.querySelector(s);
        list.value = v;
        list.dispatchEvent(new Event("change", { bubbles: true }));
      },
      selector,
      value,
    );
  }

  press(...keys) {
    return this.driver.keys(keys);
  }

  async type(text) {
    for (const letter of text) await this.driver.keys([letter === "\n" ? "Enter" : letter]);
  }

  async until(what, holds) {
    let last;
    for (let i = 0; i < 100; i++) {
      last = await holds();
      if (last) return last;
      await new Promise((go) => setTimeout(go, 100));
    }
    const shows = await this.look("main", "innerText");
    return assert.fail(`it never came: ${what}\n${shows?.slice(0, 800)}`);
  }

  status() {
    return this.look("[role=status]", "innerText");
  }

  view(name) {
    return this.click("nav[aria-label=Views] button", name);
  }

  /** A PDF's bytes, or null where the driver can't print. */
  pdf() {
    return this.driver.pdf();
  }

  /** axe-core's findings count where the driver can run it; elsewhere nothing is asked. */
  accessible(where) {
    return this.driver.accessible?.(where);
  }

  async close() {
    assert.deepEqual(await this.driver.wrong(), [], "errors and warnings");
    await this.driver.close();
  }
}

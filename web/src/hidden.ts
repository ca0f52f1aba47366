// A failure that the instructor has hidden: the address holds it so that it can't be read, and
// nothing on the page tells it before the student has committed.
import type { BenchState } from "./bench_state.ts";
import { plainState } from "./bench_state.ts";

// Not a secret: it only keeps an honest reader from reading what isn't meant to be read yet.
function stream(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = a;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) & 255;
  };
}

const LENGTH = 190; // every address is equally long, whatever it hides

/** With the phase go the switches and what else is set; "" if it is too much for one address. */
export function hide(s: BenchState): string {
  const set = Object.entries(s.set);
  const said = [s.phase, s.fail, ...(set.length || s.charge || s.temperature ? [set] : [])];
  if (s.charge || s.temperature) said.push(s.charge, s.temperature);
  const bytes = new TextEncoder().encode(JSON.stringify(said));
  if (bytes.length > LENGTH - 2) return "";
  const salt = new Uint8Array(4);
  crypto.getRandomValues(salt);
  const next = stream(new DataView(salt.buffer).getUint32(0));
  const out = new Uint8Array(4 + LENGTH);
  out.set(salt);
  for (let i = 0; i < LENGTH; i++) {
    const plain = i === 0 ? bytes.length : (bytes[i - 1] ?? 0);
    out[4 + i] = plain ^ next();
  }
  return btoa(String.fromCharCode(...out))
    .replace(/\+/g, "-")
    .replace(/\//g, "_")
    .replace(/=+$/, "");
}

function texts(list: unknown): list is string[] {
  return Array.isArray(list) && list.every((s) => typeof s === "string");
}

/** The state it begins with, what fails in it; null if it isn't such an address. */
export function unhide(text: string): BenchState | null {
  try {
    const raw = atob(text.replace(/-/g, "+").replace(/_/g, "/"));
    const bytes = Uint8Array.from(raw, (c) => c.charCodeAt(0));
    if (bytes.length !== 4 + LENGTH) return null;
    const next = stream(new DataView(bytes.buffer).getUint32(0));
    const plain = bytes.slice(4).map((b) => b ^ next());
    const length = plain[0] ?? 0;
    const said: unknown = JSON.parse(new TextDecoder().decode(plain.slice(1, 1 + length)));
    if (!Array.isArray(said)) return null;
    const [phase, fail, set = [], charge = "", temperature = ""] = said as unknown[];
    if (!texts([phase, charge, temperature]) || !texts(fail) || !fail.length) return null;
    if (!Array.isArray(set) || !set.every(texts)) return null;
    const state = {
      ...plainState(String(phase)),
      fail,
      set: Object.fromEntries(set as string[][]),
    };
    return { ...state, charge: String(charge), temperature: String(temperature) } as BenchState;
  } catch {
    return null;
  }
}

export function hiddenInAddress(): string {
  return new URLSearchParams(location.hash.slice(1)).get("drill") ?? "";
}

/** What of a text that somebody pastes is a hidden failure: a whole address, or its end. */
export function hiddenIn(text: string): string {
  const [, found = ""] = /(?:drill=|^)([\w-]+)\s*$/.exec(text.trim()) ?? [];
  return unhide(found) ? found : "";
}

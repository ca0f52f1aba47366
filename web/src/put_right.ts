// What a finding says to write can be written for one: the words that may stand in its place.
import type { Finding } from "./answers.ts";

const QUOTED = /^[`']([^`']+)[`']$/;
const UNITS = /\bin ([A-Za-z%]+(?:(?:, | or )[A-Za-z%]+)*)$/;

/** `written`: what the finding points at. None where only a person can tell what is meant. */
export function putRight(f: Finding, written: string): string[] {
  if (!written) return [];
  const near = /^did you mean (.+?)\?/i.exec(f.hint)?.[1];
  if (near) {
    const words = near.split(" or ").map((w) => QUOTED.exec(w)?.[1] ?? "");
    return words.every(Boolean) ? words : [];
  }
  const unit = /^write ([A-Za-z%]+)$/.exec(f.hint)?.[1];
  const units = unit ? [unit] : (UNITS.exec(f.text)?.[1]?.split(/, | or /) ?? []);
  if (f.code === "unknown-unit") return units;
  if (f.code === "no-unit") return units.map((u) => `${written} ${u}`);
  return [];
}

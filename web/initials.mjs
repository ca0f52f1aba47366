// What is written in capitals, from the core's list: "adf|dme|...".
import { readFileSync } from "node:fs";

const list = readFileSync(new URL("../src/model/initials.h", import.meta.url), "utf8");
const found = [...list.matchAll(/^ +"([a-z]+)",$/gm)].map(([, word]) => word);
if (!found.length) throw new Error("no initials in src/model/initials.h");
export const initials = found.join("|");

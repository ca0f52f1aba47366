// Every aircraft file of test/case through the module: the right, the wrong and the found ones that
// once broke something. The same bytes, messages and exit as the program's, in each form.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openModule } from "./support/module.mjs";

const { ask } = openModule(process.env.DEADBUS_WASM_ALL);

const asked = [
  ["check"],
  ["check", "--json"],
  ["show", "--json"],
  ["state"],
  ["state", "--json"],
  ["draw", "--theme", "page", "--width", "700"],
];

function same(name, command, options) {
  const what = `${command} ${name} ${options.join(" ")}`;
  const native = spawnSync(process.env.DEADBUS, [command, name, ...options], {
    encoding: "utf8",
    env: { ...process.env, NO_COLOR: "1" },
    maxBuffer: 1 << 26,
  });
  assert.equal(native.error, undefined, what);
  const inside = ask(command, name, readFileSync(name), options);
  assert.equal(inside.exit, native.status, `exit of ${what}\n${native.stderr}${inside.messages}`);
  assert.equal(inside.out, native.stdout, `answer of ${what}`);
  assert.equal(inside.messages, native.stderr, `messages of ${what}`);
}

const scratch = mkdtempSync(join(tmpdir(), "deadbus-cases-"));
let files = 0;
for (const folder of ["bad", "small", "draw", "fuzz"]) {
  const path = `test/case/${folder}`;
  for (const name of readdirSync(path).filter((one) => !/\.(expected|svg|md)$/.test(one))) {
    files++;
    let file = `${path}/${name}`;
    if (folder === "fuzz") {
      // The first eight bytes choose the fuzzer's question (test/case/fuzz_cases_test.c).
      file = join(scratch, name);
      writeFileSync(file, readFileSync(`${path}/${name}`).subarray(8));
    }
    // A file with errors gives nothing but its findings, which one command shows as well as six.
    const wrong = folder === "bad";
    for (const [command, ...options] of wrong ? asked.slice(0, 2) : asked)
      same(file, command, options);
  }
}
rmSync(scratch, { recursive: true });
assert.ok(files > 100, `only ${files} files`);
console.log(`${files} files`);

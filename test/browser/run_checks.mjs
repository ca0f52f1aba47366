// Runs checks by name, all of them or those that are named, and ends the program with what came.

/** `checks`: functions by name; `close` is called in any case, before the end. */
export async function runChecks(checks, wanted, close) {
  let failed = 0;
  for (const [name, check] of Object.entries(checks)) {
    if (wanted.length && !wanted.includes(name)) continue;
    try {
      await check();
      console.log(`ok - ${name}`);
    } catch (e) {
      failed++;
      console.log(`not ok - ${name}\n${String(e.stack ?? e).slice(0, 1500)}`);
    }
  }
  await close();
  console.log(failed ? `${failed} failed` : "all in order");
  process.exit(failed ? 1 : 0);
}

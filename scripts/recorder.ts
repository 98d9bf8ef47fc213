/**
 * `npm run recorder [-- --seconds N] [--channels N]`: the recorder's files read by scipy, libsndfile and Python's wave, and
 * recording by a virtual interface (a private PulseAudio), where the system has one.
 */
import { spawnSync } from "node:child_process";
import { readOptions } from "./setup/options.mjs";
import { inRoot } from "./setup/places.mjs";
import { ensurePython, peerEnvironment, recordEnvironment } from "./setup/python-env.mjs";
import { runCommand } from "./setup/setup-error.mjs";

runCommand(async () => {
  const read = readOptions(process.argv.slice(2), {
    call: "npm run recorder",
    options: {
      seconds: {
        value: "N",
        says: "length of the recording by the virtual interface (default 10)",
        whole: [5, 7200],
        usual: 10,
      },
      channels: { value: "N", says: "its channels (default 16)", whole: [2, 32], usual: 16 },
    },
  });
  if (!read) return 0;
  const peers = await ensurePython(peerEnvironment, "numpy, scipy and other peers");
  const recorder = await ensurePython(recordEnvironment, "what records (PortAudio, numpy)");
  const { seconds, channels } = read.values;
  const checks: readonly (readonly [string, ...string[]])[] = [
    ["wav_files.py"],
    ["virtual.py", recorder, String(seconds), String(channels)],
  ];
  let [passed, failed] = [0, 0];
  for (const [name, ...args] of checks) {
    const { stdout, status } = spawnSync(peers, [inRoot("scripts", "record", "checks", name), ...args], {
      encoding: "utf8",
      stdio: ["ignore", "pipe", "inherit"],
      env: { ...process.env, PYTHONDONTWRITEBYTECODE: "1" },
    });
    console.log(stdout.trim());
    const [, good, bad] = /^(\d+) passed, (\d+) failed$/m.exec(stdout) ?? [];
    passed += Number(good ?? 0);
    failed += Number(bad ?? 1);
    if (status !== 0 && bad === "0") failed++;
  }
  console.log(`\n${passed} passed, ${failed} failed`);
  return failed ? 1 : 0;
});

/**
 * `npm run package`: the library as an npm package, for programs other than the course, in dist/package/ and as a tarball.
 * With `-- --check` it is then used as others would use it.
 */
import { checkPackage } from "./package/check";
import { makePackage } from "./package/make";
import { readOptions } from "./setup/options.mjs";
import { runCommand } from "./setup/setup-error.mjs";

runCommand(async () => {
  const read = readOptions(process.argv.slice(2), {
    call: "npm run package",
    options: {
      check: { says: "uses the tarball as others would: each kind of module, types, bundlers, Bun, Deno" },
    },
  });
  if (!read) return;
  const tarball = await makePackage();
  console.log(tarball);
  if (read.values.check) return checkPackage(tarball);
});

/** The course's server, as it is started for a student: this computer alone reaches it, and it asks for a token. */
import { readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";
import { jupyterOptions } from "../../scripts/start/jupyter-options.mjs";

const options: string[] = jupyterOptions({ folder: "/tmp/work", page: "/lab", port: 8899, browser: false });
const start = path.join(__dirname, "../../scripts/start");

describe("the options of the course's server", () => {
  it("listen on loopback, on the port that was asked for and no other", () => {
    expect(options.filter((o) => /\.ip=/.test(o))).toEqual(["--ServerApp.ip=127.0.0.1"]);
    expect(options).toContain("--ServerApp.port_retries=0");
  });

  it("take nothing away from Jupyter's own protection", () => {
    const weakened =
      /token=|password|disable_check_xsrf|allow_origin|allow_remote_access|allow_unauthenticated|allow_password_change|allow_credentials|cookie_options|local_hostnames|content_security/i;
    expect(options.filter((o) => weakened.test(o))).toEqual([]);
  });

  it("offer no terminal, no other kernel and no extensions from elsewhere", () => {
    expect(options).toContain("--ServerApp.terminals_enabled=False");
    expect(options).toContain("--KernelSpecManager.allowed_kernelspecs=tslab");
    expect(options).toContain("--LabApp.extension_manager=readonly");
  });

  it("go with a token of 192 random bits in the environment, where other users' `ps` does not show it", () => {
    const serve = readFileSync(path.join(start, "serve.mjs"), "utf8");
    expect(serve).toMatch(/randomBytes\((2[4-9]|[3-9]\d)\)/);
    expect(serve).toMatch(/JUPYTER_TOKEN: token/);
    expect(options.join(" ")).not.toMatch(/token/i);
  });
});

/**
 * The image for Kubernetes, made without Docker: the recipe's steps one by one in a Debian of their own. Then a hub of the chart's
 * version with the settings of values.yaml starts a student's server in it as a pod would, and the student runs the first cell of a lesson.
 *
 * As root on Debian, with debootstrap, python3-venv and the network; takes some minutes and 2 GB:
 *
 *     node scripts/run.mjs scripts/class/checks/image.ts [--folder NEW]
 *
 * This leaves untried: Docker's own building and the base image's own files, Kubernetes, the chart and its spawner, TLS, network policies.
 */
import { spawn, spawnSync } from "node:child_process";
import {
  chmodSync,
  chownSync,
  copyFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { parse } from "yaml";
import { readOptions } from "../../setup/options.mjs";
import { inRoot, root } from "../../setup/places.mjs";
import { runCommand, SetupError } from "../../setup/setup-error.mjs";
import { freePort } from "../../start/free-port.mjs";
import { ensurePasswords } from "../server/passwords.mjs";
import { ensureProxy, proxyCommand } from "../server/proxy.mjs";
import { context, steps } from "./recipe";

/** JupyterHub of the chart's version that values.yaml names. */
const hubPackage = "jupyterhub==5.5.*";
const kubernetes = inRoot("scripts", "class", "kubernetes");
/** What the base image's own npm is. */
const npmPackage = "npm@10";
const authorities = "/etc/ssl/certs/ca-certificates.crt";
const imagePath = "PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin";

/** Runs a program, its words on the screen, and stops everything where it fails. */
function must(program: string, args: readonly string[], env: NodeJS.ProcessEnv = process.env): void {
  const { status, error } = spawnSync(program, args, { stdio: "inherit", env });
  if (status !== 0) throw new SetupError(`${program} ${args.join(" ")} failed: ${error?.message ?? status}`);
}

/** A program within the image, in spaces of its own, so that its mounts and processes go with it. */
const inside = (image: string, cwd: string) => [
  "--mount",
  "--pid",
  "--fork",
  "--kill-child",
  `--root=${image}`,
  "--mount-proc",
  `--wd=${cwd}`,
];

/** `FROM node:22-bookworm-slim`: that Debian, that Node.js in /usr/local, and its user 1000. */
function makeBase(image: string, from: string, folder: string): void {
  const [, node, debian] = /^node:(\d+)-(\w+)-slim$/.exec(from) ?? [];
  if (!node) throw new SetupError(`The base image ${from} can't be made here.`);
  must("debootstrap", ["--variant=minbase", debian, image, "http://deb.debian.org/debian"]);
  const fetched = path.join(folder, "node");
  const flags = ["--no-audit", "--no-fund", "--ignore-scripts=false"];
  must("npm", ["install", ...flags, "--prefix", fetched, `node@${node}`, npmPackage]);
  copyFileSync(
    path.join(fetched, "node_modules", "node", "bin", "node"),
    path.join(image, "usr/local/bin/node"),
  );
  cpSync(path.join(fetched, "node_modules", "npm"), path.join(image, "usr/local/lib/node_modules/npm"), {
    recursive: true,
  });
  symlinkSync("../lib/node_modules/npm/bin/npm-cli.js", path.join(image, "usr/local/bin/npm"));
  const user =
    "groupadd --gid 1000 node && useradd --uid 1000 --gid node --shell /bin/bash --create-home node";
  must("unshare", [...inside(image, "/"), "/bin/sh", "-c", user], { PATH: imagePath.slice(5) });
}

/** What a build reaches the network by: names of hosts, a proxy, and this machine's authorities where it has its own. */
function network(image: string): NodeJS.ProcessEnv {
  copyFileSync("/etc/resolv.conf", path.join(image, "etc/resolv.conf"));
  const own = "/tmp/authorities.crt";
  if (existsSync(authorities)) copyFileSync(authorities, path.join(image, own));
  const proxy = Object.entries(process.env).filter(([name]) => /^(https?|no)_proxy$/i.test(name));
  return {
    ...Object.fromEntries(proxy),
    ...(existsSync(authorities) ? { NODE_EXTRA_CA_CERTS: own, PIP_CERT: own } : {}),
  };
}

function build(image: string, folder: string): void {
  const ignore = readFileSync(path.join(kubernetes, "Dockerfile.dockerignore"), "utf8");
  let [cwd, user, env] = ["/", "root", {} as NodeJS.ProcessEnv];
  for (const { name, what } of steps(readFileSync(path.join(kubernetes, "Dockerfile"), "utf8"))) {
    console.log(`\n--- ${name} ${what}`);
    if (name === "FROM") {
      makeBase(image, what, folder);
      env = network(image);
    } else if (name === "WORKDIR") {
      cwd = what;
      mkdirSync(path.join(image, cwd), { recursive: true });
    } else if (name === "USER") user = what;
    else if (name === "COPY" && what === ". .") {
      const files = context(root, ignore);
      for (const file of files) cpSync(path.join(root, file), path.join(image, cwd, file));
      console.log(`${files.length} files`);
    } else if (name === "RUN" && user === "root")
      must("unshare", [...inside(image, cwd), "/bin/sh", "-c", what], { ...env, PATH: imagePath.slice(5) });
    else throw new SetupError("This step is not understood here.");
  }
}

/**
 * A program that puts a student's server into the image as Kubernetes would: user 1000, group 100 for its volume, nothing more.
 * The shell stays, as root, so that --kill-child still ends all with it: that wish is lost where a process changes its user.
 */
function writeEnter(image: string, folder: string, home: string): string {
  const volume = path.join(folder, "volume");
  mkdirSync(volume);
  chownSync(volume, 0, 100);
  chmodSync(volume, 0o2775);
  const file = path.join(folder, "enter");
  const pod = `setpriv --reuid 1000 --regid 1000 --groups 100 --no-new-privs --bounding-set=-all`;
  writeFileSync(
    file,
    `#!/bin/sh
exec unshare --mount --pid --fork --kill-child /bin/sh -c '
  mount --bind ${volume} ${image}${home} && mount -t proc proc ${image}/proc &&
  chroot ${image} ${pod} env --chdir=${home} HOME=${home} USER=jovyan ${imagePath} "$@"; exit $?' enter "$@"
`,
  );
  chmodSync(file, 0o755);
  return file;
}

async function answers(address: string): Promise<void> {
  for (let tries = 0; tries < 120; tries++) {
    if (
      await fetch(address).then(
        ({ ok }) => ok,
        () => false,
      )
    )
      return;
    await new Promise((resolve) => setTimeout(resolve, 500));
  }
  throw new SetupError(`${address} does not answer.`);
}

async function serve(image: string, folder: string): Promise<void> {
  const values = parse(readFileSync(path.join(kubernetes, "values.yaml"), "utf8"), { version: "1.1" });
  const environment = path.join(folder, "hub");
  must("/usr/bin/python3", ["-m", "venv", environment]);
  must(path.join(environment, "bin", "pip"), ["install", "--quiet", "--only-binary", ":all:", hubPackage]);
  await ensureProxy();
  const students: string[] = values.hub.config.Authenticator.allowed_users;
  const files = Object.values<{ mountPath: string }>(values.hub.extraFiles).map(({ mountPath }) => mountPath);
  for (const file of files) mkdirSync(path.dirname(folder + file), { recursive: true });
  for (const file of files.filter((one) => one.endsWith(".py")))
    copyFileSync(inRoot("scripts", "class", "server", path.basename(file)), folder + file);
  const given = path.join(folder, "passwords.txt");
  writeFileSync(given, students.map((name) => `${name} a password of ${name}\n`).join(""));
  ensurePasswords(path.dirname(folder + values.hub.config.ListedPasswords.file), students, { given });
  const ports = [
    await freePort(undefined, 8981),
    await freePort(undefined, 8081),
    await freePort(undefined, 8151),
  ];
  const enter = writeEnter(image, folder, values.singleuser.storage.homeMountPath);
  const settings = { values, ports, enter, folder, proxy: proxyCommand };
  const hub = spawn(
    path.join(environment, "bin", "jupyterhub"),
    ["--config", inRoot("scripts", "class", "checks", "chart_hub.py")],
    {
      cwd: folder,
      stdio: "inherit",
      env: {
        ...process.env,
        EVENGROUND_HUB: JSON.stringify(settings),
        PYTHONPATH: folder + values.hub.extraEnv.PYTHONPATH,
      },
    },
  );
  try {
    await answers(`http://127.0.0.1:${ports[0]}/hub/health`);
    must(path.join(environment, "bin", "python"), [
      inRoot("scripts", "class", "checks", "pod.py"),
      `http://127.0.0.1:${ports[0]}`,
      students.at(-1) as string,
    ]);
    // As a teacher fetches it: kubectl exec POD -- cat FILE.
    const { stdout } = spawnSync(enter, ["cat", "course/01-one-show.ipynb"], { encoding: "utf8" });
    if (JSON.parse(stdout).cells[0].metadata.mark !== "kept")
      throw new SetupError("What the student saved is not what a teacher fetches.");
    console.log("All as it should be.");
  } finally {
    hub.kill("SIGTERM");
    await new Promise((resolve) => hub.once("exit", resolve));
  }
}

runCommand(async () => {
  const read = readOptions(process.argv.slice(2), {
    call: "node scripts/run.mjs scripts/class/checks/image.ts",
    options: {
      folder: { value: "NEW", place: "any", says: "where it is made and kept; else it goes away again" },
    },
  });
  if (!read) return 0;
  if (process.getuid?.() !== 0) throw new SetupError("Only root can try this.");
  const folder: string = read.values.folder ?? mkdtempSync(path.join(tmpdir(), "evenground-image-"));
  const image = path.join(folder, "image");
  try {
    mkdirSync(image, { recursive: true });
    build(image, folder);
    await serve(image, folder);
  } finally {
    if (!read.values.folder) rmSync(folder, { recursive: true, force: true });
  }
  return 0;
});

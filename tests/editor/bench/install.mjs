// Builds the editor test bench: a real VS Code served to a browser (code-server), compiled once into a cache
// folder outside this package's dependencies. Run by hand with `node tests/editor/bench/install.mjs`.
//
// code-server's own install script is skipped: it fetches prebuilt binaries. The native modules are compiled
// here against the headers of the running node instead, so the bench needs nothing but the package registry.
import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { accessSync, constants, existsSync, readFileSync, realpathSync } from "node:fs";
import { mkdir, open, rm, symlink, writeFile } from "node:fs/promises";
import { homedir } from "node:os";
import { delimiter, dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

/** The served editor's version; 4.100.3 carries VS Code 1.100. */
export const CODE_SERVER_VERSION = "4.100.3";

/** Seconds after which one install or compile step counts as hung. */
const STEP_LIMIT_S = 1200;

/** Folder that holds the bench: CUTWRIGHT_EDITOR_CACHE, or a folder under the user's cache. */
export function benchFolder() {
  const chosen = process.env.CUTWRIGHT_EDITOR_CACHE;
  return chosen
    ? resolve(chosen)
    : join(homedir(), ".cache", "cutwright-editor-bench", `code-server-${CODE_SERVER_VERSION}`);
}

/** Script that starts the served editor under node. */
export function benchEntry(folder = benchFolder()) {
  return join(folder, "node_modules", "code-server", "out", "node", "entry.js");
}

/** Path of a program on PATH, or undefined. */
export function programOnPath(name) {
  for (const folder of (process.env.PATH ?? "").split(delimiter)) {
    const file = join(folder, name);
    try {
      accessSync(file, constants.X_OK);
      return file;
    } catch {
      // not in this folder
    }
  }
  return undefined;
}

/** Chromium to drive: CHROMIUM, or the one on PATH; undefined when there is none. */
export function chromiumProgram() {
  return process.env.CHROMIUM ?? programOnPath("chromium") ?? programOnPath("chromium-browser");
}

/** Prefix of the running node whose include/node/node.h exists, or undefined. */
function nodeHeaderPrefix() {
  const beside = [process.execPath, realpathSync(process.execPath)].map((file) => dirname(dirname(file)));
  return [...beside, "/usr/local", "/usr"].find((prefix) =>
    existsSync(join(prefix, "include", "node", "node.h")),
  );
}

/** Folder of the npm that belongs to the running node, or undefined. */
function npmFolder() {
  const npm = programOnPath("npm");
  const candidates = [
    ...(npm ? [dirname(dirname(realpathSync(npm)))] : []),
    join(dirname(dirname(process.execPath)), "lib", "node_modules", "npm"),
  ];
  return candidates.find((folder) =>
    existsSync(join(folder, "node_modules", "node-gyp", "bin", "node-gyp.js")),
  );
}

/** What this machine lacks, one line each; empty when the bench can be built and used. */
function missingPieces() {
  const missing = [];
  const major = Number(process.versions.node.split(".")[0]);
  if (major !== 20)
    missing.push(`node 20 (this is ${process.versions.node}; the served editor pins node 20)`);
  for (const [program, from] of [
    ["rg", "ripgrep"],
    ["g++", "build-essential"],
    ["make", "build-essential"],
    ["python3", "python3"],
    ["pkg-config", "pkg-config"],
  ]) {
    if (!programOnPath(program)) missing.push(`program ${program} (Debian package ${from})`);
  }
  if (!chromiumProgram()) missing.push("program chromium (Debian package chromium, or set CHROMIUM)");
  if (!nodeHeaderPrefix()) missing.push("node's headers: no include/node/node.h beside the running node");
  if (!npmFolder()) missing.push("npm with its own node-gyp");
  return missing;
}

/**
 * Environment for a nested npm: without what an outer `npm test` adds about its own package, which would
 * redirect the nested install, and with registry settings kept.
 */
function nestedEnvironment() {
  const outer =
    /^(npm_(package|lifecycle)_|npm_(command|execpath|node_execpath)$|npm_config_(local_prefix|prefix|global|workspaces?|include_workspace_root|omit|ignore_scripts|node_gyp)$|INIT_CWD$|NODE_OPTIONS$|VITEST|NODE_ENV$)/i;
  return Object.fromEntries(Object.entries(process.env).filter(([name]) => !outer.test(name)));
}

/** Runs one step, its output going to a log file. Rejects with the end of that log. */
async function step(name, program, args, cwd, logFolder) {
  console.log(`editor bench: ${name}`);
  const logFile = join(logFolder, `${name.replace(/[^a-z0-9]+/gi, "-")}.log`);
  const log = await open(logFile, "w");
  try {
    const ended = await new Promise((settle, reject) => {
      const child = spawn(program, args, {
        cwd,
        env: nestedEnvironment(),
        stdio: ["ignore", log.fd, log.fd],
        timeout: STEP_LIMIT_S * 1000,
      });
      child.once("error", reject);
      child.once("exit", (code, signal) => settle(signal ?? code));
    });
    if (ended !== 0) {
      const tail = readFileSync(logFile, "utf8").trimEnd().split("\n").slice(-15).join("\n");
      throw new Error(`editor bench: step "${name}" ended with ${ended}. Log: ${logFile}\n${tail}`);
    }
  } finally {
    await log.close();
  }
}

async function link(target, path) {
  await mkdir(dirname(path), { recursive: true });
  await rm(path, { force: true, recursive: true });
  await symlink(target, path);
}

/** Runs jobs at most `width` at a time and waits for those already running when one fails. */
async function inParallel(width, jobs) {
  const waiting = [...jobs];
  const worker = async () => {
    for (let job = waiting.shift(); job; job = waiting.shift()) await job();
  };
  const results = await Promise.allSettled(Array.from({ length: width }, worker));
  const failed = results.find((result) => result.status === "rejected");
  if (failed) throw failed.reason;
}

/**
 * Makes sure the bench exists and is complete; does nothing when its stamp matches this recipe and node.
 * Returns the bench folder. Throws an Error that lists what is missing, or the failed step and its log.
 */
export async function ensureBench() {
  const folder = benchFolder();
  const stampFile = join(folder, "bench-complete.json");
  const recipe = createHash("sha256")
    .update(readFileSync(fileURLToPath(import.meta.url)))
    .digest("hex")
    .slice(0, 16);
  const stamp = JSON.stringify({
    codeServer: CODE_SERVER_VERSION,
    nodeAbi: process.versions.modules,
    recipe,
  });
  const missing = missingPieces();
  if (missing.length > 0) {
    throw new Error(`editor bench: this machine lacks\n  - ${missing.join("\n  - ")}`);
  }
  if (existsSync(stampFile) && readFileSync(stampFile, "utf8") === stamp && existsSync(benchEntry(folder))) {
    return folder;
  }

  const logs = join(folder, "logs");
  await rm(stampFile, { force: true });
  await mkdir(logs, { recursive: true });
  await writeFile(
    join(folder, "package.json"),
    JSON.stringify({ name: "cutwright-editor-bench", private: true }),
  );

  const npm = join(npmFolder(), "bin", "npm-cli.js");
  const gyp = join(npmFolder(), "node_modules", "node-gyp", "bin", "node-gyp.js");
  const nodeDir = `--nodedir=${nodeHeaderPrefix()}`;
  const quiet = ["--no-audit", "--no-fund", "--loglevel=error"];
  const server = join(folder, "node_modules", "code-server");
  const editor = join(server, "lib", "vscode");
  const runNode = (name, cwd, args) => step(name, process.execPath, args, cwd, logs);

  await runNode("fetch code-server", folder, [
    npm,
    "install",
    `code-server@${CODE_SERVER_VERSION}`,
    "--ignore-scripts",
    ...quiet,
  ]);
  for (const [name, cwd] of [
    ["fetch the editor's packages", editor],
    ["fetch the built-in extensions' packages", join(editor, "extensions")],
  ]) {
    await runNode(name, cwd, [npm, "install", "--ignore-scripts", "--omit=dev", ...quiet]);
  }

  const native = ["node-pty", "@vscode/spdlog", "@parcel/watcher", "native-watchdog"];
  const argon2 = join(server, "node_modules", "argon2");
  const preGyp = join(server, "node_modules", "@mapbox", "node-pre-gyp", "bin", "node-pre-gyp");
  const preGypHoisted = join(folder, "node_modules", "@mapbox", "node-pre-gyp", "bin", "node-pre-gyp");
  const argon2Hoisted = join(folder, "node_modules", "argon2");
  await inParallel(2, [
    ...native.map(
      (module) => () =>
        runNode(`compile ${module}`, join(editor, "node_modules", module), [gyp, "rebuild", nodeDir]),
    ),
    () =>
      runNode("compile argon2", existsSync(argon2) ? argon2 : argon2Hoisted, [
        existsSync(preGyp) ? preGyp : preGypHoisted,
        "install",
        "--build-from-source",
        nodeDir,
      ]),
  ]);

  await link(programOnPath("rg"), join(editor, "node_modules", "@vscode", "ripgrep", "bin", "rg"));
  await link("node_modules", join(editor, "node_modules.asar"));
  await writeFile(stampFile, stamp);
  return folder;
}

if (process.argv[1] && realpathSync(process.argv[1]) === fileURLToPath(import.meta.url)) {
  try {
    console.log(`editor bench: ready in ${await ensureBench()}`);
  } catch (error) {
    console.error(error instanceof Error ? error.message : error);
    process.exitCode = 1;
  }
}

// The demo: reviews the seed board's programs and writes the review pages and the setup sheet.
import { spawnSync } from "node:child_process";
import { mkdirSync } from "node:fs";
import { basename, dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const root = join(here, "..", "..");
const cli = join(root, "dist", "cli.js");
const folder = join(here, "seed-board");
const out = join(here, "out");
const job = join(folder, "seed-board.job.json");
const programs = ["seed-board-inside.nc", "seed-board-outline.nc"].map((name) => join(folder, name));

/** Runs the command line; a status it does not expect ends the demo. */
function cutwright(args, expected) {
  const paths = args.map((arg) => (arg.startsWith(root) ? relative(root, arg) : arg));
  const { status, error } = spawnSync(process.execPath, [cli, ...paths], {
    cwd: root,
    stdio: ["ignore", "inherit", "inherit"],
  });
  if (error) throw error;
  if (!expected.includes(status)) {
    console.error(`cutwright ${paths.join(" ")} ended with status ${status}.`);
    process.exit(1);
  }
}

mkdirSync(out, { recursive: true });
// Status 1 is what a demo of findings is for.
cutwright(["review", ...programs], [0, 1]);
console.log("\nWritten (open them in a browser):");
for (const program of programs) {
  cutwright(
    ["page", program, "-o", join(out, `${basename(program).replace(/\.\w+$/, "")}-review.html`)],
    [0],
  );
}
cutwright(["sheet", job, "-o", join(out, "seed-board-sheet.html")], [0]);

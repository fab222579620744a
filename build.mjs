// One build step: bundles for the editor, the server, the command line and the cut view, and the job schema.
import { build, context } from "esbuild";
import { mkdir, writeFile } from "node:fs/promises";

const watch = process.argv.includes("--watch");
// "module" first: the other build of jsonc-parser asks for its parts at run time, where there are none.
const fields = ["module", "main"];
const node = {
  mainFields: fields,
  platform: "node",
  target: "node20",
  bundle: true,
  sourcemap: watch,
  minify: !watch,
  logLevel: "warning",
};
const require = {
  js: 'import { createRequire } from "node:module"; const require = createRequire(import.meta.url);',
};

const bundles = [
  {
    ...node,
    entryPoints: ["client/src/extension.ts"],
    outfile: "dist/extension.cjs",
    format: "cjs",
    external: ["vscode"],
  },
  { ...node, entryPoints: ["server/src/editor/main.ts"], outfile: "dist/server.cjs", format: "cjs" },
  { ...node, entryPoints: ["server/src/cli.ts"], outfile: "dist/cli.js", format: "esm", banner: require },
  {
    ...node,
    entryPoints: ["tests/bench/bench.ts"],
    outfile: "dist/bench.js",
    format: "esm",
    banner: require,
  },
  {
    ...node,
    entryPoints: ["server/src/report/make-docs.ts"],
    outfile: "dist/make-docs.js",
    format: "esm",
    banner: require,
  },
  {
    ...node,
    entryPoints: ["server/src/job/write-schema.ts"],
    outfile: "dist/write-schema.js",
    format: "esm",
    banner: require,
  },
  {
    entryPoints: ["webview/src/main.ts"],
    outfile: "dist/view.js",
    bundle: true,
    format: "iife",
    platform: "browser",
    target: "es2022",
    minify: !watch,
    sourcemap: false,
    logLevel: "warning",
  },
  { entryPoints: ["webview/src/view.css"], outfile: "dist/view.css", minify: !watch, logLevel: "warning" },
];

await mkdir("dist", { recursive: true });
if (watch) {
  const contexts = await Promise.all(bundles.map((options) => context(options)));
  // Once through before watching: the schema below is made by one of the bundles.
  await Promise.all(contexts.map((each) => each.rebuild()));
  await Promise.all(contexts.map((each) => each.watch()));
} else {
  await Promise.all(bundles.map((options) => build(options)));
}
const { jobSchemaText } = await import("./dist/write-schema.js");
await writeFile("dist/job.schema.json", jobSchemaText());

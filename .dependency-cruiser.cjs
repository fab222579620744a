// The layer arrows of DEVELOPERS.md as a rule: an arrow only runs down the list.
const layer = (name) => `^server/src/${name}/`;
const below = {
  language: [],
  job: ["language"],
  machine: ["language", "job"],
  cuts: ["language", "machine", "job"],
  stock: ["language", "machine", "job", "cuts"],
  review: ["language", "machine", "job", "cuts", "stock"],
  report: ["language", "machine", "job", "cuts", "stock", "review"],
  editor: ["language", "machine", "job", "cuts", "stock", "review", "report"],
};

module.exports = {
  forbidden: [
    ...Object.entries(below).map(([name, allowed]) => ({
      name: `${name}-looks-down-only`,
      severity: "error",
      from: { path: layer(name) },
      to: { path: "^(server|client|webview)/", pathNot: [layer(name), ...allowed.map(layer)] },
    })),
    {
      name: "editor-types-stay-in-editor",
      severity: "error",
      from: { path: "^server/src/", pathNot: layer("editor") },
      to: { path: "vscode" },
    },
    {
      name: "engine-is-pure",
      comment: "Files and processes belong to the editor adapter, the command line and the report writers.",
      severity: "error",
      from: { path: "^server/src/(language|machine|cuts|stock|review)/" },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "view-knows-no-editor",
      severity: "error",
      from: { path: "^webview/" },
      to: { path: "(vscode|^client/|^server/src/(editor|cli|review/rules))" },
    },
    {
      name: "client-is-thin",
      severity: "error",
      from: { path: "^client/" },
      to: { path: "^(webview/|server/src/(language|machine|cuts|stock|review)/)" },
    },
    {
      name: "no-circles",
      severity: "error",
      from: {},
      to: { circular: true, viaOnly: { dependencyTypesNot: ["type-only"] } },
    },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.json" },
    doNotFollow: { path: "node_modules" },
  },
};

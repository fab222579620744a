// The language server over its standard streams: the bundle, the real protocol, no mock in between.
// Shapes of requests and answers: Language Server Protocol 3.17.
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import {
  CodeActionKind,
  DiagnosticSeverity,
  type CodeAction,
  type DocumentSymbol,
  type FoldingRange,
  type Hover,
  type MarkupContent,
  type Range,
  type TextDocumentEdit,
  type TextEdit,
} from "vscode-languageserver/node";
import { decodeScene } from "../../server/src/report/scene-codec.ts";
import {
  chooseBoardRequest,
  createJobRequest,
  declareThicknessRequest,
  sceneRequest,
  type EditAnswer,
  type Refusal,
  type SceneAnswer,
} from "../../server/src/editor/protocol.ts";
import { bundleServer, StdioClient, uriOf } from "./stdio-client.ts";

/** A label rack: one slot meant to go through, cut in two passes, and a groove that stops partway. */
const rack = `(Label rack)
(second line of the heading)
G21 G90 G17
T1 M6
S18000 M3
G0 Z5
(Ends)
G0 X10 Y10
G1 Z-9 F300
G1 X110 F1200
G0 Z5
G0 X10 Y10
G1 Z-18 F300
G1 X110 F1200
G0 Z5
(Groove)
G0 X10 Y40
G1 Z-4 F300
G1 X110 F1200
G0 Z5
M5
M30
`;
const lineOf = (text: string, part: string) => text.slice(0, text.indexOf(part)).split("\n").length - 1;
const deepLine = lineOf(rack, "G1 Z-18");

const job = (board: string) => `{
  // The rack's boards.
  "programs": ["rack.nc"],
  "boards": {
    "trial": { "size": ["140 mm", "70 mm"], "thickness": "18.6 mm" },
    "series": { "size": ["140 mm", "70 mm"], "thickness": "17 mm" },
  },
  "board": "${board}",
  "tools": [{ "number": 1, "shape": "flat", "diameter": "6 mm" }]
}
`;

let bundle: string;
let folder: string;
let client: StdioClient;
let programUri: string;
let jobUri: string;

beforeAll(async () => {
  bundle = await bundleServer();
});

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "cutwright-stdio-"));
  writeFileSync(join(folder, "rack.nc"), rack);
  writeFileSync(join(folder, "rack.job.json"), job("trial"));
  programUri = uriOf(join(folder, "rack.nc"));
  jobUri = uriOf(join(folder, "rack.job.json"));
  client = StdioClient.start(bundle);
});

afterEach(async () => {
  await client.end();
  rmSync(folder, { recursive: true, force: true });
});

afterAll(() => rmSync(join(bundle, ".."), { recursive: true, force: true }));

async function opened(text = rack): Promise<void> {
  await client.initialize();
  await client.open(programUri, text);
}

/** As `opened`, in a folder without a job file. */
async function openedAlone(text = rack): Promise<void> {
  rmSync(join(folder, "rack.job.json"), { force: true });
  await opened(text);
}

const codes = (diagnostics: readonly { code?: unknown }[]) => diagnostics.map(({ code }) => code);
const hover = (line: number) =>
  client.request<Hover | null>("textDocument/hover", {
    textDocument: { uri: programUri },
    position: { line, character: 0 },
  });
const hoverText = async (line: number) =>
  ((await hover(line))?.contents as MarkupContent | undefined)?.value ?? "";

function textAt(text: string, { start, end }: Range): string {
  const lines = text.split("\n");
  if (start.line === end.line) return lines[start.line].slice(start.character, end.character);
  return [
    lines[start.line].slice(start.character),
    ...lines.slice(start.line + 1, end.line),
    lines[end.line].slice(0, end.character),
  ].join("\n");
}

describe("life of the server", () => {
  test("tells what it can do, and ends with 0 after shutdown and exit", async () => {
    const { capabilities, serverInfo } = await client.initialize();
    expect(serverInfo?.name).toBe("Cutwright");
    expect(capabilities).toMatchObject({ hoverProvider: true, foldingRangeProvider: true });
    expect(capabilities.textDocumentSync).toMatchObject({ openClose: true, change: 2 });
    expect(await client.end()).toBe(0);
  });

  test("answers a request it does not know with the protocol's error", async () => {
    await client.initialize();
    // JSON-RPC 2.0, section 5.1: -32601, the method does not exist.
    await expect(client.request("cutwright/noSuchThing", {})).rejects.toMatchObject({ code: -32601 });
  });

  test("says how to start it when it is started with nothing", async () => {
    const { spawnSync } = await import("node:child_process");
    const { status, stderr } = spawnSync(process.execPath, [bundle], { encoding: "utf8", timeout: 20_000 });
    expect(status).toBe(2);
    expect(stderr).toMatch(/--stdio/);
  });
});

describe("diagnostics", () => {
  test("name the through cut that falls short, on its block, with the pass and the thickness", async () => {
    await opened();
    const diagnostics = await client.diagnostics(programUri);
    expect(codes(diagnostics)).toEqual(["through-cut-short"]);
    const [short] = diagnostics;
    expect(short.severity).toBe(DiagnosticSeverity.Error);
    expect(short.source).toBe("Cutwright");
    expect(short.range.start.line).toBeGreaterThanOrEqual(deepLine);
    expect(textAt(rack, short.range)).toMatch(/^G1 /);
    // 18.6 mm of board less 18 mm of depth.
    expect(short.message).toContain("0.60 mm");
    expect(short.codeDescription?.href).toBe("https://pages.example.invalid/through-cut-short.md");
    const related = short.relatedInformation ?? [];
    expect(related.map(({ location }) => location.uri)).toEqual([programUri, jobUri]);
    const thicknessLine = related[1].location.range.start.line;
    expect(job("trial").split("\n")[thicknessLine]).toContain("18.6 mm");
  });

  test("follow an edit, and a later version is the one that counts", async () => {
    await opened();
    await client.diagnostics(programUri);
    const at = { line: deepLine, character: 3 };
    const edit = (from: number, newText: string): TextEdit => ({
      range: { start: at, end: { line: deepLine, character: from } },
      newText,
    });
    await client.edit(programUri, [edit(7, "Z-19")]);
    await client.edit(programUri, [edit(7, "Z-20")]);
    expect(codes(await client.diagnostics(programUri))).toEqual([]);
    const versions = client.published.filter(({ uri }) => uri === programUri).map(({ version }) => version);
    expect(versions).toEqual([...versions].sort());
  });

  test("stand right after edits sent together from the end of the text to its start and back", async () => {
    await opened();
    const point = (line: number, character: number) => ({
      start: { line, character },
      end: { line, character },
    });
    await client.change(
      programUri,
      [
        { range: point(21, 0), text: "(far end)\n" },
        { range: point(0, 0), text: "(first)\n(second)\n" },
        {
          range: { start: { line: deepLine + 2, character: 3 }, end: { line: deepLine + 2, character: 7 } },
          text: "Z-17.5",
        },
      ],
      2,
    );
    const [short] = await client.diagnostics(programUri);
    expect(textAt(client.text(programUri), short.range)).toMatch(/^G1 /);
    // 18.6 less 17.5.
    expect(short.message).toContain("1.10 mm");
    expect(short.range.start.line).toBeGreaterThanOrEqual(deepLine + 2);
  });

  test("come again when the job file is typed in, and go back with it", async () => {
    await opened();
    await client.diagnostics(programUri);
    const before = client.published.length;
    await client.open(jobUri, job("series"), "jsonc");
    const again = () => client.published.slice(before).filter(({ uri }) => uri === programUri);
    await client.until(() => again().length > 0, "a second review");
    expect(codes(again()[0].diagnostics)).not.toContain("through-cut-short");
    await client.close(jobUri);
    await client.until(
      () => codes(again().at(-1)!.diagnostics).includes("through-cut-short"),
      "the file's own board",
    );
  });

  test("come again when the job file changes on disk", async () => {
    await opened();
    await client.diagnostics(programUri);
    writeFileSync(join(folder, "rack.job.json"), job("series"));
    await client.connection.sendNotification("workspace/didChangeWatchedFiles", {
      changes: [{ uri: jobUri, type: 2 }],
    });
    await client.until(() => client.statuses.at(-1)?.board === "series", "the other board");
    expect(codes(client.published.findLast(({ uri }) => uri === programUri)!.diagnostics)).not.toContain(
      "through-cut-short",
    );
  });

  test("of the job file stand in the job file, once, and go when it is mended", async () => {
    const broken = job("trial").replace("18.6 mm", "thick");
    writeFileSync(join(folder, "rack.job.json"), broken);
    await opened();
    await client.until(
      () => client.published.some(({ uri }) => uri === jobUri),
      "diagnostics of the job file",
    );
    const [problem] = client.published.findLast(({ uri }) => uri === jobUri)!.diagnostics;
    expect(problem.code).toBe("job-invalid");
    expect(textAt(broken, problem.range)).toContain("thick");
    expect(codes(await client.diagnostics(programUri))).toContain("thickness-unknown");
    await client.open(jobUri, job("trial"), "jsonc");
    await client.until(
      () => client.published.findLast(({ uri }) => uri === jobUri)!.diagnostics.length === 0,
      "an empty list for the job file",
    );
  });

  test("use the settings, and say which setting cannot be used", async () => {
    client.settings = {
      rules: { "through-cut-short": "info", "no-such-severity": "loud" },
      machine: { rapidRate: 5 },
    };
    await opened();
    const diagnostics = await client.diagnostics(programUri);
    const short = diagnostics.find(({ code }) => code === "through-cut-short");
    expect(short?.severity).toBe(DiagnosticSeverity.Information);
    const messages = diagnostics.filter(({ code }) => code === "job-invalid").map(({ message }) => message);
    expect(messages).toEqual([
      expect.stringContaining("cutwright.rules"),
      expect.stringContaining("cutwright.machine.rapidRate"),
    ]);
    client.settings = {};
    const before = client.published.length;
    await client.connection.sendNotification("workspace/didChangeConfiguration", { settings: null });
    await client.until(() => client.published.length > before, "a review with the new settings");
    expect(codes(client.published.at(-1)!.diagnostics)).toEqual(["through-cut-short"]);
  });

  test("are taken away when the program is closed", async () => {
    await opened();
    await client.diagnostics(programUri);
    await client.close(programUri);
    await client.until(() => client.published.at(-1)?.diagnostics.length === 0, "an empty list");
    expect(await hover(deepLine)).toBeNull();
  });
});

describe("status", () => {
  test("tells boards, thickness in the program's units, and the worst finding", async () => {
    await opened();
    await client.until(() => client.statuses.length > 0, "a status");
    expect(client.statuses[0]).toMatchObject({
      uri: programUri,
      version: 1,
      boards: ["trial", "series"],
      board: "trial",
      thickness: "18.60 mm",
      worst: "error",
      allRead: true,
    });
  });
});

describe("hover", () => {
  test("says where a block ends, how deep, what stays, and what it belongs to", async () => {
    await opened();
    const text = await hoverText(deepLine + 1);
    expect(text).toContain("Straight move at feed");
    expect(text).toContain("100.00 mm long");
    expect(text).toContain("1200 mm/min");
    expect(text).toContain("X 110.00 mm, Y 10.00 mm, Z -18.00 mm");
    expect(text).toContain("18.00 mm deep here");
    expect(text).toContain("0.60 mm of the board stays");
    expect(text).toMatch(
      /\*\*Slot\*\* in "Ends", pass 2 of 2: 18\.00 mm deep, meant to go through \(inferred: /,
    );
  });

  test("says what codes mean, and nothing on a line without words", async () => {
    await opened();
    expect(await hoverText(2)).toContain("numbers are millimetres");
    expect(await hoverText(3)).toContain("changes the tool");
    expect(await hover(0)).toBeNull();
    expect(await hover(999_999)).toBeNull();
  });

  test("does not let a program's text format the page", async () => {
    await opened(rack.replace("(Ends)", "(Ends [here]<b>)"));
    expect(await hoverText(deepLine + 1)).toContain("Ends \\[here\\]\\<b\\>");
  });
});

describe("outline and folding", () => {
  const symbols = () =>
    client.request<DocumentSymbol[]>("textDocument/documentSymbol", { textDocument: { uri: programUri } });

  test("list operations, cuts and passes with what they are meant to do", async () => {
    await opened();
    const [ends, groove, ...rest] = await symbols();
    expect(rest).toEqual([]);
    expect(ends.name).toBe("Ends");
    expect(groove.name).toBe("Groove");
    expect(ends.children?.map(({ name }) => name)).toEqual([
      "Slot, 2 passes, 18.00 mm deep, meant to go through",
    ]);
    expect(ends.children?.[0].children?.map(({ name }) => name)).toEqual([
      "Pass 1, 9.00 mm deep",
      "Pass 2, 18.00 mm deep",
    ]);
  });

  test("keep every child in its parent and every selection in its range", async () => {
    await opened();
    const inside = (inner: Range, outer: Range) =>
      [inner.start, inner.end].every(
        (p) =>
          (p.line > outer.start.line ||
            (p.line === outer.start.line && p.character >= outer.start.character)) &&
          (p.line < outer.end.line || (p.line === outer.end.line && p.character <= outer.end.character)),
      );
    let seen = 0;
    const check = (symbol: DocumentSymbol) => {
      seen++;
      expect(inside(symbol.selectionRange, symbol.range)).toBe(true);
      for (const child of symbol.children ?? []) {
        expect(inside(child.range, symbol.range)).toBe(true);
        check(child);
      }
    };
    (await symbols()).forEach(check);
    expect(seen).toBe(6);
  });

  test("fold operations, cuts, passes and comment blocks", async () => {
    await opened();
    const ranges = await client.request<FoldingRange[]>("textDocument/foldingRange", {
      textDocument: { uri: programUri },
    });
    expect(ranges).toContainEqual({ startLine: 0, endLine: 1, kind: "comment" });
    expect(ranges.some(({ startLine, endLine }) => startLine <= deepLine && endLine > deepLine)).toBe(true);
    for (const { startLine, endLine } of ranges) expect(endLine).toBeGreaterThan(startLine);
  });
});

describe("code actions", () => {
  const titled = (actions: CodeAction[], part: string) => {
    const found = actions.find(({ title }) => title.includes(part));
    if (!found?.edit)
      throw new Error(`no action "${part}" among: ${actions.map(({ title }) => title).join("; ")}`);
    return found;
  };

  test("declare the thickness at the top, with a place to fill in", async () => {
    await openedAlone();
    const [unknown] = await client.diagnostics(programUri);
    expect(unknown.code).toBe("thickness-unknown");
    const action = titled(await client.actions(programUri, 0, [unknown]), "thickness");
    expect(action.diagnostics).toEqual([unknown]);
    await client.apply(programUri, action.edit!, "17");
    expect(client.text(programUri).split("\n")[0]).toBe("(cutwright: thickness 17 mm)");
    expect(codes(await client.diagnostics(programUri))).not.toContain("thickness-unknown");
  });

  test("declare the tool of a program that names one, and of one that names none", async () => {
    for (const text of [rack, rack.replace("T1 M6\n", "")]) {
      await openedAlone(text);
      const undeclared = (await client.diagnostics(programUri)).find(
        ({ code }) => code === "tool-undeclared",
      )!;
      const action = titled(
        await client.actions(programUri, undeclared.range.start.line, [undeclared]),
        "tool 1",
      );
      await client.apply(programUri, action.edit!, "6");
      expect(client.text(programUri).split("\n")[0]).toBe("(cutwright: tool 1 flat 6 mm)");
      expect(codes(await client.diagnostics(programUri))).not.toContain("tool-undeclared");
      await client.end();
      client = StdioClient.start(bundle);
    }
  });

  test("make a job file beside the program and never over one that is there", async () => {
    await openedAlone();
    const [unknown] = await client.diagnostics(programUri);
    writeFileSync(join(folder, "rack.job.json"), '{ "programs": ["other.nc"] }');
    const action = titled(await client.actions(programUri, 0, [unknown]), "job file");
    const [create, fill] = action.edit!.documentChanges as [
      { kind: string; uri: string; options: object },
      TextDocumentEdit,
    ];
    expect(create).toMatchObject({ kind: "create", options: { overwrite: false, ignoreIfExists: false } });
    expect(create.uri).not.toBe(jobUri);
    expect(existsSync(new URL(create.uri))).toBe(false);
    const draft = (fill.edits[0] as TextEdit).newText;
    writeFileSync(new URL(create.uri), draft.replace('"thickness": ""', '"thickness": "17 mm"'));
    await client.connection.sendNotification("workspace/didChangeWatchedFiles", {
      changes: [{ uri: create.uri, type: 1 }],
    });
    await client.until(
      () => client.statuses.at(-1)?.thickness === "17.00 mm",
      "a review with the new job file",
    );
    expect(codes(client.published.findLast(({ uri }) => uri === programUri)!.diagnostics)).not.toContain(
      "thickness-unknown",
    );
  });

  test("declare that a cut stops partway on purpose", async () => {
    await opened();
    const [short] = await client.diagnostics(programUri);
    const action = titled(await client.actions(programUri, short.range.start.line, [short]), "stops partway");
    expect(action.kind).toBe(CodeActionKind.QuickFix);
    await client.apply(programUri, action.edit!);
    expect(client.text(programUri)).toContain("(cutwright: partway)\nG1 Z-9 F300\n");
    expect(codes(await client.diagnostics(programUri))).toEqual([]);
    expect(await hoverText(deepLine + 2)).toMatch(/stop partway \(declared/);
  });

  test("declare that a cut goes through, where it was taken to stop partway", async () => {
    await opened();
    await client.diagnostics(programUri);
    const groove = lineOf(rack, "G1 Z-4");
    const action = titled(await client.actions(programUri, groove), "goes through");
    await client.apply(programUri, action.edit!);
    expect(codes(await client.diagnostics(programUri))).toEqual(["through-cut-short", "through-cut-short"]);
  });

  test("silence a finding, with a reason that the user must write", async () => {
    await opened();
    const [short] = await client.diagnostics(programUri);
    const action = titled(await client.actions(programUri, short.range.start.line, [short]), "Silence");
    await client.apply(programUri, action.edit!, "");
    expect(codes(await client.diagnostics(programUri)).sort()).toEqual([
      "silence-without-reason",
      "through-cut-short",
    ]);
    const back = client.text(programUri).replace("because )", "because the offcut is broken off)");
    await client.change(programUri, [{ text: back }], client.version(programUri) + 1);
    expect(codes(await client.diagnostics(programUri))).toEqual([]);
  });

  test("insert the line that a finding proposes, in the document's own line ends", async () => {
    const text = rack.replace("G21 ", "").replace("M30\n", "").replace(/\n/g, "\r\n");
    await opened(text);
    const diagnostics = await client.diagnostics(programUri);
    expect(codes(diagnostics)).toEqual(expect.arrayContaining(["units-not-stated", "program-end-missing"]));
    for (const part of ["G21", "M30"]) {
      const rule = part === "G21" ? "units-not-stated" : "program-end-missing";
      const finding = (await client.diagnostics(programUri)).find(({ code }) => code === rule)!;
      const action = titled(await client.actions(programUri, finding.range.start.line, [finding]), part);
      await client.apply(programUri, action.edit!);
      expect(codes(await client.diagnostics(programUri))).not.toContain(rule);
    }
    expect(client.text(programUri).replace(/\r\n/g, "")).not.toMatch(/[\r\n]/);
  });

  test("are only of the kinds asked for", async () => {
    await opened();
    const [short] = await client.diagnostics(programUri);
    const { line } = short.range.start;
    expect(await client.actions(programUri, line, [short], [CodeActionKind.SourceOrganizeImports])).toEqual(
      [],
    );
    expect(
      (await client.actions(programUri, line, [short], [CodeActionKind.QuickFix])).length,
    ).toBeGreaterThan(1);
  });

  test("come as plain edits to a client without snippets or document changes", async () => {
    rmSync(join(folder, "rack.job.json"));
    await client.initialize({});
    await client.open(programUri, rack);
    const actions = await client.actions(programUri, 0, await client.diagnostics(programUri));
    const edit = titled(actions, "thickness").edit!;
    // A number put there by the server could be taken for a measurement.
    expect(edit.changes?.[programUri][0].newText).toBe("(cutwright: thickness ? mm)\n");
    expect(actions.some(({ title }) => title.includes("job file"))).toBe(false);
  });
});

describe("own requests", () => {
  test("give the scene, which decodes, and the place of each finding", async () => {
    await opened();
    const answer = await client.request<SceneAnswer>(sceneRequest, { uri: programUri });
    const scene = decodeScene(answer.scene);
    expect(scene.title).toBe("rack.nc");
    expect(scene.motions.count).toBeGreaterThan(8);
    expect(scene.board).toMatchObject({ name: "trial", top: 0, underside: -18.6 });
    expect(scene.findings.map(({ rule }) => rule)).toEqual(["through-cut-short"]);
    expect(answer.places.map(({ range }) => range.start.line + 1)).toEqual(
      scene.findings.map(({ line }) => line),
    );
  });

  test("say why there is no scene", async () => {
    await client.initialize();
    const ask = () => client.request<Refusal>(sceneRequest, { uri: programUri });
    expect((await ask()).message).toMatch(/not open/);
    await client.open(programUri, "(nothing yet)\n");
    expect((await ask()).message).toMatch(/no movement/);
  });

  test("choose a board: only the job file's `board` changes, and the review follows", async () => {
    await opened();
    await client.diagnostics(programUri);
    const answer = await client.request<EditAnswer>(chooseBoardRequest, { uri: programUri, board: "series" });
    expect(answer.opens).toBe(jobUri);
    await client.open(jobUri, job("trial"), "jsonc");
    await client.apply(jobUri, answer.edit);
    expect(client.text(jobUri)).toBe(job("series"));
    await client.until(() => client.statuses.at(-1)?.board === "series", "the other board in force");
    const { diagnostics } = client.published.findLast(({ uri }) => uri === programUri)!;
    expect(codes(diagnostics)).not.toContain("through-cut-short");
  });

  test("refuse a board that is not declared, and one where there is no job file", async () => {
    await opened();
    const choose = (board: unknown) =>
      client.request<Refusal>(chooseBoardRequest, { uri: programUri, board });
    expect((await choose("nowhere")).message).toContain("trial, series");
    expect((await choose(undefined)).message).toMatch(/no board/);
    rmSync(join(folder, "rack.job.json"));
    expect((await choose("series")).message).toMatch(/no such file|No job file/);
  });

  test("declare the thickness and make a job file for the commands", async () => {
    await openedAlone();
    const declare = await client.request<EditAnswer>(declareThicknessRequest, { uri: programUri });
    const created = await client.request<EditAnswer>(createJobRequest, { uri: programUri });
    expect(created.opens).toBe(jobUri);
    const change = created.edit.documentChanges![1] as TextDocumentEdit;
    const line = (change.edits[0] as TextEdit).newText.split("\n")[created.select!.start.line];
    expect(line.slice(0, created.select!.start.character)).toMatch(/"thickness": "$/);
    await client.apply(programUri, declare.edit, "18.6");
    await client.diagnostics(programUri);
    const again = await client.request<Refusal>(declareThicknessRequest, { uri: programUri });
    expect(again.message).toContain("line 1");
  });
});

describe("odd input", () => {
  const stillAnswers = async () => {
    const uri = uriOf(join(folder, "well.nc"));
    await client.open(uri, rack);
    expect((await client.diagnostics(uri)).length).toBeGreaterThan(0);
  };

  test.each([
    ["an empty document", ""],
    ["one line without an end", "G0 X1"],
    ["bytes of a picture", "\u0000\u0001\ufffdPNG\r\n\u001a\n\u0000\ufffd".repeat(200)],
    ["a million characters on one line", "G1 X1 Y1 ".repeat(111_112)],
    ["lone carriage returns", "G21\rG0 X1\rG1 Z-1 F100\rM30\r"],
    ["half of a surrogate pair", "(\ud83d)\nG0 X1\n"],
  ])("%s is reviewed, and every request is answered", async (_name, text) => {
    await opened(text);
    await client.diagnostics(programUri);
    const document = { textDocument: { uri: programUri } };
    await client.request("textDocument/documentSymbol", document);
    await client.request("textDocument/foldingRange", document);
    await hover(0);
    expect(Array.isArray(await client.actions(programUri, 0))).toBe(true);
    await client.request(sceneRequest, { uri: programUri });
    await stillAnswers();
  });

  test.each([
    ["untitled:Untitled-1"],
    ["vscode-vfs://far/away/rack.nc"],
    ["untitled:100%.nc"],
    ["file:///no/such/folder/here.nc"],
  ])("a program at %s, which is on no disk here, is reviewed by its text", async (uri) => {
    await client.initialize();
    await client.open(uri, `(cutwright: thickness 18.6 mm; tool 1 flat 6 mm)\n${rack}`);
    expect(codes(await client.diagnostics(uri))).toContain("through-cut-short");
  });

  test("URIs that nothing is known of, and no URI at all", async () => {
    await client.initialize();
    for (const uri of ["file:///nowhere.nc", "%%%", "", "mailto:someone"]) {
      const textDocument = { uri };
      expect(
        await client.request("textDocument/hover", { textDocument, position: { line: 0, character: 0 } }),
      ).toBeNull();
      expect(await client.request("textDocument/documentSymbol", { textDocument })).toEqual([]);
      expect(await client.request<Refusal>(sceneRequest, { uri })).toHaveProperty("message");
    }
    await expect(client.request(sceneRequest, {})).rejects.toMatchObject({ code: -32602 });
    await expect(client.request(sceneRequest, null)).rejects.toMatchObject({ code: -32602 });
    await expect(client.request("textDocument/hover", { position: 3 })).rejects.toHaveProperty("code");
    await client.connection.sendNotification("textDocument/didChange", {
      textDocument: {},
      contentChanges: 7,
    });
    await client.connection.sendNotification("textDocument/didOpen", {});
    await client.connection.sendNotification("workspace/didChangeWatchedFiles", { changes: [{ uri: "%" }] });
    await stillAnswers();
  });

  test("a program whose file was deleted is reviewed by what is open", async () => {
    await client.initialize();
    rmSync(join(folder, "rack.nc"));
    await client.open(programUri, rack);
    expect(codes(await client.diagnostics(programUri))).toEqual(["through-cut-short"]);
  });

  test("a job file that is no text leaves a sentence, not silence", async () => {
    writeFileSync(join(folder, "rack.job.json"), Buffer.from([0x7b, 0x00, 0xff, 0xfe]));
    await opened();
    const diagnostics = await client.diagnostics(programUri);
    expect(codes(diagnostics)).toContain("thickness-unknown");
    const inJob = client.published.findLast(({ uri }) => uri === jobUri)?.diagnostics ?? [];
    expect(codes(inJob)).toEqual(["job-unreadable"]);
  });
});

describe("the demo job", () => {
  test("shows its short through-cut in the editor", async () => {
    const path = join(import.meta.dirname, "../jobs/seed-board/seed-board-outline.nc");
    const uri = uriOf(path);
    await client.initialize();
    await client.open(uri, readFileSync(path, "utf8"));
    expect(codes(await client.diagnostics(uri))).toContain("through-cut-short");
  });
});

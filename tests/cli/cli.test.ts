import { spawnSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";

const cli = fileURLToPath(new URL("../../dist/cli.js", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "cutwright-cli-"));

function put(name: string, content: string | Uint8Array): string {
  writeFileSync(join(folder, name), content);
  return name;
}

function run(...args: string[]): { status: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(process.execPath, [cli, ...args], {
    cwd: folder,
    encoding: "utf8",
    env: { ...process.env, NO_COLOR: "1" },
    maxBuffer: 1 << 28,
  });
  return { status, out: stdout, err: stderr };
}

/** A slot along X at Y20, 18.2 mm deep in a board of 18 mm: through, but the job may ask for more. */
const slot = `G21 G90
T1 M6
S18000 M3
(Parting slot)
G0 Z5
G0 X20 Y20
G1 Z-18.2 F300
G1 X80 F1200
G0 Z5
M30
`;

const job = {
  units: "mm",
  programs: ["holes.nc", "slot.nc"],
  boards: {
    thin: { size: ["120 mm", "60 mm"], thickness: "18 mm", measuringError: "0 mm", variation: "0 mm" },
    thick: { size: ["120 mm", "60 mm"], thickness: "18.6 mm", measuringError: "0 mm", variation: "0 mm" },
  },
  board: "thin",
  bed: { unevenness: "0.05 mm", thickness: "18 mm" },
  touchOffError: "0.05 mm",
  tools: [{ number: 1, shape: "flat", diameter: "6 mm", flutes: 2 }],
  cuts: [{ operation: "Parting slot", goes: "through" }],
};

beforeAll(() => {
  if (!existsSync(cli)) throw new Error("dist/cli.js is missing: run `npm run build` first.");
  put("shop.job.json", JSON.stringify(job));
  put("holes.nc", "G21 G90\nT1 M6\nS18000 M3\n(Holes)\nG0 Z5\nG0 X100 Y40\nG1 Z-10 F300\nG0 Z5\nM30\n");
  put("slot.nc", slot);
  put("bare.nc", slot.replace("(Parting slot)\n", ""));
});
afterAll(() => rmSync(folder, { recursive: true }));

describe("cutwright review", () => {
  it("ends with 0 where nothing is wrong at the level", () => {
    const { status, out } = run("review", "slot.nc");
    expect(out).toContain("1 of 1 cut meant to go through does.\nAll 10 lines were read.");
    expect(status).toBe(0);
  });

  it("ends with 1 where a cut falls short, and says by how much", () => {
    const { status, out } = run("review", "slot.nc", "--board", "thick");
    expect(out).toContain("0.40 mm stays under it");
    expect(out).toContain('Board "thick": 18.60 mm thick (shop.job.json)');
    expect(status).toBe(1);
    expect(run("review", "slot.nc", "--board", "thick", "--fail-on", "never").status).toBe(0);
  });

  it("fails on warnings when asked to", () => {
    // No job file lists it, so its thickness is not declared: a warning.
    expect(run("review", "bare.nc").status).toBe(0);
    const { status, out } = run("review", "bare.nc", "--fail-on", "warning");
    expect(out).toContain("thickness of the board is not declared");
    expect(status).toBe(1);
  });

  it("gives JSON with the findings of all files at the top", () => {
    const { out } = run("review", "holes.nc", "slot.nc", "--board", "thick", "--format", "json");
    const whole = JSON.parse(out);
    const short = whole.findings.filter((finding: { rule: string }) => finding.rule === "through-cut-short");
    expect(short).toHaveLength(1);
    expect(short[0]).toMatchObject({ severity: "error", file: "slot.nc", at: [20, 20, -18.2] });
    expect(short[0].values.left).toBeCloseTo(0.4, 9);
    expect(whole.reviews.map((review: { file: string }) => review.file)).toEqual(["holes.nc", "slot.nc"]);
  });

  it("gives SARIF with relative paths", () => {
    const log = JSON.parse(run("review", "slot.nc", "--board", "thick", "--format", "sarif").out);
    const result = log.runs[0].results.find((r: { ruleId: string }) => r.ruleId === "through-cut-short");
    expect(result.locations[0].physicalLocation.artifactLocation.uri).toBe("slot.nc");
    expect(log.runs[0].invocations[0].executionSuccessful).toBe(true);
  });

  it("ends with 2 for what it cannot read, and still reviews the rest", () => {
    put("binary.nc", Uint8Array.from([71, 49, 0, 1]));
    put("wide-bare.nc", Buffer.from(slot, "utf16le").swap16());
    mkdirSync(join(folder, "sub"));
    const { status, out, err } = run("review", "gone.nc", "binary.nc", "wide-bare.nc", "sub", "slot.nc");
    expect(status).toBe(2);
    expect(out).toContain("All 10 lines were read.");
    expect(err).toContain("gone.nc: no such file.");
    expect(err).toContain("binary.nc: line 1 holds a zero byte");
    expect(err).toMatch(/wide-bare\.nc: line 1 holds a zero byte.*UTF-16 only with a byte order mark/);
    expect(err).toContain("sub: this is a folder");
  });

  it("ends with 2 for a job file that is no JSON, naming the line", () => {
    put("broken.json", '{\n "units": "mm",\n "boards": {\n');
    const { status, err } = run("review", "slot.nc", "--job", "broken.json");
    expect(err).toMatch(/broken\.json, line \d+: .*not valid JSON/i);
    expect(status).toBe(2);
    expect(run("review", "slot.nc", "--job", "none.json").status).toBe(2);
  });

  it("reads UTF-16 with a mark", () => {
    put("wide.nc", Buffer.from(`\ufeff(cutwright: thickness 18 mm)\n${slot}`, "utf16le"));
    expect(run("review", "wide.nc").out).toContain("All 11 lines were read.");
  });

  it("reads Windows-1252, as older drawing programs write it", () => {
    put(
      "older.nc",
      Buffer.from(`(cutwright: thickness 18 mm)\n(\u00d8 6, 45\u00b0, pi\u00e8ce)\n${slot}`, "latin1"),
    );
    const { out, status } = run("review", "older.nc");
    expect(out).toContain("All 12 lines were read.");
    expect(status).toBe(0);
  });

  it("tells the columns of the exact words", () => {
    const { out } = run("review", "slot.nc", "--board", "thick", "--format", "json");
    const short = JSON.parse(out).findings.find((f: { rule: string }) => f.rule === "through-cut-short");
    const words = slot.split("\n")[short.line - 1].slice(short.column - 1, short.endColumn - 1);
    expect(words).toBe("G1 Z-18.2 F300");
    expect(short.related[0]).toMatchObject({ file: "slot.nc", column: 1 });
    const onBoard = short.related.at(-1);
    expect(onBoard.file).toMatch(/shop\.job\.json$/);
  });

  it("names what is switched off, and by whom", () => {
    put("quiet.json", JSON.stringify({ ...job, rules: { "through-cut-short": "off" } }));
    put("shop-rules.json", '{ "rules": { "pass-repeated": "off" } }');
    const args = ["slot.nc", "--job", "quiet.json", "--machine", "shop-rules.json"];
    const sentence = "Switched off: pass-repeated (settings), through-cut-short (quiet.json).";
    expect(run("review", ...args).out).toContain(sentence);
    const [review] = JSON.parse(run("review", ...args, "--format", "json").out).reviews;
    expect(review.job.switchedOff.map((off: { rule: string }) => off.rule)).toEqual([
      "pass-repeated",
      "through-cut-short",
    ]);
    for (const command of ["page", "sheet"]) {
      run(command, ...args, "-o", `quiet-${command}.html`);
      expect(readFileSync(join(folder, `quiet-${command}.html`), "utf8")).toContain(sentence);
    }
  });

  it("has nothing good to say of an empty program", () => {
    put("empty.nc", "");
    put("blank.nc", "\n \n\n");
    expect(run("review", "empty.nc").out).toMatch(
      /Nothing to run: the program moves nothing\..*\nThe file is empty\./,
    );
    expect(run("review", "blank.nc").out).toMatch(/Nothing to run: the program moves nothing\./);
    expect(run("review", "blank.nc").out).toContain("All 3 lines were read.");
  });

  it("refuses with 2 what is longer than the reader reads, in every command", () => {
    put("long.nc", "");
    truncateSync(join(folder, "long.nc"), 200_000_001);
    for (const args of [
      ["review"],
      ["motions"],
      ["probe", "--at", "1,1"],
      ["page", "-o", "l.html"],
      ["sheet", "-o", "l.html"],
    ]) {
      const { status, err } = run(...args, "long.nc");
      expect(status).toBe(2);
      expect(err).toContain("long.nc: the file has 200 000 001 bytes; at most 200 000 000 are read.");
    }
    rmSync(join(folder, "long.nc"));
  });

  it("names the boards where the one asked for is not declared", () => {
    const { status, err } = run("review", "slot.nc", "--board", "oak");
    expect(status).toBe(2);
    expect(err).toContain('no board "oak". Boards: thin, thick.');
  });

  it("takes the machine's settings from a file", () => {
    put("inches.json", '{ "startUnits": "in" }');
    put("nounits.nc", slot.replace("G21 ", ""));
    const whole = JSON.parse(run("review", "nounits.nc", "--machine", "inches.json", "--format", "json").out);
    expect(whole.reviews[0].units).toBe("in");
  });

  it("lets no program steer the terminal", () => {
    put("bad.nc", slot.replace("Parting slot", "\u001b[2J\u009b31m</script>"));
    const { out, err } = run("review", "bad.nc");
    // eslint-disable-next-line no-control-regex -- control characters are what is looked for
    expect(out + err).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/);
  });
});

describe("cutwright motions", () => {
  it("tells where reading ended", () => {
    put("odd.nc", slot.replace("G1 X80 F1200", "G1 X[40+40] F1200"));
    const { out, err } = run("motions", "odd.nc");
    expect(err).toContain("odd.nc: line 8 was not understood");
    expect(JSON.parse(out.trimEnd().split("\n").at(-1) ?? "").inDoubt).toBe(true);
  });

  it("prints one object a motion, and nothing else", () => {
    const { status, out } = run("motions", "slot.nc");
    const motions = out
      .trimEnd()
      .split("\n")
      .map((line) => JSON.parse(line));
    expect(status).toBe(0);
    expect(motions).toHaveLength(5);
    expect(motions[3]).toEqual({
      line: 8,
      kind: "feed",
      from: [20, 20, -18.2],
      to: [80, 20, -18.2],
      feed: 1200,
      tool: 1,
      spindle: 18000,
    });
  });
});

describe("cutwright probe", () => {
  it("tells what is left at points, earlier programs of the job counted", () => {
    const places = ["--at", "50,20", "--at", "50,23.001", "--at", "100,40", "--at", "-5,3"];
    const { status, out } = run("probe", "slot.nc", "--job", "shop.job.json", ...places);
    const [inSlot, beside, inHole, off] = out
      .trimEnd()
      .split("\n")
      .map((line) => JSON.parse(line));
    expect(status).toBe(0);
    expect(inSlot).toEqual({ at: [50, 20], top: -18.2, bottomLeft: 0, through: true });
    expect(beside).toEqual({ at: [50, 23.001], top: 0, bottomLeft: 18, through: false });
    // Drilled by holes.nc, which runs before.
    expect(inHole).toEqual({ at: [100, 40], top: -10, bottomLeft: 8, through: false });
    expect(off).toMatchObject({ at: [-5, 3], bottomLeft: null, offBoard: true });
  });

  it("prints numbers to a millionth", () => {
    put("shallow.nc", `(cutwright: thickness 18.6 mm)\n${slot.replace("Z-18.2", "Z-18")}`);
    expect(run("probe", "shallow.nc", "--at", "50,20").out).toBe(
      '{"at":[50,20],"top":-18,"bottomLeft":0.6,"through":false}\n',
    );
  });

  it("says what it rests on where it cannot know", () => {
    const bare = run("probe", "bare.nc", "--at", "50,20");
    expect(JSON.parse(bare.out)).toEqual({ at: [50, 20], top: -18.2, bottomLeft: null, through: null });
    expect(bare.err).toContain("thickness of the board is not declared");
    put("odd.nc", slot.replace("G1 X80 F1200", "G1 X[40+40] F1200"));
    expect(run("probe", "odd.nc", "--at", "50,20").err).toContain("odd.nc: line 8 was not understood");
    expect(run("probe", "slot.nc", "--job", "broken.json", "--at", "50,20").status).toBe(2);
  });

  it("says what a place looks like when it cannot read one", () => {
    const { status, err } = run("probe", "slot.nc", "--at", "middle");
    expect(status).toBe(2);
    expect(err).toContain("for example --at 12.5,40");
  });
});

describe("cutwright page and sheet", () => {
  it("writes a page that holds the scene", () => {
    const { status } = run("page", "slot.nc", "-o", "slot.html");
    expect(status).toBe(0);
    const page = readFileSync(join(folder, "slot.html"), "utf8");
    expect(page).toContain('id="cutwright-scene"');
    expect(page).toContain('id="cutwright-view"');
  });

  it("writes the sheet of a program and of a whole job", () => {
    expect(run("sheet", "slot.nc", "-o", "one.html").status).toBe(0);
    expect(run("sheet", "shop.job.json", "-o", "job.html").status).toBe(0);
    const sheet = readFileSync(join(folder, "job.html"), "utf8");
    expect(sheet.indexOf("holes.nc")).toBeGreaterThan(0);
    expect(sheet.indexOf("slot.nc")).toBeGreaterThan(sheet.indexOf("holes.nc"));
  });

  it("never writes over a program, a job file or a file of someone else", () => {
    put("notes.html", "mine");
    for (const [input, out] of [
      ["slot.nc", "slot.nc"],
      ["slot.nc", "shop.job.json"],
      ["slot.nc", "holes.nc"],
      ["shop.job.json", "slot.nc"],
      ["slot.nc", "notes.html"],
    ]) {
      const before = readFileSync(join(folder, out), "utf8");
      expect(run("sheet", input, "-o", out).status).toBe(2);
      expect(readFileSync(join(folder, out), "utf8")).toBe(before);
    }
  });
});

describe("cutwright", () => {
  it("tells its version and how it is used", () => {
    const manifest = JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8"));
    expect(run("--version").out).toBe(`${manifest.version}\n`);
    const { status, out } = run("--help");
    expect(status).toBe(0);
    for (const command of ["review", "motions", "probe", "page", "sheet"])
      expect(out).toContain(`cutwright ${command} `);
  });

  it("ends with 2 where it is used wrongly", () => {
    for (const args of [
      [],
      ["polish"],
      ["review"],
      ["review", "--format", "xml", "slot.nc"],
      ["page", "slot.nc"],
      ["review", "--loud"],
    ]) {
      expect(run(...args).status).toBe(2);
    }
  });
});

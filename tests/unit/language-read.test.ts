import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { lineAt, lineEnd, WordKind, type Program } from "../../server/src/language/program.ts";
import { largestNumber, mostProblems, readProgram } from "../../server/src/language/read.ts";

/** Words of a program as "X12.5", expressions and broken ones as written. */
function words(program: Program): string[] {
  return Array.from({ length: program.wordCount }, (_, i) =>
    program.wordKind[i] === WordKind.number
      ? String.fromCharCode(program.wordLetter[i]) + program.wordValue[i]
      : program.text.slice(program.wordStart[i], program.wordEnd[i]),
  );
}

const problems = (text: string) =>
  readProgram(text).problems.map((p) => [p.rule, text.slice(p.start, p.end)]);

describe("words", () => {
  it.each([
    ["G1X10Y-2.5F1200", ["G1", "X10", "Y-2.5", "F1200"]],
    ["g1 x10 y-2.5", ["G1", "X10", "Y-2.5"]],
    ["N10 G01 X.5 Y5. Z+0.25", ["N10", "G1", "X0.5", "Y5", "Z0.25"]],
    ["  G0\tX1 ", ["G0", "X1"]],
    ["/G0 X1", ["G0", "X1"]],
    ["X-0", ["X0"]],
    ["X0.1234567890123456789", ["X0.12345678901234568"]],
    ["O100", ["O100"]],
  ])("%s", (text, expected) => {
    const program = readProgram(text);
    expect(words(program)).toEqual(expected);
    expect(program.problems).toEqual([]);
  });

  it("NISTIR 6556 section 3.3.2: blanks inside a number mean nothing", () => {
    // The standard's own example: g0x +0. 12 34y 7 is g0 x+0.1234 y7.
    expect(words(readProgram("g0x +0. 12 34y 7"))).toEqual(["G0", "X0.1234", "Y7"]);
  });

  it("keeps expressions, parameters and O words as words without a value, with their whole range", () => {
    expect(words(readProgram("G1 X[1 + [2*3]] Y#<depth> Z-#2 F ATAN[1]/[2]"))).toEqual([
      "G1",
      "X[1 + [2*3]]",
      "Y#<depth>",
      "Z-#2",
      "F ATAN[1]/[2]",
    ]);
    expect(words(readProgram("#3=15 G1"))).toEqual(["#3=15", "G1"]);
    expect(words(readProgram("o<bore> call [3] (x)"))).toEqual(["o<bore> call [3]"]);
  });

  it("splits lines at LF, CRLF and CR, and keeps offsets", () => {
    const program = readProgram("G0\r\nX1\rX2\nX3");
    expect(program.lineCount).toBe(4);
    expect(
      Array.from({ length: 4 }, (_, l) => program.text.slice(program.lineStart[l], lineEnd(program, l))),
    ).toEqual(["G0", "X1", "X2", "X3"]);
    expect(lineAt(program, 4)).toBe(1);
  });

  it("marks block delete and the % lines", () => {
    const program = readProgram("%\n/ G0 X1\nG1 /X2\n%");
    expect([...program.deletedLines]).toEqual([1]);
    expect(program.percentLines).toEqual([0, 3]);
    expect(program.problems.map((p) => p.rule)).toEqual(["word-unknown"]);
  });
});

describe("comments", () => {
  it("keeps both kinds with their text and tells a lone one", () => {
    const program = readProgram("(Rebate)\nG0 X1 (up) ; rest ( of it\n");
    expect(program.comments.map((c) => [c.line, c.kind, c.text, c.alone])).toEqual([
      [0, "parenthesis", "Rebate", true],
      [1, "parenthesis", "up", false],
      [1, "semicolon", " rest ( of it", false],
    ]);
  });
});

describe("problems with exact ranges", () => {
  it.each([
    ["X1.2.3 Y1", [["number-malformed", "X1.2.3"]]],
    ["G1 X- Y1", [["number-malformed", "X-"]]],
    ["G1 X", [["number-malformed", "X"]]],
    ["G1 X.", [["number-malformed", "X."]]],
    ["G1 X1-2", [["number-malformed", "X1-2"]]],
    ["X1e308", [["word-unknown", "e308"]]],
    [`X${"9".repeat(309)}`, [["number-malformed", `X${"9".repeat(309)}`]]],
    ["G1 X1 X2", [["word-repeated", "X2"]]],
    ["G1 X1 *77", [["word-unknown", "*77"]]],
    ["G0 (up", [["comment-unclosed", "(up"]]],
    ["(a (b) G0", [["comment-nested", "("]]],
    ["G1 U2", [["word-unknown", "U2"]]],
  ])("%s", (text, expected) => {
    expect(problems(text)).toEqual(expected);
  });

  it("lets G and M come several times", () => {
    expect(problems("G90 G21 G17 M3 M8")).toEqual([]);
  });

  it("refuses numbers no machine has", () => {
    expect(problems(`X${largestNumber * 10}`)[0][0]).toBe("number-malformed");
    expect(problems(`X${largestNumber}`)).toEqual([]);
  });
});

describe("bad input", () => {
  it("an empty text is one empty line", () => {
    const program = readProgram("");
    expect([program.lineCount, program.wordCount, program.problems.length]).toEqual([1, 0, 0]);
  });

  it("binary text gives one problem and no words", () => {
    const program = readProgram("PK\u0003\u0004\0\0G1 X1\nG1 X2\n");
    expect(program.problems.map((p) => p.rule)).toEqual(["line-not-reviewed"]);
    expect(program.wordCount).toBe(0);
  });

  it("a thousand nested parentheses and brackets do not exhaust anything", () => {
    expect(readProgram("(".repeat(1000)).problems.map((p) => p.rule)).toEqual(["comment-unclosed"]);
    const nested = `X${"[".repeat(100_000)}1${"]".repeat(100_000)}`;
    const program = readProgram(nested);
    expect(program.wordEnd[0]).toBe(nested.length);
  });

  it("lists a bounded number of problems and says so", () => {
    const program = readProgram("X..\n".repeat(mostProblems + 50));
    expect(program.problems.length).toBe(mostProblems + 1);
    expect(program.problems.at(-1)?.rule).toBe("line-not-reviewed");
  });
});

describe("properties", () => {
  const snippet = fc.oneof(
    fc.string({ maxLength: 8 }),
    fc.constantFrom(
      "G1",
      "X",
      "Y-1.5",
      "(",
      ")",
      ";",
      "\r\n",
      "\n",
      "#1=",
      "[",
      "]",
      "O1 sub",
      "%",
      "/",
      "e5",
      "\u00e9",
    ),
  );
  const text = fc.array(snippet, { maxLength: 60 }).map((parts) => parts.join(""));

  it("never throws, and words, comments and gaps give the text back", () => {
    fc.assert(
      fc.property(text, (source) => {
        const program = readProgram(source);
        const spans: [number, number][] = program.comments.map((c) => [c.start, c.end]);
        for (let i = 0; i < program.wordCount; i++) spans.push([program.wordStart[i], program.wordEnd[i]]);
        for (const p of program.problems) if (p.rule === "word-unknown") spans.push([p.start, p.end]);
        spans.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
        let at = 0;
        let printed = "";
        for (const [start, end] of spans) {
          if (end <= at) continue;
          expect(start).toBeGreaterThanOrEqual(at);
          const gap = source.slice(at, start);
          // Nothing but blanks, line ends and the two marks may lie between what was read.
          expect(gap).toMatch(/^[ \t\r\n%/\ufeff]*$/);
          printed += gap + source.slice(start, end);
          at = end;
        }
        printed += source.slice(at);
        if (!source.includes("\0")) {
          expect(source.slice(at)).toMatch(/^[ \t\r\n%/\ufeff]*$/);
          expect(printed).toBe(source);
        }
        const joined = Array.from({ length: program.lineCount }, (_, l) =>
          source.slice(program.lineStart[l], program.lineStart[l + 1]),
        ).join("");
        expect(joined).toBe(source);
      }),
      { numRuns: 2000 },
    );
  });

  it("reads any decimal exactly as the language's own number parser does", () => {
    const decimal = fc
      .tuple(
        fc.constantFrom("", "-", "+"),
        fc.integer({ min: 0, max: 999_999_999 }),
        fc.stringMatching(/^[0-9]{0,12}$/),
      )
      .map(([sign, whole, fraction]) => `${sign}${whole}.${fraction}`);
    fc.assert(
      fc.property(decimal, (number) => {
        expect(readProgram(`X${number}`).wordValue[0]).toBe(Number(number));
      }),
      { numRuns: 2000 },
    );
  });
});

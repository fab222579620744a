// The grammar by real tokenisation, as the editor does it. Rules of the language: NISTIR 6556 section 3.3.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import fc from "fast-check";
import type * as Oniguruma from "vscode-oniguruma";
import type * as TextMate from "vscode-textmate";
import { beforeAll, describe, expect, it } from "vitest";
import manifest from "../../package.json" with { type: "json" };
import configuration from "../../syntaxes/language-configuration.json" with { type: "json" };
import { readProgram } from "../../server/src/language/read.ts";

// Both are CommonJS bundles without named exports for import.
const require = createRequire(import.meta.url);
const oniguruma = require("vscode-oniguruma") as typeof Oniguruma;
const textmate = require("vscode-textmate") as typeof TextMate;
const grammarFile = new URL("../../syntaxes/gcode.tmLanguage.json", import.meta.url);

let grammar: TextMate.IGrammar;

beforeAll(async () => {
  await oniguruma.loadWASM(readFileSync(require.resolve("vscode-oniguruma/release/onig.wasm")));
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: (scope) =>
      Promise.resolve(
        scope === "source.gcode"
          ? textmate.parseRawGrammar(readFileSync(grammarFile, "utf8"), grammarFile.pathname)
          : null,
      ),
  });
  const loaded = await registry.loadGrammar("source.gcode");
  if (!loaded) throw new Error("the grammar was not found");
  grammar = loaded;
});

/** Tokens of a line as [text, innermost scope without its ".gcode"]; blanks without a scope of their own left out. */
function tokens(line: string): [string, string][] {
  return grammar
    .tokenizeLine(line, textmate.INITIAL)
    .tokens.map(({ startIndex, endIndex, scopes }): [string, string] => [
      line.slice(startIndex, endIndex),
      scopes[scopes.length - 1].replace(/\.gcode$/, ""),
    ])
    .filter(([text]) => text.trim() !== "");
}

/** All scopes of the tokens of a line, outermost first. */
function scopesOf(line: string): string[][] {
  return grammar.tokenizeLine(line, textmate.INITIAL).tokens.map(({ scopes }) => scopes);
}

const number = "constant.numeric.decimal";
const motion = "keyword.control.motion";
const setting = "storage.modifier.setting";
const misc = "entity.name.function.miscellaneous";
const axis = "variable.parameter.axis";
const arc = "variable.parameter.arc";
const argument = "variable.other.argument";
const broken = "invalid.illegal.number";
const open = "punctuation.section.brackets.begin";
const close = "punctuation.section.brackets.end";
const arithmetic = "keyword.operator.arithmetic";
const hash = "punctuation.definition.variable";
const variable = "variable.other.readwrite";

describe("words", () => {
  it("colours kinds of words apart", () => {
    expect(tokens("N10 G21 G90 G01 X-12.5 Y+3 F1200 S18000 M3 T1 P2")).toEqual([
      ["N10", "entity.name.label.line-number"],
      ["G21", setting],
      ["G90", setting],
      ["G01", motion],
      ["X", axis],
      ["-12.5", number],
      ["Y", axis],
      ["+3", number],
      ["F", "support.type.feed"],
      ["1200", number],
      ["S", "support.type.spindle-speed"],
      ["18000", number],
      ["M3", misc],
      ["T", "support.type.tool"],
      ["1", number],
      ["P", argument],
      ["2", number],
    ]);
  });

  it("needs no blanks, and takes any case", () => {
    expect(tokens("n5g2x10y.5i-5j0r5.m08")).toEqual([
      ["n5", "entity.name.label.line-number"],
      ["g2", motion],
      ["x", axis],
      ["10", number],
      ["y", axis],
      [".5", number],
      ["i", arc],
      ["-5", number],
      ["j", arc],
      ["0", number],
      ["r", arc],
      ["5.", number],
      ["m08", misc],
    ]);
  });

  it("NISTIR 6556 section 3.3.2: blanks inside a number mean nothing", () => {
    // The standard's own example: g0x +0. 12 34y 7 is g0 x+0.1234 y7.
    expect(tokens("g0x +0. 12 34y 7")).toEqual([
      ["g0", motion],
      ["x", axis],
      ["+0. 12 34", number],
      ["y", axis],
      ["7", number],
    ]);
  });

  // Modal group 1 (NISTIR 6556 table 4), and G73, a later cycle of the same group.
  it.each(["G0", "g00", "G 1", "G1.", "G01.0", "G2", "G3", "G38.2", "G73", "G80", "G83", "G 8 9"])(
    "%s is a motion",
    (word) => expect(tokens(word)).toEqual([[word, motion]]),
  );

  it.each(["G4", "G10", "G17", "G20", "G30", "G1.1", "G38", "G53", "G59.3", "G92.1", "G98", "G100", "G8"])(
    "%s is another code",
    (word) => expect(tokens(word)).toEqual([[word, setting]]),
  );

  it.each(["X1.2.3", "Y--1", "Z5-3", "X", "F.", "G", "M-", "N1.5", "N-1", "X1 2..3", "S+ +1"])(
    "%s is malformed",
    (word) => expect(tokens(word)).toEqual([[word, broken]]),
  );

  it("goes on after a malformed number", () => {
    expect(tokens("X1.2.3Y4")).toEqual([
      ["X1.2.3", broken],
      ["Y", axis],
      ["4", number],
    ]);
  });

  it("marks letters without a meaning and what is no word", () => {
    // Table 3 of NISTIR 6556 has no E, U, V and W.
    expect(tokens("U5 @! 12 ]")).toEqual([
      ["U", "invalid.illegal.letter"],
      ["5", number],
      ["@!", "invalid.illegal.word"],
      ["12", "invalid.illegal.word"],
      ["]", "invalid.illegal.word"],
    ]);
  });
});

describe("lines", () => {
  it("block delete and the program's ends stand first on a line", () => {
    expect(tokens(" /G0 X1")).toEqual([
      ["/", "keyword.operator.block-delete"],
      ["G0", motion],
      ["X", axis],
      ["1", number],
    ]);
    expect(tokens("%")).toEqual([["%", "keyword.other.program-delimiter"]]);
    expect(tokens("G0 / %")).toEqual([
      ["G0", motion],
      ["/", "invalid.illegal.word"],
      ["%", "invalid.illegal.word"],
    ]);
  });

  it.each(["X[1", "(open", "(cutwright: tool", "X[[2 (note", "#<name", "; cutwright: silence x because"])(
    "%s colours nothing on the next line",
    (line) => {
      const { ruleStack } = grammar.tokenizeLine(line, textmate.INITIAL);
      const next = grammar.tokenizeLine("G1", ruleStack).tokens;
      expect(next[0].scopes).toEqual(["source.gcode", "keyword.control.motion.gcode"]);
    },
  );
});

describe("comments", () => {
  it("in brackets, between words", () => {
    expect(tokens("G1 (to the edge) X1")).toEqual([
      ["G1", motion],
      ["(", "punctuation.definition.comment.begin"],
      ["to the edge", "comment.block.parenthesis"],
      [")", "punctuation.definition.comment.end"],
      ["X", axis],
      ["1", number],
    ]);
  });

  it("from a semicolon to the line's end", () => {
    expect(tokens("G1 ; X1 (a) ; b")).toEqual([
      ["G1", motion],
      [";", "punctuation.definition.comment"],
      [" X1 (a) ; b", "comment.line.semicolon"],
    ]);
  });

  it("unclosed: invalid, and still a comment", () => {
    expect(tokens("G1 (lost X1")).toEqual([
      ["G1", motion],
      ["(lost X1", "invalid.illegal.comment-unclosed"],
    ]);
    expect(scopesOf("(lost")[0]).toContain("comment.block.parenthesis.gcode");
  });

  it("nested: the inner bracket is invalid, and the first closing one ends it", () => {
    expect(tokens("(a (b) X1")).toEqual([
      ["(", "punctuation.definition.comment.begin"],
      ["a ", "comment.block.parenthesis"],
      ["(", "invalid.illegal.comment-nested"],
      ["b", "comment.block.parenthesis"],
      [")", "punctuation.definition.comment.end"],
      ["X", axis],
      ["1", number],
    ]);
  });
});

describe("declarations in comments", () => {
  const directive = "keyword.other.directive";
  const fact = "storage.type.fact";
  const unit = "keyword.other.unit";

  it("facts, numbers and units", () => {
    expect(tokens("(cutwright: thickness 18.3 mm; zero top)")).toEqual([
      ["(", "punctuation.definition.comment.begin"],
      ["cutwright", directive],
      [":", "punctuation.separator.directive"],
      ["thickness", fact],
      ["18.3", number],
      ["mm", unit],
      [";", "punctuation.separator.fact"],
      ["zero", fact],
      ["top", "constant.language.fact"],
      [")", "punctuation.definition.comment.end"],
    ]);
    expect(tokens("; Cutwright: tool 4 bull 1/2 in corner 2 mm")).toEqual([
      [";", "punctuation.definition.comment"],
      ["Cutwright", directive],
      [":", "punctuation.separator.directive"],
      ["tool", fact],
      ["4", number],
      ["bull", "constant.language.fact"],
      ["1/2", number],
      ["in", unit],
      ["corner", fact],
      ["2", number],
      ["mm", unit],
    ]);
  });

  it.each([
    "thickness",
    "size",
    "corner",
    "zero",
    "board",
    "tool",
    "material",
    "through",
    "partway",
    "leaves",
    "silence",
  ])("knows %s, first in a fact only", (name) => {
    expect(tokens(`(cutwright: ${name})`)[3]).toEqual([name, fact]);
    expect(tokens(`;cutwright:through;${name}`).at(-1)).toEqual([name, fact]);
    expect(tokens(`(about ${name})`)[1]).toEqual([`about ${name}`, "comment.block.parenthesis"]);
  });

  it("a silence with its reason, which may hold anything", () => {
    expect(tokens("(cutwright: silence pass-repeated because tool 2 chatters; sorry) G1")).toEqual([
      ["(", "punctuation.definition.comment.begin"],
      ["cutwright", directive],
      [":", "punctuation.separator.directive"],
      ["silence", fact],
      ["pass-repeated", "support.constant.rule"],
      ["because", "keyword.other.because"],
      [" tool 2 chatters; sorry", "string.unquoted.reason"],
      [")", "punctuation.definition.comment.end"],
      ["G1", motion],
    ]);
    expect(tokens("; cutwright: silence spindle-off because (see) note").slice(-2)).toEqual([
      ["because", "keyword.other.because"],
      [" (see) note", "string.unquoted.reason"],
    ]);
  });

  it("names given freely", () => {
    expect(tokens("(cutwright: board through board; through)").slice(3, 7)).toEqual([
      ["board", fact],
      [" through board", "string.unquoted.name"],
      [";", "punctuation.separator.fact"],
      ["through", fact],
    ]);
  });

  it("are comments to the last character", () => {
    for (const line of ["(cutwright: thickness 18.3 mm; zero top)", "; cutwright: leaves 2 mm"])
      for (const scopes of scopesOf(line))
        expect(scopes[1]).toMatch(/^comment\.(block|line)\.directive\.gcode$/);
  });
});

describe("parameters and expressions", () => {
  it("parameters by number, by name and by another one", () => {
    expect(tokens("#3=15 X#3 Y-#<depth> Z##2")).toEqual([
      ["#", hash],
      ["3", variable],
      ["=", "keyword.operator.assignment"],
      ["15", number],
      ["X", axis],
      ["#", hash],
      ["3", variable],
      ["Y", axis],
      ["-", arithmetic],
      ["#", hash],
      ["<depth>", variable],
      ["Z", axis],
      ["##", hash],
      ["2", variable],
    ]);
    expect(tokens("# X1 #<open X1")).toEqual([
      ["#", "invalid.illegal.parameter"],
      ["X", axis],
      ["1", number],
      ["#<open X1", "invalid.illegal.parameter"],
    ]);
    expect(tokens("#1=1.2.3").at(-1)).toEqual(["=1.2.3", broken]);
  });

  it("NISTIR 6556 section 3.3.2: the example of an expression", () => {
    expect(tokens("X[1 + acos[0] - [#3 ** [4.0/2]]]")).toEqual([
      ["X", axis],
      ["[", open],
      ["1", number],
      ["+", arithmetic],
      ["acos", "support.function"],
      ["[", open],
      ["0", number],
      ["]", close],
      ["-", arithmetic],
      ["[", open],
      ["#", hash],
      ["3", variable],
      ["**", arithmetic],
      ["[", open],
      ["4.0", number],
      ["/", arithmetic],
      ["2", number],
      ["]", close],
      ["]", close],
      ["]", close],
    ]);
  });

  it.each(["ABS", "ACOS", "ASIN", "COS", "EXP", "FIX", "FUP", "LN", "ROUND", "SIN", "SQRT", "TAN"])(
    "%s is a function, as a value and in brackets",
    (name) => {
      for (const text of [`X${name}[1]`, `X ${name.toLowerCase()} [1]`, `#1=${name}[1]`, `Y[${name}[1]]`])
        expect(tokens(text)).toContainEqual([text.match(new RegExp(name, "i"))?.[0], "support.function"]);
    },
  );

  it("the arc tangent takes two brackets", () => {
    expect(tokens("F ATAN[1]/[2]").slice(1)).toEqual([
      ["ATAN", "support.function"],
      ["[", open],
      ["1", number],
      ["]", close],
      ["/", arithmetic],
      ["[", open],
      ["2", number],
      ["]", close],
    ]);
  });

  it("operators written as words, and what is none", () => {
    expect(
      tokens("X[#1 MOD 2 AND 3 xor 4 OR 5 GE 6.1.2 foo]").filter(([, scope]) => scope !== number),
    ).toEqual([
      ["X", axis],
      ["[", open],
      ["#", hash],
      ["1", variable],
      ["MOD", arithmetic],
      ["AND", "keyword.operator.logical"],
      ["xor", "keyword.operator.logical"],
      ["OR", "keyword.operator.logical"],
      ["GE", "keyword.operator.comparison"],
      ["6.1.2", broken],
      ["foo", "invalid.illegal.expression"],
      ["]", close],
    ]);
  });
});

describe("O words", () => {
  const label = "entity.name.label.subroutine";
  const flow = "keyword.control.flow";

  it.each(
    "sub endsub do while endwhile if elseif else endif repeat endrepeat call return break continue".split(
      " ",
    ),
  )("o100 %s", (keyword) => {
    for (const word of [keyword, keyword.toUpperCase()])
      expect(tokens(`o100 ${word}`)).toEqual([
        ["o", "storage.type.label"],
        ["100", label],
        [word, flow],
      ]);
  });

  it("named, with arguments", () => {
    expect(tokens("O<bore> call [3]")).toEqual([
      ["O", "storage.type.label"],
      ["<", "punctuation.definition.label.begin"],
      ["bore", label],
      [">", "punctuation.definition.label.end"],
      ["call", flow],
      ["[", open],
      ["3", number],
      ["]", close],
    ]);
  });

  it("worked out", () => {
    expect(tokens("o#1 call")).toEqual([
      ["o", "storage.type.label"],
      ["#", hash],
      ["1", variable],
      ["call", flow],
    ]);
  });

  it("alone: a program number", () => {
    expect(tokens("O0100 (rack)").slice(0, 2)).toEqual([
      ["O", "storage.type.label"],
      ["0100", label],
    ]);
  });
});

describe("any text", () => {
  const printable = fc.string({ unit: fc.integer({ min: 32, max: 126 }).map((c) => String.fromCharCode(c)) });
  /** Text that is nearly a program. */
  const nearly = fc
    .array(
      fc.constantFrom(
        ..."GXYZNOMF#[]()<>;%/=+-. \t",
        ..."0123456789",
        ..."ATAN[ cutwright: silence because while **".split(" "),
      ),
      { maxLength: 40 },
    )
    .map((pieces) => pieces.join(""));

  it("is tokenised without a gap", () => {
    fc.assert(
      fc.property(fc.oneof(printable, nearly, fc.string({ unit: "binary" })), (text) => {
        const line = text.replace(/[\r\n]/g, " ");
        const { tokens: found, stoppedEarly } = grammar.tokenizeLine(line, textmate.INITIAL);
        expect(stoppedEarly).toBe(false);
        let at = 0;
        for (const { startIndex, endIndex } of found) {
          expect(startIndex).toBe(at);
          expect(endIndex).toBeGreaterThan(startIndex);
          at = endIndex;
        }
        // An empty line has one token: its line end.
        expect(at).toBeGreaterThanOrEqual(line.length);
      }),
      { numRuns: 2000 },
    );
  });

  it("leaves nothing open at the line's end", () => {
    fc.assert(
      fc.property(fc.oneof(printable, nearly), (line) => {
        const { ruleStack } = grammar.tokenizeLine(line, textmate.INITIAL);
        expect(ruleStack.depth).toBe(1);
      }),
      { numRuns: 2000 },
    );
  });

  it("is invalid for the grammar where it is for the reader, and only there", () => {
    // Without N and O words, parameters and expressions, which the reader leaves to the interpreter.
    const pieces = fc.constantFrom(
      ..."GXYZFSTMEUWgx0123456789+-. \t()@)".split(""),
      "X1",
      "Y2.5",
      "(a)",
      ";",
    );
    const rules = ["number-malformed", "word-unknown", "comment-unclosed", "comment-nested"];
    fc.assert(
      fc.property(fc.array(pieces, { maxLength: 14 }), (parts) => {
        const line = parts.join("");
        const { problems } = readProgram(line);
        const read = problems.some(({ rule, facts }) => rules.includes(rule) && facts.reason !== "size");
        const coloured = scopesOf(line).some((scopes) =>
          scopes.some((scope) => scope.startsWith("invalid.")),
        );
        expect({ line, invalid: coloured }).toEqual({ line, invalid: read });
      }),
      { numRuns: 5000 },
    );
  });

  it("long hostile lines end soon", () => {
    for (const piece of ["[", "(", "#", "X", "1 ", "0", "+", "ATAN", "(cutwright:", "G0 ", "0."]) {
      const line = piece.repeat(Math.ceil(5000 / piece.length));
      const started = performance.now();
      expect(grammar.tokenizeLine(line, textmate.INITIAL).stoppedEarly).toBe(false);
      expect(performance.now() - started).toBeLessThan(5000);
    }
  });
});

describe("language configuration", () => {
  const { wordPattern } = configuration;
  const wordsOf = (text: string) => text.match(new RegExp(wordPattern.pattern, `g${wordPattern.flags}`));

  it.each([
    ["G1 X-12.5Y+.5 F1200", ["G1", "X-12.5", "Y+.5", "F1200"]],
    ["X#12 Y#<depth> Z[#1+2]", ["X", "#12", "Y", "#<depth>", "Z", "#1", "+2"]],
    [
      "(cutwright: silence pass-repeated because spring pass)",
      ["cutwright", "silence", "pass-repeated", "because", "spring", "pass"],
    ],
    ["(Größe 3)", ["Größe", "3"]],
    ["o100 while", ["o100", "while"]],
  ])("a double click in %s takes a whole word", (text, expected) => {
    expect(wordsOf(text)).toEqual(expected);
  });

  it("comments and brackets", () => {
    expect(configuration.comments).toEqual({ lineComment: ";", blockComment: ["(", ")"] });
    expect(configuration.brackets).toContainEqual(["[", "]"]);
    expect(configuration.autoClosingPairs.map(({ open: o, close: c }) => o + c)).toEqual(["[]", "()", "#<>"]);
  });

  it("folds labelled blocks", () => {
    const { start, end } = configuration.folding.markers;
    expect("  o<bore> sub").toMatch(new RegExp(start));
    expect("O100 IF [#1 EQ 2]").toMatch(new RegExp(start));
    expect("o100 endsub").toMatch(new RegExp(end));
    expect("o100 endsub").not.toMatch(new RegExp(start));
    expect("o100 call").not.toMatch(new RegExp(start));
  });

  it("both files are what the extension contributes", () => {
    const [language] = manifest.contributes.languages;
    expect(language.id).toBe("gcode");
    expect(new URL(language.configuration, new URL("../../", import.meta.url)).pathname).toMatch(
      /\/syntaxes\/language-configuration\.json$/,
    );
    const [contributed] = manifest.contributes.grammars;
    expect(contributed).toMatchObject({ language: "gcode", scopeName: "source.gcode" });
    expect(new URL(contributed.path, new URL("../../", import.meta.url)).href).toBe(grammarFile.href);
  });
});

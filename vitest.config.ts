import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: "engine",
          include: ["tests/{unit,conformance,oracle}/**/*.test.ts"],
          testTimeout: 60_000,
        },
      },
      {
        test: {
          name: "editor",
          include: ["tests/{editor,view,cli}/**/*.test.ts"],
          testTimeout: 300_000,
          hookTimeout: 1_800_000,
          fileParallelism: false,
        },
      },
    ],
  },
});

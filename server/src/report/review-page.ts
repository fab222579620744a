/** The stand-alone review page: one HTML file with the scene and the cut view in it. No network, no other file. */
import { findingsHtml } from "./findings-html.ts";
import { escapeHtml, escapeJsonForHtml, htmlPage } from "./html.ts";
import { encodeScene } from "./scene-codec.ts";
import type { Scene } from "./scene.ts";

/**
 * The page. `viewJs` and `viewCss` are the cut view's bundle; it finds the scene in
 * `#cutwright-scene` and mounts into `#cutwright-view`. The findings are also plain HTML, so that the page
 * tells something where scripts do not run.
 */
export function reviewPage(scene: Scene, viewJs: string, viewCss: string): string {
  const [verdict, ...facts] = scene.summary;
  const body = `<header class="page-head">
<h1>${escapeHtml(scene.title)}</h1>
<p class="verdict">${escapeHtml(verdict ?? "")}</p>
</header>
<main id="cutwright-view"><noscript><p>The cut view needs scripts. The findings below do not.</p></noscript></main>
<section class="page-report">
<h2>Findings</h2>
${findingsHtml(scene.findings, false)}
<h2>What the review rests on</h2>
<ul>${facts.map((fact) => `<li>${escapeHtml(fact)}</li>`).join("")}</ul>
<p class="page-foot">A review is no promise. The machine's manual and your local rules come first; stand clear and keep the stop within reach when a program is new.</p>
</section>
<script type="application/json" id="cutwright-scene">${escapeJsonForHtml(encodeScene(scene))}</script>`;
  return htmlPage({
    title: `${scene.title}: review`,
    style: styleForHtml(`${pageCss}\n${viewCss}`),
    body,
    script: scriptForHtml(viewJs),
  });
}

/** A script that holds no end of its own element. The only places for these marks are strings and comments. */
function scriptForHtml(script: string): string {
  return script.replace(/<\/(script)/gi, "<\\/$1").replace(/<!--/g, "<\\!--");
}

function styleForHtml(style: string): string {
  return style.replace(/<\/(style)/gi, "<\\/$1");
}

const pageCss = `:root { color-scheme: light dark; }
body { margin: 0; font: 15px/1.45 system-ui, sans-serif; background: Canvas; color: CanvasText; }
.page-head, .page-report { max-width: 76rem; margin: 0 auto; padding: 0.75rem 1.25rem; }
.page-head h1 { margin: 0; font-size: 1.25rem; overflow-wrap: anywhere; }
.page-head .verdict { margin: 0.25rem 0 0; }
#cutwright-view { position: relative; height: min(72vh, 52rem); min-height: 24rem; }
.page-report h2 { font-size: 1.1rem; margin: 1.2rem 0 0.4rem; }
.page-report h3 { font-size: 1rem; margin: 0.8rem 0 0.2rem; }
.page-report ul { margin: 0; padding-left: 1.2rem; }
.page-report li { margin: 0.3rem 0; overflow-wrap: anywhere; }
.page-report code { opacity: 0.75; font-size: 0.85em; }
.page-foot { opacity: 0.8; font-size: 0.9rem; margin-top: 1.5rem; }`;

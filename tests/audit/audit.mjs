// Audits a built handbook: npm install --no-package-lock && node audit.mjs ../../build/site [path of a page …]
//
// Lighthouse as a phone on its own slow network (simulated, the default), the middle one of three runs a page; and
// html-validate's standard preset on every page, where only what the theme itself writes may be found. It needs Node 20,
// Chromium (CHROME_PATH, else /usr/bin/chromium) and an otherwise idle machine; it is no part of `make test`.
import { readdirSync, readFileSync } from "node:fs";
import { createServer } from "node:http";
import { join, relative, resolve } from "node:path";
import { launch } from "chrome-launcher";
import { HtmlValidate } from "html-validate";
import lighthouse from "lighthouse";

const LEAST = { performance: 0.95, accessibility: 1, "best-practices": 1 };
const MOST_BYTES = 500_000, MOST_ELEMENTS = 1500, RUNS = 3;
const TYPES = { html: "text/html; charset=utf-8", css: "text/css", js: "text/javascript", svg: "image/svg+xml" };
// Lines of the theme's frame, and rules about its white space.
const THEMES = /\bmd-|"__|<!doctype/i, THEMES_RULES = new Set(["no-trailing-whitespace"]);

const [folder, ...asked] = process.argv.slice(2);
const site = resolve(folder);
const pages = asked.length ? asked : ["index.html", "sites/packing-house.html", "sites/bunkhouse.html"];
let faults = 0;
const judge = (well, text) => { console.log(`${well ? "ok  " : "FAIL"} ${text}`); faults += !well; };

const server = createServer((request, response) => {
  const path = join(site, decodeURIComponent(new URL(request.url, "http://x").pathname));
  try {
    const body = readFileSync(path);
    response.writeHead(200, { "Content-Type": TYPES[path.split(".").pop()] ?? "application/octet-stream" }).end(body);
  } catch {
    response.writeHead(404).end();
  }
});
await new Promise(ready => server.listen(0, "127.0.0.1", ready));
const chrome = await launch({
  chromePath: process.env.CHROME_PATH ?? "/usr/bin/chromium",
  chromeFlags: ["--headless=new", "--no-sandbox"],
});
for (const page of pages) {
  const runs = [];
  for (let run = 0; run < RUNS; run++) {
    const options = { port: chrome.port, onlyCategories: Object.keys(LEAST), output: "json" };
    runs.push((await lighthouse(`http://127.0.0.1:${server.address().port}/${page}`, options)).lhr);
  }
  runs.sort((one, other) => one.categories.performance.score - other.categories.performance.score);
  const { categories, audits } = runs[RUNS >> 1];
  for (const [name, least] of Object.entries(LEAST))
    judge(categories[name].score >= least, `${page}: ${name} ${Math.round(100 * categories[name].score)}`);
  const bytes = audits["total-byte-weight"].numericValue, elements = audits["dom-size"].numericValue;
  judge(bytes <= MOST_BYTES && elements <= MOST_ELEMENTS, `${page}: ${Math.round(bytes / 1000)} kB, ${elements} elements`);
  for (const name of ["first-contentful-paint", "largest-contentful-paint", "total-blocking-time"])
    console.log(`     ${name} ${audits[name].displayValue}`);
}
await chrome.kill();
server.close();

const validator = new HtmlValidate({ extends: ["html-validate:standard"] });
const files = readdirSync(site, { recursive: true }).filter(name => name.endsWith(".html"));
for (const file of files) {
  const path = join(site, file), lines = readFileSync(path, "utf-8").split("\n");
  const report = await validator.validateFile(path);
  for (const message of report.results.flatMap(one => one.messages))
    if (!THEMES_RULES.has(message.ruleId) && !THEMES.test(lines[message.line - 1]))
      judge(false, `${relative(site, path)}:${message.line}: ${message.ruleId}: ${message.message}`);
}
console.log(`${files.length} pages validated, ${faults} faults`);
process.exitCode = faults ? 1 : 0;

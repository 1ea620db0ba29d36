// Opens every HTML letter below a folder in a browser, as its reader would, and
// says what is wrong: `node audit.mjs FOLDER`. Exit 1 if anything is.
//
// Asked of each letter, at the width of a desk and of a phone: nothing is told
// to the console, nothing is fetched, headings are in order, the page is never
// wider than the screen, and the accessibility rules of axe-core (WCAG 2.2 A
// and AA, and its best practice) find nothing. Printed, it takes at most one
// page more than the PDF beside it, whose figures may float.
//
// Then faults are planted into one of the letters; each has to be seen.

import { mkdtemp, readFile, readdir, rm, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const BROWSER = process.env.BROWSER_PATH ?? "/usr/bin/chromium";
const QUIET = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];
const SCREENS = [
  { width: 1100, height: 900 },
  { width: 360, height: 740 },
];
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Everything that is wrong with one page. */
async function faults(context, file, pages) {
  const page = await context.newPage();
  const found = [];
  const own = pathToFileURL(file).href;
  page.on("console", (message) => found.push(`console: ${message.text()}`));
  page.on("pageerror", (error) => found.push(`error: ${error.message}`));
  page.on("requestfailed", (request) => found.push(`not fetched: ${request.url().slice(0, 80)}`));
  page.on("request", (request) => {
    const url = request.url();
    if (url !== own && !url.startsWith("data:")) found.push(`fetches ${url.slice(0, 80)}`);
  });
  await page.goto(own, { waitUntil: "load" });
  for (const screen of SCREENS) {
    await page.setViewportSize(screen);
    found.push(...(await atWidth(page, screen.width)));
  }
  const printed = count(await page.pdf({ preferCSSPageSize: true }));
  if (pages !== undefined && printed > pages) {
    found.push(`prints to ${printed} pages, not ${pages}`);
  }
  await page.close();
  return [...new Set(found)];
}

async function atWidth(page, width) {
  const found = await page.evaluate(headings);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  if (wide > 0) found.push(`${wide} px wider than a screen of ${width} px`);
  await page.evaluate(axe);
  const result = await page.evaluate(
    (values) => window.axe.run(document, { runOnly: { type: "tag", values } }),
    RULES,
  );
  if (result.passes.length < 10) found.push(`only ${result.passes.length} rules applied`);
  for (const rule of result.violations) {
    const where = rule.nodes.map((node) => node.html.slice(0, 120)).join("; ");
    found.push(`${rule.id}: ${rule.help} (${where})`);
  }
  return found;
}

/** Runs in the page: the first heading is of level 1, and none skips a level. */
function headings() {
  const levels = [...document.querySelectorAll("h1,h2,h3,h4,h5,h6")].map((h) => +h.tagName[1]);
  const wrong = levels.some((level, n) => level > (n ? levels[n - 1] : 0) + 1);
  return wrong || levels.length === 0 ? [`headings out of order: ${levels}`] : [];
}

/** Pages of a PDF, from its page objects. */
function count(pdf) {
  return (pdf.toString("latin1").match(/\/Type\s*\/Page(?![A-Za-z])/g) ?? []).length;
}

/** How many pages the PDF beside a letter has. */
async function pagesBeside(file) {
  const own = count(await readFile(file.replace(/\.html$/, ".pdf")));
  if (own === 0) throw new Error(`no page is seen in the PDF beside ${file}`);
  return own;
}

async function htmlFiles(folder) {
  const entries = await readdir(folder, { recursive: true });
  const letters = entries.filter((name) => name.endsWith(".html") && !name.startsWith(".aside"));
  return letters.sort().map((name) => join(folder, name));
}

const PLANTED = [
  ["no language", (html) => html.replace(/<html lang="[^"]*"/, "<html"), /html-has-lang/],
  ["a heading that skips", (html) => html.replaceAll("h1>", "h3>"), /headings out of order/],
  ["a drawing without a name", (html) => html.replace(/aria-labelledby="[^"]*"/, "").replace(/<title id=.*?<\/title>/, ""), /svg-img-alt/],
  ["words too pale", (html) => html.replace("--quiet: #4d4d4d", "--quiet: #b0b0b0"), /color-contrast/],
  ["a page without a name", (html) => html.replace(/<title>.*?<\/title>/, ""), /document-title/],
  ["a page too wide", (html) => html.replace("<main>", '<main><p style="width:1200px">x</p>'), /wider than a screen/],
  ["a script", (html) => html.replace("<main>", "<main><script>1</script>"), /console/],
  ["a picture from outside", (html) => html.replace("<main>", '<main><img alt="" src="elsewhere.png">'), /console|fetch/],
  ["three pages", (html) => html.replace("<main>", '<main><div style="height:2200px"></div>'), /prints to/],
];

/** Planted faults that nobody saw. */
async function unseen(context, source) {
  const html = await readFile(source, "utf8");
  const folder = await mkdtemp(join(tmpdir(), "planted-"));
  const missed = [];
  for (const [name, plant, wanted] of PLANTED) {
    const file = join(folder, "letter.html");
    const planted = plant(html);
    if (planted === html) missed.push(`${name}: could not be planted`);
    await writeFile(file, planted);
    const found = await faults(context, file, 2);
    if (!found.some((fault) => wanted.test(fault))) missed.push(`${name}: ${found.join(", ")}`);
  }
  await rm(folder, { recursive: true });
  return missed;
}

const folder = process.argv[2];
const letters = await htmlFiles(folder);
const place = await mkdtemp(join(tmpdir(), "browser-"));
const context = await chromium.launchPersistentContext(place, {
  executablePath: BROWSER,
  headless: true,
  args: QUIET,
});
let bad = 0;
let figures;
for (const file of letters) {
  const found = await faults(context, file, (await pagesBeside(file)) + 1);
  if (found.length > 0) bad += 1;
  for (const fault of found) console.log(`${file}: ${fault}`);
  figures ??= (await readFile(file, "utf8")).includes("<svg") ? file : undefined;
}
console.log(`${letters.length} letters in a browser, ${bad} with faults`);
const missed = figures ? await unseen(context, figures) : ["no letter with a drawing"];
console.log(`${PLANTED.length} planted faults, ${missed.length} unseen`);
missed.forEach((line) => console.log(line));
await context.close();
await rm(place, { recursive: true, force: true });
process.exit(bad > 0 || missed.length > 0 ? 1 : 0);

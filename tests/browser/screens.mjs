// Pictures of every kind of page that can be reached in the demo, on a phone and a desk, light and dark, and in print.
import { join } from 'node:path';
import { SIZES, browser, demo, fileName, person, picture } from './harness.mjs';

/** How many pages of one kind are pictured: all cars of the demo, since each waits for something else. */
const OF_A_KIND = 8;
/** Paper of A4, in CSS pixels less the margins. */
const PAPER = { width: 718, height: 1047 };
const PRINTED = [/\/letter$/, /\/keys$/];

const server = await demo();
try {
  const chromium = await browser();
  try {
    await picturesOf(chromium, server.address);
  } finally {
    await chromium.close();
  }
} finally {
  await server.close();
}

async function picturesOf(chromium, address) {
  const scout = await signed(chromium, address, { size: 'desk', scheme: 'light' });
  const paths = await reachable(scout);
  await scout.context().close();
  for (const size of Object.keys(SIZES)) {
    for (const scheme of ['light', 'dark']) {
      const page = await signed(chromium, address, { size, scheme });
      for (const path of paths) {
        await page.goto(path);
        await picture(page, join('screens', `${size}-${scheme}`, name(path)));
      }
      await page.context().close();
    }
  }
  const paper = await signed(chromium, address, { size: 'desk', scheme: 'light' });
  await paper.setViewportSize(PAPER);
  await paper.emulateMedia({ media: 'print' });
  for (const path of paths.filter((path) => PRINTED.some((printed) => printed.test(path)))) {
    await paper.goto(path);
    await picture(paper, join('screens', 'print', name(path)));
  }
  console.log(`${paths.length} pages:\n${paths.map((path) => `  ${path}`).join('\n')}`);
}

/** A page of the first person who may sign, since forms show only to somebody. */
async function signed(chromium, address, how) {
  const page = await person(chromium, address, how);
  await page.goto('/sign');
  await page.getByRole('main').getByRole('button').first().click();
  await page.getByRole('link', { name: /^Signing as/ }).waitFor();
  return page;
}

/** The addresses that links lead to, from the first page on, a few of each kind. */
async function reachable(page) {
  const [waiting, seen, kinds, paths] = [['/', '/no-such-page'], new Set(), new Map(), []];
  while (waiting.length) {
    const path = waiting.shift();
    const kind = kindOf(path);
    const before = kinds.get(kind) ?? 0;
    if (seen.has(path) || before === OF_A_KIND) continue;
    seen.add(path);
    const answer = await page.request.get(path);
    if (!answer.headers()['content-type']?.startsWith('text/html')) continue;
    kinds.set(kind, before + 1);
    paths.push(path);
    await page.goto(path);
    const links = await page.locator('a[href]').evaluateAll((links) =>
      links.map((link) => new URL(link.href)).filter((url) => url.origin === location.origin).map((url) => url.pathname),
    );
    waiting.push(...links);
  }
  return paths.sort();
}

// An address without its ids, which stand second and from the fourth place on: `cars/*/walk/*/*`. All things of a sheet look alike.
function kindOf(path) {
  const parts = path.split('/').slice(1);
  if (parts[0] === 'sheets' && parts.length === 4) return 'sheets/*/*/*';
  return parts.map((part, at) => (at === 1 || at > 2 ? '*' : part)).join('/');
}

function name(path) {
  return fileName(path) || 'today';
}

// What a person's errand needs in a browser: a demo of its own, pages of a given size and colours, and a hard look at each.
//
//     import { journey } from './harness.mjs';
//
//     journey('a reading finds its verdict', async ({ open, look }) => {
//       const page = await open({ size: 'phone', scheme: 'dark' });
//       await page.goto('/');
//       await page.getByRole('link', { name: 'Bracken' }).click();
//       await look(page, 'car');
//     });
//
// **Adding an errand:** a file `<errand>.test.mjs` with one journey. Find by role and name; wait for what is shown.

import { spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { delimiter, dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import test from 'node:test';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const PROGRAM = process.env.WITNESSMARK ?? join(ROOT, 'target', 'debug', 'witnessmark');
const PICTURES = process.env.PICTURES ?? join(ROOT, 'target', 'pictures');
const HEADED = process.env.HEADED === '1';

/** How long a person waits for something to show, in milliseconds. */
const PATIENCE = 10_000;
/** How long a whole errand may take, in milliseconds. */
const ERRAND = Number(process.env.ERRAND ?? 180_000);

/** The highest picture that a browser draws, in pixels. */
const HIGHEST = 16_384;
/** How much of a page is told in words when an errand fails. */
const TOLD_LINES = 120;

export const SIZES = {
  phone: { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true },
  desk: { viewport: { width: 1440, height: 900 } },
};

/**
 * One errand of a person, on a demo book that nobody else uses.
 *
 * The errand gets `open({ size, scheme })`, which gives a page of a person of its own; `look(page, name)`, which holds the
 * page to the rules and takes its picture; and the `address` of the server. Whatever happens, nothing of it stays behind.
 */
export function journey(title, errand, start = demo) {
  test(title, { timeout: ERRAND }, async (t) => {
    const stage = new Stage(fileName(title));
    t.after(() => stage.close()); // also when the time is up
    const { address } = await stage.keep(await start());
    try {
      await errand({ address, open: (how) => stage.open(address, how), look: (page, name) => stage.look(page, name) });
    } catch (cause) {
      throw new Error(cause.message + (await stage.whatIsShown()), { cause });
    }
    stage.complain();
  });
}

/** Everything that an errand has open. */
class Stage {
  #title;
  #open = [];
  #pages = [];
  #browser;
  #complaints = [];
  #looks = 0;
  #closed = false;

  constructor(title) {
    this.#title = title;
  }

  /** Remembers something that has to be closed; what comes after the end is closed at once. */
  async keep(thing) {
    this.#open.push(thing);
    if (this.#closed) await this.close();
    return thing;
  }

  async open(address, { size = 'desk', scheme = 'light' } = {}) {
    this.#browser ??= await this.keep(await browser());
    const page = await person(this.#browser, address, { size, scheme });
    this.#pages.push(page);
    hear(page, address, (complaint) => this.#complaints.push(complaint));
    return page;
  }

  async look(page, name) {
    this.#looks += 1;
    const path = join('journeys', this.#title, `${String(this.#looks).padStart(2, '0')}-${fileName(name)}`);
    await glance(page, `${path}-in-hand`);
    await picture(page, path);
    await fits(page);
    await axe(page);
  }

  /** Fails when a page did what no page may do, though the errand itself went well. */
  complain() {
    if (this.#complaints.length) throw new Error(this.#complaints.join('\n'));
  }

  /** The open pages in words, with a picture of each, for whoever reads the failure. */
  async whatIsShown() {
    const told = [...this.#complaints];
    for (const page of this.#pages.filter((page) => !page.isClosed())) {
      try {
        const path = await picture(page, join('journeys', this.#title, `failed-${this.#pages.indexOf(page) + 1}`));
        const lines = (await page.locator('body').ariaSnapshot({ timeout: 1000 })).split('\n');
        told.push(`${page.url()} shows (${path}):\n${lines.slice(0, TOLD_LINES).join('\n')}`);
      } catch (error) {
        told.push(`${page.url()} cannot be shown: ${error.message}`);
      }
    }
    return told.map((line) => `\n\n${line}`).join('');
  }

  async close() {
    this.#closed = true;
    await Promise.all(this.#open.splice(0).map((thing) => thing.close()));
  }
}

/** Starts the program with a fresh demo book on a free port. */
export async function demo() {
  const folder = await mkdtemp(join(tmpdir(), 'witnessmark-'));
  const book = join(folder, 'book');
  const remove = () => rm(folder, { recursive: true, force: true });
  return start(PROGRAM, ['demo', '--fresh', '--book', book, '--listen', '127.0.0.1:0'], remove);
}

/** Starts a server that tells its address in its output, as the program does; `after` tidies up once it has ended. */
export async function start(program, args, after = async () => {}) {
  const [command, ...rest] = [...untilWeEnd(), program, ...args];
  const server = spawn(command, rest, { stdio: ['ignore', 'pipe', 'pipe'] });
  const ended = new Promise((resolve) => {
    server.once('error', (error) => resolve(error.message));
    server.once('close', (code, signal) => resolve(`it ended with ${signal ?? `exit code ${code}`}`));
  });
  const close = async () => {
    server.kill('SIGKILL'); // its book is thrown away, and a book stands a power cut
    await ended;
    await after();
  };
  const said = [];
  const address = new Promise((resolve) => {
    for (const stream of [server.stdout, server.stderr]) {
      createInterface({ input: stream }).on('line', (line) => {
        said.push(line);
        const told = /^Witness Mark is at (http:\/\/\S+)$/.exec(line);
        if (told) resolve({ address: told[1] });
      });
    }
  });
  const answer = await Promise.race([address, ended.then((how) => ({ how })), later(30_000, { how: 'it is still silent' })]);
  if (answer.address) return { address: answer.address, pid: server.pid, close };
  await close();
  throw new Error(`${program} did not say where it is: ${answer.how}; it said:\n${said.join('\n')}`);
}

/** The kernel ends what is started behind these words when this process is gone, however it went. */
function untilWeEnd() {
  const tool = (process.env.PATH ?? '').split(delimiter).map((folder) => join(folder, 'setpriv')).find(existsSync);
  return tool ? [tool, '--pdeathsig', 'KILL', '--'] : [];
}

/** A browser that talks to this machine only. */
export function browser() {
  const root = process.getuid?.() === 0;
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    headless: !HEADED,
    slowMo: HEADED ? 300 : 0,
    args: [
      ...(root ? ['--no-sandbox'] : []),
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-dev-shm-usage',
      '--disable-domain-reliability',
      '--disable-sync',
      '--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost',
      '--no-pings',
    ],
  });
}

/** A page of somebody with a device of this size and these colours, and with no memory of earlier visits. */
export async function person(browser, address, { size, scheme }) {
  if (!SIZES[size]) throw new Error(`no size \`${size}\`; there are ${Object.keys(SIZES).join(', ')}`);
  const context = await browser.newContext({
    ...SIZES[size],
    baseURL: address,
    colorScheme: scheme,
    locale: 'en-GB',
    reducedMotion: 'reduce',
    timezoneId: 'Europe/London',
  });
  context.setDefaultTimeout(PATIENCE);
  return context.newPage();
}

/** Hears what goes wrong in a page without being seen: errors of scripts, missing files, requests to elsewhere. */
function hear(page, address, complain) {
  const own = new URL(address).origin;
  const inside = (url) => url.startsWith(`${own}/`) || /^(data|blob|about):/.test(url);
  page.on('pageerror', (error) => complain(`script error on ${page.url()}: ${error.message}`));
  page.on('console', (message) => {
    // A form that is answered with 422 is a page like any other; files that are missing are heard below.
    const refused = message.text().startsWith('Failed to load resource');
    if (message.type() === 'error' && !refused) complain(`console error on ${page.url()}: ${message.text()}`);
  });
  page.on('request', (request) => {
    if (!inside(request.url())) complain(`${page.url()} asks for ${request.url()}, which is not ours`);
  });
  page.on('response', (response) => {
    const file = response.request().resourceType() !== 'document';
    if (response.status() >= 500 || (file && response.status() === 404)) {
      complain(`${page.url()} was answered ${response.status()} for ${response.url()}`);
    }
  });
}

/** Takes a picture of the whole page, on a screen as high as the page, and gives its path. */
export async function picture(page, name) {
  const screen = page.viewportSize();
  const height = await page.evaluate(() => document.documentElement.scrollHeight);
  await page.setViewportSize({ width: screen.width, height: Math.max(screen.height, height) });
  const path = await glance(page, name);
  await page.setViewportSize(screen);
  return path;
}

/** Takes a picture of what the screen shows now, and gives its path. */
export async function glance(page, name) {
  const path = join(PICTURES, `${name}.png`);
  await mkdir(dirname(path), { recursive: true });
  await page.evaluate(() => document.fonts.ready.then(() => {}));
  const sharp = page.viewportSize().height * (await page.evaluate(() => devicePixelRatio)) <= HIGHEST;
  await page.screenshot({ path, scale: sharp ? 'device' : 'css' });
  return path;
}

/** Fails when a page has to be pushed sideways to be read (WCAG 1.4.10). */
export async function fits(page) {
  const wide = await page.evaluate(() => {
    const [width, room] = [document.documentElement.scrollWidth, document.documentElement.clientWidth];
    const sticksOut = (element) => element.getBoundingClientRect().right > room + 1;
    const which = [...document.querySelectorAll('body *')].filter(sticksOut).slice(0, 5);
    return width > room + 1 && { width, room, which: which.map((element) => element.outerHTML.slice(0, 160)) };
  });
  if (wide) throw new Error([`${page.url()} is ${wide.width} px wide on ${wide.room} px`, ...wide.which].join('\n  '));
}

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const RULES = {
  runOnly: { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] },
  rules: { 'target-size': { enabled: true } }, // WCAG 2.2, off unless asked for
};

/** Fails when a page is not accessible by WCAG 2.2, levels A and AA, as far as a machine can tell. */
export async function axe(page) {
  await page.evaluate(AXE); // through the debugger, which no content policy stands in the way of
  const { violations } = await page.evaluate((rules) => window.axe.run(document, rules), RULES);
  if (!violations.length) return;
  const told = violations.flatMap(({ id, help, nodes }) => [
    `${id}: ${help}`,
    ...nodes.map(({ target, html, failureSummary }) => {
      const why = failureSummary.split('\n').slice(1).map((line) => line.trim()).join('; ');
      return `  ${target.join(' ')}\n    ${html.slice(0, 200)}\n    ${why}`;
    }),
  ]);
  throw new Error([`${page.url()} is not accessible:`, ...told].join('\n'));
}

export function fileName(words) {
  return words.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '').slice(0, 60);
}

function later(milliseconds, value) {
  return new Promise((resolve) => setTimeout(resolve, milliseconds, value).unref());
}

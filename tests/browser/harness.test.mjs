// The harness itself: that it sees what it is there to see, and that nothing stays behind.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import test, { after } from 'node:test';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const folder = mkdtempSync(join(tmpdir(), 'harness-'));
after(() => rmSync(folder, { recursive: true, force: true }));
process.env.PICTURES = folder; // nobody wants to see our pages
process.env.TMPDIR = folder; // a browser that is killed cannot tidy up
const { axe, browser, fits, journey, person, start } = await import('./harness.mjs');

const fixture = (name) => fileURLToPath(new URL(`fixtures/${name}`, import.meta.url));
const pages = () => start(process.execPath, [fixture('pages.mjs')]);

journey(
  'a person finds a field by its label and sees the answer',
  async ({ open, look }) => {
    const page = await open({ size: 'phone', scheme: 'dark' });
    await page.goto('/');
    await page.getByLabel('Value').fill('22.4');
    await page.getByRole('button', { name: 'Record' }).click();
    await page.getByText('Recorded: 22.4').waitFor();
    await look(page, 'recorded');
    assert.equal(page.viewportSize().width, 390);
    assert.equal(await page.evaluate(() => matchMedia('(prefers-color-scheme: dark)').matches), true);
    assert.equal(await page.evaluate(() => getComputedStyle(document.body).color), 'rgb(238, 238, 238)');
  },
  pages,
);

test('pages that a person cannot use are told with the rule and the place', async (t) => {
  const server = await pages();
  t.after(server.close);
  const chromium = await browser();
  t.after(() => chromium.close());
  const page = await person(chromium, server.address, { size: 'phone', scheme: 'light' });

  await page.goto('/');
  await axe(page);
  await fits(page);
  for (const [path, rule, place] of [
    ['/unnamed', 'image-alt', '<img'],
    ['/pale', 'color-contrast', '4.5:1'],
    ['/tiny', 'target-size', '<button'],
  ]) {
    await page.goto(path);
    await assert.rejects(axe(page), (error) => error.message.includes(rule) && error.message.includes(place), path);
  }
  await page.goto('/wide');
  await assert.rejects(fits(page), /600px/);
});

for (const [path, complaint] of [
  ['/broken-script', /script error .*nothing is not defined/],
  ['/from-elsewhere', /asks for http:\/\/elsewhere.invalid\/them.js, which is not ours/],
  ['/missing-file', /was answered 404 for .*no-such.css/],
]) {
  test(`what goes wrong unseen fails the errand: ${path}`, async () => {
    const { output, code } = await run('unseen.mjs', { PAGE: path });
    assert.notEqual(code, 0);
    assert.match(output, complaint);
  });
}

test('a program that ends before it serves is told with its last words', async () => {
  const program = start(process.execPath, ['-e', 'console.error("the folder is full"); process.exit(3)']);
  await assert.rejects(program, /ended with exit code 3[^]*the folder is full/);
  await assert.rejects(start('/no/such/program', []), /did not say where it is/);
});

for (const goes of ['wrong', 'killed', 'silent']) {
  test(`no process stays behind an errand that goes ${goes}`, async () => {
    const { output, code } = await run('left-alone.mjs', { GOES: goes, ERRAND: '2000' });
    assert.notEqual(code, 0);
    const started = /started: ([\d ]+)/.exec(output)?.[1].split(' ') ?? [];
    assert.ok(started.length >= 3, `a server and a browser with its helpers were to be seen:\n${output}`);
    for (let tries = 0; tries < 100 && started.some(runs); tries += 1) await pause(50);
    assert.deepEqual(started.filter(runs), []);
  });
}

/** Whether a process still runs; one that has ended and waits to be counted does not. */
function runs(process) {
  try {
    return !readFileSync(`/proc/${process}/stat`, 'utf8').replace(/^.*\) /s, '').startsWith('Z');
  } catch {
    return false;
  }
}

/** Runs a fixture as a test of its own. */
async function run(name, environment) {
  const { NODE_TEST_CONTEXT, ...inherited } = process.env; // or it would report to our runner
  const child = spawn(process.execPath, [fixture(name)], { env: { ...inherited, ...environment } });
  let output = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (text) => (output += text));
  const [code, signal] = await once(child, 'close');
  return { output, code: code ?? signal };
}

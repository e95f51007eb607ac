// The walk where things go wrong: no network, a value below nothing, a stop that is put right.
import assert from 'node:assert/strict';
import { journey } from './harness.mjs';

journey('what did not arrive is sent again', async ({ open, look }) => {
  const page = await open({ size: 'phone', scheme: 'light' });
  const stop = '/cars/bracken/walk/front-pad-thickness/front.right';
  await page.goto(`/sign?then=${stop}`);
  await page.getByRole('button', { name: 'The owner-technician' }).click();
  await page.getByLabel('Value', { exact: false }).first().fill('6,4');
  await page.getByText('How well seen, a note').click();
  await page.getByLabel('How well it could be seen').selectOption('part');
  await page.getByLabel('Note').fill('pad has a lip');

  await page.route('**/*', (route) => (route.request().method() === 'POST' ? route.abort() : route.continue()));
  const lost = page.waitForEvent('requestfailed', (request) => request.method() === 'POST');
  await page.getByRole('button', { name: /^Next/ }).click();
  await lost;
  await page.unroute('**/*');
  await page.goto(stop);
  await page.getByRole('status').getByText('This was sent and did not arrive').waitFor();
  assert.equal(await page.locator('#value').inputValue(), '6,4');
  assert.equal(await page.getByLabel('How well it could be seen').inputValue(), 'part');
  assert.equal(await page.getByLabel('Note').inputValue(), 'pad has a lip');
  await look(page, 'there-again');

  await page.getByRole('button', { name: /^Next/ }).click();
  await page.getByRole('status').getByText('Written').waitFor();
  await page.goto(stop);
  assert.equal(await page.locator('#value').inputValue(), '6.4', 'what stands is there to be put right');
  assert.equal(await page.getByText('did not arrive').count(), 0);
  assert.equal(await page.getByLabel('Note').inputValue(), 'pad has a lip');

  // Coolant freezes below nothing, and the keypad says so.
  await page.goto('/cars/bracken/walk/coolant-freeze-point/single');
  for (const key of ['3', '6']) await page.getByRole('button', { name: key, exact: true }).click();
  await page.getByRole('button', { name: 'Change the sign' }).click();
  assert.equal(await page.locator('#value').inputValue(), '-36');
  await look(page, 'below-nothing');
});

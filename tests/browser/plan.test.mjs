// What is worth doing now, asked in other ways: the answer follows what is typed, and everything works by keyboard.
import assert from 'node:assert/strict';
import { journey } from './harness.mjs';

for (const [size, scheme] of [['phone', 'dark'], ['desk', 'light']]) {
  journey(`a plan answers what if, on a ${size}`, async ({ open, look }) => {
    const page = await open({ size, scheme });
    await page.goto('/cars/clover/plan');
    const status = page.getByRole('status');
    const before = await status.textContent();
    await look(page, 'as-planned');

    // The corners of the chart are plans that one can go to.
    await page.getByRole('region', { name: 'Plans by the money there is now' }).getByRole('link').first().click();
    await page.waitForURL(/budget=\d+/);
    assert.notEqual(await status.textContent(), before);
    await page.goBack();

    // What stands behind the plan is pale until it has been worked out anew; what was opened stays open.
    await page.getByText('What would change this').first().click();
    let held;
    await page.route(/budget=1000$/, async (route) => { await new Promise((go) => (held = go)); await route.continue(); });
    await page.getByLabel('Money now').fill('1000');
    await page.locator('[data-later=behind][aria-busy=true]').getByText('How firm it is').waitFor();
    held();
    await page.locator('[data-later=behind]:not([aria-busy])').waitFor();
    assert.equal(await page.locator('details[data-keep^=why][open]').count(), 1);
    await page.waitForFunction((before) => document.querySelector('[role=status]').textContent !== before, before);
    assert.match(page.url(), /budget=1000/, 'what is asked stays in the address');
    const richer = await status.textContent();

    // A wish stays ticked and under the hand, and takes back its opposite.
    const wish = page.getByRole('group', { name: 'Your wish for Brake fluid flushed' });
    await wish.getByLabel('Not now').check();
    await page.waitForFunction((richer) => document.querySelector('[role=status]').textContent !== richer, richer);
    assert.equal(await wish.getByLabel('Not now').isChecked(), true);
    assert.equal(await page.evaluate(() => document.activeElement.name), 'not');
    await wish.getByLabel('Must be now').check();
    await page.waitForURL(/must=flush-brake-fluid/);
    assert.equal(await wish.getByLabel('Not now').isChecked(), false);

    await look(page, 'with-wishes');

    // A day that is past is told beside its field; what was typed stays, and so does the plan.
    const wished = await status.textContent();
    const sells = page.getByLabel('Owner sells on');
    await sells.fill('2020-01-01');
    await page.getByRole('alert').filter({ hasText: '1 January 2020 is past' }).waitFor();
    assert.equal(await sells.inputValue(), '2020-01-01');
    assert.equal(await status.textContent(), wished);
    await look(page, 'wrong-wish');
    await sells.fill('');
    await page.waitForFunction(() => ![...document.querySelectorAll('[role=alert]')].some((told) => told.textContent.trim()));

    await page.goto('/cars/clover/plan');
    assert.equal(await status.textContent(), before);
  });
}

// What is behind things: an explanation that a look makes surer, a part known by what is written on it, the weeks ahead.
import assert from 'node:assert/strict';
import { journey } from './harness.mjs';

for (const [size, scheme] of [['phone', 'light'], ['desk', 'dark']]) {
  journey(`a residue is explained, on a ${size}`, async ({ open, look }) => {
    const page = await open({ size, scheme });
    await page.goto('/sign?then=/cars/bracken/findings/clutch-master-residue/single');
    await page.getByRole('button', { name: 'The owner-technician' }).click();
    const behind = page.locator('section.behind');
    const grease = behind.getByRole('listitem').filter({ hasText: 'Grease from assembly' }).first();
    const chance = async () => Number((await grease.textContent()).match(/(\d+) in 100/)[1]);
    await grease.waitFor();
    const before = await chance();
    await look(page, 'as-found');

    // The look that would tell most leads to where it is written down.
    await behind.getByRole('link', { name: /wiped clean, and looked at again/ }).click();
    await page.getByText('A greasy trace, not wet').click();
    await look(page, 'wiped');
    await page.getByRole('button', { name: /^Next/ }).click();
    await page.getByRole('status').waitFor();
    await page.goto('/cars/bracken/findings/clutch-master-residue/single');
    assert.ok((await chance()) > before, 'a greasy trace speaks for grease');
    await look(page, 'after-the-look');
  });

  journey(`a part is known by what it reads, on a ${size}`, async ({ open, look }) => {
    const page = await open({ size, scheme });
    await page.goto('/sign?then=/cars/bracken/marking');
    await page.getByRole('button', { name: 'The owner-technician' }).click();
    await page.getByRole('heading', { name: 'What is written on a part' }).waitFor();
    await look(page, 'empty');

    // Two parts read so: a person says which it is, and nothing typed is lost.
    await page.getByLabel('Read on').selectOption({ label: 'Engine oil and filter' });
    await page.getByLabel('It reads', { exact: true }).fill('grey paint');
    await page.getByRole('button', { name: 'Write it down' }).click();
    const which = page.getByRole('group', { name: 'Which part it is' });
    await which.waitFor();
    assert.equal(await page.getByLabel('It reads', { exact: true }).inputValue(), 'grey paint');
    await look(page, 'which');
    await which.getByLabel(/QL-1311/).check();
    await page.getByRole('button', { name: 'Write it down' }).click();
    await page.waitForURL(/findings/);
    await page.getByText('QL-1311').first().waitFor();
    await look(page, 'found');
  });

  journey(`the weeks ahead lead to their cars, on a ${size}`, async ({ open, look }) => {
    const page = await open({ size, scheme });
    await page.goto('/');
    await page.getByRole('link', { name: /weeks/i }).click();
    await page.getByRole('heading', { name: 'Weeks ahead' }).waitFor();
    await look(page, 'weeks');
    await page.getByRole('link', { name: 'Sorrel' }).click();
    await page.getByRole('heading', { name: 'On 13 July 2026, as agreed' }).waitFor();
  });
}

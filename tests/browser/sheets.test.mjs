// What is known of a type of car: looked up, written wrongly, put right, looked at before it counts, and saved.
import { strict as assert } from 'node:assert';
import { journey } from './harness.mjs';

journey('a limit is changed on the sheet', async ({ open, look }) => {
  const page = await open({ size: 'desk', scheme: 'light' });
  await page.goto('/');
  await page.getByRole('link', { name: 'Who signs?' }).click();
  await page.getByRole('button', { name: 'The owner-technician' }).click();
  await page.getByRole('link', { name: 'Sheets' }).click();
  await page.getByRole('heading', { name: 'Quarrow Lanner' }).waitFor();
  await look(page, 'sheet');
  await page.getByLabel('Find on this sheet').fill('front pads thinnest');
  await page.getByRole('button', { name: 'Find' }).click();
  await page.getByRole('status').getByText('front pads thinnest').waitFor();
  await look(page, 'found');
  await page.getByRole('link', { name: 'Thinnest lining, inner and outer' }).first().click();
  await page.getByRole('heading', { name: 'Brake pads, front: Thinnest lining' }).waitFor();
  await page.getByText('at least 3 mm').first().waitFor();
  await look(page, 'check');

  // Its line in the text: a slip of the unit is told where it stands, while one types.
  await page.getByRole('link', { name: /^45-brakes\.toml, line/ }).click();
  const text = page.getByLabel('45-brakes.toml');
  const checker = page.getByRole('region', { name: 'The checker' });
  const was = await text.inputValue();
  const start = was.indexOf('[check.front-pad');
  const limit = was.indexOf('"3.0 mm"', start);
  assert.ok(start > 0 && limit > start);
  const with_limit = (limit_) => was.slice(0, limit) + limit_ + was.slice(limit + '"3.0 mm"'.length);
  await text.fill(with_limit('"3.0 Nm"'));
  await checker.getByText('1 thing has to be put right').waitFor();
  await checker.getByText('its reading is in mm').waitFor();
  await look(page, 'wrong unit');
  await checker.getByRole('button', { name: /^line \d+$/ }).click();
  const chosen = await text.evaluate((area) => area.value.slice(area.selectionStart, area.selectionEnd));
  assert.equal(chosen, '"3.0 Nm"', 'what is wrong is under the hand');

  // It cannot be saved so; what was typed is still there.
  await page.getByRole('button', { name: 'See what would change' }).click();
  await page.getByRole('alert').getByText('What you typed is still here').waitFor();
  assert.equal(await text.inputValue(), with_limit('"3.0 Nm"'));
  await text.fill(with_limit('"9.0 mm"'));
  await checker.getByText('Nothing is wrong.').waitFor();

  await page.getByRole('button', { name: 'See what would change' }).click();
  await page.getByRole('heading', { name: 'What would change' }).waitFor();
  await page.getByText('at least 9 mm').first().waitFor();
  await page.getByText('would be judged otherwise').waitFor();
  await page.getByText('Before it leaves').first().waitFor();
  await look(page, 'what would change');
  await page.getByRole('button', { name: 'Save as a new revision' }).click();
  await page.getByRole('heading', { name: 'Revisions' }).waitFor();
  await page.getByText('Revision 2').waitFor();
  await page.getByText('at least 9 mm').waitFor();
  await look(page, 'revisions');
});

journey('a sheet on a phone', async ({ open, look }) => {
  const page = await open({ size: 'phone', scheme: 'dark' });
  await page.goto('/sign?then=/sheets/quarrow-lanner');
  await page.getByRole('button', { name: 'The owner-technician' }).click();
  await page.getByRole('heading', { name: 'Quarrow Lanner' }).waitFor();
  await look(page, 'sheet');
  await page.getByRole('link', { name: 'Brakes', exact: true }).click();
  await page.getByRole('heading', { name: 'Brake disc, front' }).waitFor();
  await look(page, 'system');
  await page.goto('/sheets/quarrow-lanner/edit?file=45-brakes.toml&line=14');
  const text = page.getByLabel('45-brakes.toml');
  assert.equal(await text.evaluate((area) => document.activeElement === area), true, 'the line is under the hand');
  await text.press('x');
  await page.getByRole('status').getByText('to be put right').waitFor();
  await look(page, 'wrong');
  // Another file and back: what was typed goes along.
  page.on('dialog', (dialog) => dialog.accept());
  await page.getByText('25 files').click();
  await page.getByRole('button', { name: '80-access.toml' }).click();
  await page.getByLabel('80-access.toml').waitFor();
  await page.getByText('25 files, 1 changed').waitFor();
  await page.getByRole('button', { name: /^45-brakes\.toml, line/ }).first().click();
  await page.getByLabel('45-brakes.toml').waitFor();
  await page.getByRole('status').getByText('to be put right').waitFor();
});

// Numbers on the bench: an answer while one types, a car's own readings, a table from a spreadsheet, and an answer on record.
import { strict as assert } from 'node:assert';
import { journey } from './harness.mjs';

journey('from a number to a car record', async ({ open, look }) => {
  const phone = await open({ size: 'phone', scheme: 'dark' });
  await phone.goto('/');
  await phone.getByRole('link', { name: 'Who signs?' }).click();
  await phone.getByRole('button', { name: 'The owner-technician' }).click();
  await phone.getByRole('link', { name: 'Bench' }).click();
  await look(phone, 'bench');
  await phone.getByLabel('What do you want to know?').fill('belt note');
  await phone.getByRole('button', { name: 'Find' }).click();
  await phone.getByRole('link', { name: 'Tension of a belt span from its note' }).click();
  await look(phone, 'nothing typed');

  // The answer comes while one types, and stays in the address.
  const answer = phone.getByRole('region', { name: 'Answer' });
  await phone.getByLabel('Mass per length').fill('0,1');
  await phone.getByLabel('Free span').fill('172 ± 1 mm');
  await answer.getByText('Lowest note of the span').waitFor();
  await phone.getByLabel('Lowest note').fill('9000');
  await phone.getByLabel('Free span').focus();
  await phone.getByText('the formula holds from 5 Hz to 600 Hz').first().waitFor();
  await look(phone, 'out of range');
  await phone.getByLabel('Lowest note').fill('150 ± 2 Hz');
  await answer.getByText('266.3 ± 7.7 N').waitFor();
  await answer.getByText('Step by step').click();
  await answer.getByText('Free span between the tangent points L = 172 mm').waitFor();
  await phone.getByLabel('Lowest note').fill('151 ± 2 Hz');
  await answer.getByText('269.8 ± 7.8 N').waitFor();
  await answer.getByText('Free span between the tangent points L = 172 mm').waitFor(); // what was open stays open
  await look(phone, 'answer');
  await phone.reload();
  await answer.getByText('269.8 ± 7.8 N').waitFor();

  // What the car's readings answer is filled in.
  await phone.getByLabel('Car').first().selectOption({ label: 'Bracken, GSM-001' });
  await phone.getByRole('button', { name: 'Load' }).click();
  await phone.getByText('From Bracken: Frequency of the long span').waitFor();
  await look(phone, 'from the car');
  await phone.getByLabel('Note', { exact: true }).fill('Belt cold, long span.');
  await phone.getByRole('button', { name: 'Keep it' }).click();
  await phone.getByRole('heading', { name: 'Worked out on the bench' }).waitFor();
  await phone.getByText('“Belt cold, long span.”').waitFor();
  await look(phone, 'on the record');
  await phone.getByRole('link', { name: 'Tension of a belt span from its note' }).click();
  await answer.getByText('305.6 ± 4.2 N').waitFor();
});

journey('a table from a spreadsheet at the desk', async ({ open, look }) => {
  const desk = await open({ size: 'desk', scheme: 'light' });
  await desk.goto('/bench/valve-spring-load-table');
  await look(desk, 'empty table');
  const cell = (name) => desk.getByRole('textbox', { name, exact: true });
  const answer = desk.getByRole('region', { name: 'Answer' });
  await paste(cell('Lengths on the tester, row 1'), '42,0\t170\n38,0\t290\n34,0\t425\n30,0\t580\n26,0\t760\n');
  assert.equal(await cell('Loads at these lengths, row 5').inputValue(), '760');

  // By keyboard alone from here on: a row down with Enter, on with Tab.
  await cell('Lengths on the tester, row 5').focus();
  await desk.keyboard.press('Enter');
  assert.equal(await desk.evaluate(() => document.activeElement.getAttribute('aria-label')), 'Lengths on the tester, row 6');
  await desk.getByLabel('Installed height').focus();
  await desk.keyboard.type('40');
  await desk.keyboard.press('Tab');
  await desk.keyboard.type('5,5');
  await answer.getByText('230 N').waitFor();
  await look(desk, 'table filled');

  const dark = await open({ size: 'desk', scheme: 'dark' });
  await dark.goto('/bench/shim-plan');
  await dark.getByRole('link', { name: 'Example', exact: true }).click();
  await dark.getByText('Plan that buys the fewest').waitFor();
  await look(dark, 'a whole engine');
});

/** Pastes as a spreadsheet does: rows on lines, columns between tabs. */
async function paste(into, text) {
  await into.focus();
  await into.evaluate((element, text) => {
    const clipboardData = new DataTransfer();
    clipboardData.setData('text/plain', text);
    element.dispatchEvent(new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true }));
  }, text);
}

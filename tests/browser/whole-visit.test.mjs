// A whole visit: worn pads are measured, said, planned, told, answered and renewed, and the keys go back.
import { journey } from './harness.mjs';

journey('from a reading to the keys', async ({ open, look }) => {
  const phone = await open({ size: 'phone', scheme: 'dark' });
  const link = (name) => phone.getByRole('link', { name });
  const button = (name) => phone.getByRole('button', { name });
  const shows = (text) => phone.getByText(text).first().waitFor();

  await phone.goto('/');
  await phone.getByRole('heading', { name: 'In the house' }).waitFor();
  await look(phone, 'today');
  await link('Who signs?').click();
  await button('The owner-technician').click();
  await link('Bracken').click();
  await look(phone, 'car');

  // What a reading means is said before it is written down, and after.
  await link('Walk').click();
  await phone.getByRole('heading', { name: 'Left front corner' }).click();
  await look(phone, 'walk');
  await link('Brake pads, front').first().click();
  await phone.getByLabel('Value').fill('2.4');
  await shows('Stays put');
  await look(phone, 'reading');
  await button(/^Next/).click();
  const written = phone.getByRole('status');
  await written.getByText('2.4 mm').waitFor();
  await written.getByText('Stays put').waitFor();
  await look(phone, 'verdict');
  await link('What it rests on').click();
  await look(phone, 'what it rests on');

  await link('Plan').click();
  await shows('The car stays put until this is done');
  await look(phone, 'plan');
  await link('Keys back').click();
  await shows('The car cannot leave yet');
  await look(phone, 'held');

  await link('Letter').click();
  await button('Keep as sent').click();
  await shows('Kept as sent');
  await look(phone, 'letter');

  const owner = await open({ size: 'phone', scheme: 'light' });
  await owner.goto(new URL(phone.url()).pathname);
  const lines = owner.getByRole('group').filter({ has: owner.getByRole('radio') });
  for (const line of await lines.all()) {
    const isPads = (await line.textContent()).includes('Front brake pads');
    await line.getByRole('radio', { name: isPads ? 'Yes' : 'Not now' }).check();
  }
  await owner.getByLabel('Your name').fill('A. Example');
  await look(owner, 'answers');
  await owner.getByRole('button', { name: 'Send my answers' }).click();
  await owner.getByText('A. Example').first().waitFor();
  await look(owner, 'answered');

  // Renewing pads obliges to checks of wheels and brakes, some with a value.
  await link('Keys back').click();
  await button(/^Done.*Front brake pads/).click();
  await shows('Wheel nuts torqued in a star');
  await look(phone, 'obligations');
  for (const [label, value] of [['Value from 103 to 113 N·m', '108'], ['Value from 85 to 95 N·m', '90']]) {
    await phone.getByLabel(label).fill(value);
    await phone.getByLabel(label).press('Enter');
    await phone.getByLabel(label).waitFor({ state: 'detached' });
  }
  const unmet = button(/^Met/);
  for (let left = await unmet.count(); left > 0; left -= 1) {
    await unmet.first().click();
    await unmet.nth(left - 1).waitFor({ state: 'detached' });
  }
  await shows('Nothing holds the car');
  await button('Hand the keys back').click();
  await shows('The keys are back');
  await look(phone, 'keys back');
});

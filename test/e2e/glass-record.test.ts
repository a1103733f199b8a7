/** What a piece is made of, a panel taken apart, openings closed, tests: by screens alone, on phone and desk. */
import { readFileSync } from 'node:fs';
import { jest } from '@jest/globals';
import type { SizeName } from './support/browser.js';
import { chapelOfTests } from './support/chapel.js';
import { sound, soundFromTheTop } from './support/sound.js';

jest.setTimeout(240_000);

const picture = readFileSync(new URL('../../fixtures/shards/s01.jpg', import.meta.url));

const chapel = chapelOfTests();

const enter = async (size: SizeName, path: string) => {
  const page = await chapel.enter(size, path);
  page.setDefaultTimeout(30_000);
  return page;
};

it.each<[SizeName, string]>([
  ['phone', '5'],
  ['desk', '6'],
])('a moulded, flashed and plated piece is described on the %s', async (size, piece) => {
  const page = await enter(size, `/at/SLM.wI.12b.${piece}/made`);
  await page.getByLabel('What holds it').selectOption('copper foil');
  await page.getByLabel('Width of the foil, mm').fill('5.5');
  await page.getByRole('button', { name: 'Describe the glass' }).click();
  await page.getByLabel('Kind of glass').selectOption('flashed glass');
  await page
    .getByRole('radiogroup', { name: 'The flash lies on the face' })
    .getByRole('radio', { name: 'outside' })
    .click();
  await page.getByRole('button', { name: 'Gauge it at several places' }).click();
  const plate = page.getByRole('img', { name: /^The piece with/ });
  const box = (await plate.boundingBox())!;
  for (const [x, y, mm] of [
    [0.5, 0.3, '4'],
    [0.4, 0.6, '6'],
    [0.6, 0.6, '5'],
  ] as const) {
    await plate.click({ position: { x: box.width * x, y: box.height * y } });
    await page.getByLabel('The gauge says, mm').fill(mm);
    await page.getByRole('button', { name: 'Put this reading in' }).click();
  }
  await page.getByText(/^4\.0 to 6\.0 mm; mean over the piece \d\.\d\d mm$/).waitFor();
  await page.getByRole('button', { name: 'Another glass took its place' }).click();
  await page.getByLabel('Why the glass before was taken out').fill('shattered by hail');
  await page.getByLabel('Where the glass before went').selectOption('not known');
  await soundFromTheTop(page, `made-${size}`);
  await page.getByRole('button', { name: 'Keep how it is made' }).click();
  const record = page.getByRole('article', { name: `Record of piece ${piece}` });
  await record
    .getByText(/flashed glass, gauged at 3 places; copper foil/)
    .waitFor({ state: 'attached' });
  await record.getByText('2; shattered by hail').waitFor({ state: 'attached' });
  await page.goto(`${chapel.origin}/search?kind=piece&generations=2`);
  await page.getByText(`SLM.wI.12b.${piece}`).first().waitFor();
  await page.close();
});

it.each<[SizeName, string]>([
  ['phone', '1'],
  ['desk', '2'],
])('pieces are lifted and a cut end is gauged on the %s', async (size, piece) => {
  const page = await enter(size, '/at/SLM.wI.12b/apart');
  await page.getByRole('button', { name: `${piece} is lifted`, exact: true }).click();
  const next = String(Number(piece) + 1);
  await page.getByRole('button', { name: `${next} is lifted`, exact: true }).waitFor();
  await sound(page, `apart-${size}`);
  await page.getByRole('button', { name: 'Keep it in the archive' }).click();
  await page.getByText(new RegExp(`^${piece} of \\d+ lifted$`)).waitFor();
  await page.reload();
  await page.getByText(new RegExp(`^${piece} of \\d+ lifted$`)).waitFor();
  if (size === 'phone') await page.getByRole('button', { name: /^pull up/ }).click();
  const paper = page.getByRole('form', { name: /^Old lead and putty/ });
  await paper.getByLabel('Face width').fill('1/4 in');
  await paper.getByLabel('Thickness of a leaf').fill('1,2');
  await paper.getByLabel('Height of the heart').fill('5');
  await paper.getByLabel('Thickness of the heart').fill('1.6');
  await paper.getByRole('button', { name: 'Put this reading in' }).click();
  await paper.getByRole('cell', { name: /^6\.[34] mm$/ }).waitFor();
  await paper.getByLabel('Sample of the old came: its number').fill(`C${piece}`);
  await soundFromTheTop(page, `apart-lead-${size}`);
  await paper.getByRole('button', { name: 'Keep what was found so far' }).click();
  await paper.getByText(new RegExp(`^${piece} statements? in the archive`)).waitFor();
  await page.close();
});

it('two pieces that stay together are said by keys alone, the picture under them chosen', async () => {
  const page = await enter('desk', '/at/SLM.wI.12b/apart');
  await page.getByText(/^2 of \d+ lifted$/).waitFor();
  await page.getByText('No rubbing and no picture is laid on this panel yet.').waitFor();
  await page.getByRole('radio', { name: 'lifted whole' }).focus();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  await page.getByLabel('The others stay with').focus();
  await page.keyboard.type('7');
  await page.getByLabel('What stays').focus();
  await page.keyboard.type('8');
  await page.getByRole('button', { name: 'They stay together' }).press('Enter');
  await page.getByText('3 of').waitFor();
  await sound(page, 'apart-with-desk');
  await page.getByRole('button', { name: 'Keep it in the archive' }).press('Enter');
  await page.getByText(/^3 of \d+ lifted$/).waitFor();
  await page.close();
});

it.each<[SizeName]>([['phone'], ['desk']])('an empty opening is closed on the %s', async (size) => {
  // 12b lies on the bench since its pieces were lifted
  const page = await enter(size, '/at/SLM.wI/custody');
  await page.getByRole('radio', { name: 'close openings' }).click();
  const opening = page.getByRole('button', { name: /^12b/ });
  await opening.click();
  await page.getByRole('radio', { name: size === 'phone' ? 'boards' : 'sheeting' }).click();
  await page.getByText('an open opening').waitFor();
  await page.getByLabel('How it is fixed').fill('screwed to battens in the frame');
  await sound(page, `protect-${size}`);
  await page.getByRole('button', { name: 'So they stand today' }).click();
  await page
    .getByRole('button', { name: size === 'phone' ? /^12b boards, seen/ : /^12b sheeting, seen/ })
    .waitFor();
  await page.close();
});

it.each<[SizeName]>([['phone'], ['desk']])(
  'a sample waits for its result on the %s',
  async (size) => {
    const page = await enter(size, '/at/SLM.wI/tests');
    const form = page.getByRole('form', { name: 'Another test' });
    await form.getByLabel('What is tested').selectOption('cleaning trial');
    await form.getByText('solvents', { exact: true }).waitFor();
    await form.getByLabel('What is tested').selectOption('putty, asbestos');
    await form.getByLabel('On which piece, lead or panel').fill('SLM.wI.12b');
    await form.getByLabel('Where on it').fill(`at the sill, ${size}`);
    await form.getByLabel('How', { exact: true }).fill('scalpel, wetted');
    await sound(page, `tests-${size}`);
    await form.getByRole('button', { name: 'Record the test' }).click();
    const waiting = page.getByRole('form', { name: 'Result of the test on SLM.wI.12b' });
    await waiting.getByLabel('What came of it').selectOption('no asbestos found');
    await sound(page, `tests-awaited-${size}`);
    await waiting.getByRole('button', { name: 'The result is in' }).click();
    await page
      .getByRole('heading', { name: 'putty, asbestos: no asbestos found' })
      .first()
      .waitFor();
    await waiting.waitFor({ state: 'detached' });
    await page.close();
  },
);

it.each<[SizeName]>([['phone'], ['desk']])(
  'a test has its place on the drawing and its picture on the %s',
  async (size) => {
    const page = await enter(size, '/at/SLM.wI.12b/tests');
    const form = page.getByRole('form', { name: 'Another test' });
    const board = form.getByRole('application', { name: /^SLM\.wI\.12b as seen from inside/ });
    // the panel measures 750 × 430 mm
    if (size === 'phone') {
      const box = (await board.boundingBox())!;
      await board.click({ position: { x: box.width / 2, y: box.height / 2 } });
      await form.getByText(/^37\d mm right and 21\d mm down/).waitFor();
    } else {
      await board.focus();
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('Shift+ArrowDown');
      await form.getByText('380 mm right and 216 mm down from the upper left corner').waitFor();
    }
    const subject = form.getByLabel('On which piece, lead or panel');
    expect(await subject.inputValue()).toMatch(/^SLM\.wI\.12b\.\d+$/);
    await form.getByLabel('What is tested').selectOption('paint adhesion');
    await form.getByLabel('Where on it').fill(`trace line, ${size}`);
    await form.getByLabel('How', { exact: true }).fill('soft brush, dry');
    await form.getByLabel('What came of it').selectOption('holds');
    await form
      .getByLabel('Send a picture of it')
      .setInputFiles({ name: `${size}.jpg`, mimeType: 'image/jpeg', buffer: picture });
    await form.getByRole('button', { name: /jpg$|photograph/, pressed: true }).waitFor();
    await sound(page, `test-placed-${size}`);
    await form.getByRole('button', { name: 'Record the test' }).click();
    const made = page.getByRole('region', { name: 'Tests made' });
    await made.getByText(`trace line, ${size}`).waitFor();
    await made.getByRole('listitem').first().locator('img').waitFor();
    await board.getByText('1', { exact: true }).waitFor();
    await page.close();
  },
);

it.each<[SizeName, string]>([
  ['phone', 'A'],
  ['desk', 'B'],
])('a row is taken out and put back in one go on the %s', async (size, row) => {
  const page = await enter(size, '/at/SLM.wI/custody');
  const turn = page.locator('.turn b');
  await turn.waitFor();
  await page.getByLabel(/^Another panel/).selectOption(`${row}1`);
  await page.getByText('Others of which the same holds').click();
  await page.getByRole('button', { name: `row ${row}`, exact: true }).click();
  await page.getByRole('radio', { name: 'tested, sound' }).click();
  await page.getByLabel('What holds it to its shape').fill('a board and padding');
  await page.getByRole('radio', { name: 'on the lead' }).click();
  await page.getByRole('radio', { name: 'inside face' }).click();
  await sound(page, `custody-many-${size}`);
  await page.getByRole('button', { name: new RegExp(`^${row}1 and \\d others are out$`) }).click();
  await page.waitForFunction(
    (before) => document.querySelector('.turn b')?.textContent !== before,
    `${row}1`,
  );
  await page.getByRole('radio', { name: 'put back' }).click();
  await page.getByLabel(/^Another panel/).selectOption(`${row}2`);
  await page.getByText('Others of which the same holds').click();
  await page.getByRole('button', { name: `${row}3`, exact: true }).click();
  await page.getByRole('button', { name: `${row}2 and 1 other are back` }).click();
  await page.getByRole('button', { name: `${row}3`, exact: true }).waitFor({ state: 'detached' });
  await page.close();
});

it('panels at the bench are cemented in one go', async () => {
  const page = await enter('phone', '/at/SLM.wI/custody');
  await page.getByRole('radio', { name: 'cement', exact: true }).click();
  const form = page.getByRole('form', { name: 'Cemented panels' });
  await form.getByText('Choose the panels that were cemented').click();
  await form.getByRole('button', { name: '12b', exact: true }).click();
  await form.getByLabel('Cement, with its batch').fill('linseed oil putty, batch 7');
  await form.getByLabel('Not moved before').fill('2030-05-19');
  await sound(page, 'custody-cement-phone');
  await form.getByRole('button', { name: '1 panel is cemented' }).click();
  await form.getByText('Said in the list of 1 panel.').waitFor();
  await page.goto(`${chapel.origin}/at/SLM.wI.12b/rebuild`);
  expect(await page.getByLabel('Cures until').inputValue()).toBe('2030-05-19');
  await page.close();
});

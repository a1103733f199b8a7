/**
 * One panel from survey to dossier by screens: the phone in the chapel, on the scaffold and at the bench, the desk
 * for the office. Work departs from what was agreed, and the panel breaks on its way; nothing is signed before both
 * are answered for. By the API come only its lead drawing (drawing has tests of its own) and the panels that stand
 * on it. test/api/whole-job.test.ts tells the same without screens.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { jest } from '@jest/globals';
import type { Locator, Page } from 'playwright-core';
import { type Chapel, openChapel } from './support/chapel.js';
import { quarries } from './support/quarries.js';
import { built } from './support/running-mullion.js';
import { saved } from './support/saved.js';
import { sound, soundFromTheTop } from './support/sound.js';

jest.setTimeout(120_000);

const MARK = 'SLM.wI.3b';
const TITLE = 'Third row';

let chapel: Chapel;
let panelId: string;
let phone: Page;
let desk: Page;
const files = mkdtempSync(join(tmpdir(), 'mullion-whole-job-'));

beforeAll(async () => {
  chapel = await openChapel();
  ({ panelId } = await chapel.keeper.ask<{ panelId: string }>(`/v1/marks/${MARK}`));
  phone = await chapel.enter('phone', '/at/SLM.wI/survey');
  desk = await chapel.enter('desk', '/');
  for (const page of [phone, desk]) page.setDefaultTimeout(30_000);
});
afterAll(async () => {
  await chapel.close();
  rmSync(files, { recursive: true, force: true });
});
afterEach(() => {
  expect(chapel.errors.splice(0)).toEqual([]);
});

const go = (page: Page, path: string) => page.goto(`${chapel.origin}${path}`);

async function workState(): Promise<string> {
  const { windowId } = await chapel.keeper.ask<{ windowId: string }>(`/v1/marks/${MARK}`);
  const { panels } = await chapel.keeper.ask<{ panels: { panelId: string; workState: string }[] }>(
    `/v1/windows/${windowId}`,
  );
  return panels.find((panel) => panel.panelId === panelId)!.workState;
}

/** The campaign with this part of it open. */
async function works(page: Page, part: string): Promise<void> {
  await go(page, '/at/SLM/works');
  await page
    .getByRole('navigation', { name: 'Parts of the campaign' })
    .getByRole('button', { name: part, exact: true })
    .click();
}

async function writeDown(operation: string): Promise<void> {
  const log = phone.getByRole('form', { name: 'Write work down' });
  await log.getByLabel('What was done').selectOption({ label: operation });
  await log.getByLabel('On', { exact: true }).fill(MARK.slice(4));
  await log.getByRole('button', { name: 'Record it' }).click();
  await log
    .getByRole('status')
    .filter({ hasText: `${operation} is in the archive` })
    .waitFor();
}

async function answerAll(questions: Locator): Promise<void> {
  await questions.getByRole('listitem').first().waitFor();
  for (;;) {
    const open = questions.getByRole('form', { name: /^Answer for / });
    const left = await open.count();
    if (left === 0) break;
    await open.first().getByLabel('Why it came so').fill('looked into with the owner');
    await open.first().getByRole('button', { name: 'Answer it' }).click();
    await open.nth(left - 1).waitFor({ state: 'detached' });
  }
  await questions.getByText('Nothing is open.').waitFor();
}

it('is surveyed in the chapel', async () => {
  await phone
    .getByRole('region', { name: 'The visit' })
    .getByLabel('Why this survey is made')
    .fill('before the campaign');
  await phone.getByRole('button', { name: '3b, nothing said yet', exact: true }).click();
  const sheet = phone.getByRole('region', { name: 'Panel 3b', exact: true });
  for (const [group, choice] of [
    ['Condition class', /^3 /],
    ['Urgency', /^2 /],
    ['Recommended', /^3 /],
  ] as const)
    await sheet
      .getByRole('radiogroup', { name: group })
      .getByRole('radio', { name: choice })
      .click();
  await sheet.getByLabel('What was seen').fill('bulged, and a break through the head');
  await sound(phone, 'whole-survey');
  await phone.getByRole('button', { name: 'Record the survey' }).click();
  await phone.waitForURL(`${chapel.origin}/at/SLM.wI`);
});

it('is proposed at the desk and consented to by letter, under a condition that is met', async () => {
  await go(desk, '/at/SLM/works?campaign=new');
  const begin = desk.getByRole('form', { name: 'Begin a campaign' });
  await begin.getByLabel('What it is called').fill(TITLE);
  await begin.getByLabel('What it covers').fill('wI.3b');
  await begin.getByLabel('From when on').fill('2026-01-10');
  await begin.getByRole('button', { name: 'Begin it' }).click();
  await desk
    .getByRole('navigation', { name: 'Parts of the campaign' })
    .getByRole('button', { name: 'proposals', exact: true })
    .click();
  await desk.getByRole('button', { name: 'Write a proposal' }).click();
  const form = desk.getByRole('form', { name: 'Write a proposal' });
  await form.getByLabel('What it is called').fill(TITLE);
  await form.getByLabel('Where').fill('wI.3b');
  await form.getByLabel('What is the matter').fill('bulged; a break through the head');
  await form.getByLabel('What is proposed').fill('releaded in part');
  await form.getByLabel('Operations').selectOption({ label: 'releaded in part' });
  await form.getByLabel('Why this').fill('most of the lead is sound');
  await form.getByLabel('What else was weighed').fill('leave it');
  await form.getByRole('button', { name: 'Keep it as a draft' }).click();
  const sheet = desk.getByRole('article', { name: `${TITLE}, issue 1` });
  await sheet.getByLabel('To whom').fill('the owner');
  await sheet.getByRole('button', { name: 'It goes out today' }).click();
  await sheet.getByText('A letter came').click();
  const letter = sheet.getByRole('form', { name: 'The letter' });
  await letter.getByLabel('Who signed').fill('the owner');
  await letter.getByLabel('On condition that').fill('the paint is tested first');
  await letter.getByLabel('Scan of the letter').setInputFiles({
    name: 'letter.pdf',
    mimeType: 'application/pdf',
    buffer: Buffer.from('%PDF-1.4\n% the letter\n%%EOF\n'),
  });
  await letter.getByRole('button', { name: 'Record the letter' }).click();
  await sheet.getByText(/^Consented on/).waitFor();
  await sheet.getByLabel('How “the paint is tested first” was met').fill('it holds');
  await sheet.getByRole('button', { name: 'It was met' }).click();
  await sheet.getByText(/^met .*: it holds$/).waitFor();
});

it('comes out on the scaffold when its turn has come', async () => {
  const { windowId } = await chapel.keeper.ask<{ windowId: string }>(`/v1/marks/${MARK}`);
  const { removal } = await chapel.keeper.ask<{ removal: { mark: string; panelId: string }[] }>(
    `/v1/windows/${windowId}/sequence`,
  );
  const over = removal.filter(({ mark }) => /^\d+b$/.test(mark) && Number.parseInt(mark, 10) > 3);
  expect(over).toHaveLength(25); // rows 4 to 28 of the light, counted by hand
  const stated = {
    facing: { state: 'sound' },
    support: 'boarded on both faces',
    tag: { on: 'lead', upArrow: true, face: 'inside' },
  };
  for (const one of over) await chapel.keeper.post(`/v1/panels/${one.panelId}/removal`, stated);
  await go(phone, '/at/SLM.wI/custody');
  await phone.getByLabel(/^Another panel/).selectOption('3b');
  const form = phone.getByRole('form', { name: 'Take out 3b' });
  await form.getByText('bears on 2b').waitFor();
  expect(await form.getByText('still stand on it').count()).toBe(0);
  await form.getByRole('radio', { name: 'tested, sound' }).click();
  await form.getByLabel('What holds it to its shape').fill('boarded on both faces');
  await form.getByRole('radio', { name: 'on the lead' }).click();
  await form.getByRole('radio', { name: 'inside face' }).click();
  await sound(phone, 'whole-out');
  await form.getByRole('button', { name: '3b is out' }).click();
  await form.waitFor({ state: 'detached' });
  expect(await workState()).toBe('out');
});

it('travels in a crate and breaks on the way', async () => {
  await phone.getByRole('radio', { name: 'pack', exact: true }).click();
  await phone.getByLabel('Another crate: what is written on it').fill('1');
  await phone.getByRole('button', { name: 'Add a crate' }).click();
  await phone.getByRole('button', { name: '3b', exact: true }).click();
  await phone.getByText('1: SLM.wI.3b').waitFor();
  await phone.getByRole('radio', { name: 'hand over' }).click();
  await phone.getByRole('button', { name: 'crate 1 (1)' }).click();
  await phone.getByLabel('To whom').fill('carrier');
  await phone.getByRole('button', { name: 'I give these away as they should be' }).click();
  await phone.getByRole('button', { name: 'It is here: look at each thing' }).click();
  const arrival = phone.getByRole('form', { name: 'What came, and how' });
  await arrival.getByText(`${MARK}: left as it should be`).waitFor();
  await arrival.getByRole('radio', { name: 'broken', exact: true }).click();
  await arrival.getByLabel('What is to be seen').fill('a corner of the border');
  await sound(phone, 'whole-arrival');
  await arrival.getByRole('button', { name: 'I have received this' }).click();
  await phone.getByText('Nothing is on its way.').waitFor();
});

/** Piece by piece, then what the old lead and putty were. */
async function takeApart(): Promise<void> {
  await go(phone, `/at/${MARK}/apart`);
  await phone.getByText('0 of 25 lifted').waitFor();
  for (let piece = 1; piece <= 25; piece++)
    await phone.getByRole('button', { name: `${piece} is lifted`, exact: true }).click();
  await phone.getByRole('button', { name: 'Keep it in the archive' }).click();
  await phone.getByText('25 of 25 lifted', { exact: true }).waitFor();
  await phone.getByRole('button', { name: /^pull up/ }).click();
  const paper = phone.getByRole('form', { name: `Old lead and putty of ${MARK}` });
  await paper.getByLabel('Sample of the old came: its number').fill('C1');
  await paper.getByRole('radio', { name: 'soaked' }).click();
  await paper.getByRole('radio', { name: 'none in it' }).click();
  await soundFromTheTop(phone, 'whole-apart');
  await paper.getByRole('button', { name: 'It is apart: keep this' }).click();
  await paper.getByText('1 statement in the archive.').waitFor();
}

it('is drawn and taken apart, and treated once otherwise than was agreed', async () => {
  const at = `/v1/panels/${panelId}`;
  const drawing = { sketch: quarries, face: 'inside', note: 'from the rubbing' };
  await chapel.keeper.post(`${at}/nets`, drawing, { 'If-Match': '"0"' });
  await chapel.keeper.post(`${at}/nets/1/sign`, {});
  await takeApart();
  expect(await workState()).toBe('on-bench');
  await works(phone, 'work');
  await writeDown('releaded in part');
  await writeDown('plate');
  await soundFromTheTop(phone, 'whole-log');
});

it('is rebuilt from its list; nobody signs over what broke and what was done otherwise', async () => {
  await go(phone, `/at/${MARK}/rebuild`);
  await phone.getByRole('button', { name: 'All the others are in' }).click();
  await phone.getByText('Every piece was looked at.').waitFor();
  for (const lead of await phone
    .getByRole('group', { name: 'Leads, by the list' })
    .getByRole('checkbox')
    .all())
    await lead.check();
  await phone.getByRole('button', { name: 'close the list' }).click();
  const sign = phone.getByRole('button', { name: 'sign the rebuilt panel' });
  await sign.click();
  const refusal = phone.getByRole('alert').filter({ hasText: /flags are open/ });
  await refusal.filter({ hasText: 'Answer each with a reason first.' }).waitFor();
  await sound(phone, 'whole-refused');
  expect(await phone.getByText('Signed.').count()).toBe(0);

  await works(desk, 'questions');
  const questions = desk.getByRole('region', { name: 'Questions' });
  await questions.getByText('departure from what was consented').waitFor();
  await questions.getByText('broken on the way').waitFor();
  await soundFromTheTop(desk, 'whole-questions');
  await answerAll(questions);

  await sign.click();
  await phone.getByText('Signed.').waitFor();
  expect(await workState()).toBe('rebuilt');
  await sound(phone, 'whole-rebuilt');
});

it('has its record signed and goes back into its opening', async () => {
  await works(desk, 'how far it is');
  await desk.getByRole('checkbox', { name: /^3b, / }).press('Space');
  const signing = desk.getByRole('form', { name: `Sign for ${MARK}` });
  await signing.getByRole('button', { name: 'I have read it and sign' }).click();
  await signing.getByText('Signed; the record as you read it is kept.').waitFor();

  await go(phone, '/at/SLM.wI/custody');
  await phone.getByRole('radio', { name: 'put back', exact: true }).click();
  const form = phone.getByRole('form', { name: 'Put back 3b' });
  await form.getByLabel('Ties').fill('6');
  await form.getByLabel('Pointed with').fill('lime mortar');
  await form.getByLabel('Gap to the protective glazing, mm').fill('40');
  await sound(phone, 'whole-back');
  await form.getByRole('button', { name: '3b is back in its opening' }).click();
  await form.waitFor({ state: 'detached' });
  expect(await workState()).toBe('in-place');
});

it('is the end of the campaign', async () => {
  await works(desk, 'how far it is');
  await desk.getByText('The work has ended').click();
  const ending = desk.getByRole('form', { name: 'Close the campaign' });
  await ending.getByLabel('What still threatens the glass').fill('the stone above moves');
  await ending.getByLabel('Look again').fill('2031');
  await ending.getByRole('button', { name: 'Close the campaign' }).click();
  const ended = desk.getByRole('region', { name: 'How it ended' });
  await ended.getByText('the stone above moves').waitFor();
  await soundFromTheTop(desk, 'whole-ended');
});

it('leaves a dossier that verifies without the server', async () => {
  await go(desk, `/at/${MARK}/papers`);
  await desk.getByRole('button', { name: 'Pack a dossier' }).click();
  const save = desk.getByRole('link', { name: 'Save the dossier' });
  await save.waitFor({ timeout: 90_000 });
  await sound(desk, 'whole-dossier');
  const path = await saved(desk, () => save.click(), files);
  const { archive } = await chapel.keeper.ask<{ archive: { fingerprint: string } }>('/v1/state');
  const told = spawnSync(
    process.execPath,
    [`${built}tools/mullion.mjs`, 'verify', path, '--fingerprint', archive.fingerprint],
    { encoding: 'utf8', env: { ...process.env, NODE_OPTIONS: '' } },
  );
  expect([told.status, told.stdout + told.stderr]).toEqual([0, expect.stringMatching(/verified/i)]);
});

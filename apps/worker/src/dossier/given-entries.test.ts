/** A handed-out dossier holds no position, serial number, place or price: the house's own rule. */
import { isGivenTo } from './given-entries.js';

const handedOut = { isKeepers: false, subject: 'SLM.wI' };

it.each([
  ['a removal of a panel of the window', 'removal.record', 'SLM.wI.2b', true],
  ['a dismantling', 'dismantling.record', 'SLM.wI.2b', true],
  ['a finding on a panel of another window', 'finding.record', 'SLM.sII.2b', false],
  ['where a panel was taken', 'movement.record', 'SLM.wI.2b', false],
  ['who gave it away', 'movement.hand-over', 'SLM.wI.2b', false],
  ['who received it, and where', 'movement.receive', 'SLM.wI.2b', false],
  ['that a movement was taken back', 'movement.withdraw', 'SLM.wI.2b', false],
  ['a crate', 'crate.add', 'SLM', false],
  ['where the building stands', 'site.describe', 'SLM', false],
  ['the drawing of the window', 'window.add', 'SLM.wI', true],
  ['a change of keys', 'key.change', null, true],
])('of %s a handed-out dossier tells what it may', (_what, type, subject, isGiven) => {
  expect(isGivenTo({ type, subject }, handedOut)).toBe(isGiven);
  expect(isGivenTo({ type, subject }, { ...handedOut, isKeepers: true })).toBe(true);
});

it('gives the drawing of the window that a panel is part of', () => {
  const entry = { type: 'window.add', subject: 'SLM.wI' };
  expect(isGivenTo(entry, { isKeepers: false, subject: 'SLM.wI.2b' })).toBe(true);
});

import { FLAG_KINDS, flagSentence } from './flags.js';

it('fills every value into the sentence', () => {
  const values = { operation: 'bond, epoxy', when: '2026-05-04', expired: '2026-04-30' };
  expect(flagSentence('consent-expired', values)).toBe(
    'bond, epoxy was recorded for 2026-05-04; the consent had run out on 2026-04-30.',
  );
});

it('tells what was not given instead of leaving a gap', () => {
  expect(flagSentence('piece-missing', { piece: 'SLM.wI.2b.17' })).toBe(
    'SLM.wI.2b.17 is not accounted for: not given.',
  );
});

it('every kind has words of its own', () => {
  const labels = Object.values(FLAG_KINDS).map(({ label }) => label);
  expect(new Set(labels).size).toBe(labels.length);
});

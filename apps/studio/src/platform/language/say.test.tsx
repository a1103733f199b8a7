/** @jest-environment jsdom */

import { render } from '../../../../../test/support/rendered.js';
import { messageKey } from './message-key.js';
import { readOnce } from './read-message.js';
import { rich } from './rich.js';
import { pluralOf, say, sayWord } from './say.js';
import { LANGUAGES, speak } from './tongue.js';

const shown = (node: React.ReactNode) => render(<>{node}</>).innerHTML;
const german = (pairs: Readonly<Record<string, string>>) =>
  Object.fromEntries(
    Object.entries(pairs).map(([english, said]) => [messageKey(readOnce(english)), readOnce(said)]),
  );

describe('say', () => {
  it('says plain words as they stand', () => {
    expect(say('Open on the bench')).toBe('Open on the bench');
  });
  it('puts values in and chooses by number', () => {
    const pieces = (count: number) =>
      say('{count, plural, one {# piece} other {# pieces}} of {mark}', {
        count,
        mark: 'SLM.wI.2b',
      });
    expect(pieces(1)).toBe('1 piece of SLM.wI.2b');
    expect(pieces(12345)).toBe('12\u202f345 pieces of SLM.wI.2b');
  });
  it('keeps a value that looks like a pattern as it is', () => {
    expect(say('{name} came', { name: '{x} <b>' })).toBe('{x} <b> came');
  });
});

// Reference: the rules of CLDR as the runtime carries them.
describe.each(LANGUAGES)('plurals in %s', (language) => {
  it('are those of CLDR', () => {
    const rules = new Intl.PluralRules(language);
    for (const count of [0, 0.5, 1.5, -1.5, 1e6, ...Array.from({ length: 1000 }, (_, i) => i)])
      expect([count, pluralOf(count)]).toEqual([count, rules.select(count)]);
  });
});

describe('rich', () => {
  it('puts elements and marked words in their place', () => {
    expect(
      shown(
        rich('see {link}, from <b>inside</b>', {
          link: <a href="/">wall</a>,
          b: (words) => <b>{words}</b>,
        }),
      ),
    ).toBe('see <a href="/">wall</a>, from <b>inside</b>');
  });
  it('puts an element that stands within marked words', () => {
    expect(
      shown(
        rich('<p>{x} and {n, plural, one {# more} other {# more}}</p>', {
          x: <i>here</i>,
          n: 3,
          p: (words) => <p>{words}</p>,
        }),
      ),
    ).toBe('<p><i>here</i> and 3 more</p>');
  });
  it('leaves nothing where nothing is given', () => {
    expect(shown(rich('pieces{by}', { by: null }))).toBe('pieces');
  });
});

describe('another language', () => {
  it('is looked up by the English of the code, else English stays', () => {
    speak(
      'de',
      german({
        'of {mark}: {count, plural, one {# lead} other {# leads}}':
          '{count, plural, one {# Bleirute} other {# Bleiruten}} in {mark}',
        'simple crack': 'Sprung',
        now: 'jetzt',
        'urgency: now': 'sofort',
      }),
    );
    expect(
      say('of {mark}: {count, plural, one {# lead} other {# leads}}', { mark: '2b', count: 2 }),
    ).toBe('2 Bleiruten in 2b');
    expect(sayWord('simple crack')).toBe('Sprung');
    expect(sayWord('2b')).toBe('2b');
    expect(sayWord('now')).toBe('jetzt');
    expect(sayWord('now', 'urgency')).toBe('sofort');
    expect(sayWord('simple crack', 'urgency')).toBe('Sprung');
    expect(say('nobody put this in')).toBe('nobody put this in');
    speak('en', null);
  });
});

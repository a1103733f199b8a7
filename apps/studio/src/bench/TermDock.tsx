import type { FindingTerm } from '#libs/vocabulary';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';

const first = ['glass.crack.simple', 'paint.loss', 'solder.crack'];
const most = 5;

/** The words that are at hand: those used last, then the commonest. */
function termsAtHand(
  terms: readonly FindingTerm[],
  recent: readonly string[],
): readonly FindingTerm[] {
  const keys = [...new Set([...recent, ...first])].slice(0, most);
  // Words that are used stay in one place: the order is the vocabulary's.
  return terms.filter(({ key }) => keys.includes(key));
}

/** Recording starts at the drawing: the words at hand, the others behind one, each with its letters. */
export function TermDock({
  terms,
  recent,
  mark,
  current = null,
}: {
  terms: readonly FindingTerm[];
  recent: readonly string[];
  mark: string;
  /** key of the term that is being drawn */
  current?: string | null;
}) {
  const keep = window.location.search;
  return (
    <nav className={current === null ? 'dock' : 'term-row'} aria-label={say('Record a finding')}>
      {termsAtHand(terms, recent).map((term) => (
        <Go
          key={term.key}
          className="act quiet"
          to={pathOf(mark, 'find', term.key) + keep}
          {...(term.key === current ? { 'aria-current': 'true' as const } : {})}
        >
          {term.label}
          <kbd aria-hidden="true">{term.shortcut}</kbd>
        </Go>
      ))}
      <Go className="act quiet" to={pathOf(mark, 'find') + keep}>
        {say('other finding…')}
      </Go>
    </nav>
  );
}

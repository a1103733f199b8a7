import type { FindingTerm } from '#libs/vocabulary';
import { Go } from '../platform/Go.js';
import { pathOf } from '../platform/place.js';

/** Recording starts at the drawing: the commonest terms as words, the others behind one. */
export function TermDock({ terms, mark }: { terms: readonly FindingTerm[]; mark: string }) {
  const first = ['glass.crack.simple', 'paint.loss', 'solder.crack'];
  const shown = first.flatMap((key) => terms.filter((term) => term.key === key));
  const keep = window.location.search;
  return (
    <nav className="dock" aria-label="Record a finding">
      {shown.map((term) => (
        <Go key={term.key} className="act quiet" to={pathOf(mark, 'find', term.key) + keep}>
          {term.label}
        </Go>
      ))}
      <Go className="act quiet" to={pathOf(mark, 'find') + keep}>
        other finding…
      </Go>
    </nav>
  );
}

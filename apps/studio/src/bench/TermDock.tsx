import type { Term } from '../platform/api/findings.js';
import { Go } from '../platform/Go.js';
import { pathOf } from '../platform/place.js';

/** Recording starts at the drawing: the commonest terms as words, the others behind one. */
export function TermDock({ terms, mark }: { terms: readonly Term[]; mark: string }) {
  const first = ['crack', 'paint-loss', 'cracked-joint'];
  const shown = first.flatMap((key) => terms.filter((term) => term.term === key));
  const keep = window.location.search;
  return (
    <nav className="dock" aria-label="Record a finding">
      {shown.map((term) => (
        <Go key={term.term} className="act quiet" to={pathOf(mark, 'find', term.term) + keep}>
          {term.words ?? term.label ?? term.term}
        </Go>
      ))}
      <Go className="act quiet" to={pathOf(mark, 'find') + keep}>
        other finding…
      </Go>
    </nav>
  );
}

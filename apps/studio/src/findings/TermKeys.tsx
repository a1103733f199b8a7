import './findings.css';
import { type FindingTerm, TERM_GROUPS, type TermGroup } from '#libs/vocabulary';
import { rich } from '../platform/language/rich.js';
import { sayWord } from '../platform/language/say.js';
import { Swatch } from './Swatch.js';

/** The second letters of a group, while one is waited for. */
export function TermKeys({
  terms,
  group,
}: {
  terms: readonly FindingTerm[];
  group: TermGroup | null;
}) {
  return (
    <div role="status" className="term-keys" data-open={group !== null}>
      {group === null ? null : (
        <>
          <b>
            {rich('{label}: now the second letter', { label: sayWord(TERM_GROUPS[group].label) })}
          </b>
          <ul>
            {terms
              .filter((term) => term.group === group)
              .map((term) => (
                <li key={term.key}>
                  <kbd>{term.shortcut.slice(1)}</kbd>
                  <Swatch term={term} kind={term.geometries[0] ?? 'point'} />
                  {term.label}
                </li>
              ))}
          </ul>
        </>
      )}
    </div>
  );
}

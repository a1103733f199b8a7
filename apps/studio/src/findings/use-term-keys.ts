import { useEffect, useRef, useState } from 'react';
import { type FindingTerm, TERM_GROUPS, type TermGroup } from '#libs/vocabulary';

/**
 * Two letters typed one after the other take a term, whatever has the keyboard but a field: the group's,
 * then the term's own.
 * @returns the group whose second letter is waited for
 */
export function useTermKeys(
  terms: readonly FindingTerm[],
  onTerm: (term: FindingTerm) => void,
  on: boolean,
): TermGroup | null {
  const [group, setGroup] = useState<TermGroup | null>(null);
  const now = useRef({ terms, onTerm, group });
  useEffect(() => {
    now.current = { terms, onTerm, group };
  });
  useEffect(() => {
    if (!on) return;
    const leaving = new AbortController();
    window.addEventListener(
      'keydown',
      (event) => {
        const { target, key } = event;
        if (event.ctrlKey || event.altKey || event.metaKey || event.repeat) return;
        if ((target as HTMLElement | null)?.closest('input:not([type="range"]), textarea, select'))
          return;
        const begun = now.current.group;
        const letter = key.toLowerCase();
        const take = (next: TermGroup | null) => {
          // Fast fingers type the second letter before the screen has been drawn again.
          now.current.group = next;
          setGroup(next);
          event.preventDefault();
          event.stopImmediatePropagation();
        };
        if (begun !== null) {
          if (key === 'Shift') return;
          take(null);
          const typed = TERM_GROUPS[begun].letter + letter;
          const term = now.current.terms.find(({ shortcut }) => shortcut === typed);
          if (term) now.current.onTerm(term);
          return;
        }
        const next = (Object.keys(TERM_GROUPS) as TermGroup[]).find(
          (one) => TERM_GROUPS[one].letter === letter,
        );
        if (next) take(next);
      },
      { capture: true, signal: leaving.signal },
    );
    return () => {
      leaving.abort();
    };
  }, [on]);
  return group;
}

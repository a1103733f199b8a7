import { useMemo } from 'react';
import { readOperations, readTerms } from '../platform/api/findings.js';
import {
  type PanelLeads,
  readLeads,
  readSaidPieces,
  type SaidPiece,
  type WindowAnswer,
} from '../platform/api/windows.js';
import { useAnswer } from '../platform/use-answer.js';
import type { Hatch } from './hatches.js';
import { makeShowing } from './showing/make-showing.js';
import type { Showing, Shows } from './showing/showing.js';
import { momentOf } from './time/moment.js';
import { useKept } from './use-wall.js';

export interface ShowingAsked {
  readonly what: Shows;
  readonly terms: readonly string[];
  readonly details: ReadonlyMap<string, WindowAnswer> | undefined;
  /** YYYY-MM-DD; null: today, now */
  readonly at: string | null;
  readonly known: string | null;
  readonly today: string;
}

/** The words of terms and operations, read when they are needed. */
export function useWords(what: Shows) {
  const terms = useAnswer(what === 'terms' ? 'terms' : null, readTerms);
  const operations = useAnswer(what === 'last-kind' ? 'operations' : null, readOperations);
  return useMemo(() => {
    const labels = new Map<string, string>();
    for (const { key, label } of terms.value ?? []) labels.set(key, label);
    for (const { operation, label } of operations.value ?? []) labels.set(operation, label);
    return (key: string) => labels.get(key) ?? key.replaceAll('.', ' ');
  }, [terms.value, operations.value]);
}

/** What is shown, with all that it is made from. @param wordsOf of a term or an operation */
export function useShowing(
  { what, terms, details, at, known, today }: ShowingAsked,
  wordsOf: (key: string) => string,
): Showing {
  const windowIds = [...(details?.keys() ?? [])];
  const read = useAnswer(
    what === 'profile' && details
      ? `leads ${windowIds.join(' ')} ${at ?? ''} ${known ?? ''}`
      : null,
    async (signal) => {
      const all = await Promise.all(
        windowIds.map(
          async (id) => [id, await readLeads(id, momentOf(at, known), signal)] as const,
        ),
      );
      return new Map<string, readonly PanelLeads[]>(all);
    },
  );
  const leads = useKept(read.value);
  const key = terms.join(' ');
  return useMemo(
    () =>
      makeShowing(what, {
        panels: [...(details?.values() ?? [])].flatMap(({ panels }) => panels),
        leads,
        terms: key === '' ? [] : key.split(' '),
        termWords: wordsOf,
        operationWords: wordsOf,
        day: at ?? today,
      }),
    [what, details, leads, key, wordsOf, at, today],
  );
}

type Said = ReadonlyMap<string, ReadonlyMap<string, Hatch>>;

/** Hatches of the pieces of the windows that one has come near, where what is shown lies in pieces. */
export function useSaid(
  showing: Showing,
  near: readonly string[],
  at: string | null,
  known: string | null,
): Said {
  const isByPiece = showing.ofPiece !== undefined;
  const read = useAnswer(
    isByPiece && near.length > 0 ? `pieces ${near.join(' ')} ${at ?? ''} ${known ?? ''}` : null,
    async (signal) => {
      const all = await Promise.all(
        near.map(
          async (id) => [id, await readSaidPieces(id, momentOf(at, known), signal)] as const,
        ),
      );
      return new Map<string, readonly SaidPiece[]>(all);
    },
  );
  const pieces = useKept(read.value);
  return useMemo(() => {
    const hatches = new Map(showing.shades.map(({ key, hatch }) => [key, hatch]));
    return new Map(
      [...(showing.ofPiece && pieces ? pieces : [])].map(([windowId, list]) => [
        windowId,
        new Map(
          list.flatMap((piece) => {
            const hatch = hatches.get(showing.ofPiece?.(piece) ?? '');
            return hatch ? [[piece.mark, hatch] as const] : [];
          }),
        ),
      ]),
    );
  }, [showing, pieces]);
}

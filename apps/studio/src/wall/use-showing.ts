import { useMemo } from 'react';
import { readWhereabouts, type Where } from '../platform/api/custody.js';
import { readOperations, readTerms } from '../platform/api/findings.js';
import {
  type PanelLeads,
  readLeads,
  readSaidPieces,
  type WindowAnswer,
} from '../platform/api/windows.js';
import { useAnswer } from '../platform/use-answer.js';
import type { Hatch } from './hatches.js';
import { makeShowing } from './showing/make-showing.js';
import type { Showing, Shows } from './showing/showing.js';
import { momentOf } from './time/moment.js';
import { byWindow, useNewest } from './use-wall.js';

type Details = ReadonlyMap<string, WindowAnswer> | undefined;
type Leads = ReadonlyMap<string, readonly PanelLeads[]> | undefined;

/** One day that is drawn. */
export interface ShownDay {
  readonly details: Details;
  /** YYYY-MM-DD; null: today */
  readonly at: string | null;
}

export interface ShowingAsked {
  readonly what: Shows;
  readonly terms: readonly string[];
  /** what the archive knew at the end of that day; null: now */
  readonly known: string | null;
  readonly today: string;
  /** the window that one stands before: the commonest kinds are its own */
  readonly windowId: string | null;
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

/**
 * What is shown on one day or on two, by one key: a kind has the same hatch on both.
 * @param wordsOf of a term or an operation
 */
export function useShowings(
  { what, terms, known, today, windowId }: ShowingAsked,
  first: ShownDay,
  second: ShownDay,
  wordsOf: (key: string) => string,
): readonly [Showing, Showing] {
  const leads = useLeads(what === 'profile', first, known);
  const besideLeads = useLeads(what === 'profile', second, known);
  const where = useWhere(what === 'where', first, known);
  const besideWhere = useWhere(what === 'where', second, known);
  const key = terms.join(' ');
  return useMemo(() => {
    const panels = [first.details, second.details].flatMap((details) =>
      [...(details ?? [])].flatMap(([id, answer]) =>
        windowId === null || id === windowId ? answer.panels : [],
      ),
    );
    const all = [...(leads?.values() ?? []), ...(besideLeads?.values() ?? [])].flat();
    const of = (own: Leads, ownWhere: Places, at: string | null) =>
      makeShowing(what, {
        panels,
        profiles: all.flatMap(({ profiles }) => Object.keys(profiles)),
        leads: own,
        where: ownWhere,
        terms: key === '' ? [] : key.split(' '),
        termWords: wordsOf,
        operationWords: wordsOf,
        day: at ?? today,
      });
    return [of(leads, where, first.at), of(besideLeads, besideWhere, second.at)];
  }, [
    what,
    first.details,
    first.at,
    second.details,
    second.at,
    leads,
    besideLeads,
    where,
    besideWhere,
    key,
    wordsOf,
    today,
    windowId,
  ]);
}

function useLeads(isAsked: boolean, { details, at }: ShownDay, known: string | null): Leads {
  const windowIds = [...(details?.keys() ?? [])];
  const read = useAnswer(
    isAsked && details ? `leads ${windowIds.join(' ')} ${at ?? ''} ${known ?? ''}` : null,
    (signal) => byWindow(windowIds, (id) => readLeads(id, momentOf(at, known), signal)),
  );
  return useNewest(read.value);
}

type Places = ReadonlyMap<string, ReadonlyMap<string, Where>> | undefined;

function useWhere(isAsked: boolean, { details, at }: ShownDay, known: string | null): Places {
  const windowIds = [...(details?.keys() ?? [])];
  const read = useAnswer(
    isAsked && details ? `where ${windowIds.join(' ')} ${at ?? ''} ${known ?? ''}` : null,
    (signal) =>
      byWindow(windowIds, async (id) => {
        const { panels } = await readWhereabouts(id, signal, momentOf(at, known));
        return new Map(panels.map(({ mark, where }) => [mark, where]));
      }),
  );
  return useNewest(read.value);
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
    (signal) => byWindow(near, (id) => readSaidPieces(id, momentOf(at, known), signal)),
  );
  const pieces = useNewest(read.value);
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
